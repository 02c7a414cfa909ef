package energy

import "sunrill/data/units"

// InstallerSpec is what the figures for an installer are made from. What is
// not known stays 0.
type InstallerSpec struct {
	MPPT           bool
	Panel          units.Power
	OpenCircuit    units.Voltage // of one module
	ShortCircuit   units.Current // of one module
	VoltagePerK    float64       // its temperature coefficient of open-circuit voltage [1/K]; 0: the usual one
	Series         int           // modules in series; 0 is 1
	Strings        int           // in parallel; 0 is 1
	ColdestMonth   units.Temperature
	BatteryVoltage units.Voltage
	Load           units.Power // the largest continuous one at the battery terminals
	LoadVoltage    units.Voltage
	LoadCurrent    units.Current // in the cable to the pump, on the pump's side of an inverter
	Run            units.Length  // of that cable, one way
	Class          int           // of its conductor, 2 or 5; 0 is 5
	Cable          *Conductor    // the one there is; nil where it is to be chosen
	ACPump         units.Power   // running watts on an inverter
	Refill         units.Energy  // to bring the battery from its lowest to full
	Charger        units.Power   // of a generator's charger
	ChargeShare    float64       // of it that is stored
	Lead           bool          // the battery gives off hydrogen
	Sealed         bool
	Cells          int
	Capacity       units.Charge
}

// InstallerSheet holds figures to hand to a licensed person. They are no
// instructions, and local rules go before them.
type InstallerSheet struct {
	ControllerCurrent Maybe[units.Current]
	PVFuse            Maybe[units.Current]
	ColdVoltage       Maybe[units.Voltage]
	ColdAt            units.Temperature // that ColdVoltage was reckoned for
	BatteryCurrent    Maybe[units.Current]
	BatteryFuse       Maybe[units.Current]
	LeastCopper       Maybe[Conductor]
	InverterSurge     Maybe[units.Power]
	GeneratorRefill   Maybe[units.Duration]
	VentFlow          Maybe[units.Flow]
	VentOpening       Maybe[units.Area] // each of two, low and high
}

// ForInstaller returns the figures that s allows; each of the others says what
// is missing. The battery fuse protects the cable to the pump: the one there is,
// else the least that serves. An AC pump hangs on the inverter, so its cable does
// not lead to the battery, and the inverter's own leads and start are not known
// here.
func ForInstaller(s InstallerSpec, rows []Conductor) InstallerSheet {
	if s.Class == 0 {
		s.Class = 5
	}
	out := InstallerSheet{
		ControllerCurrent: ControllerCurrent(s.MPPT, s.Panel, s.ShortCircuit*units.Current(max(1, s.Strings)), s.BatteryVoltage),
		PVFuse:            given(s.ShortCircuit > 0, PVFuse(s.ShortCircuit, max(1, s.Strings)), "the panel's short-circuit current is not known"),
		ColdVoltage:       Unknown[units.Voltage]("the panel's open-circuit voltage is not known"),
		InverterSurge:     given(s.ACPump > 0, InverterSurge(s.ACPump), "there is no AC pump on an inverter"),
		GeneratorRefill:   Unknown[units.Duration]("no generator's charger is named"),
		VentFlow:          Unknown[units.Flow]("the battery gives off no hydrogen in use"),
		VentOpening:       Unknown[units.Area]("the battery gives off no hydrogen in use"),
	}
	if s.OpenCircuit > 0 {
		v, at, err := ColdVoltage(s.OpenCircuit, max(1, s.Series), s.VoltagePerK, s.ColdestMonth)
		out.ColdVoltage, out.ColdAt = orWhy(v, err), at
	}
	if s.Charger > 0 {
		out.GeneratorRefill = orWhy(RefillHours(s.Refill, s.Charger, s.ChargeShare))
	}
	if s.Lead {
		gas := VentedBoost
		if s.Sealed {
			gas = SealedBoost
		}
		q, a := Ventilation(s.Cells, s.Capacity, gas)
		out.VentFlow, out.VentOpening = given(q > 0, q, "cells or capacity are not known"), given(a > 0, a, "cells or capacity are not known")
	}
	s.wiring(&out, rows)
	return out
}

// wiring fills in cable, battery current and its fuse.
func (s InstallerSpec) wiring(out *InstallerSheet, rows []Conductor) {
	out.LeastCopper = Unknown[Conductor]("the run of the cable or its current is not known")
	if s.Run > 0 && s.LoadCurrent > 0 && s.LoadVoltage > 0 {
		out.LeastCopper = orWhy(LeastConductor(rows, s.Class, s.LoadCurrent, s.Run, s.LoadVoltage, cableShare))
	}
	out.BatteryCurrent = given(s.Load > 0 && s.BatteryVoltage > 0, units.Current(float64(s.Load)/max(1e-9, float64(s.BatteryVoltage))), "the load or the battery's voltage is not known")
	out.BatteryFuse = Unknown[units.Current](out.BatteryCurrent.Why)
	if !out.BatteryCurrent.Known {
		return
	}
	switch {
	case s.ACPump > 0:
		out.BatteryFuse = Unknown[units.Current]("it protects the leads to the inverter and must pass its start: the inverter's instructions say which")
	case s.Cable != nil:
		out.BatteryFuse = orWhy(BatteryFuse(out.BatteryCurrent.Value, s.Cable.Ampacity))
	case out.LeastCopper.Known:
		out.BatteryFuse = orWhy(BatteryFuse(out.BatteryCurrent.Value, out.LeastCopper.Value.Ampacity))
	default:
		out.BatteryFuse = Unknown[units.Current]("the cable it has to protect is not known")
	}
}

// given returns v where it is known and the reason where it is not.
func given[T any](known bool, v T, why string) Maybe[T] {
	if known {
		return Known(v)
	}
	return Unknown[T](why)
}

// orWhy turns an error into the reason of a missing figure.
func orWhy[T any](v T, err error) Maybe[T] {
	if err != nil {
		return Unknown[T](err.Error())
	}
	return Known(v)
}
