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
