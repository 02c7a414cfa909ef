package money

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// Panneerselvam, Engineering Economics, examples 3.1, 3.2, 3.5, 3.6 and 3.9 (MO1 to
// MO5; what a sum grows to is what one that was due earlier is worth); MO6 is the
// annuity formula worked by hand at 5 % and 20 years. Tolerance: the printed digit.
func TestMO1toMO6Interest(t *testing.T) {
	reftest.Near(t, "MO1", float64(Worth(20000, 0.18, -10)), 104676.71, 0.005)
	reftest.Near(t, "MO2", float64(Worth(100000, 0.15, 10)), 24718.47, 0.005)
	reftest.Near(t, "MO3", 1e6/CapitalRecovery(0.15, 20), 6259331.47, 0.005)
	reftest.Near(t, "MO4", 1e6*CapitalRecovery(0.18, 15), 196403, 1)
	reftest.Near(t, "MO5", float64(Worth(5000, 0.12/4, -40)), 16310.19, 0.005)
	reftest.Near(t, "MO6 annuity", 1/CapitalRecovery(0.05, 20), 12.46221, 5e-6)
	reftest.Near(t, "MO6 recovery", CapitalRecovery(0.05, 20), 0.0802426, 5e-8)
	reftest.Near(t, "recovery at no interest", CapitalRecovery(0, 8), 0.125, 0)
}

func TestLifeCycleCostTable(t *testing.T) {
	const cent = 0.005
	for _, r := range reftest.Load(t, "life_cycle_cost.csv") {
		years, rate := r.Float("years"), r.Float("discount_rate")
		recovery := CapitalRecovery(rate, years)
		reftest.Near(t, r.At+" recovery", recovery, r.Float("capital_recovery_factor"), 1e-9)
		running := float64(Yearly(Money(r.Float("running_cost_year1")), nil, int(years), rate, r.Float("escalation_rate")))
		reftest.Near(t, r.At+" running", running/recovery, r.Float("pv_running"), cent)
		again := 0.0 // what is bought again before the last year, purchase by purchase
		for k := range int(r.Float("n_replacements")) {
			again += float64(Worth(Money(r.Float("replacement_cost")), rate, float64(k+1)*r.Float("replacement_every_years")))
		}
		reftest.Near(t, r.At+" replacements", again, r.Float("pv_replacements"), cent)
		reftest.Near(t, r.At+" equal yearly", (r.Float("first_cost")+again)*recovery+running, r.Float("equivalent_annual_cost"), cent)
	}
}

func TestPaybackTable(t *testing.T) {
	const years = 1e-7
	for _, r := range reftest.Load(t, "payback.csv") {
		got := Payback(Money(r.Float("extra_first_cost")), Money(r.Float("saving_year1")), r.Float("discount_rate"), r.Float("escalation_rate"))
		if !r.Has("payback_years") {
			if got.Known || !strings.Contains(got.Why.String(), "never") {
				t.Errorf("%s: %+v, want never", r.At, got)
			}
			continue
		}
		reftest.Near(t, r.At, got.Value, r.Float("payback_years"), years)
	}
}

func TestTurnoverEnergyCostTable(t *testing.T) {
	for _, r := range reftest.Load(t, "turnover_energy_cost.csv") {
		flat := flatTariff(plan.Money(r.Float("price_per_kwh")))
		var use clock.MonthlyHours
		for m := range use {
			for h := range int(r.Float("hours_per_day")) {
				use[m][h] = r.Float("power_w") / 1000
			}
		}
		reftest.Near(t, r.At+" kWh a day", use.PerDay(time.February).KilowattHours()/r.Float("kwh_per_day"), 1, 1e-8)
		reftest.Near(t, r.At+" kWh a year", use.PerYear().KilowattHours()/r.Float("kwh_per_year_365"), 1, 1e-8)
		cost := flat.YearCost(use)
		reftest.Near(t, r.At+" cost", float64(cost.Value)/r.Float("cost_per_year_365"), 1, 1e-8)
	}
}

func flatTariff(price plan.Money) Tariff { return TariffOf(plan.Mains{Price: &price}) }

func bandedTariff(bands ...plan.PriceBand) Tariff { return TariffOf(plan.Mains{Bands: bands}) }

// tieredTariff returns a tariff of blocks by their ends [kWh] and prices in turn.
func tieredTariff(household float64, endsAndPrices ...float64) Tariff {
	use := units.Energy(household) * units.KilowattHour
	m := plan.Mains{OtherUse: &use}
	for i := 0; i < len(endsAndPrices); i += 2 {
		tier := plan.PriceTier{Price: plan.Money(endsAndPrices[i+1])}
		if end := units.Energy(endsAndPrices[i]) * units.KilowattHour; !math.IsInf(float64(end), 1) {
			tier.UpTo = &end
		}
		m.Tiers = append(m.Tiers, tier)
	}
	return TariffOf(m)
}

func monthUse(kWhPerDay float64) (use [24]float64) {
	for h := range use {
		use[h] = kWhPerDay / 24
	}
	return use
}

// band is a price from one hour of the clock to another, on every day of the year.
func band(from, to float64, price plan.Money) plan.PriceBand {
	return plan.PriceBand{Hours: plantest.Hours(from, to), Months: plan.AllYear, Days: "all", Price: price}
}

// TA1: block rates of a regulation textbook page, the sum worked by hand:
// 200 × 0.03 + 300 × 0.05 + 100 × 0.08.
func TestTA1Blocks(t *testing.T) {
	tr := tieredTariff(0, 200, 0.03, 500, 0.05, math.Inf(1), 0.08)
	got := tr.MonthCost(time.April, monthUse(600.0/30))
	reftest.Near(t, "TA1", float64(got.Value), 29, 1e-9)
	// The same pump as the last 100 kWh of a house that uses 500 costs the top block only.
	tr = tieredTariff(500, 200, 0.03, 500, 0.05, math.Inf(1), 0.08)
	reftest.Near(t, "TA1 marginal", float64(tr.MonthCost(time.April, monthUse(100.0/30)).Value), 8, 1e-9)
}

// TA2: three registers of an instrument manual, which prints 351.50 through one
// slip (400 × 0.02 = 8, not 6): 1300 at 0.075, 1000 at 0.16 and 400 at 0.24
// are 97.5 + 160 + 96 = 353.50. Here the registers are three bands of a clock.
func TestTA2Registers(t *testing.T) {
	tr := bandedTariff(band(0, 8, 0.075), band(8, 16, 0.16), band(16, 24, 0.24))
	var use [24]float64
	use[3], use[9], use[20] = 1300.0/30, 1000.0/30, 400.0/30
	reftest.Near(t, "TA2", float64(tr.MonthCost(time.June, use).Value), 353.50, 1e-9)
}

// TA3: 60 W all day, 5 h at 0.42, 8 h at 0.14 and 11 h at 0.25: 0.126 + 0.0672 +
// 0.165 = 0.3582 by hand; 0.36 at a flat 0.25. The cheap band runs past
// midnight and one edge lies on a half hour.
func TestTA3Bands(t *testing.T) {
	tr := bandedTariff(band(16.5, 21.5, 0.42), band(22, 6, 0.14), band(6, 16.5, 0.25), band(21.5, 22, 0.25))
	reftest.Near(t, "TA3", float64(tr.MonthCost(time.June, monthUse(1.44)).Value)/30, 0.3582, 1e-9)
	flat := flatTariff(0.25)
	reftest.Near(t, "TA3 flat", float64(flat.MonthCost(time.June, monthUse(1.44)).Value)/30, 0.36, 1e-9)
}

// By hand: 24 kWh a day at 2 on five days of seven and 1 on two are 24 × 12/7 a day.
func TestTariffWeekends(t *testing.T) {
	week, weekend := band(0, 24, 2), band(0, 24, 1)
	week.Days, weekend.Days = "weekdays", "weekends"
	tr := bandedTariff(week, weekend)
	reftest.Near(t, "June", float64(tr.MonthCost(time.June, monthUse(24)).Value), 30*24*12.0/7, 1e-9)
}

func TestTariffDailyChargeAndNoPrice(t *testing.T) {
	flat := flatTariff(0.5)
	flat.DailyCharge = 2
	reftest.Near(t, "charge is the house's", float64(flat.MonthCost(time.January, monthUse(1)).Value), 15.5, 1e-9)
	flat.OwnMeter = true
	reftest.Near(t, "charge is the pump's", float64(flat.MonthCost(time.January, monthUse(1)).Value), 15.5+62, 1e-9)
	if cost := (Tariff{}).YearCost(clock.MonthlyHours{}); cost.Known || !strings.Contains(cost.Why.String(), "price") {
		t.Errorf("without a tariff the cost is %+v", cost)
	}
}

func TestPropHigherPriceNeverLowersACost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edge := float64(rapid.IntRange(1, 47).Draw(t, "edge")) / 2
		p1, p2 := rapid.Float64Range(0, 5).Draw(t, "p1"), rapid.Float64Range(0, 5).Draw(t, "p2")
		rise := rapid.Float64Range(0, 3).Draw(t, "rise")
		day := rapid.Float64Range(0, 40).Draw(t, "kWh a day")
		house := rapid.Float64Range(0, 900).Draw(t, "household")
		cost := func(up float64) (banded, tiers float64) {
			b := bandedTariff(band(0, edge, plan.Money(p1+up)), band(edge, 24, plan.Money(p2)))
			s := tieredTariff(house, 300, p1, math.Inf(1), p2+up)
			return float64(b.MonthCost(time.May, monthUse(day)).Value), float64(s.MonthCost(time.May, monthUse(day)).Value)
		}
		b0, s0 := cost(0)
		b1, s1 := cost(rise)
		if b1 < b0-1e-9 || s1 < s0-1e-9 {
			t.Fatalf("a higher price lowered the cost: banded %g to %g, tiers %g to %g", b0, b1, s0, s1)
		}
		own := func(running float64) float64 {
			return float64(Yearly(Money(running), []Purchase{{Price: Money(p1), Life: 4}}, 10, 0.05, 0))
		}
		if own(b1) < own(b0)-1e-9 {
			t.Fatal("a higher bill lowered the cost of owning")
		}
	})
}

func TestPropTierByTierIsBillWithMinusWithout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ends := []float64{rapid.Float64Range(1, 200).Draw(t, "e1"), 0, math.Inf(1)}
		ends[1] = ends[0] + rapid.Float64Range(1, 400).Draw(t, "e2")
		price := rapid.SliceOfN(rapid.Float64Range(0, 3), 3, 3).Draw(t, "prices")
		house, pump := rapid.Float64Range(0, 800).Draw(t, "house"), rapid.Float64Range(0, 800).Draw(t, "pump")
		tr := tieredTariff(house, ends[0], price[0], ends[1], price[1], ends[2], price[2])
		// Tier by tier: the part of the pump's energy that falls into each block.
		want, low := 0.0, 0.0
		for i, end := range ends {
			want += price[i] * max(0, min(house+pump, end)-max(house, low))
			low = end
		}
		got := float64(tr.MonthCost(time.June, monthUse(pump/30)).Value)
		if math.Abs(got-want) > 1e-8*(1+want) {
			t.Fatalf("bill with minus without %.10g, tier by tier %.10g", got, want)
		}
	})
}

func TestPropPaybackOfWholeYears(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate, rise := rapid.Float64Range(-0.2, 0.3).Draw(t, "rate"), rapid.Float64Range(-0.2, 0.3).Draw(t, "rise")
		n := rapid.IntRange(1, 30).Draw(t, "years")
		cost := 0.0 // what n years of saving 1 are worth today
		for k := 1; k <= n; k++ {
			cost += math.Pow(1+rise, float64(k-1)) / math.Pow(1+rate, float64(k))
		}
		if got := Payback(Money(cost), 1, rate, rise); math.Abs(got.Value-float64(n)) > 1e-5 {
			t.Fatalf("payback %v, want %d", got, n)
		}
	})
}
