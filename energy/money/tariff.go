package money

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// PriceBand is the price of a kilowatt-hour in some hours of some months.
type PriceBand struct {
	clock.HourBand
	Price Money // of 1 kWh
}

// Tier is a block of a month's energy and its price.
type Tier struct {
	Key   string
	UpTo  float64 // kWh a month at which the block ends; +Inf for the last
	Price Money   // of 1 kWh inside the block
}

// Tariff is what electricity costs. The zero value has no price: its costs are
// unknown. Make one with FlatTariff, BandedTariff or TieredTariff.
type Tariff struct {
	bands       []PriceBand
	week        [2]*clock.DayPlan // weekdays, weekends; nil without bands
	tiers       []Tier
	household   float64
	DailyCharge Money // a day, whatever is used; it is not the pump's unless the pump has its own meter
	OwnMeter    bool  // the pump alone is on this meter, so it bears the daily charge
}

// noPrice is the reason given where a plan names no tariff.
const noPrice = "no electricity price given (mains.price)"

// FlatTariff returns a tariff of one price of 1 kWh.
func FlatTariff(price Money) (Tariff, error) {
	return BandedTariff([]PriceBand{{HourBand: clock.HourBand{Key: "mains.tariff", To: clock.DayEnd}, Price: price}})
}

// BandedTariff returns a tariff by clock and season. Together the bands cover
// every hour of every month once: a gap or an overlap is an error.
func BandedTariff(bands []PriceBand) (Tariff, error) {
	hours := make([]clock.HourBand, len(bands))
	var prices data.FaultList
	for i, b := range bands {
		hours[i] = b.HourBand
		wantPrice(&prices, b.Key, b.Price)
	}
	if err := prices.Err(); err != nil {
		return Tariff{}, err
	}
	var errs []error
	t := Tariff{bands: slices.Clone(bands)}
	for i, days := range []clock.Days{clock.Weekdays, clock.Weekends} {
		plan, faults := clock.LayOut(hours, days)
		t.week[i] = plan
		// A band that is off the clock leaves a gap of its own making, and one that
		// holds every day would be reported twice: one message is enough.
		if len(errs) == 0 {
			errs = append(errs, faults...)
		}
		if m, from, to, found := plan.Gap(); found && len(errs) == 0 {
			errs = append(errs, &data.Error{Key: "mains.tariff", Message: fmt.Sprintf("no price from %s to %s in %s on %s",
				clock.ClockText(from), clock.ClockText(to), m, []string{"weekdays", "weekends"}[i]),
				Allowed: "bands that cover all 24 hours of every day of every month once"})
		}
	}
	if err := errors.Join(errs...); err != nil {
		return Tariff{}, err
	}
	return t, nil
}

// TieredTariff returns a tariff of blocks of a month's energy. household is
// what the rest of the house uses [kWh a month]: the pump is charged at the
// blocks it adds on top, not at the average price.
func TieredTariff(tiers []Tier, household float64) (Tariff, error) {
	var faults data.FaultList
	last := 0.0
	for _, t := range tiers {
		wantPrice(&faults, t.Key, t.Price)
		faults.Want(t.UpTo > last, t.Key, units.Sprintf("%g kWh", t.UpTo), units.Sprintf("a block that ends above the one before it, at more than %g kWh a month", last))
		last = t.UpTo
	}
	faults.Want(math.IsInf(last, 1), "mains.tier", units.Sprintf("%g kWh", last), "a last block without an upper end")
	faults.Want(household >= 0 && !math.IsInf(household, 0), "mains.other_use", units.Sprintf("%g kWh a month", household), "0 or more kWh a month")
	if err := faults.Err(); err != nil {
		return Tariff{}, err
	}
	return Tariff{tiers: slices.Clone(tiers), household: household}, nil
}

// Priced reports whether the tariff has any price.
func (t Tariff) Priced() bool { return t.week[0] != nil || t.tiers != nil }

// weekShare is the share of the days of any month that are weekdays and
// weekends: a budget knows months, not dates.
var weekShare = [2]float64{5.0 / 7, 2.0 / 7}

// Prices returns the prices of a kilowatt-hour, as Used has them.
func (t Tariff) Prices() []Money {
	var prices []Money
	for _, b := range t.bands {
		prices = append(prices, b.Price)
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
	for i, share := range weekShare {
		if t.week[i] == nil {
			continue
		}
		for hour, e := range use {
			for _, s := range t.week[i].Shares(month, hour) {
				used[s.Band] += e * days * share * s.Part
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
