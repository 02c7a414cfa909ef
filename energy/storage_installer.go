package energy

import (
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// Charging returns the figures for an installer that a panel and a battery of
// these sizes give: what the controller carries, its fuse and its doubts.
func (s *Storage) Charging(panelW, batteryWh float64) InstallerSheet {
	spec := s.installer(panelW, batteryWh)
	if len(s.Record.Load) > 0 {
		spec.Load = units.Power(slices.Max(s.Record.Load))
	}
	return ForInstaller(spec, Conductors())
}

// installer returns what is known of the installation without its load.
func (s *Storage) installer(panelW, batteryWh float64) InstallerSpec {
	p, b, v := s.plan, s.Battery, batteryVoltage(s.plan)
	out := InstallerSpec{Panel: units.Power(panelW), Series: p.Panel.InSeries, BatteryVoltage: v, OpenCircuit: figure.OrZero(p.Panel.OpenCircuitVoltage),
		ShortCircuit: figure.OrZero(p.Panel.ShortCircuitCurrent), Run: figure.OrZero(p.Cable.Run), Class: flexible, Lead: b.Lead, Sealed: b.Kind == "sealed lead",
		Refill: b.Usable(wattHours(batteryWh)), ChargeShare: b.ChargeShare, ChargeRate: b.ChargeLimit}
	if isc := float64(out.ShortCircuit); isc > 0 {
		out.Strings = int(math.Ceil(panelW/(isc*float64(workingVoltage(p, v))) - 1e-9))
	}
	if s.Sky != nil {
		out.MPPT = s.Sky.Charger.Kind == "MPPT"
		out.ColdestMonth = units.Celsius(s.Sky.Climate.TempC[0])
		for _, t := range s.Sky.Climate.TempC[1:] {
			out.ColdestMonth = min(out.ColdestMonth, units.Celsius(t))
		}
	} else {
		out.OpenCircuit = 0 // a log tells no temperature
	}
	if v > 0 {
		out.Capacity = units.Charge(batteryWh / float64(v) * 3600)
	}
	if b.CellVoltage > 0 {
		out.Cells = int(math.Round(float64(v / b.CellVoltage)))
	}
	return out
}

// TakeSized takes the pair that Size would buy for the panel and the battery that
// the plan leaves open, and lists what it took.
func (s *Storage) TakeSized() error {
	if s.PanelW.Known && s.NominalWh.Known {
		return nil
	}
	z, err := s.Size()
	if err != nil || z.Nothing != nil {
		return err
	}
	c := z.Front.Chosen
	const why = "not given: what sunrill size would buy"
	if !s.PanelW.Known {
		s.PanelW = figure.Known(c.PanelW)
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "panel.watts", Kind: units.KindPower, Value: c.PanelW, Why: why})
	}
	if !s.NominalWh.Known {
		s.NominalWh = figure.Known(c.BoughtWh)
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.size", Kind: units.KindEnergy, Value: float64(wattHours(c.BoughtWh)), Why: why})
	}
	return nil
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
	text := units.Sprintf("the panel could charge with up to %.3g A, and the battery takes %.3g A at most (%.3g of its size an hour), which is all that is counted on: ",
		float64(panel.Value), float64(takes), s.ChargeRate)
	if s.MPPT {
		out.ControllerCurrent = figure.Known(min(panel.Value, takes+units.Current(float64(s.Load)/float64(s.BatteryVoltage))))
		text += units.Sprintf("set the charging limit of the controller, or of several together, to %.3g A; what the pump takes may come on top only where the limit is measured at the battery. "+
			"More panel than a controller's rated output needs its maker's leave: else more battery, or less panel", float64(takes))
	} else {
		text += "a PWM controller cannot hold it back: take less panel, more battery or an MPPT controller with a charging limit"
	}
	out.Warnings = append(out.Warnings, data.Warning{Key: "battery.charge_rate", Message: text})
}

// controllerDoubt warns of a charge current beyond one controller.
func controllerDoubt(current figure.Maybe[units.Current], battery units.Voltage) []data.Warning {
	if !current.Known || current.Value <= singleController {
		return nil
	}
	return []data.Warning{{Key: "battery.voltage", Message: units.Sprintf(
		"at %.3g V the panel charges with up to %.0f A, and one controller takes 60 to %d A at most (common practice, no source): a battery of higher voltage, or several controllers with a part of the panel each",
		float64(battery), float64(current.Value), singleController)}}
}
