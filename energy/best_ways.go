package energy

import (
	"errors"
	"slices"
	"sort"

	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
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
	least := func(enough func(speed float64) bool) (float64, bool) {
		from := wholePercent(lowest)
		k := sort.Search(100-from, func(k int) bool { return enough(float64(from+k) / 100) })
		return float64(from+k) / 100, from+k < 100
	}
	if s, below := least(func(s float64) bool { return flow(s) >= goal }); below {
		if !slices.ContainsFunc(rows, func(v Variant) bool { return v.Speed == s }) {
			v := slow(i, s)
			v.Name += " (least for the goal)"
			list = append(list, v)
		}
	}
	share := nights / clock.HoursPerDay
	if s, below := least(func(s float64) bool { return share*flow(s)+(1-share)*full >= goal }); below {
		list = append(list, nightAt(i, s))
	}
	return list
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
			name := p.Spec.Name + " pump"
			if v.Name != "" {
				name += ", " + v.Name
			}
			v.Name = name
			list = append(list, v)
		}
	}
	return list
}

// further returns the variants of a slowed row that move more water than it does, each
// more than the one before: faster, or slower at night in fewer months, those first left
// out in which the sun gives the most for what is asked.
func (j *job) further(s *Strategy) (list []Variant) {
	if s.Kind == Slower {
		for percent := wholePercent(s.Speed) + 1; percent < 100; percent++ {
			v := slow(s.Pump, float64(percent)/100)
			v.Name += " (its pair carries no more)"
			list = append(list, v)
		}
		return list
	}
	made, asked := supply.Judged(s.record)
	var months []int
	for m := range asked {
		if asked[m] > 0 {
			months = append(months, m)
		}
	}
	sort.SliceStable(months, func(a, b int) bool { return made[months[a]]*asked[months[b]] < made[months[b]]*asked[months[a]] })
	run := s.as.plan.Run
	for n := len(months) - 1; n > 0; n-- {
		var dark plan.MonthSet
		for _, m := range months[:n] {
			dark[m] = true
		}
		slowed := run.Bands[0]
		slowed.Months = dark
		list = append(list, Variant{Name: s.Name + " in " + dark.String(), Kind: DarkSetback, Pump: s.Pump, Set: runAt(1, slowed)})
	}
	return list
}

// stretched returns the way that moves the most water of those further than a slowed row
// which its pair carries; nil where there is none. What moves more asks for more.
func (j *job) stretched(s *Strategy) (most *Strategy, err error) {
	ways := j.further(s)
	sort.Search(len(ways), func(k int) bool {
		t := &Strategy{Variant: ways[k], pair: &s.choice}
		err = errors.Join(err, j.evaluate(t))
		if t.carries() {
			most = t
		}
		return !t.carries()
	})
	return most, err
}

// evaluate takes a row that is not in the trade-off through all its steps.
func (j *job) evaluate(s *Strategy) error {
	if err := j.work(s); err != nil {
		return err
	}
	err := j.sizeRow(s)
	j.grade(s)
	figure.Explain(s, s.Why)
	return err
}

// stretch returns, of the slower rows and those of night setback that could be the best, the
// cheapest, each stretched as far as its pair carries.
func (j *job) stretch(rows []*Strategy) ([]*Strategy, error) {
	var from []*Strategy
	for _, kind := range []StrategyKind{Slower, NightSetback} {
		if s := j.leastOf(rows, kind); s != nil {
			from = append(from, s)
		}
	}
	found, errs := make([]*Strategy, len(from)), make([]error, len(from))
	supply.InParallel(len(from), func(i int) { found[i], errs[i] = j.stretched(from[i]) })
	return slices.DeleteFunc(found, func(s *Strategy) bool { return s == nil }), errors.Join(errs...)
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
