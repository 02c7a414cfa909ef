package works

import (
	"cmp"
	"math"
	"slices"
)

// How far costs and chances may lie apart to be alike; common practice, no source.
const (
	nearlyYes   = 0.05 // below ChanceYes, for a pump that is muchCheaper
	muchCheaper = 0.10
	SameCost    = 0.02
	sameChance  = 0.02 // which a count of draws cannot tell apart
)

// ranked returns the pumps from the best to the worst, indices of all. Sound ones come
// before the others. Of them those are weighed that meet the goal for sure, or nearly so
// if they are a tenth cheaper than the cheapest sure one; else those that probably do;
// below that the surest is taken, and of those alike the one with the most water. Of those
// weighed the least yearly cost wins where all are known, else the least power; within 2 %
// of it the one that runs today, then the surer by 2 points, then the less power, then the
// order of the plan.
func ranked(all []WaterPump) (order []int) {
	var left []int
	for i := range all {
		left = append(left, i)
	}
	for len(left) > 0 {
		i := bestOf(all, left)
		order = append(order, i)
		left = slices.DeleteFunc(left, func(k int) bool { return k == i })
	}
	return order
}

func bestOf(all []WaterPump, left []int) int {
	chance := func(i int) float64 { return all[i].Surely.Value.Chance }
	of := func(in []int, keep func(i int) bool) []int {
		return slices.DeleteFunc(slices.Clone(in), func(i int) bool { return !keep(i) })
	}
	if sound := of(left, func(i int) bool { return all[i].Unsound() == "" }); len(sound) > 0 {
		left = sound
	}
	weighed := of(left, func(i int) bool { return chance(i) >= ChanceYes })
	if len(weighed) > 0 {
		if cost, least, known := costs(all, weighed); known {
			weighed = of(left, func(i int) bool {
				return chance(i) >= ChanceYes ||
					chance(i) >= ChanceYes-nearlyYes && all[i].Yearly.Known && cost(i) <= least*(1-muchCheaper)
			})
		}
	} else if weighed = of(left, func(i int) bool { return chance(i) >= ChanceProbably }); len(weighed) == 0 {
		return slices.MaxFunc(left, func(a, b int) int {
			return cmp.Or(cmp.Compare(chance(a), chance(b)), cmp.Compare(all[a].Dirty.PerDay, all[b].Dirty.PerDay), cmp.Compare(b, a))
		})
	}
	cost, least, _ := costs(all, weighed)
	alike := slices.DeleteFunc(weighed, func(i int) bool { return cost(i) > least*(1+SameCost) })
	return slices.MinFunc(alike, func(a, b int) int {
		switch {
		case all[a].Present != all[b].Present:
			return map[bool]int{true: -1, false: 1}[all[a].Present]
		case math.Abs(chance(a)-chance(b)) > sameChance:
			return cmp.Compare(chance(b), chance(a))
		}
		return cmp.Or(cmp.Compare(watts(&all[a]), watts(&all[b])), cmp.Compare(all[a].Dirty.PerDay, all[b].Dirty.PerDay), cmp.Compare(a, b))
	})
}

// costs returns what the pumps of in are weighed by, and the least of it: the yearly cost
// where it is known of every one, which it reports, else the power.
func costs(all []WaterPump, in []int) (of func(int) float64, least float64, known bool) {
	known = !slices.ContainsFunc(in, func(i int) bool { return !all[i].Yearly.Known })
	of = func(i int) float64 { return watts(&all[i]) }
	if known {
		of = func(i int) float64 { return all[i].Yearly.Value }
	}
	return of, of(slices.MinFunc(in, func(a, b int) int { return cmp.Compare(of(a), of(b)) })), known
}

// unknownWatts put a pump of unknown power after all others.
const unknownWatts = 1e9

// watts are a pump's power.
func watts(p *WaterPump) float64 {
	if !p.Power.Known {
		return unknownWatts
	}
	return float64(p.Power.Value)
}
