package energy

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// tariffOf returns what a plan's mains power costs; the zero tariff where it
// names no price.
func tariffOf(p *data.Plan) (Tariff, error) {
	t, err := pricesOf(p.Mains)
	t.DailyCharge, t.OwnMeter = Money(p.Mains.DailyCharge), p.Mains.OwnMeter
	return t, err
}

func pricesOf(m data.Mains) (Tariff, error) {
	var tiers []Tier
	for i, t := range m.Tiers {
		tier := Tier{Key: fmt.Sprintf("mains.tier.%d", i+1), UpTo: math.Inf(1), Price: Money(t.Price)}
		if t.UpTo != nil {
			tier.UpTo = t.UpTo.In(units.KilowattHour)
		}
		tiers = append(tiers, tier)
	}
	var bands []PriceBand
	week := map[string]Days{"weekdays": Weekdays, "weekends": Weekends}
	for i, b := range m.Bands {
		for _, h := range hourBands(fmt.Sprintf("mains.band.%d", i+1), b.Hours, b.Months, week[b.Days]) {
			bands = append(bands, PriceBand{HourBand: h, Price: Money(b.Price)})
		}
	}
	switch {
	case m.Price != nil:
		return FlatTariff(Money(*m.Price))
	case len(bands) > 0:
		return BandedTariff(bands)
	case len(tiers) > 0:
		return TieredTariff(tiers, figure.OrZero(m.OtherUse).In(units.KilowattHour))
	}
	return Tariff{}, nil
}

// usualVoltage is taken for an AC pump (IEC 60038) and for a DC pump that is
// to hang on a battery of which nothing is said either.
const (
	usualACVoltage = 230 * units.Volt
	usualDCVoltage = 12 * units.Volt
)

// motorOf returns the electrical side of a plan's pump.
func motorOf(in data.Pump, battery data.Battery) Motor {
	m := Motor{Name: in.Name, AC: in.Supply == "AC", Behaviour: VoltageBehaviour(in.VoltageBehaviour), LeastSpeed: in.LeastSpeed}
	switch {
	case in.Voltage != nil:
		m.Voltage = *in.Voltage
	case m.AC:
		m.Voltage = usualACVoltage
	case battery.Voltage != nil:
		m.Voltage = *battery.Voltage
	default:
		m.Voltage = usualDCVoltage
	}
	switch in.SpeedControl {
	case "none":
	case "":
		m.Slows = !m.AC && m.Behaviour == Follows
	default:
		m.Slows = true
	}
	return m
}

// airOf returns the plan's air pump, the zero Air where it names none.
func airOf(p *data.Plan) (Air, error) {
	if p.Air.Power == nil {
		return Air{}, nil
	}
	a := Air{Power: *p.Air.Power, Hours: Always(1)}
	if p.Air.Hours == nil && p.Air.Months == data.AllYear() {
		return a, nil
	}
	hours := data.AllDay()
	if p.Air.Hours != nil {
		hours = *p.Air.Hours
	}
	var bands []RunBand
	for _, h := range hourBands("air.hours", hours, p.Air.Months, EveryDay) {
		bands = append(bands, RunBand{HourBand: h, Speed: 1})
	}
	var err error
	a.Hours, err = NewSchedule(bands, 0, 0)
	return a, err
}

// assumedAir lists the hours of an air pump that nobody gave.
func assumedAir(p *data.Plan) []figure.Assumed {
	if p.Air.Power == nil || p.Given("air.hours") {
		return nil
	}
	k, _ := data.KeyNamed("air.hours")
	text := "day and night"
	if !p.Given("air.months") {
		text += ", all the year"
	}
	return []figure.Assumed{{Key: "air.hours", Text: text, Why: "not given: it runs beside the water pump, in its months off too", Source: k.Source}}
}

// inverterOf returns the plan's inverter, nil where there is none.
func inverterOf(p *data.Plan) *Inverter {
	fitted := p.Given("inverter")
	if p.Inverter.Fitted != nil {
		fitted = *p.Inverter.Fitted
	}
	if !fitted {
		return nil
	}
	return &Inverter{Efficiency: p.Inverter.Efficiency, Idle: p.Inverter.Idle, Rated: figure.OrZero(p.Inverter.Rated), SwitchedBy: p.Inverter.SwitchedWithPump}
}

// batteryChain returns a pump of the plan on a line, fed from the battery, with
// air beside it; its Warnings hold the doubts about the cable too.
func batteryChain(p *data.Plan, i int, pump pumps.Pump, line pumps.Circuit, air Air) (*Chain, error) {
	water, err := SolveOn(pump, line)
	if err != nil {
		return nil, err
	}
	battery, v := p.Battery, batteryVoltage(p)
	battery.Voltage = &v // a pump that names no voltage is taken to be made for the battery's
	s := ChainSpec{Source: FromBattery, Motor: motorOf(p.Pumps[i], battery), Water: water, BatteryVoltage: v,
		Inverter: inverterOf(p), ControllerDraw: controllerDraw(p.Controller), Air: air}
	var doubts []data.Warning
	if s.Cable, doubts, err = cableOf(p, s); err != nil {
		return nil, err
	}
	c, err := NewChain(s)
	if err != nil {
		return nil, err
	}
	c.Warnings = append(doubts, c.Warnings...)
	return c, nil
}
