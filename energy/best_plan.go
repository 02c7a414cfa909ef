package energy

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/pumps/works"
)

// BestPlan is what to change in a plan for the same water at the least equivalent yearly
// cost: the pump, the hose, the speed by day and by night, off the grid the tilt too. It is
// at least as sure as the plan itself, or a yes, and nothing in it that the plan or the
// table of pipes does not offer.
type BestPlan struct {
	Changes []Change                  `json:"changes"`
	Saves   figure.Maybe[money.Money] `json:"saves_per_year"` // of what the plan costs as it is
	// LeastSaves is with the power of a slowed pump at its high end, which is not the cube.
	LeastSaves figure.Maybe[money.Money] `json:"least_saves_per_year"`
	// Price is what that costs now, off the grid panel, battery and what goes with them too,
	// unknown with a hose; of the pump to buy it is the price less the purchase that it avoids.
	Price   figure.Maybe[money.Money] `json:"price"`
	PerYear money.Money               `json:"equivalent_cost_per_year"`
	Surely  works.Surely              `json:"verdict"`
	Pump    string                    `json:"pump"`
	Hose    string                    `json:"hose,omitempty"` // "" for the one that is there
	// HoseWorth is what hose and work may cost so that they pay within the plan's years,
	// beside the best without them.
	HoseWorth figure.Maybe[money.Money] `json:"hose_at_most_price"`
	Day       float64                   `json:"day_speed_fraction"` // 0 where the plan's own hours stay
	Night     float64                   `json:"night_speed_fraction"`
	// Panel and Battery are what carries it off the grid, Tilt another one of the panel.
	Panel   figure.Maybe[float64]     `json:"panel_w"`
	Battery figure.Maybe[float64]     `json:"battery_wh"`
	Tilt    figure.Maybe[units.Angle] `json:"tilt_deg"`
}

// Change is one key of the plan and its value, as --set takes them.
type Change struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// bestPlan searches the pumps of the plan, its hose and the next wider ones, and the
// speeds by day and by night for the least yearly cost, on the mains and off the grid; where
// there are mains, the latter for the long page alone.
func (j *job) bestPlan() error {
	lanes, err := j.bestOnMains()
	if err != nil || j.plan.Site.Mains && j.depth < All {
		return err
	}
	return j.bestOffGrid(lanes)
}

// bars are the chances of the goal that a plan of a chance has to have, the first that
// anything cheaper has.
func bars(now float64) []float64 {
	if now < works.ChanceYes {
		return []float64{works.ChanceYes, max(works.ChanceProbably, now-sameChance)}
	}
	return []float64{works.ChanceYes}
}

const (
	// NoneCheaper begins the reason where a search found no better plan.
	NoneCheaper = "nothing that is as sure costs less a year"
	// equallyGood has the share of sameness.
	equallyGood = NoneCheaper + " by more than {%.0f %%}, which is within the doubt: the plan as it is is as good, and the simplest"
)

// bestOnMains is bestPlan on the mains, which returns what it looked at.
func (j *job) bestOnMains() ([]*lane, error) {
	own, free := j.ownCost()
	if j.out.BestPlan = figure.Unknown[BestPlan](own.Why); !own.Known {
		return nil, nil
	}
	lanes, err := j.lanes(j.water.Choice.Index, free)
	if err != nil {
		return nil, err
	}
	chance := j.water.Pumps[j.water.Choice.Index].Surely.Value.Chance
	return lanes, settle(&j.out.BestPlan, own, chance, func(s *search) (found, error) {
		s.lanes = lanes
		return s.best(func(some []*lane) error {
			ways, bound := make([][]found, len(some)), min(own.Value, s.cheapest().cost*(1+sameCost))
			cores.Each(len(some), func(i int) { ways[i] = some[i].search(s.bar, bound) })
			s.all = append(s.all, slices.Concat(ways...)...)
			return nil
		})
	})
}

// search looks for the cheapest way to run a plan that is sure enough.
type search struct {
	lanes  []*lane
	bar    float64
	all    []found // those that do
	narrow float64 // the least on the hose that is there
	// Off the grid:
	rows   []*Strategy  // sized ways, which bound others
	tilt   *units.Angle // of the panel, where it is not the plan's
	frugal found        // the way that takes the least energy
}

// settle puts the best plan that find finds into *into, or why there is none, by one bar
// after another; own is what the plan itself costs, of such a chance.
func settle(into *figure.Maybe[BestPlan], own figure.Maybe[float64], chance float64, find func(*search) (found, error)) error {
	into.Why = NoneCheaper
	for _, bar := range bars(chance) {
		s := &search{bar: bar}
		best, err := find(s)
		if err != nil {
			return err
		}
		does := best.lane != nil && !math.IsInf(best.cost, 1) && best.things() > 0
		if does && (!own.Known || best.cost <= own.Value*(1-lessThan)) {
			if own.Known {
				s.narrow = min(s.narrow, own.Value)
			}
			*into = figure.Known(best.tell(own, s.narrow))
			return nil
		}
		if s.cheapest().cost < own.Value*(1-1e-9) {
			into.Why = units.Say(equallyGood, 100*lessThan)
		}
	}
	return nil
}

// cheapest returns the cheapest so far; it costs +Inf where there is none.
func (s *search) cheapest() found {
	least := found{cost: math.Inf(1)}
	for _, f := range s.all {
		if f.cost < least.cost {
			least = f
		}
	}
	return least
}

// best returns the simplest of the cheapest ways, without a lane where there is none: look
// takes those of some lanes, on the hose that is there and then on wider ones.
func (s *search) best(look func(some []*lane) error) (found, error) {
	for _, wider := range []bool{false, true} {
		some := slices.DeleteFunc(slices.Clone(s.lanes), func(l *lane) bool { return (l.hose > 0) != wider })
		if err := look(some); err != nil {
			return found{}, err
		}
		if !wider {
			s.narrow = s.cheapest().cost
		}
	}
	f, _ := simplest(slices.Clone(s.all), s.cheapest().cost)
	return f, nil
}

// simplest returns the way of all within the doubt of least that changes the fewest
// things, on the narrowest hose; of those alike the surer, then the cheaper.
func simplest(all []found, least float64) (best found, ok bool) {
	all = slices.DeleteFunc(all, func(f found) bool { return f.cost > least*(1+sameCost) })
	if len(all) == 0 {
		return best, false
	}
	cores.Each(len(all), func(i int) { all[i].surely() })
	return slices.MinFunc(all, simpler), true
}

// simpler compares two ways that cost the same.
func simpler(a, b found) int {
	return cmp.Or(cmp.Compare(a.things(), b.things()), cmp.Compare(a.hose, b.hose), cmp.Compare(b.chance, a.chance),
		cmp.Compare(a.cost, b.cost))
}

// changes returns the keys that make the plan that of f.
func (f *found) changes() (list []Change) {
	set := func(value, key string, args ...any) {
		list = append(list, Change{fmt.Sprintf(key, args...), value})
	}
	if f.pump != f.now || f.chain != nil && f.things() > 0 && !f.water.Choice.Given && len(f.water.Pumps) > 1 {
		set(f.water.Pumps[f.pump].Name, "choice.pump") // off the grid it is chosen by its watts
	}
	if f.tilt != nil {
		set(units.Sprintf("%g", f.tilt.In(units.Degree)), "panel.tilt")
	}
	if f.hose > 0 {
		for _, piece := range f.step.Laid.Pieces {
			if f.step.Hose == works.SameBoreSmooth {
				set("0 mm", "%s.rib_pitch", piece)
			} else {
				set(f.step.Hose, "%s.pipe", piece)
			}
		}
	}
	if f.day == ownHours {
		return list
	}
	percent := func(k int) string { return units.Sprintf("%g %%", math.Round(1e4*f.speeds[k])/100) }
	if f.speeds[f.day] != f.job.plan.Run.Speed {
		set(percent(f.day), "run.speed")
	}
	for i, b := range f.job.plan.Run.Bands {
		if b.Speed != f.speeds[f.day] {
			set(percent(f.day), "run.band.%d.speed", i+1)
		}
	}
	if f.day != f.night {
		set(units.Sprintf("%d-%d", stillFrom, stillTo), "run.band.1.hours")
		set(percent(f.night), "run.band.1.speed")
	}
	return list
}

// tell returns the best plan beside one that costs own, and here at best on its own hose.
func (f *found) tell(own figure.Maybe[float64], here float64) BestPlan {
	b := BestPlan{Changes: f.changes(), PerYear: money.Money(f.cost), Pump: f.water.Pumps[f.pump].Name,
		HoseWorth: figure.Unknown[money.Money]("the hose stays"), Tilt: figure.Unknown[units.Angle]("the tilt stays")}
	b.Saves = figure.Then(own, func(cost float64) money.Money { return money.Money(cost - f.cost) })
	b.Surely = f.water.SurelyUnder(f.really(), f.pump).Value
	if f.day != ownHours {
		b.Day, b.Night = f.speeds[f.day], f.speeds[f.night]
	}
	t := terms(f.job.plan)
	b.Price = figure.Known(money.Money(0))
	if now := f.out.owned[f.now]; f.pump != f.now {
		b.Price = figure.Then(f.owned(&f.water.Pumps[f.pump]).Price, func(p money.Money) money.Money {
			return p - money.Worth(now.Price.Value, t.Rate, now.Due)
		})
	}
	if mains := units.Text("it is for the mains"); f.row == nil {
		b.LeastSaves, b.Panel, b.Battery = f.leastSaves(own.Value), figure.Unknown[float64](mains), figure.Unknown[float64](mains)
	} else {
		b.LeastSaves = figure.Unknown[money.Money]("panel and battery are those for a power that falls as the cube of the speed")
		b.Panel, b.Battery = f.row.Panel, f.row.Battery
		b.Price = figure.Then(b.Price, func(pump money.Money) money.Money { return pump + f.row.Price.Value })
		if f.tilt != nil {
			b.Tilt = figure.Known(*f.tilt)
		}
	}
	if f.hose > 0 {
		b.Hose, b.Price = f.step.Hose, figure.Unknown[money.Money]("what the hose costs is not known, nor the work")
		b.HoseWorth = figure.Given(!math.IsInf(here, 1), money.Money((here-f.cost)/money.CapitalRecovery(t.Rate, float64(t.Years))),
			"on the hose that is there nothing is as sure")
	}
	return b
}
