package solar

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"sunrill/data/units"
)

// truncatedExponential is the distribution of daily clearness of Bendt,
// Collares-Pereira & Rabl 1981 (Solar Energy 27(1)): density proportional to
// exp(gamma K) between low and high, gamma such that the mean is the month's.
type truncatedExponential struct{ low, high, gamma float64 }

func newTruncatedExponential(low, high, mean float64) truncatedExponential {
	d := truncatedExponential{low: low, high: high}
	a, b := -100.0, 100.0
	for range 100 {
		if d.gamma = (a + b) / 2; d.moment(1) < mean {
			a = d.gamma
		} else {
			b = d.gamma
		}
	}
	return d
}

// moment returns the mean of K^n, by the midpoint rule.
func (d truncatedExponential) moment(n float64) float64 {
	const steps = 2000
	sum, weight := 0.0, 0.0
	for i := range steps {
		k := d.low + (float64(i)+0.5)/steps*(d.high-d.low)
		w := math.Exp(d.gamma * (k - d.high))
		sum, weight = sum+w*math.Pow(k, n), weight+w
	}
	return sum / weight
}

// quantile solves the distribution function for its share p.
func (d truncatedExponential) quantile(p float64) float64 {
	low, high := math.Exp(d.gamma*(d.low-d.high)), 1.0
	return d.high + math.Log(low+p*(high-low))/d.gamma
}

// TestYearsAgainstBendt compares generated days with the published distribution
// where that was found, in the United States: 40 degrees, months of 10 °C. Mean
// and spread follow it there; elsewhere it has none of its own (see
// TestYearsAtSites). Bounds as in Knight, Klein & Duffie 1991. Tolerances: 0.03
// of the standard deviation, as for measured sites; 0.07 of a quantile, since
// the exponential piles days up at its ends, which the measured sites do not.
func TestYearsAgainstBendt(t *testing.T) {
	g := geometryAt(t, 40, -100)
	for _, kt := range []float64{0.35, 0.45, 0.55, 0.65} {
		want := newTruncatedExponential(leastClearness, hollandsHuget(kt), kt)
		d := NewDays(g, evenClearness(g, kt), [12]float64{10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10}, 200, 1)
		var k []float64
		mean, square := 0.0, 0.0
		for i, h := range d.GHI {
			v := h / g.DailyExtra[i%365]
			k = append(k, v)
			mean += v / float64(len(d.GHI))
			square += v * v / float64(len(d.GHI))
		}
		slices.Sort(k)
		within(t, fmt.Sprintf("mean at %g", kt), mean, kt, 0.005)
		within(t, fmt.Sprintf("standard deviation at %g", kt), math.Sqrt(square-mean*mean),
			math.Sqrt(want.moment(2)-kt*kt), stdTolerance)
		for _, p := range []float64{0.05, 0.25, 0.5, 0.75, 0.95} {
			within(t, fmt.Sprintf("quantile %g at %g", p, kt), k[int(p*float64(len(k)))], want.quantile(p), 0.07)
		}
	}
}

// TestPersistenceAgainstGraham compares the rule with the one figure for the
// middle latitudes, 0.29 from day to day (Graham, Hollands & Huget 1988, three
// Canadian stations; from memory), at their latitude in months of 5 to 12 °C.
func TestPersistenceAgainstGraham(t *testing.T) {
	for _, temp := range []float64{5, 12} {
		within(t, fmt.Sprintf("persistence at %g °C", temp), persistence(47*units.Degree, temp), 0.29, 0.05)
	}
}

// TestYearsQuantilesAtSites compares the 5, 50 and 95 % points of daily
// clearness in every month with those measured at the sites, all years of both
// pooled. Tolerance 0.07: what 0.03 of the standard deviation leaves at the ends
// (1.65 of it), and the spread of a quantile of one month of a few years.
func TestYearsQuantilesAtSites(t *testing.T) {
	var c tally
	for _, s := range splitSites(t) {
		if s.fit || !s.months[0].Has("iav_pct") {
			continue // fitted, or one typical year: 30 days have no 5 % point
		}
		g, all, _ := s.days(t)
		for m := range 12 {
			var k []float64
			for i, h := range all {
				if MonthOf(i%365) == m {
					k = append(k, h/g.DailyExtra[i%365])
				}
			}
			slices.Sort(k)
			for column, p := range map[string]float64{"kt_p05": 0.05, "kt_p50": 0.5, "kt_p95": 0.95} {
				c.add(math.Abs(k[int(p*float64(len(k)))]-s.months[m+1].Float(column)) <= 0.07)
			}
		}
	}
	t.Logf("%d of %d quantiles of months within 0.07", c.met, c.of)
	if !c.fourInFive() {
		t.Errorf("%d of %d quantiles of months within 0.07, want four in five", c.met, c.of)
	}
}
