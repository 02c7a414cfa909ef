package plantest

import (
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
)

// SteadyLoad returns a plan of 20 W day and night at a place of the built-in grid,
// with sets as --set takes them.
func SteadyLoad(tb testing.TB, sets ...string) *plan.Plan {
	tb.Helper()
	p := plan.NewPlan()
	all := []plan.Setting{plan.FlagSetting("lat", "52.4"), plan.FlagSetting("lon", "13.1"), plan.FlagSetting("load", "20 W")}
	for _, s := range sets {
		set, err := plan.ParseSetting(s)
		if err != nil {
			tb.Fatal(err)
		}
		all = append(all, set)
	}
	if err := p.Apply(all); err != nil {
		tb.Fatal(err)
	}
	return &p
}

// Hours returns the half hours from one hour of the clock to another, over midnight
// where the end comes first.
func Hours(from, to float64) (h plan.Hours) {
	for i := range h {
		at := float64(i) / 2
		h[i] = from < to && at >= from && at < to || from > to && (at >= from || at < to)
	}
	return h
}

// FaultKeys returns the keys of the faults in err.
func FaultKeys(err error) string {
	var keys []string
	for _, f := range data.Faults(err) {
		keys = append(keys, f.Key)
	}
	return strings.Join(keys, " ")
}

// WaterPlan is a small pond of our own: one pump, one hose.
const WaterPlan = `
[pond]
volume = "4 m3"
stocking = "light"
[[pump]]
name = "one"
curve = "curve.csv"
[lift]
static_head = "0.8 m"
[[feed]]
bore = "25 mm"
length = "5 m"
`

// WaterCurve holds the curves of its pumps.
const WaterCurve = `pump,flow (L/h),head (m),power (W)
one,0,2.5,18
one,800,2.1,22
one,1600,1.25,24.5
one,2000,0.6,25
two,0,4,40
two,1500,3.2,55
two,3000,1.5,62
two,3600,0.4,64
`

// OnWaterCurve reads plan with sets, and the curve of WaterCurve for each of its
// pumps.
func OnWaterCurve(tb testing.TB, text string, sets ...plan.Setting) (*plan.Plan, []data.CurveRows) {
	tb.Helper()
	p, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{Sets: sets})
	if err != nil {
		tb.Fatal(err)
	}
	rows, _, err := data.ReadCurves("curve.csv", strings.NewReader(WaterCurve))
	if err != nil {
		tb.Fatal(err)
	}
	curves := make([]data.CurveRows, len(p.Pumps))
	for i, in := range p.Pumps {
		for _, c := range rows {
			if c.Pump == in.Name {
				curves[i] = c
			}
		}
	}
	return &p, curves
}

// TwoPumps is WaterPlan with the larger pump of WaterCurve beside the small one.
var TwoPumps = strings.Replace(WaterPlan, "[lift]", "[[pump]]\nname = \"two\"\ncurve = \"curve.csv\"\n[lift]", 1)

// Set returns a setting of key.
func Set(key, text string) plan.Setting { return plan.Setting{Key: key, Text: text} }
