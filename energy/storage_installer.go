package energy

import (
	"math"
	"slices"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/wiring"
	"sunrill/solar/sky"
)

// Charging returns the figures for an installer that a panel and a battery of
// these sizes give: what the controller carries, its fuse and its doubts.
func (s *Storage) Charging(panelW, batteryWh float64) wiring.InstallerSheet {
	spec := s.installer(panelW, batteryWh)
	if len(s.Record.Load) > 0 {
		spec.Load = units.Power(slices.Max(s.Record.Load))
	}
	return wiring.ForInstaller(spec)
}

// installer returns what is known of the installation without its load.
func (s *Storage) installer(panelW, batteryWh float64) wiring.InstallerSpec {
	p, b, v := s.plan, s.Battery, sky.BatteryVoltage(s.plan)
	out := wiring.InstallerSpec{Panel: units.Power(panelW), Series: p.Panel.InSeries, BatteryVoltage: v,
		OpenCircuit:  figure.OrZero(p.Panel.OpenCircuitVoltage),
		ShortCircuit: figure.OrZero(p.Panel.ShortCircuitCurrent), Run: figure.OrZero(p.Cable.Run), ChargeRate: b.ChargeLimit}
	if isc := float64(out.ShortCircuit); isc > 0 {
		out.Strings = int(math.Ceil(panelW/(isc*float64(sky.WorkingVoltage(p, v))) - 1e-9))
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
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.size", Kind: units.KindEnergy,
			Value: float64(battery.WattHours(c.BoughtWh)), Why: why})
	}
	return nil
}
