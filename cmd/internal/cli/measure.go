package cli

import (
	"errors"

	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// testOptions are what a bucket, a stopwatch and a meter showed; 0 where nothing was read.
type testOptions struct {
	bucket units.Volume
	times  []units.Duration
	meter  units.Power
}

func testFlags(r *request, flags *pflag.FlagSet) {
	reading := func(kind units.Kind, name, usage string, take func(v float64)) {
		flags.Func(name, usage, func(text string) (err error) {
			watch, is := units.ParseStopwatch(text)
			v := float64(watch)
			if !is || kind != units.KindTime {
				v, err = units.Parse(kind, text)
			}
			if err == nil && v == 0 && kind != units.KindTime { // what fills a bucket says how long that may take
				err = errors.New("nothing was measured; allowed: more than 0")
			}
			if err == nil {
				take(v)
			}
			return err
		})
		markGroup(flags, groupTest, name)
	}
	reading(units.KindVolume, "bucket", "`volume` of the bucket up to the mark, such as 12L",
		func(v float64) { r.test.bucket = units.Volume(v) })
	reading(units.KindTime, "time", "`time` to fill it, such as 9.8s or 0:22; give it once for each timing",
		func(v float64) { r.test.times = append(r.test.times, units.Duration(v)) })
	reading(units.KindPower, "meter", "`power` that a plug-in meter shows while the pump runs",
		func(v float64) { r.test.meter = units.Power(v) })
}

func (r *request) measurePage() (*document.Document, error) {
	t := &r.test
	if len(t.times) > 0 && t.bucket == 0 {
		return nil, &usageError{"--time needs the bucket that was filled", "add --bucket, such as --bucket 12L"}
	}
	m := &page.Measurement{Bucket: t.bucket, Times: t.times}
	withPlan := len(r.args) > 0 || r.plan.demo || len(r.plan.sets) > 0
	named := ""
	for _, g := range r.given {
		withPlan = withPlan || g.Flag != "log"
		if g.Flag == "pump" {
			named = g.Text
		}
	}
	need := plan.Need(0)
	if withPlan {
		need = plan.NeedDuty
	} else if len(m.Times) == 0 && len(r.given) == 0 {
		return nil, &usageError{"neither a test nor a plan is given", "sunrill measure --bucket 12L --time 9.8s, or sunrill measure mypond"}
	}
	if err := r.read(need); err != nil {
		return nil, err
	}
	m.In = r.in
	if err := m.Read(t.meter); err != nil {
		return nil, err
	}
	if withPlan {
		if err := m.Compare(named); err != nil {
			return nil, err
		}
	}
	if err := m.Trend(); err != nil {
		return nil, err
	}
	return m.Document(), m.NoAnswer()
}
