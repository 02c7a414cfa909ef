package money

import (
	"math"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// Tariff is what electricity costs. The zero value has no price: its costs are
// unknown. TariffOf makes one.
type Tariff struct {
	bands       []plan.PriceBand
	tiers       []plan.PriceTier
	household   float64
	DailyCharge Money // a day, whatever is used; it is not the pump's unless the pump has its own meter
	OwnMeter    bool  // the pump alone is on this meter, so it bears the daily charge
}

// noPrice is the reason given where a plan names no tariff.
const noPrice = "no electricity price given (mains.price)"

// TariffOf returns what mains power costs by a plan that was checked, so that bands cover
// every hour of every month once and blocks rise to one without an upper end; the zero
// tariff where it names no price. Under blocks the pump is charged at those that it adds
// on top of what the rest of the house uses, not at the average price.
func TariffOf(m plan.Mains) Tariff {
	t := Tariff{bands: m.Bands, tiers: m.Tiers, household: figure.OrZero(m.OtherUse).In(units.KilowattHour),
		DailyCharge: Money(m.DailyCharge), OwnMeter: m.OwnMeter}
	if m.Price != nil {
		t.bands = []plan.PriceBand{{Hours: plan.AllDay(), Months: plan.AllYear, Days: "all", Price: *m.Price}}
	}
	return t
}

// Priced reports whether the tariff has any price.
func (t Tariff) Priced() bool { return len(t.bands)+len(t.tiers) > 0 }

// weekShare is the share of the days of any month that are weekdays and
// weekends: a budget knows months, not dates.
var weekShare = [...]struct {
	days  string
	share float64
}{{"weekdays", 5.0 / 7}, {"weekends", 2.0 / 7}}

// Prices returns the prices of a kilowatt-hour, as Used has them.
func (t Tariff) Prices() []Money {
	var prices []Money
	for _, b := range t.bands {
		prices = append(prices, Money(b.Price))
	}
	for _, tier := range t.tiers {
		prices = append(prices, Money(tier.Price))
	}
	return prices
}

// Used returns how much of a load's energy of one month is charged at each price
// [kWh]. use is the energy in each clock hour of the month's mean day [kWh]. Under
// tiers the load is charged at the blocks that it adds on top of the household.
func (t Tariff) Used(month time.Month, use [24]float64) []float64 {
	days := float64(data.MonthDays[month-1])
	used := make([]float64, len(t.bands)+len(t.tiers))
	for _, w := range weekShare {
		for half := range 48 {
			i := slices.IndexFunc(t.bands, func(b plan.PriceBand) bool { return b.Holds(int(month)-1, half, w.days) })
			if i >= 0 {
				used[i] += use[half/2] / 2 * days * w.share
			}
		}
	}
	base, low := t.household, 0.0
	if t.OwnMeter {
		base = 0
	}
	kwh := 0.0
	for _, e := range use {
		kwh += e * days
	}
	for i, tier := range t.tiers {
		end := math.Inf(1)
		if tier.UpTo != nil {
			end = tier.UpTo.In(units.KilowattHour)
		}
		used[i] = math.Max(0, math.Min(base+kwh, end)-math.Max(base, low))
		low = end
	}
	return used
}

// MonthCost returns what a load adds to the bill of one month, use as for Used.
// Under tiers it is the bill with the pump minus the bill without.
func (t Tariff) MonthCost(month time.Month, use [24]float64) figure.Maybe[Money] {
	if !t.Priced() {
		return figure.Unknown[Money](noPrice)
	}
	var cost Money
	if t.OwnMeter {
		cost = t.DailyCharge * Money(data.MonthDays[month-1])
	}
	prices := t.Prices()
	for i, kwh := range t.Used(month, use) {
		cost += prices[i] * Money(kwh)
	}
	return figure.Known(cost)
}

// YearCost returns what a load adds to the bills of a year.
func (t Tariff) YearCost(use clock.MonthlyHours) figure.Maybe[Money] {
	var sum Money
	for m := time.January; m <= time.December; m++ {
		c := t.MonthCost(m, use[m-1])
		if !c.Known {
			return c
		}
		sum += c.Value
	}
	return figure.Known(sum)
}
