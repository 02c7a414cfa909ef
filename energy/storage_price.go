package energy

import (
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/supply"
)

// costOf prices a panel with a battery, nil where one of them has no price.
// Controller and inverter are left out where they have none, the inverter also
// where the pump needs none.
func costOf(p *plan.Plan, inverter bool) battery.CostFunc {
	if p.Panel.PricePerWatt == nil || p.Battery.PricePerWh == nil {
		return nil
	}
	m := p.Mains
	return func(panelW, batteryWh, batteryYears float64) (price, perYear money.Money) {
		var parts []money.Part
		part := func(name string, price money.Money, life float64) {
			parts = append(parts, money.Part{Name: name, Price: figure.Known(price), Life: life})
		}
		lasts := max(0.5, batteryYears)
		if math.IsInf(batteryYears, 1) {
			lasts = 0
		}
		part("panel", money.Money(panelW)*money.Money(*p.Panel.PricePerWatt), p.Panel.Life.In(units.Year))
		part("battery", money.Money(batteryWh)*money.Money(*p.Battery.PricePerWh), lasts)
		if v := p.Controller.Price; v != nil {
			part("controller", money.Money(*v), p.Controller.Life.In(units.Year))
		}
		if v := p.Inverter.Price; v != nil && inverter {
			part("inverter", money.Money(*v), p.Inverter.Life.In(units.Year))
		}
		c, err := money.Own(money.Ownership{Parts: parts, Running: figure.Known(money.Money(0)), Years: m.Years,
			DiscountRate: m.DiscountRate, ExtraFirst: money.Money(p.Panel.ExtraPrice)})
		if err != nil || !c.Known {
			return money.Money(math.Inf(1)), money.Money(math.Inf(1))
		}
		return c.Value.First, c.Value.EquivalentAnnual
	}
}

// unpriced warns of what stands between panel and pump and has no price, so that
// those of costOf come out low.
func unpriced(p *plan.Plan, inverter bool) []data.Warning {
	var all []data.Warning
	say := func(key, what string) {
		all = append(all, data.Warning{Key: key,
			Message: units.Text("not given: every price of panel and battery leaves the " + what + " out")})
	}
	if p.Controller.Price == nil && p.Controller.Kind != string(supply.BarePanel) {
		say("controller.price", "controller")
	}
	if p.Inverter.Price == nil && inverter {
		say("inverter.price", "inverter")
	}
	return all
}

// assumedMoney lists what the cost of a year rests on and nobody gave.
func assumedMoney(p *plan.Plan, inverter bool) (all []figure.Assumed) {
	list := func(key string, a figure.Assumed) {
		if k, _ := plan.KeyNamed(key); !p.Given(key) {
			a.Key, a.Source = key, k.Source
			all = append(all, a)
		}
	}
	years := func(key string, life units.Duration, what string) {
		list(key, figure.Assumed{Text: units.Say("%g years", life.In(units.Year)),
			Why: units.Text("years until the " + what + " is bought again")})
	}
	list("mains.years", figure.Assumed{Text: units.Say("%d years", p.Mains.Years),
		Why: "years over which panel and battery are paid off; what they are still worth then is not counted"})
	list("mains.discount_rate", figure.Assumed{Kind: units.KindShare, Value: p.Mains.DiscountRate,
		Why: "what money is worth in a year above inflation"})
	years("panel.life", p.Panel.Life, "panel")
	if p.Controller.Price != nil {
		years("controller.life", p.Controller.Life, "controller")
	}
	if p.Inverter.Price != nil && inverter {
		years("inverter.life", p.Inverter.Life, "inverter")
	}
	return all
}
