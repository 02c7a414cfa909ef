package energy

import (
	"cmp"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/pumps"
)

// Variant is the plan with keys set: another way to run its water.
type Variant struct {
	Name  string
	Kind  StrategyKind
	Pump  int     // index of Water.Pumps; choice.pump stays, as the battery's voltage may go by it
	Speed float64 // share of the curve's; 0 where it is not one speed
	Why   string  // why it cannot be done; "" where it can
	// MonthsOff is the hours of the months that one of dark months stands still, one
	// stretch with those that the plan is off beside them.
	MonthsOff float64

	// Set sets the keys in a copy of the plan, whose lists and pointers are still the
	// plan's own; nil sets none.
	Set func(*data.Plan)

	// line does to the line what no key says: throttle it, scale its losses, another
	// dirt. air, where it has power, runs in hours that one key cannot hold.
	line func(*Waterworks) error
	air  Air
}

// Possible reports whether the variant can be run.
func (v Variant) Possible() bool { return v.Why == "" }

// with returns the job of a variant, whose water is that of its pump. Weather, the
// panel as it is laid, battery, prices and dirt stay those of j.
func (j *job) with(v Variant) (*job, error) {
	k := *j
	k.plan = v.of(j.plan)
	var err error
	if k.water, err = j.water.with(k.plan, j.place, v); err != nil {
		return nil, err
	}
	if k.air = v.air; v.air.Power == 0 {
		k.air, err = airOf(k.plan)
	}
	return &k, err
}

// of returns the plan of the variant.
func (v Variant) of(p *data.Plan) *data.Plan {
	with := *p
	if v.Set != nil {
		v.Set(&with)
	}
	return &with
}

// with returns the water of a variant, which p is the plan of. Pumps and dirt stay
// as they were fitted. The watts of a variant of several speeds are those at the
// curve's.
func (w *WaterResult) with(p *data.Plan, place Surroundings, v Variant) (*WaterResult, error) {
	alt, err := w.at(p.Run, cmp.Or(v.Speed, 1))
	if err != nil {
		return nil, err
	}
	if alt.Works.Line, err = alt.Works.line(p, place); err != nil {
		return nil, err
	}
	if v.line != nil {
		if err := v.line(alt.Works); err != nil {
			return nil, err
		}
	}
	alt.Pumps = slices.Clone(w.Pumps)
	return alt, alt.run(&alt.Pumps[v.Pump])
}

// at returns w under other hours, before any pump is run in them; speed is that at
// which watts are told.
func (w *WaterResult) at(run data.Run, speed float64) (*WaterResult, error) {
	alt, works := *w, *w.Works
	works.Speed, works.Assumed, works.Warnings, works.Sources = speed, nil, nil, nil
	alt.Works, alt.doubted = &works, nil
	var err error
	alt.Schedule, err = ScheduleOf(run)
	return &alt, err
}

// run fills in how pump p does on the line, clean and dirty.
func (w *WaterResult) run(p *WaterPump) (err error) {
	if p.Clean, err = w.state(p.Pump, w.Works.Line, p.Pack); err != nil {
		return err
	}
	dirty := w.Works.dirty()
	if p.Dirty, err = w.state(p.Pump, dirty, p.Pack); err != nil {
		return err
	}
	if err = w.doubt(p); err != nil {
		return err
	}
	p.Unfilled, err = w.unfilled(p.Dirty, p.Pump, dirty, p.Pack)
	p.Power = figure.Larger(p.Clean.Power, p.Dirty.Power)
	p.PerDay = figure.Larger(p.Clean.EnergyDay, p.Dirty.EnergyDay)
	p.PerYear = figure.Larger(p.Clean.EnergyYear, p.Dirty.EnergyYear)
	return err
}

// dirty returns the line as it is before cleaning.
func (w *Waterworks) dirty() pumps.Circuit { return pumps.Soil(w.Line, w.Dirt) }

// runAt sets a speed outside some bands and no others.
func runAt(speed float64, bands ...data.RunBand) func(*data.Plan) {
	return func(p *data.Plan) { p.Run.Speed, p.Run.Bands = speed, bands }
}

// band is a speed in the hours that in holds, of every month.
func band(speed float64, in func(hour int) bool) data.RunBand {
	b := data.RunBand{Speed: speed, Months: data.AllYear()}
	for half := range b.Hours {
		b.Hours[half] = in(half / 2)
	}
	return b
}
