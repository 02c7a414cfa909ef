package cli

import (
	"sunrill/cmd/internal/report"
	"sunrill/data/units"
)

// installer holds figures to hand to a licensed person.
type installer struct {
	ControllerCurrent *float64 `json:"controller_a"`
	ControllerWhy     string   `json:"controller_a_why,omitempty"`
	PVFuse            *float64 `json:"panel_fuse_a"`
	PVFuseWhy         string   `json:"panel_fuse_a_why,omitempty"`
	ColdVoltage       *float64 `json:"cold_open_circuit_v"`
	ColdVoltageWhy    string   `json:"cold_open_circuit_v_why,omitempty"`
	ColdAt            *float64 `json:"cold_c"`
	ColdAtWhy         string   `json:"cold_c_why,omitempty"`
	BatteryCurrent    *float64 `json:"battery_a"`
	BatteryWhy        string   `json:"battery_a_why,omitempty"`
	BatteryFuse       *float64 `json:"battery_fuse_a"`
	BatteryFuseWhy    string   `json:"battery_fuse_a_why,omitempty"`
	LeastCopper       *float64 `json:"least_copper_mm2"`
	LeastCopperWhy    string   `json:"least_copper_mm2_why,omitempty"`
	InverterSurge     *float64 `json:"inverter_surge_w"`
	InverterSurgeWhy  string   `json:"inverter_surge_w_why,omitempty"`
	GeneratorRefill   *float64 `json:"generator_refill_h"`
	GeneratorWhy      string   `json:"generator_refill_h_why,omitempty"`
	VentOpening       *float64 `json:"vent_opening_cm2"`
	VentWhy           string   `json:"vent_opening_cm2_why,omitempty"`
}

func (p *planPage) newInstaller() *installer {
	if !p.result.Solar.Known || !p.result.Solar.Value.DayAndNight.Known {
		return nil
	}
	s := p.result.Solar.Value.DayAndNight.Value.Installer
	out := &installer{ControllerCurrent: known(s.ControllerCurrent, 1), ControllerWhy: s.ControllerCurrent.Why, PVFuse: known(s.PVFuse, 1), PVFuseWhy: s.PVFuse.Why,
		ColdVoltage: known(s.ColdVoltage, 1), ColdVoltageWhy: s.ColdVoltage.Why, BatteryCurrent: known(s.BatteryCurrent, 1), BatteryWhy: s.BatteryCurrent.Why,
		BatteryFuse: known(s.BatteryFuse, 1), BatteryFuseWhy: s.BatteryFuse.Why, LeastCopperWhy: s.LeastCopper.Why,
		InverterSurge: known(s.InverterSurge, 1), InverterSurgeWhy: s.InverterSurge.Why, GeneratorRefill: known(s.GeneratorRefill, units.Hour), GeneratorWhy: s.GeneratorRefill.Why,
		VentOpening: known(s.VentOpening, units.SquareCentimetre), VentWhy: s.VentOpening.Why}
	if out.ColdAtWhy = s.ColdVoltage.Why; s.ColdVoltage.Known {
		out.ColdAt = number(s.ColdAt.InCelsius())
	}
	if s.LeastCopper.Known {
		out.LeastCopper = number(s.LeastCopper.Value.Area.In(units.SquareMillimetre))
	}
	return out
}

// installerSection hands figures to a licensed person.
func (p *planPage) installerSection() []report.Section {
	s := p.sheet
	if s == nil {
		return nil
	}
	t := one("installer", []report.Column{
		{Key: "controller_a", Heading: "controller", Unit: report.Amps},
		{Key: "panel_fuse_a", Heading: "panel fuse", Unit: report.Amps},
		{Key: "cold_open_circuit_v", Heading: "cold open circuit", Unit: report.Volts},
		{Key: "cold_c", Heading: "at", Unit: report.Temperature},
		{Key: "battery_a", Heading: "battery", Unit: report.Amps},
		{Key: "battery_fuse_a", Heading: "battery fuse", Unit: report.Amps},
		{Key: "least_copper_mm2", Heading: "least copper", Unit: report.CopperArea},
		{Key: "inverter_surge_w", Heading: "inverter surge", Unit: report.Power},
	}, report.NumberOr(s.ControllerCurrent, s.ControllerWhy), report.NumberOr(s.PVFuse, s.PVFuseWhy), report.NumberOr(s.ColdVoltage, s.ColdVoltageWhy), report.NumberOr(s.ColdAt, ""),
		report.NumberOr(s.BatteryCurrent, ""), report.NumberOr(s.BatteryFuse, s.BatteryFuseWhy), report.NumberOr(s.LeastCopper, s.LeastCopperWhy), report.NumberOr(s.InverterSurge, s.InverterSurgeWhy))
	return []report.Section{{Heading: "For the installer", Tables: []report.Table{t},
		Notes: []report.Prose{report.Sentence("Figures to hand to a licensed person, not instructions; local codes and the makers' sheets go before them. The fuse protects the cable and sits at the battery, rated for direct current. Least copper keeps the drop within 3 %%.")}}}
}
