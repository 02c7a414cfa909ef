package energy

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// battery fills Battery and NominalWh.
func (s *Storage) battery(p *data.Plan) error {
	b, assumed, err := BatteryFrom(p.Battery)
	if err != nil {
		return err
	}
	if p.Battery.Temperature == nil && s.Sky != nil {
		b = b.AtColdest(s.Sky.AirByMonth())
	}
	s.Battery = b
	s.NominalWh = figure.Unknown[float64]("no battery is given")
	if size := p.Battery.Size; size != nil {
		s.NominalWh = figure.Known(size.At(batteryVoltage(p)).In(units.WattHour))
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
func (s *Storage) assumeBattery(p *data.Plan, keys []string) {
	b := s.Battery
	if !p.Given("battery.kind") {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.kind", Text: b.Kind, Why: "no kind given", Source: "common practice, no source"})
	}
	for _, key := range keys {
		if a, counts := b.assumed(key); counts {
			s.Assumed = append(s.Assumed, a)
		}
	}
	if b.ColdShare < 1 && p.Battery.Temperature == nil {
		why := "nothing is known of where the battery stands"
		if b.CapacityAt(units.Celsius(IndoorsC)) > b.ColdShare {
			why += fmt.Sprintf("; indoors, %d C, would leave more", IndoorsC)
		}
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.temperature", Text: units.Sprintf("the air of the coldest month, which leaves %.0f %% of the size", 100*b.ColdShare),
			Why: why, Source: "table of batteries"})
	}
	if p.Battery.Voltage == nil && p.Battery.Size != nil && p.Battery.Size.Charge > 0 {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.voltage", Kind: units.KindVoltage, Value: float64(batteryVoltage(p)), Why: "cells nearest the pump's voltage, else nearest 12 V"})
	}
}

// assumed returns what is assumed under a key that a plan left to the kind's
// row; false where that counts nothing.
func (b Battery) assumed(key string) (a figure.Assumed, counts bool) {
	a = figure.Assumed{Key: key, Kind: units.KindShare, Why: "the row of " + b.Kind, Source: "table of batteries"}
	counts = b.Kind != "ideal"
	switch key {
	case "battery.usable":
		a.Value = b.UsableShare
	case "battery.charge_efficiency":
		a.Value = b.ChargeShare
	case "battery.discharge_efficiency":
		a.Value = b.DischargeShare
	case "battery.self_discharge":
		a.Value = b.SelfDischarge
	case "battery.end_of_life":
		a.Value, a.Why = b.EndOfLifeShare, "what is left of the size when it is called worn out, which must still do; 100 % reckons a new one"
	case "battery.cut_off":
		a.Value, a.Why, a.Source = b.CutOff, "1 less the usable share", ""
	case "battery.reconnect":
		a.Value, counts = b.Reconnect, b.Reconnect > 0
	case "battery.charge_rate":
		a.Kind, a.Text = 0, perHour(b.ChargeLimit)
	case "battery.discharge_rate":
		a.Kind, a.Text = 0, perHour(b.DischargeLimit)
	default: // the kind; Peukert's exponent, which only a warning uses
		counts = false
	}
	return a, counts
}

func perHour(rate float64) string {
	if rate == 0 {
		return "no limit"
	}
	return units.Sprintf("%.3g of the size an hour", rate)
}

// nearestVoltage is the battery voltage where no pump asks for another
// (data/keys.csv, battery.voltage).
const nearestVoltage = 12

// batteryVoltage returns the nominal voltage of a plan's battery: the given
// one, else that of the kind's cells nearest the chosen or first DC pump's
// voltage, else nearest 12 V.
func batteryVoltage(p *data.Plan) units.Voltage {
	if p.Battery.Voltage != nil {
		return *p.Battery.Voltage
	}
	want := float64(nearestVoltage)
	for i := len(p.Pumps) - 1; i >= 0; i-- {
		m := p.Pumps[i]
		if m.Supply == "DC" && m.Voltage != nil && (p.Choice.Pump == "" || m.Name == p.Choice.Pump) {
			want = float64(*m.Voltage)
		}
	}
	return voltageNear(p.Battery.Kind, want)
}

// voltageNear returns the voltage nearest to want that whole cells of a kind
// come to.
func voltageNear(kind string, want float64) units.Voltage {
	row, err := data.BatteryKindOf(kind)
	if err != nil || !row.CellVolts.Known {
		return units.Voltage(want)
	}
	cell := row.CellVolts.Value
	return units.Voltage(cell * math.Max(1, math.Round(want/cell)))
}

// BatteryVoltage returns the nominal voltage of the battery.
func (s *Storage) BatteryVoltage() units.Voltage { return batteryVoltage(s.plan) }
