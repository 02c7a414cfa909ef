package energy

import (
	"math"

	"sunrill/energy/money"
)

// Paid is what had been paid for a pump after so many years, in today's money.
type Paid struct {
	Years float64
	Sum   money.Money
}

// Paid returns what p costs all told after each year of t and at each purchase, which
// makes a step. Running is paid at the end of each year.
func (t Terms) Paid(p PumpOwned) []Paid {
	all, due, running := []Paid{{}}, p.Due, p.Running.Value
	buy := func(until float64) {
		for ; p.Price.Known && p.Life > 0 && due <= until; due += p.Life {
			sum := all[len(all)-1].Sum
			all = append(all, Paid{due, sum}, Paid{due, sum + money.Worth(p.Price.Value, t.Rate, due)})
		}
	}
	for year := range t.Years {
		buy(math.Nextafter(float64(year+1), 0))
		sum := all[len(all)-1].Sum
		all = append(all, Paid{float64(year + 1), sum + money.Worth(running, t.Rate, float64(year+1))})
		running *= money.Money(1 + t.Rise)
	}
	return all
}

// Owned returns each pump of an outcome as money sees it, and the terms of its plan.
func (r *Outcome) Owned() ([]PumpOwned, Terms) { return r.owned, r.terms }
