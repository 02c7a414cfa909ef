package cli

import (
	"errors"

	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// testOptions are what a bucket, a stopwatch and a meter showed.
type testOptions struct {
	bucket, times, meter reading
}

// reading is a flag of what was measured, once or again. It is never 0, which
// elsewhere stands for what was not read.
type reading struct {
	kind   units.Kind
	values []float64
}

// value returns the last reading, 0 where there is none.
func (r *reading) value() float64 {
	if len(r.values) == 0 {
		return 0
	}
	return r.values[len(r.values)-1]
}

// Set adds a reading; a time may be one as a stopwatch shows it.
func (r *reading) Set(text string) error {
	var v float64
	watch, ok := units.ParseStopwatch(text)
	if ok && r.kind == units.KindTime {
		v = float64(watch)
	} else {
		var err error
		if v, err = units.Parse(r.kind, text); err != nil {
			return err
		}
	}
	if v == 0 && r.kind != units.KindTime { // what fills a bucket says how long that may take
		return errors.New("nothing was measured; allowed: more than 0")
	}
	r.values = append(r.values, v)
	return nil
}

// Type returns the word that stands for the value in help texts.
func (r *reading) Type() string { return r.kind.String() }

// String returns the default, which help does not show.
func (r *reading) String() string { return "" }

func testFlags(r *request, flags *pflag.FlagSet) {
	for _, f := range []struct {
		to    *reading
		kind  units.Kind
		name  string
		usage string
	}{
		{&r.test.bucket, units.KindVolume, "bucket", "what the bucket holds up to the mark, such as 12L"},
		{&r.test.times, units.KindTime, "time", "time to fill it, such as 9.8s or 0:22; give it once for each timing"},
		{&r.test.meter, units.KindPower, "meter", "watts of a plug-in meter while the pump runs"},
	} {
		f.to.kind = f.kind
		flags.Var(f.to, f.name, f.usage)
		markGroup(flags, groupTest, f.name)
	}
}

func (r *request) measurePage() (*document.Document, error) {
	t := &r.test
	if len(t.times.values) > 0 && t.bucket.value() == 0 {
		return nil, &usageError{"--time needs the bucket that was filled", "add --bucket, such as --bucket 12L"}
	}
	m := &page.Measurement{Bucket: units.Volume(t.bucket.value())}
	for _, v := range t.times.values {
		m.Times = append(m.Times, units.Duration(v))
	}
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
	if err := m.Read(units.Power(t.meter.value())); err != nil {
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
