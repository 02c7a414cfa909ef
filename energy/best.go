package energy

import (
	"errors"
	"math"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/plan"
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

// best finds the best of rows, the first of which are those of the trade-off, and adds it
// to them where it is none of them.
func (j *job) best(rows []*Strategy) error {
	if !j.out.Solar.Known {
		return nil
	}
	best := &j.out.Solar.Value.Best
	if !j.target.Known {
		*best = figure.Unknown[Best](j.target.Why)
		return nil
	}
	s, surely, err := j.cheapest(rows)
	if err != nil || s == nil {
		*best = figure.Unknown[Best]("no way to run the water meets the goal off the grid")
		return err
	}
	b := Best{Row: slices.Index(rows[:len(j.out.Tradeoff)], s), Choice: s.choice, Water: s.OffGrid.Value, Surely: surely, Price: s.Price,
		PerYear: j.yearOffGrid(s), YearsInTen: j.yearsInTen(&s.choice.Connected)}
	if b.Row < 0 {
		b.Row = slices.IndexFunc(j.out.Tradeoff, func(s Strategy) bool { return s.sunOnly() })
		j.out.Tradeoff = slices.Insert(j.out.Tradeoff, b.Row, *s)
	}
	*best = figure.Known(b)
	return nil
}

// sameCost is how far the costs of two ways may lie apart to be alike, and sameChance
// their chances; common practice, no source.
const (
	sameCost   = 0.02
	sameChance = 0.02
)

// cheapest returns the best way, nil where there is none, and how surely it meets the goal.
// Of those that cost about the same it is the surer, then the one that moves more water.
func (j *job) cheapest(rows []*Strategy) (*Strategy, figure.Maybe[works.Surely], error) {
	if goal := j.water.Pond.Value.Goal; !j.water.Pond.Known || !goal.Known {
		if s := j.planned(); s.Panel.Known {
			return s, figure.Unknown[works.Surely](goal.Why), nil
		}
		return nil, figure.Maybe[works.Surely]{}, nil
	}
	more, err := j.stretch(rows)
	if err != nil {
		return nil, figure.Maybe[works.Surely]{}, err
	}
	least := math.Inf(1)
	rows = slices.DeleteFunc(slices.Concat(rows, more), func(s *Strategy) bool { return !s.carries() })
	for _, s := range rows {
		least = min(least, j.weight(s))
	}
	rows = slices.DeleteFunc(rows, func(s *Strategy) bool { return j.weight(s) > least*(1+sameCost) })
	surely, errs := make([]figure.Maybe[works.Surely], len(rows)), make([]error, len(rows))
	supply.InParallel(len(rows), func(i int) {
		s := rows[i]
		surely[i], errs[i] = s.as.water.SurelyUnder(onBattery(s.as.plan.Run, s.load.Dirty.Draws), s.Pump)
	})
	best := -1
	for i, s := range rows {
		if best < 0 {
			best = i
			continue
		}
		switch by := surely[i].Value.Chance - surely[best].Value.Chance; {
		case by > sameChance, by >= -sameChance && s.yearly() > rows[best].yearly()*(1+1e-9):
			best = i
		}
	}
	if best < 0 {
		return nil, figure.Maybe[works.Surely]{}, errors.Join(errs...)
	}
	return rows[best], surely[best], errors.Join(errs...)
}

// yearly returns the water that a row moves in a year on its battery [m³].
func (s *Strategy) yearly() (sum float64) {
	for _, v := range s.load.Water {
		sum += v
	}
	return sum
}

// carries reports whether a row may be the best: a way to run day and night all the year.
func (s *Strategy) carries() bool {
	switch s.Kind {
	case FullSpeed, AsPlanned, Slower, SmallerPump, OtherPump, NightSetback, DarkSetback:
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
