package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/energy/wiring"
)

// newInstaller returns the figures to hand to a licensed person.
func (p *PlanPage) newInstaller() figure.Maybe[wiring.InstallerSheet] {
	s := p.Result.Solar
	switch {
	case !s.Known:
		return figure.Unknown[wiring.InstallerSheet](s.Why)
	case !s.Value.DayAndNight.Known:
		return figure.Unknown[wiring.InstallerSheet](s.Value.DayAndNight.Why)
	}
	return figure.Known(s.Value.DayAndNight.Value.Installer)
}

// limitText says what a controller has to be set to, nothing where the panel cannot
// give more than the battery takes or the controller cannot be set.
func limitText(s wiring.InstallerSheet) document.Prose {
	if !s.Limited || !s.MPPT {
		return document.Prose{}
	}
	return document.Sentence("set its charging limit to %v, all that the battery takes", document.Amps.Of(float64(s.ChargeLimit.Value)))
}

// circuit is one that an installer fuses.
type circuit struct {
	Name    string                         `json:"circuit"`
	Current figure.Maybe[units.Current]    `json:"current_a"`
	Fuse    figure.Maybe[units.Current]    `json:"fuse_a"`
	Copper  figure.Maybe[supply.Conductor] `json:"least_copper_mm2"`
	Gauge   figure.Maybe[string]           `json:"gauge_awg"`
}

// circuits lists those of s, each with its own fuse and copper.
func circuits(s wiring.InstallerSheet) document.Table {
	list := []circuit{
		{"controller to battery", s.ControllerCurrent, s.ChargeFuse, s.ChargeCopper, supply.GaugeOf(s.ChargeCopper)},
		{"battery to pump", s.BatteryCurrent, s.BatteryFuse, s.LeastCopper, s.Gauge},
	}
	if s.InverterSurge.Known {
		const behind = "behind the inverter's own protection"
		list[1] = circuit{"battery to inverter", s.BatteryCurrent, s.BatteryFuse, s.InverterCopper, supply.GaugeOf(s.InverterCopper)}
		list = append(list, circuit{"inverter to pump", figure.Unknown[units.Current](behind), figure.Unknown[units.Current](behind), s.LeastCopper, s.Gauge})
	}
	return document.TableOf("circuits", list, []document.Column{
		{Key: "circuit", Heading: "circuit"},
		{Key: "current_a", Heading: "carries"},
		{Key: "fuse_a", Heading: "fuse at the battery"},
		{Key: "least_copper_mm2", Heading: "least copper"},
		{Key: "gauge_awg", Heading: "AWG"},
	})
}

// installerSection hands figures to a licensed person.
func (p *PlanPage) installerSection() []document.Section {
	if !p.sheet.Known {
		return nil
	}
	s := p.sheet.Value
	columns := []document.Column{
		{Key: "panel_fuse_a", Heading: "fuse of a string"},
		{Key: "cold_open_circuit_v", Heading: "cold open circuit"},
		{Key: "cold_c", Heading: "at"},
	}
	if s.InverterSurge.Known {
		columns = append(columns, document.Column{Key: "inverter_surge_w", Heading: "inverter surge"})
	}
	t := document.TableOf("installer", []wiring.InstallerSheet{s}, columns)
	return []document.Section{{Heading: "For the installer", Tables: []document.Table{circuits(s), t}, Notes: installerNotes(s)}}
}

// installerNotes say how the figures are meant.
func installerNotes(s wiring.InstallerSheet) []document.Prose {
	current := document.Sentence("The controller's current has 1.25 in it, its fuse 1.25 more.")
	if limit := limitText(s); !limit.IsZero() {
		current = document.Sentence("The controller's current is no more than battery and pump take, whatever the panel could give: %v. Its fuse has 1.25 in it.", limit)
	}
	return []document.Prose{
		document.Sentence("Each circuit has a fuse of its own at the battery's end, rated for direct current: it protects the cable. %v Panel and battery have means to isolate, made for direct current (for panels IEC 60364-7-712, from memory). Least copper keeps the drop to the pump within 3 %%; other conductors are by what they may carry; none is below the %v of fixed wiring (IEC 60364-5-52, from memory).", current, document.CopperArea.Exact(supply.LeastFixed.In(units.SquareMillimetre))),
		document.Sentence("Figures for a licensed electrician, not instructions; local codes and the makers' sheets go before them."),
	}
}
