package works

import (
	"cmp"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/pumps"
)

// With returns the water of pump i under plan p, a variant of w's own. Pumps and dirt
// stay as they were fitted. Watts are told at a speed, 0 where it is not one: those of
// several speeds are told at the curve's. line, unless nil, does to the line what no
// key says.
func (w *WaterResult) With(p *plan.Plan, place Surroundings, i int, speed float64, line func(*Waterworks) error) (*WaterResult, error) {
	alt, err := w.at(p.Run, cmp.Or(speed, 1))
	if err != nil {
		return nil, err
	}
	if alt.Works.Line, err = alt.Works.line(p, place); err != nil {
		return nil, err
	}
	if line != nil {
		if err := line(alt.Works); err != nil {
			return nil, err
		}
	}
	alt.Pumps = slices.Clone(w.Pumps)
	return alt, alt.Run(&alt.Pumps[i])
}

// at returns w under other hours, before any pump is run in them; speed is that at
// which watts are told.
func (w *WaterResult) at(run plan.Run, speed float64) (*WaterResult, error) {
	alt, works := *w, *w.Works
	works.Speed, works.Assumed, works.Warnings, works.Sources = speed, nil, nil, nil
	alt.Works, alt.doubted = &works, nil
	var err error
	alt.Schedule, err = ScheduleOf(run)
	return &alt, err
}

// Run fills in how pump p does on the line, clean and dirty.
func (w *WaterResult) Run(p *WaterPump) (err error) {
	if p.Clean, err = w.state(p.Pump, w.Works.Line, p.Pack); err != nil {
		return err
	}
	dirty := w.Works.Dirty()
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

// Dirty returns the line as it is before cleaning.
func (w *Waterworks) Dirty() pumps.Circuit { return pumps.Soil(w.Line, w.Dirt) }
