package energy

import (
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/bill"
	"sunrill/energy/supply"
	"sunrill/energy/wiring"
	"sunrill/solar/sky"
)

// Charging returns the figures for an installer that a panel and a battery of
// these sizes give: what the controller carries, its fuse and its doubts.
func (s *Storage) Charging(panelW, batteryWh float64) wiring.InstallerSheet {
	shop := s.shop(s.Pump != nil && s.Pump.OnInverter)
	spec := s.installer(panelW, batteryWh, shop.Of(panelW, batteryWh, 1))
	if len(s.Record.Load) > 0 {
		spec.Load = units.Power(slices.Max(s.Record.Load))
	}
	return wiring.ForInstaller(spec)
}

// installer returns what is known of the installation by its bill, without its load.
func (s *Storage) installer(panelW, batteryWh float64, bought bill.Bill) wiring.InstallerSpec {
	p, b := s.plan, s.Battery
	row, _ := data.BatteryKindOf(p.Battery.Kind) // without a cell for a kind that is none
	volts := row.Volts(bought.BatteryV)
	n := p.Panel
	longer := units.Voltage(max(1, bought.PanelSeries, n.InSeries)) / units.Voltage(max(1, n.InSeries)) // strings than the plan says
	out := wiring.InstallerSpec{MPPT: s.Sky != nil && s.Sky.Charger.Kind == "MPPT", Panel: units.Power(panelW),
		Controllers: bought.Controllers, Controller: units.Current(bought.ControllerA.Value),
		Working:      sky.WorkingVoltage(p, volts.Nominal) * longer,
		ShortCircuit: figure.OrZero(n.ShortCircuitCurrent), ModuleFuse: figure.OrZero(n.FuseRating), PanelRun: figure.OrZero(n.CableRun),
		PanelCable: conductorOf(n.CableArea), Battery: volts, Lithium: !b.Lead && b.NoChargeBelow > 0, Run: figure.OrZero(p.Cable.Run),
		Cable: conductorOf(p.Cable.Area), ChargeRate: b.ChargeLimit}
	switch isc := float64(out.ShortCircuit); {
	case bought.PanelUnits.Known:
		out.Strings = bought.PanelUnits.Value / bought.PanelSeries
	case isc > 0:
		out.Strings = int(math.Ceil(panelW/(isc*float64(out.Working)) - 1e-9))
	}
	if v, guessed := sky.OpenCircuitVoltage(p); s.Sky != nil { // a log tells no temperature
		if !guessed {
			out.OpenCircuit = v * longer
		}
		if n.WorkingVoltage != nil {
			out.HotWorking = s.Sky.HotWorking(out.Working)
		}
		out.Coldest, out.Air = s.Sky.ColdestCell(), s.Sky.HottestAir()
	}
	if v := volts.Nominal; v > 0 {
		out.Capacity = units.Charge(batteryWh / float64(v) * 3600)
	}
	return out
}

// conductorOf returns the conductor of a given area, nil where none is given or known.
func conductorOf(area *units.Area) *supply.Conductor {
	if area == nil {
		return nil
	}
	c, _, err := supply.ConductorOf(supply.Conductors(), *area)
	if err != nil {
		return nil
	}
	return &c
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
