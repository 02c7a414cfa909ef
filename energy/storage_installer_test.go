package energy

import (
	"testing"

	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/solar/sky"
)

// A plant of several strings: 10 modules of 100 W, 18 V and 6 A are 10 strings, so
// a PWM controller carries 1.25 × 60 A; the fuse is that of one, 1.56 × 6 A.
func TestShortCircuitCurrentOfOnePanel(t *testing.T) {
	isc, v := 6*units.Ampere, 18*units.Volt
	p := plan.Plan{}
	p.Panel.ShortCircuitCurrent, p.Panel.WorkingVoltage, p.Panel.InSeries = &isc, &v, 1
	b := 12 * units.Volt
	p.Battery.Voltage = &b
	s := Storage{plan: &p, Sky: &sky.Sky{Charger: sky.Charger{Kind: "PWM"}}}
	out := s.Charging(1000, 1200)
	reftest.Near(t, "PWM", float64(out.ControllerCurrent.Value), 75, 1e-9)
	reftest.Near(t, "fuse of a string", float64(out.PVFuse.Value), 9.375, 1e-9)
}

// TestPanelThatNothingHoldsBack: a PWM controller passes all that the panel gives, so that the
// battery bought takes its short-circuit current in full sun, and nothing is to be warned of.
func TestPanelThatNothingHoldsBack(t *testing.T) {
	for _, kind := range []string{"PWM", "none"} {
		s := storageOf(t, "controller.kind="+kind, "battery.kind=sealed lead", "panel.working_voltage=18 V", "panel.short_circuit_current=6 A",
			"panel.sizes=100 W", "battery.sizes=20 Ah", "battery.charge_rate=0.05")
		z, err := s.Size()
		if err != nil || z.Nothing != nil {
			t.Fatal(err, z.Nothing)
		}
		c := z.Front.Chosen
		if gives, takes := 6*c.PanelW/100, 0.05*c.BoughtWh/12; gives > takes*(1+1e-9) || s.Charging(c.PanelW, c.BoughtWh).Limited {
			t.Errorf("%s: %g W drive %g A into %g Wh, which take %g A", kind, c.PanelW, gives, c.BoughtWh, takes)
		}
	}
}

// TestPanelWorksAboveItsBattery: an MPPT controller steps down only. 300 W of 31 V charge no 48 V
// battery by themselves: as many in series as do, or a warning where the plan says how many.
func TestPanelWorksAboveItsBattery(t *testing.T) {
	sets := []string{"battery.voltage=51.2 V", "panel.working_voltage=31 V", "panel.open_circuit_voltage=37 V", "panel.short_circuit_current=9.5 A",
		"panel.sizes=300 W", "battery.sizes=100 Ah", "panel.cable_run=12 m"}
	s := storageOf(t, sets...)
	z, err := s.Size()
	if err != nil || z.Nothing != nil {
		t.Fatal(err, z.Nothing)
	}
	sheet := s.Charging(z.Front.Chosen.PanelW, z.Front.Chosen.BoughtWh)
	strings := z.Bill.PanelUnits.Value / z.Bill.PanelSeries
	hot := float64(s.Sky.HotWorking(31)) * float64(z.Bill.PanelSeries)
	if hot <= 56 || z.Bill.PanelUnits.Value%z.Bill.PanelSeries != 0 || !assumes(z.Assumed, "panel.in_series") {
		t.Errorf("%d panels, %d in series, work at %g V", z.Bill.PanelUnits.Value, z.Bill.PanelSeries, hot)
	}
	reftest.Near(t, "strings of the sheet", float64(sheet.PanelCurrent.Value), 1.25*9.5*float64(strings), 1e-9)
	s = storageOf(t, append(sets, "panel.in_series=1")...)
	warned := false
	for _, w := range s.Charging(300, 5120).Warnings {
		warned = warned || w.Key == "panel.in_series"
	}
	if !warned {
		t.Error("31 V on 51.2 V are not warned of")
	}
}
