package energy

import (
	"slices"

	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
)

// Variant is the plan with keys set: another way to run its water.
type Variant struct {
	Name  string
	Kind  StrategyKind
	Pump  int        // index of Water.Pumps; choice.pump stays, as the battery's voltage may go by it
	Speed float64    // share of the curve's; 0 where it is not one speed
	Why   units.Text // why it cannot be done; "" where it can

	// Set sets the keys in a copy of the plan, whose lists and pointers are still the
	// plan's own; nil sets none.
	Set func(*plan.Plan)

	// line does to the line what no key says: throttle it. air, where it has power, runs in
	// hours that one key cannot hold.
	line func(*works.Waterworks)
	air  supply.Air
}

// Possible reports whether the variant can be run.
func (v Variant) Possible() bool { return v.Why == "" }

// with returns the job of a variant, whose water is that of its pump. Weather, the
// panel as it is laid, battery, prices and dirt stay those of j.
func (j *job) with(v Variant) (*job, error) {
	k := *j
	k.plan = v.of(j.plan)
	var err error
	if k.water, err = j.water.With(k.plan, j.place, v.Pump, v.line); err != nil {
		return nil, err
	}
	if k.air = v.air; v.air.Power == 0 {
		k.air = airOf(k.plan)
	}
	return &k, nil
}

// of returns the plan of the variant.
func (v Variant) of(p *plan.Plan) *plan.Plan {
	with := *p
	if v.Set != nil {
		v.Set(&with)
	}
	return &with
}

// runAt sets a speed outside some bands and no others.
func runAt(speed float64, bands ...plan.RunBand) func(*plan.Plan) {
	return func(p *plan.Plan) { p.Run.Speed, p.Run.Bands = speed, bands }
}

// band is a speed in the hours that in holds, of every month.
func band(speed float64, in func(hour int) bool) plan.RunBand {
	b := plan.RunBand{Speed: speed, Months: plan.AllYear}
	for half := range b.Hours {
		b.Hours[half] = in(half / 2)
	}
	return b
}

// hoursAt returns hours at one speed, or at two of day and night.
func hoursAt(run plan.Run, day, atNight float64) plan.Run {
	if run.Speed = day; day != atNight {
		run.Bands = []plan.RunBand{band(atNight, night)}
		return run
	}
	run.Bands = slices.Clone(run.Bands)
	for i := range run.Bands {
		run.Bands[i].Speed = day
	}
	return run
}
