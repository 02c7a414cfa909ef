package energy

import (
	"errors"
	"math"
	"slices"

	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// bestOffGrid is bestPlan on panel and battery, each way on the pair that it would buy;
// looked holds lanes whose speeds were worked out already. Where the plan has no mains it
// is the best plan.
func (j *job) bestOffGrid(looked []*lane) error {
	into := &j.out.BestOffGrid
	if !j.plan.Site.Mains {
		into, *into = &j.out.BestPlan, figure.Unknown[BestPlan]("there is no mains: the best plan is off the grid")
	}
	if into.Why = j.noSearch(); into.Why != "" {
		return nil
	}
	lanes, err := j.sunLanes(looked)
	if err != nil {
		return err
	}
	planned := j.planned()
	here := found{lane: lanes[0], day: ownHours, night: ownHours, row: planned, cost: float64(j.yearOffGrid(planned).Value)}
	here.chance = j.water.ChanceUnder(j.store.Pump.really(j.plan.Run), here.now, 0)
	return settle(into, j.ownOffGrid(), here.chance, func(s *search) (found, error) {
		s.lanes, s.rows = lanes, j.ways
		if j.out.DayAndNight().Known && here.chance >= s.bar && here.row.carries() {
			s.all = append(s.all, here)
		}
		best, err := s.best(s.ofSun)
		if err == nil && best.row != nil {
			best, err = s.tilted(best)
		}
		if err == nil && (best.tilt != nil || j.plan.Panel.Tilt != nil) {
			best, err = j.elsewise(best, looked, s.bar)
		}
		return best, err
	})
}

// ownOffGrid returns what the plan costs a year off the grid: its cheapest way to the goal,
// else its own hours.
func (j *job) ownOffGrid() figure.Maybe[float64] {
	if best := j.out.Best(); best.Known && best.Value.PerYear.Known {
		return figure.Known(float64(best.Value.PerYear.Value))
	}
	return figure.Then(j.out.DayAndNight(), func(DayAndNight) float64 { return float64(j.yearOffGrid(j.planned()).Value) })
}

// noSearch says why no best plan is looked for off the grid, "" where one is.
func (j *job) noSearch() units.Text {
	switch sun := &j.out.Solar; {
	case !sun.Known:
		return sun.Why
	case !j.target.Known:
		return j.target.Why
	case sun.Value.Own.Known:
		return ownPairGiven
	case j.target.Value.Shop.NoMoney != "":
		return j.target.Value.Shop.NoMoney
	}
	return j.water.Pumps[j.base()].Surely.Why
}

// sunLanes returns the lanes on the battery, the plan's own first.
func (j *job) sunLanes(looked []*lane) ([]*lane, error) {
	now := j.base()
	list, err := j.lanes(now, !j.pumpYear(now).Known)
	if err != nil {
		return nil, err
	}
	errs := make([]error, len(list))
	cores.Each(len(list), func(i int) {
		l := list[i]
		if k := slices.IndexFunc(looked, func(o *lane) bool { return o.hose == l.hose && o.pump == l.pump }); k >= 0 {
			l.pumps = looked[k].pumps
		}
		errs[i] = l.onBattery(j.plan.Panel.Tilt)
	})
	k := slices.IndexFunc(list, func(l *lane) bool { return l.hose == 0 && l.pump == now })
	own := list[k]
	list = slices.DeleteFunc(list, func(l *lane) bool { return l == own || l.chain == nil })
	return slices.Insert(list, 0, own), errors.Join(errs...)
}

// naming returns the plan with choice.pump, where there are others.
func (j *job) naming(pump int) *plan.Plan {
	p := *j.plan
	if len(p.Pumps) > 1 {
		p.Choice.Pump = p.Pumps[pump].Name
	}
	return &p
}

// anew lays the panel and settles the battery anew for pump i of the plan.
func (j *job) anew(i int) error {
	out, light := *j.out, *j.light
	light.Assumed, light.Warnings, light.Sources = slices.Clip(light.Assumed), slices.Clip(light.Warnings), slices.Clip(light.Sources)
	out.Base = i
	j.out, j.light = &out, &light
	return j.stores()
}

// ofSun takes the ways of some lanes off the grid: at one speed, and of the cheapest and the
// least load at two.
func (s *search) ofSun(some []*lane) error {
	ways := make([][]found, len(some))
	cores.Each(len(some), func(i int) {
		if some[i].chain != nil {
			ways[i] = s.steady(some[i])
		}
	})
	err := s.try(slices.Concat(ways...))
	for _, l := range slices.Compact([]*lane{s.cheapest().lane, s.frugal.lane}) {
		if err == nil && slices.Contains(some, l) {
			err = s.try(s.nights(l))
		}
	}
	return err
}

// steady returns the ways of a lane that are sure enough at the slowest speed, at the
// plan's own where that takes hardly more, and in its own hours.
func (s *search) steady(l *lane) (list []found) {
	own := l.hose == 0 && l.pump == l.now
	if l.own != nil && !own {
		if f := (found{lane: l, day: ownHours, night: ownHours}); f.surely() >= s.bar {
			list = append(list, f)
		}
	}
	enough := l.slowest(func(k int) bool { return l.drawn(k, k) >= s.bar })
	planned := slices.Index(l.speeds, l.plan.Run.Speed)
	if enough < 0 {
		return list
	}
	for _, k := range []int{enough, planned} {
		if len(l.plan.Run.Bands) == 0 && own && k == planned || k < 0 || k > enough || k == planned && k == enough && len(list) > 1 {
			continue
		}
		if k != enough && l.at(k).PerYear.Value > l.at(enough).PerYear.Value*(1+sameCost) {
			continue
		}
		list = append(list, found{lane: l, day: k, night: k, chance: l.drawn(k, k)})
	}
	return list
}

// nights returns the ways of a lane at two speeds, at night as slow as is sure enough.
func (s *search) nights(l *lane) (list []found) {
	if len(l.plan.Run.Bands) > 0 {
		return nil
	}
	var steps []int
	for k, speed := range l.speeds {
		if coarse(speed) {
			steps = append(steps, k)
		}
	}
	slowest := 0
	for i := len(steps) - 1; i >= 0; i-- { // the faster by day, the slower by night
		day := steps[i]
		if l.drawn(day, day) < s.bar {
			continue
		}
		for slowest = max(slowest, i); slowest+1 < len(steps) && l.drawn(day, steps[slowest+1]) >= s.bar; {
			slowest++
		}
		if night := steps[slowest]; night != day {
			list = append(list, found{lane: l, day: day, night: night, chance: l.drawn(day, night)})
		}
	}
	return list
}

// try sizes those of ways, from the least energy on, that may be what is looked for.
func (s *search) try(ways []found) error {
	ways = slices.DeleteFunc(ways, func(f found) bool { return !f.sound() })
	errs := make([]error, len(ways))
	cores.Each(len(ways), func(i int) { errs[i] = s.ready(&ways[i]) })
	if err := errors.Join(errs...); err != nil {
		return err
	}
	ways = slices.DeleteFunc(ways, func(f found) bool { return f.row == nil })
	of, rows := map[*Strategy]*found{}, make([]*Strategy, len(ways))
	for i := range ways {
		f := &ways[i]
		if rows[i], of[f.row] = f.row, f; s.frugal.row == nil || f.row.load.Use.PerYear() < s.frugal.row.load.Use.PerYear() {
			s.frugal = *f
		}
	}
	limit := func(row *Strategy) float64 { return s.limit(of[row]) }
	size := func(row *Strategy) error { return of[row].sizeRow(row) }
	return s.lanes[0].inTurn(rows, &s.rows, limit, size, func(row *Strategy) {
		if s.rows = append(s.rows, row); row.carries() {
			f := *of[row]
			f.cost = float64(f.yearOffGrid(row).Value)
			s.all = append(s.all, f)
		}
	})
}

// ready puts a way on its battery; it has no row where that cannot be.
func (s *search) ready(f *found) error {
	f.tilt = s.tilt
	row := &Strategy{Variant: Variant{Name: f.water.Pumps[f.pump].Name, Kind: Slower, Pump: f.pump}}
	switch {
	case f.day == ownHours:
		row.Kind, row.Speed = AsPlanned, 1
	case f.day != f.night:
		row.Kind = NightSetback
	default:
		row.Speed = f.speeds[f.day]
	}
	row.Set = func(p *plan.Plan) { p.Run = f.hours() }
	if err := f.asPlanned(row); err != nil || !row.Possible() {
		return err
	}
	why, err := f.feed(row)
	if f.cost = math.Inf(1); why == "" {
		f.row = row
	}
	return err
}

// asPlanned works a row out as a plan of its own would be, whose present pump runs in its
// hours too.
func (j *job) asPlanned(row *Strategy) error {
	if err := j.work(row); err != nil || !row.Possible() {
		return err
	}
	w := row.as.water
	if k := slices.IndexFunc(w.Pumps, func(p works.WaterPump) bool { return p.Present }); k >= 0 && k != row.Pump {
		w.Run(&w.Pumps[k])
	}
	return nil
}

// limit returns what a way may cost to be worth sizing: less than the cheapest by more
// than makes them alike, or as much where it is simpler.
func (s *search) limit(f *found) float64 {
	c := s.cheapest()
	if c.lane == nil || f.things() < c.things() || f.hose < c.hose {
		return c.cost * (1 + sameCost)
	}
	return c.cost * (1 - sameCost)
}

// The tilts that are looked at lie so far apart, none steeper than a roof; common practice, no
// source.
const (
	tiltStep     = 15
	steepestTilt = 75
)

// elsewise returns best, or what is found with every panel at its tilt, by which another
// way may have seemed the cheapest; where it has the plan's own, at that best for its load.
func (j *job) elsewise(best found, looked []*lane, bar float64) (found, error) {
	need := j.store.Pump.need()
	k, p, tilt := *j, *j.plan, j.light.Best(&need, j.plan.Panel.Azimuth).Plane.Tilt
	if best.tilt != nil {
		tilt = *best.tilt
	}
	p.Panel.Tilt = &tilt
	k.plan = &p
	if err := k.anew(j.base()); err != nil || !k.target.Known {
		return best, err
	}
	lanes, err := k.sunLanes(looked)
	if err != nil {
		return best, err
	}
	s := &search{lanes: lanes, bar: bar, tilt: &tilt}
	if best.row != nil {
		s.all = []found{best}
	}
	f, err := s.best(s.ofSun)
	if f.row == nil || best.row != nil && f.cost >= best.cost*(1-sameCost) {
		return best, err
	}
	return f, err
}

// tilted returns the simpler of the best way and that of the least load, each on the tilt that
// suits it: what is on sale makes steps, so that another tilt may take either down one of them,
// and no other way costs less on that tilt than the pair of the least load.
func (s *search) tilted(best found) (found, error) {
	all, most := []found{best}, best.cost*(1-sameCost)
	if s.frugal.row != nil && s.frugal.lane != best.lane {
		all = append(all, s.frugal)
	}
	errs := make([]error, len(all))
	cores.Each(len(all), func(i int) { all[i], errs[i] = all[i].tilted(most) })
	least := math.Inf(1)
	for _, f := range all {
		least = min(least, f.cost)
	}
	best, _ = simplest(all, least)
	return best, errors.Join(errs...)
}
