package works

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// candidate is a pump as the choice sees it.
type candidate struct {
	Chance float64 // of meeting the goal with the line dirty
	Yearly figure.Maybe[float64]
	Power  figure.Maybe[units.Power]
	Sound  bool         // starts again, feeds every branch, spills nowhere
	Runs   bool         // today
	Water  units.Volume // a day, dirty
}

// How far costs and chances may lie apart to be alike; common practice, no source.
const (
	nearlyYes   = 0.05 // below ChanceYes, for a pump that is muchCheaper
	muchCheaper = 0.10
	sameCost    = 0.02
	sameChance  = 0.02 // which a count of draws cannot tell apart
)

// ranked returns the pumps from the best to the worst, indices of all. Sound ones come
// before the others. Of them those are weighed that meet the goal for sure, or nearly so
// if they are a tenth cheaper than the cheapest sure one; else those that probably do;
// below that the surest is taken, and of those alike the one with the most water. Of those weighed the least yearly cost wins where all
// are known, else the least power; within 2 % of it the one that
// runs today, then the surer by 2 points, then the less power, then the order of the plan.
func ranked(all []candidate) []int {
	left := make([]int, len(all))
	for i := range left {
		left[i] = i
	}
	var order []int
	for len(left) > 0 {
		i := bestOf(all, left)
		order = append(order, i)
		left = slices.DeleteFunc(left, func(k int) bool { return k == i })
	}
	return order
}

// bestOf returns the best of the pumps in left.
func bestOf(all []candidate, left []int) int {
	of := func(in []int, keep func(candidate) bool) []int {
		var out []int
		for _, i := range in {
			if keep(all[i]) {
				out = append(out, i)
			}
		}
		return out
	}
	if sound := of(left, func(c candidate) bool { return c.Sound }); len(sound) > 0 {
		left = sound
	}
	weighed := of(left, func(c candidate) bool { return c.Chance >= ChanceYes })
	if len(weighed) > 0 {
		if cost, known := costs(all, weighed); known {
			least := cost(slices.MinFunc(weighed, func(a, b int) int { return cmp.Compare(cost(a), cost(b)) }))
			weighed = append(weighed, of(left, func(c candidate) bool {
				return c.Chance < ChanceYes && c.Chance >= ChanceYes-nearlyYes && c.Yearly.Known && c.Yearly.Value <= least*(1-muchCheaper)
			})...)
		}
	} else if weighed = of(left, func(c candidate) bool { return c.Chance >= ChanceProbably }); len(weighed) == 0 {
		return slices.MaxFunc(left, func(a, b int) int {
			return cmp.Or(cmp.Compare(all[a].Chance, all[b].Chance), cmp.Compare(all[a].Water, all[b].Water), cmp.Compare(b, a))
		})
	}
	slices.Sort(weighed)
	cost, _ := costs(all, weighed)
	least := cost(slices.MinFunc(weighed, func(a, b int) int { return cmp.Compare(cost(a), cost(b)) }))
	alike := slices.DeleteFunc(weighed, func(i int) bool { return cost(i) > least*(1+sameCost) })
	return slices.MinFunc(alike, func(a, b int) int {
		switch {
		case all[a].Runs != all[b].Runs:
			return map[bool]int{true: -1, false: 1}[all[a].Runs]
		case math.Abs(all[a].Chance-all[b].Chance) > sameChance:
			return cmp.Compare(all[b].Chance, all[a].Chance)
		}
		return cmp.Or(cmp.Compare(watts(all[a]), watts(all[b])), cmp.Compare(all[a].Water, all[b].Water), cmp.Compare(a, b))
	})
}

// costs returns what the pumps of in are weighed by: the yearly cost where it is known of
// every one, which it reports, else the power.
func costs(all []candidate, in []int) (func(int) float64, bool) {
	for _, i := range in {
		if !all[i].Yearly.Known {
			return func(i int) float64 { return watts(all[i]) }, false
		}
	}
	return func(i int) float64 { return all[i].Yearly.Value }, true
}

// watts are a pump's power; one of unknown power comes after all others.
func watts(c candidate) float64 {
	if !c.Power.Known {
		return 1e9
	}
	return float64(c.Power.Value)
}
