package solar

import (
	"fmt"
	"math"
	"math/rand/v2"

	"sunrill/data"
	"sunrill/data/units"
)

// DaysPerYear is the length of every year of generated weather.
const DaysPerYear = 365

// Bounds of what makes a climate.
const (
	// dimMonth is the monthly mean outside the atmosphere [kWh/m² a day] below
	// which clearness says little: the edge of polar night.
	dimMonth = 0.6

	// dullest is the least monthly clearness that has a spread.
	dullest = 0.10
)

// Days is year after year of generated days.
type Days struct {
	Years int
	GHI   []float64 // global horizontal irradiation of each day [kWh/m²]

	// Warnings tells of months whose mean could not be kept.
	Warnings []data.Warning

	seed     uint64
	clearest [12]float64 // clearness of each month's clearest day
}

// NewDays returns years of days that follow one another as real ones do, from
// the twelve monthly means of global horizontal irradiation [kWh/m² a day] and
// air temperature [°C]. The mean of each calendar month over all years is ghi;
// single months and years scatter. Dull spells run on over the ends of months.
//
// Daily clearness K of a month has a logit-normal distribution (Johnson's SB)
// between 0.05 and hollandsHuget:
//
//	(K - Kmin)/(Kmax - Kmin) = 1/(1 + exp(-m - s z))
//
// with the normal score z of the day, s by spread, and m such that the month's
// mean comes out. Scores follow one another by Gaussian mapping (Graham,
// Hollands & Huget 1988, Solar Energy 40(2)), here the sum of two first-order
// autoregressions, x from day to day and y from week to week:
//
//	z = sqrt(1 - q) x + sqrt(q) y,  q = slowShare
//
// after which scores below 0 are stretched by darkTail and those above drawn in.
// The published distribution of Bendt, Collares-Pereira & Rabl 1981 has no
// spread of its own: it makes the tropics far too changeable.
//
// The same arguments give the same days on any number of cores: the random
// numbers are integers of one PCG stream, two a day whatever the place, so
// places and climates of one seed share their luck. Between kinds of processor
// the last digits may differ (1e-12): not all fuse multiplication and addition,
// and some have an exp of their own.
//
// A mean of more than 0.85 of the sun outside the atmosphere, as at the edge of
// polar night where twelve figures say little, is held to that with a warning,
// and a clearness below 0.10 is that of every day: a Climate is checked before.
// The twelve means are numbers, those of sun 0 or more; years is at least 1.
func NewDays(g *Geometry, ghi, tempC [12]float64, years int, seed uint64) *Days {
	months, warnings := planMonths(g, ghi, tempC)
	d := &Days{Years: years, Warnings: warnings, GHI: make([]float64, years*DaysPerYear), seed: seed}
	z := scores(&months, years, seed)
	for m := range months {
		d.clearest[m] = hollandsHuget(months[m].kt)
		d.fillMonth(g, m, &months[m], z)
	}
	return d
}

// monthPlan is what the days of one calendar month are made by.
type monthPlan struct {
	mean   float64 // of GHI, to be kept [kWh/m² a day]
	kt     float64 // mean clearness
	flat   bool    // every day at kt: there is no spread to know
	spread float64 // s
	fast   float64 // autoregression of x
}

// planMonths applies the rules to the twelve means.
func planMonths(g *Geometry, ghi, tempC [12]float64) (months [12]monthPlan, warnings []data.Warning) {
	slow := math.Exp(-1 / slowDays)
	for m, h0 := range g.MonthlyExtra() {
		p := &months[m]
		p.mean = math.Min(ghi[m], mostClearness*h0)
		if p.mean < ghi[m] {
			warnings = append(warnings, data.Warning{Key: fmt.Sprintf("month %d", m+1), Message: units.Say(
				"a mean of %.3g kWh/m2 a day is more than there is at this latitude; %.3g taken", ghi[m], p.mean)})
		}
		if h0 > 0 {
			p.kt = p.mean / h0
		}
		p.flat = p.kt < dullest
		p.spread = spread(g.Site.Latitude, p.kt)
		lag := persistence(g.Site.Latitude, tempC[m])
		p.fast = math.Max(0, (lag-slowShare*slow)/(1-slowShare))
	}
	return months, warnings
}

// weatherStream parts the random numbers of weather from any other use of a seed.
const weatherStream = 0x57656174686572

// scores returns the normal score of every day, unit variance throughout.
// Products are rounded before they are added, so that the recursion is the same
// where processors fuse the two; what normal returns may differ in its last
// digit.
func scores(months *[12]monthPlan, years int, seed uint64) []float64 {
	random := rand.NewPCG(seed, weatherStream)
	slow := math.Exp(-1 / slowDays)
	slowNoise := math.Sqrt(1 - slow*slow)
	a, b := math.Sqrt(1-slowShare), math.Sqrt(slowShare)
	z := make([]float64, 0, years*DaysPerYear)
	x, y := normal(random.Uint64()), normal(random.Uint64())
	for range years {
		for m, days := range data.MonthDays {
			fast := months[m].fast
			fastNoise := math.Sqrt(1 - fast*fast)
			for range days {
				x = float64(fast*x) + float64(fastNoise*normal(random.Uint64()))
				y = float64(slow*y) + float64(slowNoise*normal(random.Uint64()))
				z = append(z, stretched(float64(a*x)+float64(b*y)))
			}
		}
	}
	return z
}

// stretched returns the score z moved apart below the median and together
// above it: real days are skewed a little more than the logit-normal allows.
func stretched(z float64) float64 {
	if z < 0 {
		return z * (1 + darkTail)
	}
	return z * (1 - darkTail)
}

// normal returns the standard normal deviate of 53 of the random bits given, by
// the inverse of the distribution: one draw each.
func normal(bits uint64) float64 {
	u := (float64(bits>>11) + 0.5) / (1 << 53)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

// fillMonth sets the days of calendar month m in all years from their scores.
func (d *Days) fillMonth(g *Geometry, m int, p *monthPlan, z []float64) {
	if p.mean == 0 {
		return
	}
	first, days := MonthStart(m), data.MonthDays[m]
	low, width := leastClearness, hollandsHuget(p.kt)-leastClearness
	level := 0.0
	if p.flat {
		low, width = p.kt, 0
	} else {
		level = monthLevel(g, m, p, z)
	}
	sum := 0.0
	for start := first; start < len(z); start += DaysPerYear {
		for i := start; i < start+days; i++ {
			d.GHI[i] = g.DailyExtra[i-start+first] * (low + width*logistic(level+p.spread*z[i]))
			sum += d.GHI[i]
		}
	}
	keep := p.mean * float64(days*d.Years) / sum // 1 within rounding
	for start := first; start < len(z); start += DaysPerYear {
		for i := start; i < start+days; i++ {
			d.GHI[i] *= keep
		}
	}
}

// monthLevel returns the level m at which the days of a calendar month, with
// the scores they have, come to the mean: Newton's method, held to a bracket.
func monthLevel(g *Geometry, m int, p *monthPlan, z []float64) float64 {
	first, days := MonthStart(m), data.MonthDays[m]
	width := hollandsHuget(p.kt) - leastClearness
	years := len(z) / DaysPerYear
	// The share of the bounds' range that the days must use on average.
	want := (p.kt - leastClearness) / width
	weight := 1 / (g.MonthlyExtra()[m] * float64(days*years))
	level, low, high := math.Log(want/(1-want))*math.Sqrt(1+p.spread*p.spread/3), -40.0, 40.0
	for range 100 {
		sum, slope := 0.0, 0.0
		for start := first; start < len(z); start += DaysPerYear {
			for i := start; i < start+days; i++ {
				h0 := g.DailyExtra[i-start+first]
				share := logistic(level + p.spread*z[i])
				sum += h0 * share
				slope += h0 * share * (1 - share)
			}
		}
		miss := sum*weight - want
		if math.Abs(miss) < 1e-13 {
			break
		}
		if miss > 0 {
			high = level
		} else {
			low = level
		}
		next := level - miss/(slope*weight)
		if !(next > low && next < high) {
			next = (low + high) / 2
		}
		level = next
	}
	return level
}

// logistic returns 1/(1 + exp(-x)).
func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }
