package sky

import (
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/solar"
)

// TestYearIsWeightedByDays: month m gives m, so that the mean day of the year has
// (1 x 31 + 2 x 28 + 3 x 31 + ... + 12 x 31) / 365 = 2382/365.
func TestYearIsWeightedByDays(t *testing.T) {
	var m SunMonths
	for i := range 12 {
		m.GHI[i], m.POA[i], m.TempC[i] = float64(i+1), 2*float64(i+1), -float64(i+1)
	}
	m.Yield[1] = 365
	ghi, poa, temp, yield := m.Year()
	reftest.Near(t, "sun", ghi, 2382.0/365, 1e-12)
	reftest.Near(t, "on the panel", poa, 2*2382.0/365, 1e-12)
	reftest.Near(t, "air", temp, -2382.0/365, 1e-12)
	reftest.Near(t, "yield of February alone", yield, 28, 1e-12)
}

// TestWorstMonthOfThePanel: dark months are passed over unless there are no others.
func TestWorstMonthOfThePanel(t *testing.T) {
	m := SunMonths{Yield: [12]float64{1, 2, 3, 4, 5, 6, 6, 5, 4, 3, 2, 0.5}}
	all := []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11}
	for _, c := range []struct {
		dark []int
		want int
	}{{nil, 11}, {[]int{11}, 0}, {[]int{0, 11}, 1}, {all, 11}} {
		if got := m.WorstLit(c.dark); got != c.want {
			t.Errorf("without %v: month %d, want %d", c.dark, got+1, c.want+1)
		}
	}
	if m.Worst() != 11 || m.Yield[11] != 0.5 {
		t.Errorf("the worst is %d of %v", m.Worst()+1, m.Yield)
	}
}

// TestLossesMakeTheYield: what is left after every loss on the page is the yield over
// the sun on the panel, in the order in which they are taken; those of data/keys.csv
// have their own figures.
func TestLossesMakeTheYield(t *testing.T) {
	for _, c := range []struct {
		sets       []string
		names      string
		controller float64
	}{
		{nil, "slanting light; heat; soiling; shading; mismatch; wiring; connections; light-induced; nameplate; age; controller", 0.06},
		{[]string{"site.shade=10 %", "site.snow=5 %", "controller.efficiency=100 %"}, "slanting light, shade, snow; heat; soiling; shading; mismatch; wiring; connections; light-induced; nameplate; age", 0},
		{[]string{"controller.kind=PWM", "panel.working_voltage=18 V"}, "slanting light; soiling; shading; mismatch; wiring; connections; light-induced; nameplate; age; controller", 1 - 12.8/18},
		{[]string{"panel.loss=13 %"}, "heat; all losses", 0},
		{[]string{"panel.loss=13 %", "site.shade=20 %", "site.shade_of=panel"}, "shade; heat; all losses", 0},
	} {
		s := skyOf(t, append([]string{"panel.tilt=40"}, c.sets...)...)
		losses := s.Losses(s.Weather)
		left, controller := 1.0, 0.0
		var names []string
		for _, l := range losses {
			left *= 1 - l.Share
			names = append(names, l.Name)
			switch l.Name {
			case "controller":
				controller = l.Share
			case "soiling":
				reftest.Near(t, "soiling", l.Share, 0.02, 1e-12)
			case "shade":
				reftest.Near(t, "shade", l.Share, 0.2, 1e-9)
			}
			if !(l.Share > 0 && l.Share < 1) && l.Name != "heat" { // cold cells gain
				t.Errorf("%v: %s takes %g", c.sets, l.Name, l.Share)
			}
		}
		if got := strings.Join(names, "; "); got != c.names {
			t.Errorf("%v: %s, want %s", c.sets, got, c.names)
		}
		reftest.Near(t, "controller", controller, c.controller, 1e-12)
		var sun, made float64
		for _, v := range s.Array.PlaneOfArray(nil, s.Weather) {
			sun += v / 1000
		}
		for _, v := range s.PerWatt(s.Weather) {
			made += v
		}
		reftest.Near(t, "yield over sun", left, made/sun, 1e-12)
	}
}

// TestMonthsOnAnotherPlane: a panel that lies flat has the sun of the ground, and
// asking for it leaves the plan's own plane as it was.
func TestMonthsOnAnotherPlane(t *testing.T) {
	s := skyOf(t, "panel.tilt=40")
	own := s.Months(s.Weather)
	flat := s.MonthsOn(solar.Plane{}, s.Weather)
	for m := range 12 {
		reftest.Near(t, plan.MonthNames[m]+" on a flat panel", flat.POA[m], flat.GHI[m], 1e-9)
	}
	if !(own.POA[11] > 1.2*flat.POA[11]) {
		t.Errorf("December at 40 degrees %g kWh/m2 a day, flat %g", own.POA[11], flat.POA[11])
	}
	if again := s.Months(s.Weather); again != own {
		t.Errorf("the plan's plane gives %+v, before %+v", again, own)
	}
}

// madisonFile holds the monthly sun of Madison, 43 N, in Duffie & Beckman's example
// 2.19.1 and round air temperatures.
func madisonFile() data.ClimateFile {
	return data.ClimateFile{File: "climate.csv",
		GHI:   [12]float64{1.789, 2.747, 3.572, 4.458, 5.933, 6.400, 6.272, 5.647, 4.053, 2.911, 1.769, 1.594},
		TempC: [12]float64{-8, -6, 0, 8, 14, 19, 21, 20, 16, 10, 2, -5}}
}

// TestClimateOfAPlan: the built-in one of a place or of coordinates, that of a file
// before it, none where nothing says where.
func TestClimateOfAPlan(t *testing.T) {
	madison, bright := madisonFile(), madisonFile()
	bright.GHI[11] = 6
	months := data.Weather{File: "months.csv", Step: data.StepMonth, Located: true, LatDeg: 43, LonDeg: -89.4, GHI: madison.GHI[:], TempC: madison.TempC[:]}
	here := []plan.Setting{plantest.Set("site.latitude", "43"), plantest.Set("site.longitude", "-89.4")}
	for _, c := range []struct {
		name  string
		sets  []plan.Setting
		files SiteFiles
		known bool
		fault string
		sun   float64 // of December; 0: any
	}{
		{"nowhere", nil, SiteFiles{}, false, "", 0},
		{"twelve months of nowhere", nil, SiteFiles{Climate: &madison}, false, "", 0},
		{"a place", []plan.Setting{plantest.Set("site.place", "Adelaide")}, SiteFiles{}, true, "", 0},
		{"the grid", here, SiteFiles{}, true, "", 0},
		{"a file", here, SiteFiles{Climate: &madison}, true, "", 1.594},
		{"a file at sea", []plan.Setting{plantest.Set("site.latitude", "43"), plantest.Set("site.longitude", "-40")}, SiteFiles{Climate: &madison}, true, "", 1.594},
		{"brighter than the sky", here, SiteFiles{Climate: &bright}, false, "ghi_kwh_per_m2_day", 0},
		{"weather that says where", nil, SiteFiles{Weather: &months}, true, "", 1.594},
	} {
		p := plan.NewPlan()
		if err := p.Apply(c.sets); err != nil {
			t.Fatal(c.name, err)
		}
		got, _, known, err := ClimateOf(&p, c.files)
		if known != c.known || plantest.FaultKeys(err) != c.fault {
			t.Errorf("%s: known %v, %v", c.name, known, err)
		}
		if known && !(got.GHI[11] > 0 && (c.sun == 0 || got.GHI[11] == c.sun)) {
			t.Errorf("%s: %g kWh/m2 a day in December", c.name, got.GHI[11])
		}
	}
}

// TestUnknownPlace: no climate is guessed for it.
func TestUnknownPlace(t *testing.T) {
	p := plan.NewPlan()
	p.Site.Place = "Nirgendwo"
	if _, _, known, err := ClimateOf(&p, SiteFiles{}); known || plantest.FaultKeys(err) != "place" {
		t.Errorf("known %v, %v with key %q", known, err, plantest.FaultKeys(err))
	}
}

// TestAirByMonth is the climate's own.
func TestAirByMonth(t *testing.T) {
	s := Sky{Climate: solar.Climate{TempC: madisonFile().TempC}}
	if air := s.AirByMonth(); math.Abs(air[0].InCelsius()+8) > 1e-9 || math.Abs(air[6].InCelsius()-21) > 1e-9 {
		t.Errorf("%v", air)
	}
}
