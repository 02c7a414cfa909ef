package energy

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"sort"
	"strings"

	"sunrill/data/clock"
	"sunrill/data/cores"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
)

// just returns the variants of pump i that only just meet the goal on the battery,
// beside rows: the least speed day and night, and the least at night.
func (j *job) just(i int, rows []Variant, lowest float64) (list []Variant) {
	pond := j.water.Pond.Value
	if j.light == nil || lowest >= 1 || !j.water.Pond.Known || !pond.Goal.Known {
		return nil
	}
	chain, err := batteryChain(j.plan, i, j.water.Works.Pumps[i], j.water.Works.Dirty(), supply.Air{})
	if err != nil {
		return nil
	}
	flow := func(speed float64) float64 {
		d, err := chain.At(speed)
		if err != nil {
			return 0
		}
		return float64(d.Duty.Flow)
	}
	nights := 0.0
	for h := range clock.HoursPerDay {
		if night(h) {
			nights++
		}
	}
	goal, full := float64(pond.GoalFlow.Value), flow(1)
	if full < goal {
		return nil
	}
	least := func(enough func(speed float64) bool) (float64, bool) {
		from := wholePercent(lowest)
		k := sort.Search(100-from, func(k int) bool { return enough(float64(from+k) / 100) })
		return float64(from+k) / 100, from+k < 100
	}
	if s, below := least(func(s float64) bool { return flow(s) >= goal }); below {
		s = j.likelier(i, s, chain)
		if !slices.ContainsFunc(rows, func(v Variant) bool { return v.Speed == s }) {
			v := slow(i, s)
			v.Name += " (slowest for the goal)"
			list = append(list, v)
		}
	}
	share := nights / clock.HoursPerDay
	if s, below := least(func(s float64) bool { return share*flow(s)+(1-share)*full >= goal }); below {
		list = append(list, nightAt(i, s))
	}
	return list
}

// likelier returns the least speed from s on at which pump i probably meets the goal on its
// battery, s where it does at none.
func (j *job) likelier(i int, s float64, chain *supply.Chain) float64 {
	run, does := j.plan.Run, j.water.Pumps[i].Surely.Value.Chance >= works.ChanceProbably
	run.Bands = nil
	for percent := wholePercent(s); does && percent < 100; percent++ {
		at := float64(percent) / 100
		d, err := chain.At(at)
		if run.Speed = d.Speed; err == nil && j.water.ChanceUnder(run, i) >= works.ChanceProbably {
			return at
		}
	}
	return s
}

// elsewhere returns the ways of the other pumps of the plan that only just meet the goal,
// and at full speed where it is not among the rows.
func (j *job) elsewhere(i int) (list []Variant) {
	if j.water.Choice.Given {
		return nil
	}
	for k, p := range j.water.Pumps {
		if k == i || p.Unsound() != "" {
			continue
		}
		var ways []Variant
		if !works.Smaller(p, j.water.Pumps[i]) {
			ways = []Variant{{Kind: OtherPump, Pump: k, Speed: 1, Set: runAt(1)}}
		}
		if p.Slows() {
			_, lowest := j.slower(k)
			ways = append(ways, j.just(k, nil, lowest)...)
		}
		for _, v := range ways {
			v.Name = strings.TrimSuffix(j.nameOf(k)+v.Name, ", ")
			list = append(list, v)
		}
	}
	return list
}

// fewMonths is how many months are few enough to slow down in them alone: a rule of our
// own.
const fewMonths = 6

// faster returns the variants of a slowed row at ever more speed.
func (j *job) faster(s *Strategy) (list []Variant) {
	from := wholePercent(s.Speed)
	if s.Kind == NightSetback {
		from = wholePercent(s.as.plan.Run.Bands[0].Speed)
	}
	for percent := from + 1; percent < 100; percent++ {
		v := slow(s.Pump, float64(percent)/100)
		if s.Kind == NightSetback {
			v = nightAt(s.Pump, float64(percent)/100)
		}
		v.Name = j.nameOf(s.Pump) + v.Name
		list = append(list, v)
	}
	return list
}

// nameOf names a pump that is not the one of the trade-off, before a way to run it.
func (j *job) nameOf(pump int) string {
	if pump == j.base() {
		return ""
	}
	return j.water.Pumps[pump].Name + " pump, "
}

// fewer returns the variants of a night setback in ever fewer months, those first left out
// in which the sun gives the most for what is asked.
func (j *job) fewer(s *Strategy) (list []Variant) {
	made, asked := supply.Judged(s.record)
	var months []int
	for m := range asked {
		if asked[m] > 0 {
			months = append(months, m)
		}
	}
	sort.SliceStable(months, func(a, b int) bool { return made[months[a]]*asked[months[b]] < made[months[b]]*asked[months[a]] })
	for n := min(len(months)-1, fewMonths); n > 0; n-- {
		slowed := s.as.plan.Run.Bands[0]
		slowed.Months = 0
		for _, m := range months[:n] {
			slowed.Months |= 1 << m
		}
		list = append(list, Variant{Name: s.Name + " in " + slowed.Months.String(), Kind: DarkSetback, Pump: s.Pump, Set: runAt(1, slowed)})
	}
	return list
}

// stretched returns the last of ways, each of which moves more water than the one before
// it, that the pair of a row carries; nil where it carries none.
func (j *job) stretched(s *Strategy, ways []Variant) (most *Strategy, err error) {
	sort.Search(len(ways), func(k int) bool {
		t := &Strategy{Variant: ways[k], pair: &s.choice}
		err = errors.Join(err, j.work(t), j.sizeRow(t))
		if t.carries() {
			most = t
		}
		return !t.carries()
	})
	return most, err
}

// decide finds the best way off the grid: of the rows and the ways of other pumps those
// are sized, from the least energy on, that may be it.
func (j *job) decide() error {
	j.daylightRows()
	for i := range j.out.Tradeoff {
		if s := &j.out.Tradeoff[i]; s == j.planned() || s.sunOnly() {
			if err := j.sizeRow(s); err != nil {
				return err
			}
		}
	}
	if !j.out.Solar.Known {
		return nil
	}
	for i := range j.out.Tradeoff {
		j.ways = append(j.ways, &j.out.Tradeoff[i])
	}
	for _, v := range j.elsewhere(j.base()) {
		j.ways = append(j.ways, &Strategy{Variant: v})
	}
	errs := make([]error, len(j.ways))
	cores.Each(len(errs), func(i int) {
		s := j.ways[i]
		if i >= len(j.out.Tradeoff) {
			errs[i] = j.work(s)
		}
		if errs[i] == nil && s.WayRound() && s.Possible() {
			_, errs[i] = j.feed(s)
		}
	})
	if err := errors.Join(errs...); err != nil {
		return err
	}
	may := slices.DeleteFunc(slices.Clone(j.ways), func(s *Strategy) bool {
		return s.load == nil || !s.OffGrid.Value.Meets()
	})
	slices.SortStableFunc(may, func(a, b *Strategy) int { return cmp.Compare(a.load.Use.PerYear(), b.load.Use.PerYear()) })
	outbid := func(s *Strategy) bool {
		least := j.least() * (1 + sameCost)
		s.below(least - j.ownYear(s.Pump))
		return j.atLeast(s, j.ways) > least
	}
	if err := inTwos(may, outbid, j.sizeRow, func(*Strategy) {}); err != nil {
		return err
	}
	return j.best(j.ways)
}

// inTwos does what is not to be skipped of a list, two at a time whatever the cores: what is
// skipped depends on those done before, each of which is handed to done in turn.
func inTwos[T any](list []T, skip func(T) bool, do func(T) error, done func(T)) error {
	var errs [2]error
	for len(list) > 0 {
		var two []T
		for len(list) > 0 && len(two) < len(errs) {
			if !skip(list[0]) {
				two = append(two, list[0])
			}
			list = list[1:]
		}
		cores.Each(len(two), func(i int) { errs[i] = do(two[i]) })
		if err := errors.Join(errs[:len(two)]...); err != nil {
			return err
		}
		for _, v := range two {
			done(v)
		}
	}
	return nil
}

// stretch returns the cheapest slower row and the cheapest night setback of those that may
// be the best, each as far as its pair carries more.
func (j *job) stretch(rows []*Strategy) ([]*Strategy, error) {
	type from struct {
		row  *Strategy
		ways []Variant
	}
	var all []from
	least := math.Inf(1)
	for _, s := range rows {
		if s.carries() {
			least = min(least, j.weight(s))
		}
	}
	for _, kind := range []StrategyKind{Slower, NightSetback} {
		s := j.leastOf(rows, kind)
		if s == nil || j.weight(s) > least*(1+sameCost) { // on the same pair it stays as dear
			continue
		}
		if all = append(all, from{s, j.faster(s)}); kind == NightSetback {
			all = append(all, from{s, j.fewer(s)})
		}
	}
	found, errs := make([]*Strategy, len(all)), make([]error, len(all))
	cores.Each(len(all), func(i int) { found[i], errs[i] = j.stretched(all[i].row, all[i].ways) })
	return slices.DeleteFunc(found, func(s *Strategy) bool { return s == nil }), errors.Join(errs...)
}

// least returns what the cheapest way so far costs a year, +Inf where there is none.
func (j *job) least() float64 {
	least := math.Inf(1)
	for _, r := range j.ways {
		if r.carries() {
			least = min(least, j.weight(r))
		}
	}
	return least
}

// below makes a row be sized only where its pair costs no more than most a year.
func (s *Strategy) below(most float64) {
	if s.most = 0; !math.IsInf(most, 1) {
		s.most = max(most, math.SmallestNonzeroFloat64)
	}
}

// atLeast returns what a way costs at least: the pair of another that asks for no more in
// any hour, and its own pump.
func (j *job) atLeast(s *Strategy, rows []*Strategy) (bound float64) {
	for _, r := range rows {
		if r.Panel.Known && r.load != nil && s.load.covers(r.load) {
			bound = max(bound, r.pairYear)
		}
	}
	return bound + j.ownYear(s.Pump)
}

// covers reports whether l asks for at least as much as other in every hour.
func (l *PumpLoad) covers(other *PumpLoad) bool {
	if other.OnInverter && !l.OnInverter {
		return false
	}
	for m := range l.Use {
		for h, kw := range l.Use[m] {
			if kw < other.Use[m][h] {
				return false
			}
		}
	}
	return true
}

// leastOf returns the row of a kind that is the cheapest of those that may be the best.
func (j *job) leastOf(rows []*Strategy, kind StrategyKind) (least *Strategy) {
	for _, s := range rows {
		if s.Kind == kind && s.carries() && (least == nil || j.weight(s) < j.weight(least)) {
			least = s
		}
	}
	return least
}
