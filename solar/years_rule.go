package solar

import (
	"math"

	"sunrill/data/units"
)

// The eight fitted constants of the weather years, and nothing else is fitted.
//
// They were found by Nelder-Mead on 60 simulated years at the 14 fit sites of
// testdata/ref/variability.csv: the squared misses of the spread of daily
// clearness (by month and year), its lag-1 and lag-2, the year's darkest 3, 5
// and 7 days and the year-to-year spread of months and years, each over its
// tolerance, typical years at a weight of 0.05 since months picked for being
// typical lack the rest; and of the stores of the three of them that are in
// stores.csv. The 13 test sites had no part in it; see splitSites.
const (
	spreadLevel     = 0.399  // log of the spread at KT 0.5 and the latitude of most change
	spreadClearness = -1.295 // change of that log per unit of monthly clearness
	spreadLatitude  = -0.373 // and per 20 degrees from the latitude of most change
	mostChange      = 41.7   // latitude of most change [degrees]: where fronts pass
	lagCold         = 0.217  // persistence from day to day, months at or below 0 °C
	lagWarm         = 0.237  // added at 20 °C, growing as the square
	slowShare       = 0.038  // share of the variance that drifts over weeks
	slowDays        = 37.2   // in which that drift falls to 1/e [days]
)

// warmest bounds the air temperature in the rule of persistence [°C]: the
// fit sites go to 34.
const warmest = 30

// Bounds of a day's clearness: the darkest day, and for the clearest one
// hollandsHuget. Knight, Klein & Duffie 1991 use both.
const leastClearness = 0.05

// hollandsHuget returns the clearness of the clearest day of a month whose
// mean clearness is kt.
//
//	Kx = 0.6313 + 0.267 KT - 11.9 (KT - 0.75)⁸
//
// Hollands & Huget 1983, Solar Energy 30(2), from memory.
func hollandsHuget(kt float64) float64 {
	d := kt - 0.75
	d *= d
	d *= d
	return 0.6313 + 0.267*kt - 11.9*(d*d)
}

// spread returns s, the scale of the log-odds of daily clearness in a month of
// mean clearness kt:
//
//	ln s = spreadLevel + spreadClearness (kt - 0.5) + spreadLatitude |abs(phi) - mostChange|/20
//
// Fronts follow one another most where warm and cold air meet, in the forties;
// towards the equator and the poles days are more alike. Sunny months vary
// less than dull ones.
func spread(latitude units.Angle, kt float64) float64 {
	away := math.Abs(math.Abs(latitude.In(units.Degree))-mostChange) / 20
	return math.Exp(spreadLevel + spreadClearness*(kt-0.5) + spreadLatitude*away)
}

// persistence returns the correlation of the normal score of daily clearness
// from one day to the next, in a month of mean air temperature tempC:
//
//	r = (lagCold + lagWarm (T/20)²) sqrt(abs(sin 2 phi)), T from 0 to warmest
//
// Warm-season and monsoon weather stays; with little turning force near the
// equator each day makes its own showers. The usual single value is 0.29
// (Graham, Hollands & Huget 1988).
func persistence(latitude units.Angle, tempC float64) float64 {
	t := clamp(tempC, 0, warmest) / 20
	return (lagCold + lagWarm*t*t) * math.Sqrt(math.Abs(math.Sin(2*float64(latitude))))
}
