package energy

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"sort"

	"sunrill/data/clock"
	"sunrill/data/cores"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/still"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// Speeds are searched by the hundredth, as a controller shows them, and those of day and
// night by the twentieth. Common practice, no source.
const (
	speedStep  = 1
	nightStep  = 5
	leastSpeed = 10
)

// coarse reports whether a speed is one of those of day and night.
func coarse(speed float64) bool { return int(math.Round(100*speed))%nightStep == 0 }

// lane is one pump on one hose at every speed of the search, the fastest first.
type lane struct {
	*job       // on that hose
	hose   int // 0 for the one that is there, then the narrower first
	step   works.HoseStep
	pump   int
	speeds []float64
	pumps  []*works.WaterPump // at each of speeds, once it was asked for
	own    *works.WaterPump   // in the plan's own hours, where they have bands
	now    int                // the pump as planned
	free   bool               // of the price of its pump, which is not known
	chain  *supply.Chain      // from the battery; nil on the mains
	sure   map[[2]int]float64 // chances of ways that were drawn, off the grid
}

// found is a way to run a lane: at speeds[day], at night at speeds[night]; ownHours for
// the plan's own.
type found struct {
	*lane
	day, night int
	cost       float64 // equivalent, a year
	chance     float64
	row        *Strategy // off the grid, on its pair
	tilt       *units.Angle
}

const ownHours = -1

// lanes returns every pump that may be chosen on every hose, beside the pump as planned.
func (j *job) lanes(now int, free bool) ([]*lane, error) {
	hoses := []works.HoseStep{{}}
	for _, s := range j.water.Hoses {
		if s.Pump == 0 && s.Laid != nil {
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
			if i == now || !j.water.Choice.Given && !free {
				list = append(list, &lane{job: &on, hose: h, step: step, pump: i, now: now, free: free})
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

// laneHere returns pump i on the hose and on the battery that are there; its chain stays nil
// where none fits it.
func (j *job) laneHere(i int) (*lane, error) {
	l := &lane{job: j, pump: i, now: j.base()}
	if err := l.fill(); err != nil {
		return nil, err
	}
	return l, l.connect()
}

// connect leads a lane to the battery.
func (l *lane) connect() error {
	chain, err := batteryChain(l.plan, l.pump, l.water.Works.Pumps[l.pump], l.water.Works.Dirty(), l.air)
	if _, expected := becauseOf(err); err != nil && !expected {
		return err
	}
	l.chain, l.sure = chain, map[[2]int]float64{}
	return nil
}

// slowest returns the slowest speed that is enough, where each that is faster is; -1 where none is.
func (l *lane) slowest(enough func(k int) bool) int {
	return sort.Search(len(l.speeds), func(k int) bool { return !enough(k) }) - 1
}

// flow returns what runs through a lane on the battery at speed k [m³/s].
func (l *lane) flow(k int) float64 {
	d, err := l.chain.At(l.speeds[k])
	if err != nil {
		return 0
	}
	return float64(d.Duty.Flow)
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

// stopsTooLong reports whether the plan's own hours risk more than moderately.
func (j *job) stopsTooLong() bool {
	pause := j.water.Schedule.LongestPause()
	if pause <= 0 || !j.out.Rest.Known {
		return false
	}
	m, _ := j.out.Rest.Value.Worst(j.water.Schedule.RunningMonths().Has)
	return still.GradeStop(units.Duration(pause)*units.Hour, m, j.out.Rest.Value).Grade >= still.HighRisk
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
	enough := l.slowest(func(k int) bool {
		f := found{lane: l, day: k, night: k}
		return f.surely() >= bar
	})
	for k := enough; k >= 0; k-- {
		f := found{lane: l, day: k, night: k}
		if f.within(bound) {
			take(f)
		} else if f.cost > bound {
			break
		}
	}
	// --set cannot take away a band, and where no hour is dearer than another two speeds take
	// more power than one for the same water.
	if len(l.plan.Run.Bands) > 0 || len(l.plan.Mains.Bands) == 0 {
		return list
	}
	for day := enough; day >= 0; day-- {
		for night := enough + 1; night < len(l.speeds) && coarse(l.speeds[day]); night++ {
			if f := (found{lane: l, day: day, night: night}); coarse(l.speeds[night]) && f.within(bound) {
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
	cost := f.yearOf(&p, f.free)
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

// paysFor reports whether p is worth buying in place of the pump that runs today, where
// that is the choice.
func (f *found) paysFor(p *works.WaterPump) bool {
	if f.pump == f.now || !f.water.Pumps[f.now].Present {
		return true
	}
	return terms(f.job.plan).Swap(f.out.owned[f.now], f.owned(p)).Pays.Value
}

// surely returns the chance of a way; where it does not probably do, it may be told lower.
func (f *found) surely() float64 {
	if f.chance == 0 {
		f.chance = f.water.ChanceUnder(f.really(), f.pump, works.ChanceProbably)
	}
	return f.chance
}

// things counts what a way changes: a pump, a hose, a speed, hours of the night.
func (f *found) things() (n int) {
	if f.pump != f.now {
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
	if f.tilt != nil {
		n++
	}
	return n
}

// onBattery leads a lane to the battery that its plan has where it names the pump; its
// chain stays nil where none fits it.
func (l *lane) onBattery(tilt *units.Angle) error {
	k, w := *l.job, *l.job.water
	w.Filter = l.out.Water.Filter
	k.water, k.plan = &w, k.naming(l.pump)
	k.plan.Panel.Tilt = tilt
	if !slices.Equal(sky.BatteryVoltages(k.plan), sky.BatteryVoltages(l.plan)) {
		if err := k.anew(l.pump); err != nil || !k.target.Known {
			return err
		}
	}
	l.job = &k
	return l.connect()
}

// really returns the hours of a way at the speeds that it really has.
func (f *found) really() plan.Run {
	if f.chain == nil {
		return f.hours()
	}
	return atSpeeds(f.hours(), func(asked float64) (supply.Draw, bool) {
		d, err := f.chain.At(asked)
		return d, err == nil
	})
}

// drawn returns the chance of a way at two speeds, which is drawn once.
func (l *lane) drawn(day, night int) float64 {
	at := [2]int{day, night}
	if _, known := l.sure[at]; !known {
		f := found{lane: l, day: day, night: night}
		l.sure[at] = f.surely()
	}
	return l.sure[at]
}

// tilted returns a way on the panel as its plan lays it, or where that costs more than most,
// on another tilt: those next to it, or where the plan gives it all.
func (f found) tilted(most float64) (found, error) {
	given := f.job.plan.Panel.Tilt != nil
	if f.day != ownHours && !given { // it is best for what it carries
		if need := f.row.load.need(); f.light.Best(&need, f.job.plan.Panel.Azimuth).Plane != f.light.Plane {
			var err error
			if f, err = f.laid(nil, math.Inf(1)); err != nil {
				return f, err
			}
		}
	}
	laid := f.row.as.light.Plane.Tilt.In(units.Degree) / tiltStep
	flatter, steeper := math.Ceil(laid-1)*tiltStep, math.Floor(laid+1)*tiltStep
	tilts := []float64{flatter, steeper}
	for k := 1.0; given && k < steepestTilt/tiltStep; k++ {
		tilts = append(tilts, flatter-k*tiltStep, steeper+k*tiltStep)
	}
	least := f.light.LeastTilt().In(units.Degree)
	tilts = slices.DeleteFunc(tilts, func(tilt float64) bool { return tilt < least || tilt > steepestTilt })
	others, errs := make([]found, len(tilts)), make([]error, len(tilts))
	cores.Each(len(tilts), func(i int) {
		tilt := units.Angle(tilts[i]) * units.Degree
		others[i], errs[i] = f.laid(&tilt, most)
	})
	best := f
	for _, g := range others {
		if g.cost < min(best.cost, most) {
			best = g
		}
	}
	return best, errors.Join(errs...)
}

// laid returns a way on a panel that is laid anew, at a tilt or as is best for its load; it costs
// +Inf where it does not do, or not for less than most.
func (f found) laid(tilt *units.Angle, most float64) (found, error) {
	k := *f.row.as
	k.plan = k.naming(f.pump)
	k.plan.Panel.Tilt = tilt
	row := &Strategy{Variant: f.row.Variant}
	row.Set = nil
	err := k.anew(f.pump)
	if err == nil && k.target.Known {
		if err = k.asPlanned(row); err == nil && row.Possible() {
			row.below(most - k.ownYear(row.Pump))
			err = k.sizeRow(row)
		}
	}
	if f.row, f.tilt, f.cost = row, tilt, math.Inf(1); row.carries() {
		f.cost = float64(k.yearOffGrid(row).Value)
	}
	return f, err
}
