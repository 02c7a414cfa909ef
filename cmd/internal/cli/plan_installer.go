package cli

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
)

// installer holds figures to hand to a licensed person. Battery, fuse and
// current are those of the circuit to the pump, or to the inverter.
type installer struct {
	ControllerCurrent *float64 `json:"controller_a"`
	ControllerWhy     string   `json:"controller_a_why,omitempty"`
	ChargeLimit       *float64 `json:"charge_limit_a"`
	ChargeLimitWhy    string   `json:"charge_limit_a_why,omitempty"`
	ChargeFuse        *float64 `json:"charge_fuse_a"`
	ChargeFuseWhy     string   `json:"charge_fuse_a_why,omitempty"`
	ChargeCopper      *float64 `json:"charge_copper_mm2"`
	ChargeCopperWhy   string   `json:"charge_copper_mm2_why,omitempty"`
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
	InverterCopper    *float64 `json:"inverter_copper_mm2"`
	InverterCopperWhy string   `json:"inverter_copper_mm2_why,omitempty"`
	LeastCopper       *float64 `json:"least_copper_mm2"`
	LeastCopperWhy    string   `json:"least_copper_mm2_why,omitempty"`
	LeastGauge        string   `json:"least_copper_awg,omitempty"`
	InverterSurge     *float64 `json:"inverter_surge_w"`
	InverterSurgeWhy  string   `json:"inverter_surge_w_why,omitempty"`
	GeneratorRefill   *float64 `json:"generator_refill_h"`
	GeneratorWhy      string   `json:"generator_refill_h_why,omitempty"`
	VentOpening       *float64 `json:"vent_opening_cm2"`
	VentWhy           string   `json:"vent_opening_cm2_why,omitempty"`
	limitText         document.Prose
}

func newInstaller(s energy.InstallerSheet) *installer {
	out := &installer{ControllerCurrent: known(s.ControllerCurrent, 1), ControllerWhy: s.ControllerCurrent.Why, PVFuse: known(s.PVFuse, 1), PVFuseWhy: s.PVFuse.Why,
		ChargeLimit: known(s.ChargeLimit, 1), ChargeLimitWhy: s.ChargeLimit.Why, limitText: limitText(s),
		ChargeFuse: known(s.ChargeFuse, 1), ChargeFuseWhy: s.ChargeFuse.Why, ChargeCopperWhy: s.ChargeCopper.Why, InverterCopperWhy: s.InverterCopper.Why,
		ColdVoltage: known(s.ColdVoltage, 1), ColdVoltageWhy: s.ColdVoltage.Why, BatteryCurrent: known(s.BatteryCurrent, 1), BatteryWhy: s.BatteryCurrent.Why,
		BatteryFuse: known(s.BatteryFuse, 1), BatteryFuseWhy: s.BatteryFuse.Why, LeastCopperWhy: s.LeastCopper.Why,
		InverterSurge: known(s.InverterSurge, 1), InverterSurgeWhy: s.InverterSurge.Why, GeneratorRefill: known(s.GeneratorRefill, units.Hour), GeneratorWhy: s.GeneratorRefill.Why,
		VentOpening: known(s.VentOpening, units.SquareCentimetre), VentWhy: s.VentOpening.Why}
	if out.ColdAtWhy = s.ColdVoltage.Why; s.ColdVoltage.Known {
		out.ColdAt = number(s.ColdAt.InCelsius())
	}
	out.LeastCopper, out.ChargeCopper, out.InverterCopper = copperOf(s.LeastCopper), copperOf(s.ChargeCopper), copperOf(s.InverterCopper)
	out.LeastGauge = gauge(out.LeastCopper)
	return out
}

// limitText says what a controller has to be set to, nothing where the panel cannot
// give more than the battery takes or the controller cannot be set.
func limitText(s energy.InstallerSheet) document.Prose {
	if !s.Limited || !s.MPPT {
		return document.Prose{}
	}
	return document.Sentence("set its charging limit to %v, all that the battery takes", document.Amps.Of(float64(s.ChargeLimit.Value)))
}

// copperOf returns the area of a conductor [mm²], nil where it is not known.
func copperOf(c figure.Maybe[energy.Conductor]) *float64 {
	if !c.Known {
		return nil
	}
	return number(c.Value.Area.In(units.SquareMillimetre))
}

// gauge returns the American wire gauge no thinner than mm2, "" where there is
// none.
func gauge(mm2 *float64) string {
	if mm2 == nil {
		return ""
	}
	return energy.AWG(units.Area(*mm2) * units.SquareMillimetre)
}

func (p *planPage) newInstaller() *installer {
	if !p.result.Solar.Known || !p.result.Solar.Value.DayAndNight.Known {
		return nil
	}
	return newInstaller(p.result.Solar.Value.DayAndNight.Value.Installer)
}

// circuits are those that an installer fuses, each with its own fuse and copper.
func (s *installer) circuits() document.Table {
	t := document.Table{Key: "circuits", Columns: []document.Column{
		{Key: "circuit", Heading: "circuit", Unit: document.Word},
		{Key: "current_a", Heading: "carries", Unit: document.Amps},
		{Key: "fuse_a", Heading: "fuse at the battery", Unit: document.Amps},
		{Key: "least_copper_mm2", Heading: "least copper", Unit: document.CopperArea},
		{Key: "gauge_awg", Heading: "AWG", Unit: document.Word},
	}}
	row := func(name string, current *float64, why string, fuse *float64, fuseWhy string, copper *float64, copperWhy string) {
		if fuseWhy == why {
			fuseWhy = ""
		}
		if copperWhy == why || copperWhy == fuseWhy {
			copperWhy = ""
		}
		t.Rows = append(t.Rows, []document.Cell{document.Text(name), document.NumberOr(current, why), document.NumberOr(fuse, fuseWhy), document.NumberOr(copper, copperWhy), document.Text(gauge(copper))})
	}
	row("controller to battery", s.ControllerCurrent, s.ControllerWhy, s.ChargeFuse, s.ChargeFuseWhy, s.ChargeCopper, s.ChargeCopperWhy)
	if s.InverterSurge == nil {
		row("battery to pump", s.BatteryCurrent, s.BatteryWhy, s.BatteryFuse, s.BatteryFuseWhy, s.LeastCopper, s.LeastCopperWhy)
		return t
	}
	row("battery to inverter", s.BatteryCurrent, s.BatteryWhy, s.BatteryFuse, s.BatteryFuseWhy, s.InverterCopper, s.InverterCopperWhy)
	t.Rows = append(t.Rows, []document.Cell{document.Text("inverter to pump"), document.Unknown(""), document.Unknown("behind the inverter's own protection"),
		document.NumberOr(s.LeastCopper, s.LeastCopperWhy), document.Text(gauge(s.LeastCopper))})
	return t
}

// installerSection hands figures to a licensed person.
func (p *planPage) installerSection() []document.Section {
	s := p.sheet
	if s == nil {
		return nil
	}
	columns := []document.Column{
		{Key: "panel_fuse_a", Heading: "fuse of a string", Unit: document.Amps},
		{Key: "cold_open_circuit_v", Heading: "cold open circuit", Unit: document.Volts},
		{Key: "cold_c", Heading: "at", Unit: document.Temperature},
	}
	cells := []document.Cell{document.NumberOr(s.PVFuse, s.PVFuseWhy), document.NumberOr(s.ColdVoltage, s.ColdVoltageWhy), document.NumberOr(s.ColdAt, "")}
	if s.InverterSurge != nil {
		columns, cells = append(columns, document.Column{Key: "inverter_surge_w", Heading: "inverter surge", Unit: document.Power}), append(cells, document.Number(*s.InverterSurge))
	}
	if s.VentOpening != nil {
		columns, cells = append(columns, document.Column{Key: "vent_opening_cm2", Heading: "vents, each of two", Unit: document.OpeningArea}), append(cells, document.Number(*s.VentOpening))
	}
	t := one("installer", columns, cells...)
	return []document.Section{{Heading: "For the installer", Tables: []document.Table{s.circuits(), t}, Notes: installerNotes(s)}}
}

// installerNotes say how the figures are meant.
func installerNotes(s *installer) []document.Prose {
	current := document.Sentence("The controller's current has 1.25 in it, its fuse 1.25 more.")
	if !s.limitText.IsZero() {
		current = document.Sentence("The controller's current is no more than battery and pump take, whatever the panel could give: %v. Its fuse has 1.25 in it.", s.limitText)
	}
	notes := []document.Prose{
		document.Sentence("Each circuit has a fuse of its own at the battery's end, rated for direct current: it protects the cable. %v Panel and battery have means to isolate, made for direct current (for panels IEC 60364-7-712, from memory). Least copper keeps the drop to the pump within 3 %%; other conductors are by what they may carry; none is below the %v of fixed wiring (IEC 60364-5-52, from memory).", current, document.CopperArea.Exact(energy.LeastFixed.In(units.SquareMillimetre))),
	}
	if s.VentOpening != nil {
		notes = append(notes, document.Sentence("Vents: free openings low and high in the battery's space, by EN 50272-2, from memory."))
	}
	return append(notes, document.Sentence("Figures for a licensed electrician, not instructions; local codes and the makers' sheets go before them."))
}
