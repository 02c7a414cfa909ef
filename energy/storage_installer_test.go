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
