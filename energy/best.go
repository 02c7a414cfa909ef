package energy

import (
	"slices"

	"sunrill/data/cores"
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
// stop and risk no more than moderately, the one of least equivalent yearly cost, of those that
// probably do where there are any. Where
// there is no goal, or nobody gave it and only its practice is kept, it is the plan's own hours.
type Best struct {
	Row    int                        // index of Outcome.Tradeoff
	Choice battery.Choice             // the pair to buy
	Water  OffGridWater               // what the pump moves on it
	Surely figure.Maybe[works.Surely] `json:"verdict"` // of the goal, on the battery
	Price  figure.Maybe[money.Money]  `json:"price"`   // of panel, battery and what goes with them
	// PerYear is their equivalent yearly cost with the pump's own replacement, which is
	// left out where its price is not known, as Why then says beside the value.
	PerYear  figure.Maybe[money.Money] `json:"cost_per_year"`
	PumpYear figure.Maybe[money.Money] `json:"pump_cost_per_year"` // of that, the pump's
	// Stands is the voltage of a battery on charge that its pump has to stand, beyond its rating.
	Stands figure.Maybe[units.Voltage] `json:"pump_has_to_stand_v"`
	// Limits are the longest stops [h] that its own flow lets the water bear, by month.
	Limits figure.Maybe[[]int] `json:"stop_limits_h"`
	// YearsInTen is in how many years of ten no stop is longer than the water may stand.
	YearsInTen figure.Maybe[float64]    `json:"years_in_ten"`
	Way        DayAndNight              `json:"-"` // what stands beside the pair
	Charger    figure.Maybe[ChargerUse] `json:"charger_,inline"`
}

// noWay is why there is no best way.
const (
	noWay          = "no panel and battery that were tried meet the goal"
	noWayOnBattery = "the pump moves too little for the goal, whatever panel and battery feed it"
)

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
	s, err := j.cheapest(rows)
	if err != nil {
		return err
	}
	j.ownWay(rows, s)
	if s == nil {
		*best = figure.Unknown[Best](noWay)
		j.out.Solar.Value.DayAndNight.Value.complete()
		switch own := j.out.Solar.Value.Own; {
		case !slices.ContainsFunc(rows, (*Strategy).moves):
			best.Why = noWayOnBattery
		case own.Known && own.Value.Way.Known:
			best.Why = "with this panel and battery no way to meet the goal is without stops that are too long"
		}
		return j.notWorth(rows)
	}
	b := Best{Row: slices.Index(rows[:len(j.out.Tradeoff)], s), Water: s.OffGrid.Value,
		Surely: s.as.water.SurelyUnder(s.really(), s.Pump)}
	cores.Each(2, func(i int) {
		if i == 0 {
			err = j.worth(s)
			return
		}
		if d := j.out.DayAndNight(); s == j.planned() && d.Known {
			b.Way = d.Value
		} else {
			way := *j.store
			way.Pump, way.Record, way.plan = s.load, s.record, s.as.plan
			way.Pump.Full = fullDraw(way.plan, s.as.water, s.Pump)
			if way.outdoors != nil {
				out := *way.outdoors
				out.Record = carrying(out.Record, s.load)
				way.outdoors = &out
			}
			s.pair = nil // it is the cheapest of all
			b.Way = j.dayAndNight(&way, s.Pump, j.optionsOf(s), battery.Front{Chosen: s.choice, Rule: s.rule})
		}
		b.Way.complete()
	})
	if err != nil {
		return err
	}
	if b.Way.Front.Chosen.BoughtWh > 0 {
		s.take(b.Way.Front.Chosen)
	}
	c := &s.choice
	b.Choice, b.Price, b.PerYear, b.YearsInTen = *c, s.Price, j.yearOffGrid(s), j.yearsInTen(&c.Connected)
	b.Stands = figure.Given(s.load.Dirty.Above > 0, s.load.Dirty.Above, "the pump runs within its rating")
	b.PumpYear = figure.Given(b.PerYear.Why == "", b.PerYear.Value-c.PerYear.Value, b.PerYear.Why)
	b.Limits = figure.Then(b.Way.Options.YearsInTen, func(float64) []int { return b.Way.Options.Limits[:] })
	b.Charger = j.charged(s.record, c.PanelW, j.store.Battery, c.BoughtWh)
	if b.Row < 0 {
		after := func(r Strategy) bool { // the slower ones stand from fast to slow
			return r.sunOnly() || s.Kind == Slower && r.Kind == Slower && s.Pump == r.Pump && r.Speed < s.Speed
		}
		if b.Row = slices.IndexFunc(j.out.Tradeoff, after); b.Row < 0 {
			b.Row = len(j.out.Tradeoff)
		}
		j.out.Tradeoff = slices.Insert(j.out.Tradeoff, b.Row, *s)
	}
	*best = figure.Known(b)
	return nil
}

// sameCost is how far the costs of two ways may lie apart to be alike, and sameChance
// their chances; common practice, no source.
const (
	sameCost   = works.SameCost
	sameChance = 0.02
)

// cheapest returns the best way, nil where there is none.
// Of those that cost about the same it is the surer, then the one that moves more water.
func (j *job) cheapest(rows []*Strategy) (*Strategy, error) {
	if goal := j.water.Pond.Value.Goal; !j.water.Pond.Known || !goal.Known {
		err := j.sizePlanned()
		if s := j.planned(); s.Panel.Known {
			return s, err
		}
		return nil, err
	}
	more, err := j.stretch(rows)
	if err != nil {
		return nil, err
	}
	rows = slices.Concat(rows, more)
	most := j.least(rows) * (1 + sameCost)
	rows = slices.DeleteFunc(rows, func(s *Strategy) bool { return !s.carries() || j.weight(s) > most })
	cores.Each(len(rows), func(i int) {
		if s := rows[i]; s.chance == 0 {
			s.chance = s.as.water.ChanceUnder(s.really(), s.Pump, 0)
		}
	})
	best := -1
	for i, s := range rows {
		if best < 0 {
			best = i
			continue
		}
		switch by := s.chance - rows[best].chance; {
		case by > sameChance, by >= -sameChance && s.yearly() > rows[best].yearly()*(1+1e-9):
			best = i
		}
	}
	if best < 0 {
		err := j.sizePlanned()
		return j.usual(), err
	}
	return rows[best], nil
}

// usual returns the plan's own hours where they miss a goal that nobody gave and are inside the
// practice that it stands for, nil otherwise.
func (j *job) usual() *Strategy {
	pond, s := j.water.Pond.Value, j.planned()
	turnover := s.OffGrid.Value.Turnover
	if pond.GivenGoal || !pond.Rule.Known || !s.Panel.Known || !turnover.Known || turnover.Value > pond.Rule.Value.Slowest ||
		s.Risk.Known && s.Risk.Value >= still.HighRisk {
		return nil
	}
	return s
}

// really returns the hours of a row at the speeds that its battery gives.
func (s *Strategy) really() plan.Run { return s.load.really(s.as.plan.Run) }

// yearly returns the water that a row moves in a year on its battery [m³].
func (s *Strategy) yearly() (sum float64) {
	for _, v := range s.load.Water {
		sum += v
	}
	return sum
}

// moves reports whether a row is a way round that meets the goal on a battery and may be chosen.
func (s *Strategy) moves() bool {
	return s.WayRound() && s.Possible() && s.OffGrid.Value.Meets() && !s.barred
}

// carries reports whether a row may be the best.
func (s *Strategy) carries() bool {
	return s.moves() && s.Panel.Known && !(s.Risk.Known && s.Risk.Value >= still.HighRisk)
}

// WayRound reports whether a row is a way to run day and night, all the year.
func (s *Strategy) WayRound() bool {
	switch s.Kind {
	case FullSpeed, AsPlanned, Slower, SmallerPump, OtherPump, NightSetback, DarkSetback:
		return true
	}
	return false
}

// weight returns what the best way is the least of: the cost a year, by planning prices
// where there are no others, and then without the pump's.
func (j *job) weight(s *Strategy) float64 { return s.pairYear + j.ownYear(s.Pump) }

// ownYear returns what pump i adds to that.
func (j *job) ownYear(i int) float64 {
	if j.target.Value.Shop.NoMoney != "" {
		return 0
	}
	return float64(j.pumpYear(i).Value)
}

// yearOffGrid returns what a row costs a year off the grid, its pump's replacement too
// where every pump that could be chosen has a price.
func (j *job) yearOffGrid(s *Strategy) figure.Maybe[money.Money] {
	c, pump := s.choice.PerYear, j.pumpYear(s.Pump)
	switch {
	case !c.Known:
	case !pump.Known:
		c.Why = "without the pump's own replacement: " + pump.Why
	default:
		c.Value += pump.Value
	}
	return c
}

// pumpYear returns what pump i costs a year without its power, unknown where a pump that
// could be chosen has no price.
func (j *job) pumpYear(i int) figure.Maybe[money.Money] {
	if slices.ContainsFunc(j.plan.Pumps, func(p plan.Pump) bool { return p.Price == nil }) {
		return figure.Unknown[money.Money]("pump.price is not given")
	}
	pump := j.owned(&j.water.Pumps[i])
	pump.Running = figure.Known(money.Money(0))
	return terms(j.plan).yearly(pump)
}

// yearsInTen returns in how many years of ten no stop of a run is longer than the water may stand.
func (j *job) yearsInTen(run *battery.Balance) figure.Maybe[float64] {
	if o := j.target.Value; !o.LongestStop.Known && !o.YearsInTen.Known {
		return figure.Unknown[float64](o.LongestStop.Why)
	}
	const least = 10 // of which one bad one is a tenth; a stated rule, no source
	if run.Years < least {
		return figure.Unknown[float64](units.Say("a record of %d years is too short to count them", run.Years))
	}
	return figure.Known(10 * float64(run.Years-run.BadYears) / float64(run.Years))
}

// really returns hours at the speeds that the battery gives of those asked for.
func (l *PumpLoad) really(run plan.Run) plan.Run {
	return atSpeeds(run, func(asked float64) (d supply.Draw, ok bool) {
		d, ok = l.Dirty.Draws[asked]
		return d, ok
	})
}

// atSpeeds returns hours at the speeds of what is drawn at those asked for, where that is known.
func atSpeeds(run plan.Run, drawn func(asked float64) (supply.Draw, bool)) plan.Run {
	run.Bands = slices.Clone(run.Bands)
	real := func(speed *float64) {
		if d, ok := drawn(*speed); ok {
			*speed = d.Speed
		}
	}
	real(&run.Speed)
	for i := range run.Bands {
		real(&run.Bands[i].Speed)
	}
	return run
}

// sunPump returns the pump that sun and battery are worked out for: the plan's own, else of
// those that do on the battery, or probably do, or would if nothing were uncertain, the one
// of least power, as each watt asks for panel and battery whatever the pump costs on the
// mains; else the nearest.
func (j *job) sunPump() int {
	c, pumps := j.water.Choice, j.water.Pumps
	if c.Given || len(pumps) == 1 {
		return c.Nearest
	}
	best, surest := c.Nearest, 0
	stranded := func(i int) bool { return !j.plan.Site.Mains && j.plan.Pumps[i].Supply == "AC" && !j.plan.HasInverter() }
	if stranded(best) {
		surest = -1
	}
	for i, p := range pumps {
		if p.Unsound() != "" || stranded(i) {
			continue
		}
		rank := sureness(p.Surely.Value.Chance) // a thin cable starves it on the battery, and can be mended
		if rank < sureness(1) {
			if load, _, err := pumpLoad(j.plan, j.water, i, j.air); err == nil {
				rank = max(rank, sureness(j.water.ChanceUnder(load.really(j.plan.Run), i, works.ChanceProbably)))
				if rank == 0 && load.OffGrid.Meets() {
					rank = 1
				}
			}
		}
		if rank > surest || rank == surest && rank > 0 && works.Smaller(p, pumps[best]) {
			best, surest = i, rank
		}
	}
	return best
}

// sureness ranks a chance: 3 for yes, 2 for probably, else 0.
func sureness(chance float64) int {
	switch {
	case chance >= works.ChanceYes:
		return 3
	case chance >= works.ChanceProbably:
		return 2
	}
	return 0
}
