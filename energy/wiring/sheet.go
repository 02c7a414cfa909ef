package wiring

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// InstallerSpec is what the figures for an installer are made from. What is
// not known stays 0.
type InstallerSpec struct {
	MPPT           bool
	Panel          units.Power
	OpenCircuit    units.Voltage // of one module
	ShortCircuit   units.Current // of one module
	Series         int           // modules in series; 0 is 1
	Strings        int           // in parallel; 0 is 1
	ColdestMonth   units.Temperature
	BatteryVoltage units.Voltage
	Load           units.Power // the largest continuous one at the battery terminals
	LoadVoltage    units.Voltage
	LoadCurrent    units.Current     // in the cable to the pump, on the pump's side of an inverter
	Run            units.Length      // of that cable, one way
	Cable          *supply.Conductor // the one there is; nil where it is to be chosen
	ACPump         units.Power       // running watts on an inverter
	InverterRated  units.Power       // its continuous output
	InverterShare  float64           // its efficiency
	Capacity       units.Charge
	ChargeRate     float64 // largest charging as a share of Capacity an hour; 0: no limit
}

// InstallerSheet holds figures to hand to a licensed person. They are no
// instructions, and local rules go before them.
type InstallerSheet struct {
	ControllerCurrent figure.Maybe[units.Current]     `json:"controller_a"`   // it must carry, held to the battery's limit
	ChargeLimit       figure.Maybe[units.Current]     `json:"charge_limit_a"` // what the battery takes; the load's current comes on top
	Limited           bool                            `json:"-"`              // the panel could give more than ChargeLimit
	MPPT              bool                            `json:"-"`              // the controller can be set to it
	PVFuse            figure.Maybe[units.Current]     `json:"panel_fuse_a"`
	ColdVoltage       figure.Maybe[units.Voltage]     `json:"cold_open_circuit_v"`
	ColdAt            figure.Maybe[units.Temperature] `json:"cold_c"` // that ColdVoltage was reckoned for
	// BatteryCurrent and BatteryFuse are of the circuit from the battery to the
	// pump, or to the inverter of an AC pump.
	BatteryCurrent figure.Maybe[units.Current]    `json:"battery_a"`
	BatteryFuse    figure.Maybe[units.Current]    `json:"battery_fuse_a"`
	LeastCopper    figure.Maybe[supply.Conductor] `json:"least_copper_mm2"`    // of the cable to the pump
	Gauge          figure.Maybe[string]           `json:"least_copper_awg"`    // the American one no thinner
	InverterCopper figure.Maybe[supply.Conductor] `json:"inverter_copper_mm2"` // from battery to inverter, by what it may carry
	ChargeFuse     figure.Maybe[units.Current]    `json:"charge_fuse_a"`       // at the battery's end of the lead from the controller
	ChargeCopper   figure.Maybe[supply.Conductor] `json:"charge_copper_mm2"`   // of that lead, by what it may carry
	InverterSurge  figure.Maybe[units.Power]      `json:"inverter_surge_w"`
	Warnings       data.Doubts                    `json:"-"`
}

// ForInstaller returns the figures that s allows; each of the others says what
// is missing. The battery fuse protects the cable to the pump: the one there is,
// else the least that serves. An AC pump hangs on the inverter: there the fuse
// protects the leads from the battery to it, and follows its rated power.
func ForInstaller(s InstallerSpec) InstallerSheet {
	out := InstallerSheet{
		MPPT:              s.MPPT,
		ControllerCurrent: ControllerCurrent(s.MPPT, s.Panel, s.ShortCircuit*units.Current(max(1, s.Strings)), s.BatteryVoltage),
		PVFuse: figure.Given(s.ShortCircuit > 0, PVFuse(s.ShortCircuit),
			"the panel's short-circuit current (I_sc on its label) is not given (panel.short_circuit_current); the fuse is 1.56 times "+
				"that"),
		ColdVoltage:   figure.Unknown[units.Voltage]("the panel's open-circuit voltage is not known"),
		ColdAt:        figure.Unknown[units.Temperature]("the panel's open-circuit voltage is not known"),
		InverterSurge: figure.Given(s.ACPump > 0, InverterSurge(s.ACPump), "there is no AC pump on an inverter"),
	}
	if s.OpenCircuit > 0 {
		v, at := ColdVoltage(s.OpenCircuit, max(1, s.Series), s.ColdestMonth)
		out.ColdVoltage, out.ColdAt = figure.Known(v), figure.Known(at)
	}
	s.limit(&out)
	out.ChargeFuse, out.ChargeCopper = s.protected(out.ControllerCurrent)
	s.wiring(&out)
	if c := out.ControllerCurrent; c.Known && c.Value > singleController {
		out.Warnings.Say("battery.voltage",
			"at %.3g V the panel charges with up to %.0f A, and one controller takes 60 to %d A at most (common practice, no source): "+
				"a battery of higher voltage, or several controllers with a part of the panel each",
			float64(s.BatteryVoltage), float64(c.Value), singleController)
	}
	return out
}

// protected returns the fuse of a circuit that starts at the battery and the
// least conductor that it protects.
func (s InstallerSpec) protected(current figure.Maybe[units.Current]) (figure.Maybe[units.Current], figure.Maybe[supply.Conductor]) {
	if !current.Known {
		return current, figure.Unknown[supply.Conductor](current.Why)
	}
	fuse, err := FuseFor(current.Value)
	if err != nil {
		return figure.OrWhy(units.Current(0), err), figure.OrWhy(supply.Conductor{}, err)
	}
	copper, err := supply.ConductorCarrying(supply.FixedWiring(), fuse)
	return figure.Known(fuse), figure.OrWhy(copper, err)
}

// wiring fills in the cable to the pump and the circuit from the battery.
func (s InstallerSpec) wiring(out *InstallerSheet) {
	out.InverterCopper = figure.Unknown[supply.Conductor]("there is no AC pump on an inverter")
	out.LeastCopper = figure.Unknown[supply.Conductor]("the run of the cable or its current is not known")
	if s.Run > 0 && s.LoadCurrent > 0 && s.LoadVoltage > 0 {
		out.LeastCopper = figure.OrWhy(supply.LeastConductor(supply.FixedWiring(), s.LoadCurrent, s.Run, s.LoadVoltage))
	}
	out.Gauge = supply.GaugeOf(out.LeastCopper)
	if s.ACPump > 0 {
		s.inverterCircuit(out)
		return
	}
	out.BatteryCurrent = figure.Given(s.Load > 0 && s.BatteryVoltage > 0, units.Current(float64(s.Load)/max(1e-9,
		float64(s.BatteryVoltage))),
		"the load or the battery's voltage is not known")
	out.BatteryFuse = figure.Unknown[units.Current](out.BatteryCurrent.Why)
	if !out.BatteryCurrent.Known {
		return
	}
	switch {
	case s.Cable != nil:
		out.BatteryFuse = figure.OrWhy(BatteryFuse(out.BatteryCurrent.Value, s.Cable.Ampacity))
	case out.LeastCopper.Known:
		out.BatteryFuse = figure.OrWhy(BatteryFuse(out.BatteryCurrent.Value, out.LeastCopper.Value.Ampacity))
	default:
		out.BatteryFuse = figure.Unknown[units.Current]("the cable it has to protect is not known")
	}
}

// inverterCircuit fills in the circuit from the battery to the inverter. The
// cable to the pump is another one, behind the inverter's own protection.
func (s InstallerSpec) inverterCircuit(out *InstallerSheet) {
	switch {
	case !(s.BatteryVoltage > 0 && s.InverterShare > 0):
		out.BatteryCurrent = figure.Unknown[units.Current]("the battery's voltage or the inverter's efficiency is not known")
	case s.InverterRated > 0:
		out.BatteryCurrent = figure.Known(InverterCurrent(s.InverterRated, s.InverterShare, s.BatteryVoltage))
	default:
		out.BatteryCurrent = figure.Unknown[units.Current](units.Say(
			"it follows the inverter's rated power, which is not given (inverter.rated); the start of this pump alone may draw %.3g A",
			float64(InverterCurrent(InverterSurge(s.ACPump), s.InverterShare, s.BatteryVoltage))))
	}
	out.BatteryFuse, out.InverterCopper = s.protected(out.BatteryCurrent)
}

// limit holds the controller to what the battery takes, as the balance does,
// where the panel could give more:
//
//	I_limit = rate × capacity
//	I = min(I_panel, I_limit + I_load)
//
// A PWM controller joins panel and battery and cannot be told so.
func (s InstallerSpec) limit(out *InstallerSheet) {
	takes := units.Current(s.ChargeRate * float64(s.Capacity) / 3600)
	out.ChargeLimit = figure.Given(s.Capacity > 0, takes, "the battery's size is not known")
	if s.ChargeRate == 0 {
		out.ChargeLimit = figure.Unknown[units.Current]("the battery has no charging limit (battery.charge_rate)")
	}
	panel := out.ControllerCurrent
	if !out.ChargeLimit.Known || !panel.Known || panel.Value <= takes {
		return
	}
	out.Limited = true
	text := units.Say("the panel could charge with up to %.3g A, and the battery takes %.3g A at most (%.3g of its size an hour), "+
		"which is all that is counted on: ",
		float64(panel.Value), float64(takes), s.ChargeRate)
	if s.MPPT {
		out.ControllerCurrent = figure.Known(min(panel.Value, takes+units.Current(float64(s.Load)/float64(s.BatteryVoltage))))
		text += units.Say("set the charging limit of the controller, or of several together, to %.3g A; "+
			"what the pump takes may come on top only where the limit is measured at the battery. "+
			"More panel than a controller's rated output needs its maker's leave: else more battery, or less panel", float64(takes))
	} else {
		text += "a PWM controller cannot hold it back: take less panel, more battery or an MPPT controller with a charging limit"
	}
	out.Warnings = append(out.Warnings, data.Warning{Key: "battery.charge_rate", Message: text})
}
