package energy

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"sunrill/data/clock"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/pumps/works"
)

// BestPlan is what to change in a plan for the same water at the least equivalent yearly
// cost on the mains: the pump, the hose, the speed by day and by night. It is at least as
// sure as the plan itself, or a yes, and nothing in it that the plan or the table of pipes
// does not offer.
type BestPlan struct {
	Changes []Change    `json:"changes"`
	Saves   money.Money `json:"saves_per_year"` // of what the chosen pump costs as planned
	// LeastSaves is with the power of a slowed pump at its high end, which is not the cube.
	LeastSaves figure.Maybe[money.Money] `json:"least_saves_per_year"`
	// Price is what that costs now, unknown with a hose; PumpPrice is its part of the pump to
	// buy, less the purchase that it avoids.
	Price     figure.Maybe[money.Money] `json:"price"`
	PumpPrice figure.Maybe[money.Money] `json:"pump_price"`
	PerYear   money.Money               `json:"equivalent_cost_per_year"`
	Surely    works.Surely              `json:"verdict"`
	Pump      string                    `json:"pump"`
	Hose      string                    `json:"hose,omitempty"` // "" for the one that is there
	// HoseWorth is what hose and work may cost so that they pay within the plan's years,
	// beside the best without them.
	HoseWorth figure.Maybe[money.Money] `json:"hose_at_most_price"`
	Day       float64                   `json:"day_speed_fraction"` // 0 where the plan's own hours stay
	Night     float64                   `json:"night_speed_fraction"`
}

// Change is one key of the plan and its value, as --set takes them.
type Change struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// Speeds are searched by the hundredth, as a controller shows them, and those of day and
// night by the twentieth. Common practice, no source.
const (
	speedStep  = 1
	nightStep  = 5
	leastSpeed = 10
)

// lane is one pump on one hose at every speed of the search, the fastest first.
type lane struct {
	*job       // on that hose
	hose   int // 0 for the one that is there, then the narrower first
	step   works.HoseStep
	pump   int
	speeds []float64
	pumps  []*works.WaterPump // at each of speeds, once it was asked for
	own    *works.WaterPump   // in the plan's own hours, where they have bands
	free   bool               // of the price of its pump, which is not known
}

// found is a way to run a lane: at speeds[day], at night at speeds[night]; ownHours for
// the plan's own.
type found struct {
	*lane
	day, night int
	cost       float64 // equivalent, a year
	chance     float64
}

const ownHours = -1

// bestPlan searches the pumps of the plan, its hose and the next wider ones, and the
// speeds by day and by night for the least yearly cost.
func (j *job) bestPlan() error {
	own, free := j.ownCost()
	if j.out.BestPlan = figure.Unknown[BestPlan](own.Why); !own.Known {
		return nil
	}
	now := j.water.Pumps[j.water.Choice.Index].Surely.Value.Chance
	bars := []float64{works.ChanceYes}
	if now < works.ChanceYes {
		bars = append(bars, max(works.ChanceProbably, now-sameChance))
	}
	lanes, err := j.lanes(free)
	if err != nil {
		return err
	}
	j.out.BestPlan.Why = "nothing that is as sure costs less a year"
	for _, bar := range bars {
		var all []found
		least := own.Value
		here := own.Value // the best on the hose that is there
		for _, wider := range []bool{false, true} {
			some := make([][]found, len(lanes))
			cores.Each(len(lanes), func(i int) {
				if (lanes[i].hose > 0) == wider {
					some[i] = lanes[i].search(bar, min(own.Value, least*(1+sameCost)))
				}
			})
			all = append(all, slices.Concat(some...)...)
			for _, f := range all {
				least = min(least, f.cost)
			}
			if !wider {
				here = least
			}
		}
		best, ok := simplest(all, least)
		if ok && best.cost <= own.Value*(1-lessThan) {
			j.out.BestPlan = figure.Known(best.tell(own.Value, here))
			return nil
		}
		if least < own.Value*(1-1e-9) {
			j.out.BestPlan.Why = units.Say("nothing that is as sure costs less a year by more than {%.0f %%}, which is within the doubt: "+
				"the plan as it is is as good, and the simplest", 100*lessThan)
		}
	}
	return nil
}

// lanes returns every pump that may be chosen on every hose.
func (j *job) lanes(free bool) ([]*lane, error) {
	hoses := []works.HoseStep{{}}
	for _, s := range j.water.Hoses {
		if s.Pump == 0 && s.Laid != nil && len(s.Dries) == 0 {
			hoses = append(hoses, s)
		}
	}
	var list []*lane
	for h, step := range hoses {
		on := *j
		if step.Laid != nil {
			on.plan, on.water = step.Laid.Plan, step.Laid.Water
		}
		for i := range j.water.Pumps {
			if i == j.water.Choice.Index || !j.water.Choice.Given && !free {
				list = append(list, &lane{job: &on, hose: h, step: step, pump: i, free: free})
			}
		}
	}
	errs := make([]error, len(list))
	cores.Each(len(list), func(i int) { errs[i] = list[i].fill() })
	return list, errors.Join(errs...)
}

// fill lays out the speeds of the pump.
func (l *lane) fill() error {
	l.speeds = []float64{1}
	if p := l.water.Pumps[l.pump]; p.Slows() {
		for percent := 100 - speedStep; percent >= max(wholePercent(p.Spec.LeastSpeed), leastSpeed); percent -= speedStep {
			l.speeds = append(l.speeds, float64(percent)/100)
		}
	}
	if own := l.plan.Run.Speed; len(l.plan.Run.Bands) == 0 && own > 0 && !slices.Contains(l.speeds, own) {
		l.speeds = append(l.speeds, own)
		slices.SortFunc(l.speeds, func(a, b float64) int { return cmp.Compare(b, a) })
	}
	l.pumps = make([]*works.WaterPump, len(l.speeds))
	if len(l.plan.Run.Bands) == 0 || l.stopsTooLong() {
		return nil
	}
	as, err := l.with(Variant{Pump: l.pump})
	if err == nil {
		l.own = &as.water.Pumps[l.pump]
	}
	return err
}

// at returns the pump at speed k; none where it cannot be run so.
func (l *lane) at(k int) *works.WaterPump {
	if l.pumps[k] == nil {
		l.pumps[k] = &works.WaterPump{}
		s := l.speeds[k]
		if as, err := l.with(Variant{Pump: l.pump, Speed: s, Set: func(p *plan.Plan) { p.Run = hoursAt(p.Run, s, s) }}); err == nil {
			l.pumps[k] = &as.water.Pumps[l.pump]
		}
	}
	return l.pumps[k]
}

// hours returns the hours of a way.
func (f *found) hours() plan.Run {
	if f.day == ownHours {
		return f.plan.Run
	}
	return hoursAt(f.plan.Run, f.speeds[f.day], f.speeds[f.night])
}

// search returns the ways that meet the goal with a chance of at least bar and cost at
// most bound. More speed is more water in every draw, so that where one falls short all
// slower ones do, and power beside: chances are drawn only of those that may be the cheapest.
func (l *lane) search(bar, bound float64) (list []found) {
	take := func(f found) { list, bound = append(list, f), min(bound, f.cost*(1+sameCost)) }
	if f := (found{lane: l, day: ownHours, night: ownHours}); l.own != nil && f.within(bound) && f.surely() >= bar {
		take(f)
	}
	enough := sort.Search(len(l.speeds), func(k int) bool {
		f := found{lane: l, day: k, night: k}
		return f.surely() < bar
	})
	for k := enough - 1; k >= 0; k-- {
		f := found{lane: l, day: k, night: k}
		if f.within(bound) {
			take(f)
		} else if f.cost > bound {
			break
		}
	}
	if len(l.plan.Run.Bands) > 0 { // --set cannot take away a band
		return list
	}
	coarse := func(k int) bool { return int(math.Round(100*l.speeds[k]))%nightStep == 0 }
	for day := enough - 1; day >= 0; day-- {
		for night := enough; night < len(l.speeds) && coarse(day); night++ {
			if f := (found{lane: l, day: day, night: night}); coarse(night) && f.within(bound) {
				if f.surely() < bar {
					break
				}
				take(f)
			}
		}
	}
	return list
}

// within works out the cost of a way and reports whether it is at most bound and nothing
// speaks against it.
func (f *found) within(bound float64) bool {
	p := f.mixed()
	cost := f.lane.cost(&p)
	f.cost = cost.Value
	return cost.Known && cost.Value <= bound && f.sound() && f.paysFor(&p)
}

// sound reports whether nothing speaks against the pump at either speed.
func (f *found) sound() bool {
	if f.day == ownHours {
		return f.water.Sound(*f.own)
	}
	return f.water.Sound(*f.at(f.day)) && f.water.Sound(*f.at(f.night))
}

// mixed returns the pump by day with what it uses by night.
func (f *found) mixed() works.WaterPump {
	if f.day == ownHours {
		return *f.own
	}
	p := *f.at(f.day)
	if slow := f.at(f.night); f.day != f.night {
		p.Clean.Use, p.Dirty.Use = nightly(p.Clean.Use, &slow.Clean.Use), nightly(p.Dirty.Use, &slow.Dirty.Use)
	}
	return p
}

// nightly returns use with that of the nights of another.
func nightly(use clock.MonthlyHours, other *clock.MonthlyHours) clock.MonthlyHours {
	for m := range use {
		for h := range use[m] {
			if night(h) {
				use[m][h] = other[m][h]
			}
		}
	}
	return use
}

// cost returns what p costs a year.
func (l *lane) cost(p *works.WaterPump) figure.Maybe[float64] { return l.yearOf(p, l.free) }

// paysFor reports whether p is worth buying in place of the pump that runs today, where
// that is the choice.
func (f *found) paysFor(p *works.WaterPump) bool {
	now := f.water.Choice.Index
	if f.pump == now || !f.water.Pumps[now].Present {
		return true
	}
	return terms(f.job.plan).Swap(f.here(), f.owned(p)).Pays.Value
}

// here returns the chosen pump as it is planned.
func (l *lane) here() PumpOwned { return l.out.owned[l.water.Choice.Index] }

// surely returns the chance of a way.
func (f *found) surely() float64 {
	if f.chance == 0 {
		f.chance = f.water.ChanceUnder(f.hours(), f.pump)
	}
	return f.chance
}

// things counts what a way changes: a pump, a hose, a speed, hours of the night.
func (f *found) things() (n int) {
	if f.pump != f.water.Choice.Index {
		n++
	}
	if f.hose > 0 {
		n++
	}
	bands := len(f.job.plan.Run.Bands) > 0
	switch {
	case f.day == ownHours:
	case f.day != f.night:
		n += 2
	case bands || f.speeds[f.day] != f.job.plan.Run.Speed:
		n++
	}
	return n
}

// simplest returns the way of all within the doubt of least that changes the fewest
// things, on the narrowest hose; of those alike the surer, then the cheaper.
func simplest(all []found, least float64) (best found, ok bool) {
	all = slices.DeleteFunc(all, func(f found) bool { return f.cost > least*(1+sameCost) })
	if len(all) == 0 {
		return best, false
	}
	cores.Each(len(all), func(i int) { all[i].surely() })
	return slices.MinFunc(all, func(a, b found) int {
		return cmp.Or(cmp.Compare(a.things(), b.things()), cmp.Compare(a.hose, b.hose), cmp.Compare(b.chance, a.chance),
			cmp.Compare(a.cost, b.cost))
	}), true
}

// changes returns the keys that make the plan that of f.
func (f *found) changes() (list []Change) {
	set := func(value, key string, args ...any) {
		list = append(list, Change{fmt.Sprintf(key, args...), value})
	}
	if f.pump != f.water.Choice.Index {
		set(f.water.Pumps[f.pump].Name, "choice.pump")
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
func (f *found) tell(own, here float64) BestPlan {
	b := BestPlan{Changes: f.changes(), Saves: money.Money(own - f.cost), PerYear: money.Money(f.cost), Pump: f.water.Pumps[f.pump].Name,
		HoseWorth: figure.Unknown[money.Money]("the hose stays")}
	b.Surely = f.water.SurelyUnder(f.hours(), f.pump).Value
	b.LeastSaves = f.leastSaves(own)
	if f.day != ownHours {
		b.Day, b.Night = f.speeds[f.day], f.speeds[f.night]
	}
	t := terms(f.job.plan)
	b.PumpPrice = figure.Known(money.Money(0))
	if now := f.here(); f.pump != f.water.Choice.Index {
		b.PumpPrice = figure.Then(f.owned(&f.water.Pumps[f.pump]).Price, func(p money.Money) money.Money {
			return p - money.Worth(now.Price.Value, t.Rate, now.Due)
		})
	}
	if b.Price = b.PumpPrice; f.hose > 0 {
		b.Hose, b.Price = f.step.Hose, figure.Unknown[money.Money]("what the hose costs is not known, nor the work")
		b.HoseWorth = figure.Known(money.Money((here - f.cost) / money.CapitalRecovery(t.Rate, float64(t.Years))))
	}
	return b
}
