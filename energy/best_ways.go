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
	"sunrill/data/plan"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
)

// justEnough returns the variants of a lane on the battery that only just meet the goal, and
// probably do where full speed does: the least speed day and night, and the least at night.
func (l *lane) justEnough() (list []Variant) {
	pond, full := l.water.Pond.Value, slices.Index(l.speeds, 1)
	if l.chain == nil || !l.water.Pond.Known || !pond.Goal.Known {
		return nil
	}
	const hours, nights = clock.HoursPerDay, clock.HoursPerDay - stillFrom + stillTo
	_, lowest := l.slower(l.pump)
	meets := func(day, night int) bool {
		if l.speeds[night] < lowest {
			return false
		}
		moved := (hours-nights)*l.flow(day) + nights*l.flow(night)
		return moved >= hours*float64(pond.GoalFlow.Value)
	}
	if !meets(full, full) {
		return nil
	}
	none := l.drawn(full, full) < works.ChanceProbably
	does := func(day, night int) bool {
		return meets(day, night) && (none || l.drawn(day, night) >= works.ChanceProbably)
	}
	if k := l.slowest(func(k int) bool { return does(k, k) }); k > full {
		v := slow(l.pump, l.speeds[k])
		v.Name += " (slowest for the goal)"
		list = append(list, v)
	}
	if k := l.slowest(func(k int) bool { return does(full, k) }); k > full {
		list = append(list, nightAt(l.pump, l.speeds[k]))
	}
	return list
}

// elsewhere returns the ways of the other pumps of the plan that only just meet the goal,
// and at full speed where it is not among the rows.
func (j *job) elsewhere() (list []*Strategy, err error) {
	for k, p := range j.water.Pumps {
		if k == j.base() || j.water.Choice.Given || p.Unsound() != "" {
			continue
		}
		l, err := j.laneHere(k)
		if err != nil {
			return nil, err
		}
		ways := l.justEnough()
		if !works.Smaller(p, j.water.Pumps[j.base()]) {
			ways = slices.Insert(ways, 0, Variant{Kind: OtherPump, Pump: k, Speed: 1, Set: runAt(1)})
		}
		for _, v := range ways {
			v.Name = strings.TrimSuffix(j.nameOf(k)+v.Name, ", ")
			list = append(list, &Strategy{Variant: v})
		}
	}
	return list, nil
}

// fewMonths is how many months are few enough to slow down in them alone: a rule of our
// own.
const fewMonths = 6

// faster returns the variants of a slowed row at ever more speed.
func (j *job) faster(s *Strategy) (list []Variant) {
	at, from := slow, s.Speed
	if s.Kind == NightSetback {
		at, from = nightAt, s.as.plan.Run.Bands[0].Speed
	}
	for percent := wholePercent(from) + 1; percent < 100; percent++ {
		v := at(s.Pump, float64(percent)/100)
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
		list = append(list, slowIn(s.Name, s.Pump, slowed))
	}
	return list
}

// slowIn runs a pump at night as a setback does, in some months.
func slowIn(setback string, pump int, slowed plan.RunBand) Variant {
	return Variant{Name: setback + " in " + slowed.Months.String(), Kind: DarkSetback, Pump: pump, Set: runAt(1, slowed)}
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
		if s := &j.out.Tradeoff[i]; s == j.planned() && j.out.DayAndNight().Why != notAsked || s.sunOnly() {
			if err := j.sizeRow(s); err != nil {
				return err
			}
		}
	}
	if !j.out.Solar.Known {
		return nil
	}
	rows := len(j.out.Tradeoff)
	for i := range rows {
		j.ways = append(j.ways, &j.out.Tradeoff[i])
	}
	more, err := j.elsewhere()
	if err != nil {
		return err
	}
	j.ways = append(j.ways, more...)
	errs := make([]error, len(j.ways))
	cores.Each(len(errs), func(i int) {
		s := j.ways[i]
		if i >= rows {
			errs[i] = j.work(s)
		}
		if errs[i] == nil && s.WayRound() && s.Possible() {
			_, errs[i] = j.feed(s)
		}
		if s.moves() && (!j.water.Choice.Given || s.Pump == j.base()) {
			s.chance = s.as.water.ChanceUnder(s.really(), s.Pump, 0)
		}
	})
	if err := errors.Join(errs...); err != nil {
		return err
	}
	likely := func(s *Strategy) bool { return s.chance >= works.ChanceProbably }
	some := slices.ContainsFunc(j.ways, likely)
	for _, s := range j.ways {
		s.barred = some && !likely(s) || j.water.Choice.Given && s.Pump != j.base()
	}
	may := slices.DeleteFunc(slices.Clone(j.ways), func(s *Strategy) bool { return !s.moves() })
	limit := func(*Strategy) float64 { return j.least(j.ways) * (1 + sameCost) }
	if err := j.inTurn(may, &j.ways, limit, j.sizeRow, func(*Strategy) {}); err != nil {
		return err
	}
	return j.best(j.ways)
}

// inTurn sizes those of rows, from the least energy on, that may cost no more than limit says
// beside those sized before, two at a time whatever the cores, and hands each to done.
func (j *job) inTurn(rows []*Strategy, before *[]*Strategy, limit func(*Strategy) float64, size func(*Strategy) error,
	done func(*Strategy)) error {
	slices.SortStableFunc(rows, func(a, b *Strategy) int { return cmp.Compare(a.load.Use.PerYear(), b.load.Use.PerYear()) })
	var errs [2]error
	for len(rows) > 0 {
		var two []*Strategy
		for ; len(rows) > 0 && len(two) < len(errs); rows = rows[1:] {
			s, most := rows[0], limit(rows[0])
			if s.below(most - j.ownYear(s.Pump)); j.atLeast(s, *before) <= most {
				two = append(two, s)
			}
		}
		cores.Each(len(two), func(i int) { errs[i] = size(two[i]) })
		if err := errors.Join(errs[:len(two)]...); err != nil {
			return err
		}
		for _, s := range two {
			done(s)
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
	for _, kind := range []StrategyKind{Slower, NightSetback} {
		s := j.cheapestOf(rows, func(s *Strategy) bool { return s.Kind == kind })
		if s == nil || j.weight(s) > j.least(rows)*(1+sameCost) { // on the same pair it stays as dear
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

// cheapestOf returns the cheapest of the rows that may be the best and are so, nil where there is none.
func (j *job) cheapestOf(rows []*Strategy, is func(*Strategy) bool) (least *Strategy) {
	for _, s := range rows {
		if s.carries() && is(s) && (least == nil || j.weight(s) < j.weight(least)) {
			least = s
		}
	}
	return least
}

// least returns what the cheapest of rows costs a year, +Inf where none may be the best.
func (j *job) least(rows []*Strategy) float64 {
	if s := j.cheapestOf(rows, func(*Strategy) bool { return true }); s != nil {
		return j.weight(s)
	}
	return math.Inf(1)
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
