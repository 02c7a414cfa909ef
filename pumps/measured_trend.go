package pumps

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"sunrill/data"
)

// Trend is the straight line through dated figures.
type Trend struct {
	N          int
	MeanDay    float64 // of the tests, days since the first
	Mean       float64 // of the figures
	Slope      float64 // of the figure in a day
	SlopeError float64 // half the width within which the slope lies 95 of 100 times; +Inf for two tests
}

// FitTrend returns the line of least squares through y against days.
//
//	b = Σ(d-d̄)(y-ȳ)/Σ(d-d̄)²,  e = c √( Σ(y-ŷ)²/((n-2) Σ(d-d̄)²) )
//
// c is Student's factor for 95 % with n-2 degrees of freedom. At least two
// tests on two days are needed; days and y of unequal length are a panic. Added resistance is taken to grow in a straight
// line: what a strainer catches in a day does not depend on what it holds.
//
// Source: any textbook of statistics, for example JCGM 100:2008, H.3.
func FitTrend(days, y []float64) (Trend, error) {
	t := Trend{N: len(days), SlopeError: math.Inf(1)}
	if t.N < 2 || slices.Max(days) == slices.Min(days) {
		return t, &data.Error{Key: "log", Message: "a trend needs tests on two days", Found: data.Plural(t.N, "test"),
			Allowed: "tests on different days since the last cleaning"}
	}
	t.MeanDay, t.Mean = stat.Mean(days, nil), stat.Mean(y, nil)
	sxx := stat.Variance(days, nil) * float64(t.N-1)
	_, t.Slope = stat.LinearRegression(days, y, nil, false)
	if t.N > 2 {
		var rest float64
		for i, d := range days {
			off := y[i] - t.At(d)
			rest += off * off
		}
		c := distuv.StudentsT{Sigma: 1, Nu: float64(t.N - 2)}.Quantile(0.975)
		t.SlopeError = c * math.Sqrt(rest/float64(t.N-2)/sxx)
	}
	return t, nil
}

// At returns the figure on a day.
func (t Trend) At(day float64) float64 { return t.Mean + t.Slope*(day-t.MeanDay) }

// Reach is when a trend comes to a limit, in days since the first test. Earliest and
// Latest have the line turned about the middle of the tests by the error of its slope;
// -Inf and +Inf where that has no end.
type Reach struct{ Day, Earliest, Latest float64 }

// Reaches returns when the figure comes to limit, which it has passed where Day
// lies before the last test. rising says that the limit is an upper one. It is
// false where the line does not lead there.
//
//	d = d̄ + (limit - ȳ)/b
func (t Trend) Reaches(limit float64, rising bool) (Reach, bool) {
	gap, slope := limit-t.Mean, t.Slope
	if !rising {
		gap, slope = -gap, -slope
	}
	if slope <= 0 {
		return Reach{}, false
	}
	r := Reach{Day: t.MeanDay + gap/slope, Earliest: math.Inf(-1), Latest: math.Inf(1)}
	if steep := slope + t.SlopeError; !math.IsInf(steep, 1) {
		near := t.MeanDay + gap/steep
		far := math.Copysign(math.Inf(1), gap)
		if flat := slope - t.SlopeError; flat > 0 {
			far = t.MeanDay + gap/flat
		}
		r.Earliest, r.Latest = min(near, far), max(near, far)
	}
	return r, true
}
