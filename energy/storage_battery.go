package energy

import (
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/solar/sky"
)

// battery fills Battery and NominalWh.
func (s *Storage) battery(p *plan.Plan) error {
	b, assumed, err := battery.BatteryFrom(p.Battery)
	if err != nil {
		return err
	}
	if p.Battery.Temperature == nil && s.Sky != nil {
		b = b.AtColdest(s.Sky.AirByMonth())
	}
	s.Battery = b
	s.NominalWh = figure.Unknown[float64]("no battery is given")
	if size := p.Battery.Size; size != nil {
		s.NominalWh = figure.Known(size.At(sky.BatteryVoltage(p)).In(units.WattHour))
	}
	s.assumeBattery(p, assumed)
	s.Record.BatteryC = s.batteryC(s.Record, s.air())
	s.Frost = s.frost()
	s.coldDoubts(p)
	return nil
}

// assumeBattery lists what came from the kind's row or from a rule. The ideal
// kind has no properties to assume, but a reconnect level where only the
// cut-off was given.
func (s *Storage) assumeBattery(p *plan.Plan, ofRow []figure.Assumed) {
	b := s.Battery
	if !p.Given("battery.kind") {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.kind", Text: units.Text(b.Kind), Why: "no kind given",
			Source: "common practice, no source"})
	}
	s.Assumed = append(s.Assumed, ofRow...)
	if b.ColdShare < 1 && p.Battery.Temperature == nil {
		why := units.Text("nothing is known of where the battery stands")
		if b.CapacityAt(units.Celsius(indoorsC)) > b.ColdShare {
			why += units.Say("; indoors, {%d C}, would leave more", indoorsC)
		}
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.temperature",
			Text: units.Say("the air of the coldest month, which leaves %.0f %% of the size", 100*b.ColdShare),
			Why:  why, Source: "table of batteries"})
	}
	if p.Battery.Voltage == nil && p.Battery.Size != nil && p.Battery.Size.Charge > 0 {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.voltage", Kind: units.KindVoltage,
			Value: float64(sky.BatteryVoltage(p)), Why: "whole batteries nearest the pump's voltage, else nearest 12 V"})
	}
}
