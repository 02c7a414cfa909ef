package energy

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/bill"
	"sunrill/energy/money"
	"sunrill/energy/supply"
	"sunrill/energy/wiring"
	"sunrill/solar/sky"
)

// shop returns what the plan can buy, for a pump on an inverter or not. Without a price of
// panel and battery it has planning prices.
func (s *Storage) shop(inverter bool) bill.Shop {
	p, n := s.plan, s.plan.Panel
	shop := bill.Shop{Panels: n.Sizes, PanelSeries: n.InSeries, UnitV: p.Battery.UnitVolts(), Volts: sky.BatteryVoltages(p),
		PanelLife: n.Life.In(units.Year), ControllerLife: p.Controller.Life.In(units.Year), InverterLife: p.Inverter.Life.In(units.Year),
		Rate: p.Mains.DiscountRate, Measured: s.Measured && n.Watts == nil}
	for _, size := range p.Battery.Sizes {
		shop.Batteries = append(shop.Batteries, bill.Unit(size))
	}
	if shop.NoMoney = noMoney(p, shop.Measured); shop.NoMoney == "" {
		shop.PerWatt, shop.PerWh, shop.MountingPerWatt = money.Money(*n.PricePerWatt), money.Money(*p.Battery.PricePerWh),
			money.Money(figure.OrZero(n.MountingPerWatt))
		shop.PerController, shop.PerAmp = money.Money(figure.OrZero(p.Controller.Price)),
			money.Money(figure.OrZero(p.Controller.PricePerAmp))
		shop.Extra = money.Money(n.ExtraPrice)
		if inverter {
			shop.Inverter = money.Money(figure.OrZero(p.Inverter.Price))
		}
	} else {
		price := func(part string) money.Money { return money.Money(data.PlanningPrice(part)) }
		shop.PerWatt, shop.MountingPerWatt = price("panel"), price("mounting")
		shop.PerWh, shop.PerAmp = price(s.Battery.Kind), price("controller")
	}
	if s.Battery.CalendarYears == 0 { // nothing sets an end to it
		shop.BatteryLife = float64(p.Mains.Years)
	}
	if !shop.Measured {
		s.controllers(&shop)
	}
	return shop
}

// noMoney returns why the prices of a plan are no money; "" where they are.
func noMoney(p *plan.Plan, measured bool) units.Text {
	switch {
	case measured:
		return "the watts of the measured panel are not given (panel.watts)"
	case p.Panel.PricePerWatt == nil:
		return "the price of a watt of panel is not given (panel.price_per_watt)"
	case p.Battery.PricePerWh == nil:
		return "the price of a Wh of battery is not given (battery.price_per_wh)"
	}
	return ""
}

// pwmMargin is kept between a panel's rated current and the controller that switches it,
// for sun above 1000 W/m² (NEC 690.8, from memory).
const pwmMargin = 1.25

// controllers fills in the controllers on sale that stand the panel's voltage in the cold.
func (s *Storage) controllers(shop *bill.Shop) {
	p := s.plan
	if limit := s.Battery.ChargeLimit; limit > 0 && (p.Controller.Kind == "PWM" || p.Controller.Kind == "none") {
		shop.LeastPerWatt = s.fullSun(shop) * float64(shop.Volts[0]) / limit
	}
	switch p.Controller.Kind {
	case "none":
		return
	case "pump drive":
		shop.Controllers = []bill.Controller{{}}
		return
	case "PWM":
		shop.PWM, shop.PerAmpere = true, float64(sky.WorkingVoltage(p, shop.Volts[0]))/pwmMargin
	default:
		shop.PerAmpere = bill.Oversize * absorption(s.Battery.Kind)
	}
	shop.Controllers = []bill.Controller{}
	cold := wiring.ForInstaller(s.installer(0, 0, bill.Bill{BatteryV: shop.Volts[0]})).ColdVoltage
	for _, c := range p.Controller.Sizes {
		if c.Voltage == 0 || !cold.Known || cold.Value <= c.Voltage {
			shop.Controllers = append(shop.Controllers, bill.Controller{Current: c.Current, Voltage: c.Voltage, Power: c.Power})
		}
	}
	if !shop.PWM && s.Sky != nil && p.Panel.WorkingVoltage != nil {
		shop.OpenV = cold.Value / units.Voltage(max(1, p.Panel.InSeries))
		s.strings(shop)
	}
	slices.SortFunc(shop.Controllers, func(a, b bill.Controller) int { return cmp.Compare(a.Current, b.Current) })
}

// strings settles how many panels stand in series at each voltage: the fewest that work above
// what the battery is charged to in hot cells, as an MPPT controller steps down only, where a
// controller stands them in the cold. Voltages that none reach are not to be chosen.
func (s *Storage) strings(shop *bill.Shop) {
	p := s.plan
	given := max(1, p.Panel.InSeries)
	most := 0
	for _, c := range shop.Controllers {
		switch {
		case p.Given("panel.in_series"):
			most = given
		case c.Voltage == 0 || shop.OpenV == 0:
			most = mostInSeries
		default:
			most = max(most, min(mostInSeries, int(c.Voltage/shop.OpenV)))
		}
	}
	hot := s.Sky.HotWorking(*p.Panel.WorkingVoltage)
	var volts []units.Voltage
	step := given
	for _, v := range shop.Volts {
		need := int(math.Floor(float64(v)*absorption(s.Battery.Kind)/float64(hot))) + 1
		if n := (max(given, need) + step - 1) / step * step; n <= most {
			volts, shop.Series = append(volts, v), append(shop.Series, n)
			step = shop.Series[0]
		}
	}
	if volts == nil { // it is warned of
		shop.Volts = shop.Volts[:1]
		return
	}
	shop.Volts, shop.PanelSeries = volts, step
}

// mostInSeries is how many panels are put in series without being asked to: a stated rule,
// no source.
const mostInSeries = 8

// fullSun returns what a watt of panel drives into a battery that it is joined to [A/W]:
// its short-circuit current where that is known, else what it gives at its working voltage.
func (s *Storage) fullSun(shop *bill.Shop) float64 {
	p := s.plan
	perWatt := 1 / float64(sky.WorkingVoltage(p, shop.Volts[0]))
	if w := shop.Strings(); len(w) == 1 {
		perWatt = max(perWatt, float64(figure.OrZero(p.Panel.ShortCircuitCurrent))/w[0])
	}
	return perWatt
}

// unfit returns the fault of a plan none of whose controllers takes its panels.
func (s *Storage) unfit(shop *bill.Shop) error {
	least := 1.0
	if w := shop.Strings(); len(w) > 0 && !s.PanelW.Known {
		least = w[0]
	}
	if !math.IsInf(float64(shop.CostOf(least, 0, 1).Price), 1) {
		return s.chargesNothing(shop)
	}
	fault := &data.Error{Key: "controller.sizes", Message: units.Sprintf("none takes a string of %.0f W", least),
		Allowed: "a larger controller, or smaller panels (panel.sizes)"}
	if len(shop.Controllers) == 0 {
		cold := wiring.ForInstaller(s.installer(0, 0, bill.Bill{BatteryV: shop.Volts[0]})).ColdVoltage
		fault.Message = units.Sprintf("none stands the %.0f V of the panel with nothing drawn in the cold", float64(cold.Value))
		fault.Allowed = "a controller for more volts, or fewer panels in series (panel.in_series)"
	}
	return fault
}

// chargesNothing returns the fault of a panel that works below its battery in hot cells, where
// an MPPT controller, which steps down only, passes nothing on.
func (s *Storage) chargesNothing(shop *bill.Shop) error {
	p := s.plan
	if shop.PWM || s.Sky == nil || s.Sky.Charger.Kind != "MPPT" || p.Panel.WorkingVoltage == nil {
		return nil
	}
	hot := s.Sky.HotWorking(*p.Panel.WorkingVoltage) * units.Voltage(max(1, shop.PanelSeries))
	if hot > shop.Volts[0] {
		return nil
	}
	return &data.Error{Key: "panel.in_series", Message: units.Sprintf("in hot cells the panel works at %.3g V, below the battery's "+
		"%.3g V: it charges nothing", float64(hot), float64(shop.Volts[0])),
		Allowed: "more panels in series, a controller that stands them in the cold, or a battery of lower voltage"}
}

// absorption returns the voltage that a controller charges a kind of battery up to, over
// its nominal one.
func absorption(kind string) float64 {
	row, err := data.BatteryKindOf(kind)
	if err != nil || !row.AbsorptionVolts.Known {
		return 1
	}
	return row.AbsorptionVolts.Value / row.CellVolts.Value
}

// unpriced warns of what stands between panel and pump and has no price, so that
// prices come out low.
func unpriced(p *plan.Plan, shop *bill.Shop, inverter bool) (all []data.Warning) {
	if shop.NoMoney != "" {
		return nil
	}
	for _, part := range leftOut(p, inverter) {
		all = append(all, data.Warning{Key: part.key,
			Message: units.Text("not given: every price of panel and battery leaves the " + part.name + " out")})
	}
	return all
}

// part is one between panel and pump, with the key of its price.
type part struct{ name, key string }

// leftOut returns the parts that no price holds.
func leftOut(p *plan.Plan, inverter bool) (all []part) {
	if p.Panel.MountingPerWatt == nil && p.Panel.ExtraPrice == 0 {
		all = append(all, part{"frame", "panel.mounting_per_watt"})
	}
	if p.Controller.Price == nil && p.Controller.PricePerAmp == nil && p.Controller.Kind != string(supply.BarePanel) {
		all = append(all, part{"controller", "controller.price"})
	}
	if p.Inverter.Price == nil && inverter {
		all = append(all, part{"inverter", "inverter.price"})
	}
	return all
}

// LeftOut names what the cost of a year leaves out for want of a price.
func (b *Best) LeftOut() (names []string) {
	s := b.Way.Storage
	for _, part := range leftOut(s.plan, s.Pump.OnInverter) {
		names = append(names, part.name)
	}
	if b.PerYear.Why != "" {
		names = append(names, "new pumps")
	}
	return names
}

// assumedMoney lists what the cost of a year rests on and nobody gave.
func assumedMoney(p *plan.Plan, shop *bill.Shop) (all []figure.Assumed) {
	if shop.NoMoney != "" {
		text := units.Say("a Wh of battery %.3g", float64(shop.PerWh))
		if shop.Controllers != nil {
			text = units.Say("a watt of panel 1, its mounting %.3g, ", float64(shop.MountingPerWatt)) + text +
				units.Say(", an ampere of controller %.3g", float64(shop.PerAmp))
		}
		all = append(all, figure.Assumed{Key: "panel.price_per_watt", Text: text,
			Why: "prices only beside one another, for the choice: " + shop.NoMoney, Source: "table of planning prices"})
	}
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
	list("mains.discount_rate", figure.Assumed{Kind: units.KindShare, Value: p.Mains.DiscountRate,
		Why: "what money is worth in a year above inflation"})
	if shop.BatteryLife > 0 {
		list("battery.life", figure.Assumed{Text: units.Say("%g years", shop.BatteryLife),
			Why: "nothing sets an end to the battery: it is paid off over the years of mains.years at most"})
	}
	years("panel.life", p.Panel.Life, "panel")
	if shop.PerController+shop.PerAmp > 0 {
		years("controller.life", p.Controller.Life, "controller")
	}
	if shop.Inverter > 0 {
		years("inverter.life", p.Inverter.Life, "inverter")
	}
	return all
}

// assumedVoltage lists the voltage of a bill, and the panels in series, that were free to
// choose.
func assumedVoltage(p *plan.Plan, b bill.Bill) (all []figure.Assumed) {
	if b.PanelSeries > max(1, p.Panel.InSeries) {
		all = append(all, figure.Assumed{Key: "panel.in_series", Text: units.Say("%d", b.PanelSeries),
			Why:    "the fewest that work above what the battery is charged to in hot cells, as an MPPT controller steps down only",
			Source: "common practice, no source"})
	}
	if len(sky.BatteryVoltages(p)) == 1 {
		return all
	}
	k, _ := plan.KeyNamed("battery.voltage")
	return append(all, figure.Assumed{Key: k.Path, Kind: units.KindVoltage, Value: float64(b.BatteryV),
		Why: "the lowest of 12, 24 and 48 V with the fewest controllers", Source: k.Source})
}

// Turns is what a Wh of battery would have to cost beside a watt of panel for another panel
// to win, larger or smaller by a tenth. Other prices stay.
type Turns struct {
	Smaller figure.Maybe[float64] `json:"smaller_panel_below_ratio"`
	Larger  figure.Maybe[float64] `json:"larger_panel_above_ratio"`
}

func noTurns(why units.Text) Turns {
	return Turns{figure.Unknown[float64](why), figure.Unknown[float64](why)}
}

// The prices at which it is looked whether the choice turns: so many steps up and down,
// each by such a ratio; stated rules, no source.
const (
	turnSteps = 6
	turnStep  = 1.25
	turned    = 1.1
)

// turns returns where a choice by planning prices turns.
func (s *Storage) turns(o battery.SizeOptions, c battery.Choice) Turns {
	if o.Shop.NoMoney == "" || len(o.Panels) > 0 {
		return noTurns("prices are given, or the panel is")
	}
	t := noTurns("none would win within a fourfold price")
	choose := battery.Chooser(s.Record, s.Battery, o)
	for side, into := range []*figure.Maybe[float64]{&t.Smaller, &t.Larger} {
		shop, step := o.Shop, turnStep
		if side == 0 {
			step = 1 / step
		}
		for range turnSteps {
			shop.PerWh *= money.Money(step)
			f, why := choose(shop)
			if ratio := f.Chosen.PanelW / c.PanelW; why != "" || side == 0 && ratio < 1/turned || side == 1 && ratio > turned {
				*into = figure.Given(why == "", float64(shop.PerWh/shop.PerWatt), why)
				break
			}
		}
	}
	return t
}
