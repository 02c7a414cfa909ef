package works

import (
	"math"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// Verdict is a day's water against the pond and its goal: met or missed, by how
// much, and how surely.
type Verdict struct {
	Turnovers figure.Maybe[float64]        `json:"turnovers_per_day"`
	Turnover  figure.Maybe[units.Duration] `json:"turnover_h"`  // of one
	Met       figure.Maybe[bool]           `json:"goal_met"`    // with a reason where it is met on a condition
	Missed    figure.Maybe[units.Duration] `json:"missed_by_h"` // how much longer than the goal a turnover takes
	ShortFlow units.Flow                   // mean flow that lacks to the goal; 0 if met

	// The range of a turnover, both 0 where none is known.
	Slowest units.Duration // +Inf where the weak end of the range does not lift
	Fastest units.Duration // 0 where the strong end runs off the curve
	Sure    bool           // met, or missed, at both ends of the range
}

// Meets reports whether the goal is known and met.
func (v Verdict) Meets() bool { return v.Met.Known && v.Met.Value }

// Misses reports whether the goal is known and missed.
func (v Verdict) Misses() bool { return v.Met.Known && !v.Met.Value }

// Unjudged is the verdict where nothing can be said, and why.
func Unjudged(why string) Verdict {
	return Verdict{Turnovers: figure.Unknown[float64](why), Turnover: figure.Unknown[units.Duration](why), Met: figure.Unknown[bool](why),
		Missed: figure.Unknown[units.Duration](why)}
}

// Judge holds the water of a day against the goal. still says why nothing flows,
// where it does not.
func Judge(pond figure.Maybe[PondWater], perDay units.Volume, still string) Verdict {
	v := Unjudged(pond.Why)
	if !pond.Known {
		return v
	}
	volume, goal := pond.Value.Pond.Volume(), pond.Value.Goal
	v.Turnovers = figure.Known(float64(perDay / volume))
	if v.Turnover = figure.Unknown[units.Duration](still); perDay > 0 {
		v.Turnover = figure.Known(turnover(volume, perDay))
	}
	if v.Met, v.Missed = figure.Unknown[bool](goal.Why), figure.Unknown[units.Duration](goal.Why); !goal.Known {
		return v
	}
	need := float64(volume) * float64(units.Day/goal.Value)
	if v.Met = figure.Known(float64(perDay) >= need*(1-1e-12)); v.Met.Value {
		v.Missed = figure.Unknown[units.Duration]("the goal is met")
		return v
	}
	v.ShortFlow = units.Flow((need - float64(perDay)) / float64(units.Day))
	v.Missed = figure.Then(v.Turnover, func(t units.Duration) units.Duration { return t - goal.Value })
	return v
}

// within gives the verdict its range.
func (v *Verdict) within(fastest, slowest units.Duration, pond PondWater) {
	v.Fastest, v.Slowest = fastest, slowest
	goal := pond.Goal
	v.Sure = goal.Known && (slowest <= goal.Value) == (fastest <= goal.Value)
}

// turnover returns how long one turnover takes at so much water a day; +Inf
// where there is none.
func turnover(v, perDay units.Volume) units.Duration {
	if perDay <= 0 {
		return units.Duration(math.Inf(1))
	}
	return units.Duration(float64(v/perDay)) * units.Day
}
