package plan

import (
	"math"
	"slices"
)

// Targets by the years in ten; common practice, no source.
const (
	usualYears = 9
	heavyYears = 9.9 // where a stop kills most
)

// Years of weather that are made: enough that a few may be bad, so that another seed
// chooses alike; stated rules, no source.
const (
	leastYears  = 40
	mostYears   = 300
	badYears    = 3
	targetYears = 20 // for a target that names no years
)

// YearsInTen returns in how many of ten years no stop may last longer than it can be
// borne; false where the plan sets another target.
func (p *Plan) YearsInTen() (years float64, asked bool) {
	another := slices.ContainsFunc([]string{"unmet_flow", "unmet_energy", "longest_stop"}, func(key string) bool {
		return p.Given("reliability." + key)
	})
	switch given := p.Reliability.YearsInTen; {
	case another:
		return 0, false
	case given != nil:
		return *given, true
	case p.Pond.Stocking == "heavy" && p.Load.Power == nil:
		return heavyYears, true
	}
	return usualYears, true
}

// WeatherYears returns how many years of weather are made: those given, else as many as
// the target asks for.
func (p *Plan) WeatherYears() int {
	if n := p.Reliability.Years; n != nil {
		return *n
	}
	in, asked := p.YearsInTen()
	if !asked {
		return targetYears
	}
	return YearsFor(in)
}

// YearsFor returns how many years of weather a target in so many of ten is judged by.
func YearsFor(inTen float64) int {
	return int(math.Min(mostYears, math.Max(leastYears, math.Ceil(badYears/(1-inTen/10)-1e-6))))
}
