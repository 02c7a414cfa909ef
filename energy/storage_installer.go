package energy

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// Charging returns the figures for an installer that a panel and a battery of
// these sizes give without a load: what the controller carries, its fuse and its
// doubts.
func (s *Storage) Charging(panelW, batteryWh float64) InstallerSheet {
	return ForInstaller(s.installer(panelW, batteryWh), Conductors())
}

// installer returns what is known of the installation without its load.
func (s *Storage) installer(panelW, batteryWh float64) InstallerSpec {
	p, b, v := s.plan, s.Battery, batteryVoltage(s.plan)
	out := InstallerSpec{Panel: units.Power(panelW), Series: p.Panel.InSeries, BatteryVoltage: v, OpenCircuit: known(p.Panel.OpenCircuitVoltage),
		ShortCircuit: known(p.Panel.ShortCircuitCurrent), Run: known(p.Cable.Run), Class: flexible, Lead: b.Lead, Sealed: b.Kind == "sealed lead",
		Refill: b.Usable(wattHours(batteryWh)), ChargeShare: b.ChargeShare}
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
		s.PanelW = Known(c.PanelW)
		s.Assumed = append(s.Assumed, Assumed{Key: "panel.watts", Kind: units.KindPower, Value: c.PanelW, Why: why})
	}
	if !s.NominalWh.Known {
		s.NominalWh = Known(c.BoughtWh)
		s.Assumed = append(s.Assumed, Assumed{Key: "battery.size", Kind: units.KindEnergy, Value: float64(wattHours(c.BoughtWh)), Why: why})
	}
	return nil
}

// controllerDoubt warns of a charge current beyond one controller.
func controllerDoubt(current Maybe[units.Current], battery units.Voltage) []data.Warning {
	if !current.Known || current.Value <= singleController {
		return nil
	}
	return []data.Warning{{Key: "battery.voltage", Message: fmt.Sprintf(
		"at %.3g V the panel charges with up to %.0f A, and one controller takes 60 to %d A at most (common practice, no source): a battery of higher voltage, or several controllers with a part of the panel each",
		float64(battery), float64(current.Value), singleController)}}
}
