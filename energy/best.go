package energy

import (
	"math"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/still"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
)

// Best is the cheapest way to run the water off the grid: of the rows of the trade-off
// whose water meets the goal on the battery with the line dirty, that start again after a
// stop and risk no more than moderately, the one of least equivalent yearly cost. Where
// there is no goal it is the plan's own hours.
type Best struct {
	Row    int                        // index of Outcome.Tradeoff
	Choice battery.Choice             // the pair to buy
	Water  OffGridWater               // what the pump moves on it
	Surely figure.Maybe[works.Surely] `json:"verdict"` // of the goal, on the battery
	Price  figure.Maybe[money.Money]  `json:"price"`   // of panel, battery and what goes with them
	// PerYear is their equivalent yearly cost with the pump's own replacement, which is
	// left out where its price is not known, as Why then says beside the value.
	PerYear figure.Maybe[money.Money] `json:"cost_per_year"`
	// YearsInTen is in how many years of ten no stop is longer than the water may stand.
	YearsInTen figure.Maybe[float64] `json:"years_in_ten"`
}

// best finds the best of the rows.
func (j *job) best() error {
	if !j.out.Solar.Known {
		return nil
	}
	best := &j.out.Solar.Value.Best
	row, why := j.cheapest()
	if row < 0 {
		*best = figure.Unknown[Best](why)
		return nil
	}
	s := &j.out.Tradeoff[row]
	b := Best{Row: row, Choice: s.choice, Water: s.OffGrid.Value, Price: s.Price, PerYear: j.yearOffGrid(s),
		YearsInTen: j.yearsInTen(&s.choice.Connected)}
	var err error
	b.Surely, err = s.as.water.SurelyUnder(onBattery(s.as.plan.Run, s.load.Dirty.Draws), s.Pump)
	*best = figure.Known(b)
	return err
}

// cheapest returns the row of the best way, -1 and why where there is none.
func (j *job) cheapest() (row int, why units.Text) {
	switch d := j.out.DayAndNight(); {
	case !j.target.Known:
		return -1, j.target.Why
	case !j.water.Pond.Known || !j.water.Pond.Value.Goal.Known:
		if !d.Known {
			return -1, d.Why
		}
		return slices.IndexFunc(j.out.Tradeoff, func(s Strategy) bool { return s.Name == j.planned().Name }), ""
	}
	row = -1
	least := math.Inf(1)
	for k := range j.out.Tradeoff {
		if s := &j.out.Tradeoff[k]; s.carries() {
			if cost := j.weight(s); cost < least {
				row, least = k, cost
			}
		}
	}
	if row < 0 {
		why = "no way to run the water meets the goal off the grid"
	}
	return row, why
}

// carries reports whether a row may be the best: a way to run day and night all the year.
func (s *Strategy) carries() bool {
	switch s.Kind {
	case FullSpeed, AsPlanned, Slower, SmallerPump, NightSetback:
		return s.Possible() && s.Panel.Known && s.OffGrid.Value.Meets() && !(s.Risk.Known && s.Risk.Value >= still.HighRisk)
	}
	return false
}

// weight returns what the best way is the least of: the cost a year, else W plus Wh.
func (j *job) weight(s *Strategy) float64 {
	if c := j.yearOffGrid(s); c.Known {
		return float64(c.Value)
	}
	return s.choice.PanelW + s.choice.BoughtWh
}

// yearOffGrid returns what a row costs a year off the grid, its pump's replacement too
// where every pump that could be chosen has a price.
func (j *job) yearOffGrid(s *Strategy) figure.Maybe[money.Money] {
	c := s.choice.PerYear
	pump := j.owned(&j.water.Pumps[s.Pump])
	pump.Running = figure.Known(money.Money(0))
	switch own := terms(j.plan).yearly(pump); {
	case !c.Known:
	case slices.ContainsFunc(j.plan.Pumps, func(p plan.Pump) bool { return p.Price == nil }):
		c.Why = "without the pump's own replacement: pump.price is not given"
	default:
		c.Value += own.Value
	}
	return c
}

// yearsInTen returns in how many years of ten no stop of a run is longer than the water may stand.
func (j *job) yearsInTen(run *battery.Balance) figure.Maybe[float64] {
	if limit := j.target.Value.LongestStop; !limit.Known {
		return figure.Unknown[float64](limit.Why)
	} else if run.Stops.LongestHours <= limit.Value {
		return figure.Known(10.0)
	}
	return figure.Known(10 * float64(run.Years-run.YearsWithStop) / float64(max(1, run.Years)))
}

// onBattery returns hours at the speeds that the battery gives of those asked for.
func onBattery(run plan.Run, draws map[float64]supply.Draw) plan.Run {
	real := func(asked float64) float64 {
		if d, ok := draws[asked]; ok {
			return d.Speed
		}
		return asked
	}
	run.Speed = real(run.Speed)
	run.Bands = slices.Clone(run.Bands)
	for i := range run.Bands {
		run.Bands[i].Speed = real(run.Bands[i].Speed)
	}
	return run
}
