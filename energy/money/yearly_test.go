package money

import (
	"math"
	"testing"

	"sunrill/data/reftest"
)

// TestYearlyByHand: level sums by the annuity of Panneerselvam's example 3.6 and by hand.
func TestYearlyByHand(t *testing.T) {
	// A million recovered in 15 years at 18 % is 196,403 a year (example 3.6).
	reftest.Near(t, "bought now", float64(Yearly(0, []Purchase{{Price: 1e6, Life: 15}}, 15, 0.18, 0)), 196403, 1)
	// The horizon cuts nothing off: a life of 15 years costs the same over 4.
	reftest.Near(t, "longer than the horizon", float64(Yearly(0, []Purchase{{Price: 1e6, Life: 15}}, 4, 0.18, 0)), 196403, 1)
	// At no interest: 100 that lasts 5 years is 20 a year; due in 4 of 10 years, 12.
	reftest.Near(t, "no interest", float64(Yearly(7, []Purchase{{Price: 100, Life: 5}}, 10, 0, 0)), 27, 1e-12)
	reftest.Near(t, "due later", float64(Yearly(7, []Purchase{{Price: 100, Life: 5, Due: 4}}, 10, 0, 0)), 19, 1e-12)
	reftest.Near(t, "due after all", float64(Yearly(7, []Purchase{{Price: 100, Life: 5, Due: 12}}, 10, 0, 0)), 7, 1e-12)
	// A cost that rises with the interest is worth n C/(1+r) today.
	reftest.Near(t, "rising", float64(Yearly(100, nil, 10, 0.05, 0.05)), 10*100/1.05*CapitalRecovery(0.05, 10), 1e-9)
}

// TestYearlyOfWholeLives: where the horizon is a whole number of lives, the level payments are
// what the sums come to discounted purchase by purchase and year by year.
func TestYearlyOfWholeLives(t *testing.T) {
	for _, r := range []float64{0, 0.03, 0.12} {
		for _, life := range []float64{2, 5, 10} {
			paid := Money(0)
			for year := range 10 {
				if math.Mod(float64(year), life) == 0 {
					paid += Worth(300, r, float64(year))
				}
				paid += Worth(Money(80*math.Pow(1.02, float64(year))), r, float64(year+1))
			}
			got, want := Yearly(80, []Purchase{{Price: 300, Life: life}}, 10, r, 0.02), paid*Money(CapitalRecovery(r, 10))
			if math.Abs(float64(got/want-1)) > 1e-12 {
				t.Errorf("rate %g, life %g: %g, want %g", r, life, got, want)
			}
		}
	}
	// Later is never dearer.
	for due, last := 0.0, Money(math.Inf(1)); due < 12; due++ {
		if got := Yearly(80, []Purchase{{300, 5, due}}, 10, 0.03, 0); got > last {
			t.Errorf("due in %g years: %g after %g", due, got, last)
		} else {
			last = got
		}
	}
}
