package money

import (
	"math"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
)

// Tier is a block of a month's energy and its price.
type Tier struct {
	UpTo  float64 // kWh a month at which the block ends; +Inf for the last
	Price Money   // of 1 kWh inside the block
}

// Tariff is what electricity costs. The zero value has no price: its costs are
// unknown. Make one with FlatTariff, BandedTariff or TieredTariff.
type Tariff struct {
	bands       []plan.PriceBand
	tiers       []Tier
	household   float64
	DailyCharge Money // a day, whatever is used; it is not the pump's unless the pump has its own meter
	OwnMeter    bool  // the pump alone is on this meter, so it bears the daily charge
}

// noPrice is the reason given where a plan names no tariff.
const noPrice = "no electricity price given (mains.price)"

// FlatTariff returns a tariff of one price of 1 kWh.
func FlatTariff(price Money) Tariff {
	return BandedTariff([]plan.PriceBand{{Hours: plan.AllDay(), Months: plan.AllYear(), Days: "all", Price: plan.Money(price)}})
}

// BandedTariff returns a tariff by clock and season. Together the bands cover every
// hour of every month once, as the check of a plan wants.
func BandedTariff(bands []plan.PriceBand) Tariff { return Tariff{bands: slices.Clone(bands)} }

// TieredTariff returns a tariff of blocks of a month's energy that rise to one without
// an upper end. household is what the rest of the house uses [kWh a month]: the pump is
// charged at the blocks it adds on top, not at the average price.
func TieredTariff(tiers []Tier, household float64) Tariff {
	return Tariff{tiers: slices.Clone(tiers), household: household}
}

// Priced reports whether the tariff has any price.
func (t Tariff) Priced() bool { return t.bands != nil || t.tiers != nil }

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
		prices = append(prices, tier.Price)
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
		used[i] = math.Max(0, math.Min(base+kwh, tier.UpTo)-math.Max(base, low))
		low = tier.UpTo
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
