package energy

import (
	"strings"
	"testing"

	"sunrill/data/units"
)

// Each figure by the single functions' own checks; here that they come
// together: 60 W at 25.6 V is 2.34 A, times 1.25 is 2.93 A: a 3 A fuse. Over 9 m
// at 24 V 0.72 V may be lost, 17.1 ohm/km at 2.34 A: 1.5 mm² flexible (14.3 at 40 °C).
func TestForInstaller(t *testing.T) {
	s := InstallerSpec{
		MPPT: true, Panel: 450, OpenCircuit: 44, ColdestMonth: units.Celsius(8), BatteryVoltage: 25.6, Load: 60,
		LoadVoltage: 24, LoadCurrent: 2.34, Run: 9, Refill: 1200 * units.WattHour, Charger: 200, ChargeShare: 0.95,
	}
	out := ForInstaller(s, Conductors())
	near(t, "fuse", float64(out.BatteryFuse.Value), 3, 0)
	near(t, "copper", out.LeastCopper.Value.Area.In(units.SquareMillimetre), 1.5, 1e-9)
	near(t, "cold voltage", float64(out.ColdVoltage.Value), 44*(1+0.003*32), 1e-9) // -7 °C is 32 below 25
	near(t, "refill", out.GeneratorRefill.Value.In(units.Hour), 6.316, 0.001)
	if out.VentFlow.Known || out.PVFuse.Known || out.PVFuse.Why == "" {
		t.Errorf("lithium without a short-circuit current: %+v, %+v", out.VentFlow, out.PVFuse)
	}
	s.Lead, s.Cells, s.Capacity = true, 6, 200*units.AmpereHour
	near(t, "HY1", ForInstaller(s, Conductors()).VentOpening.Value.In(units.SquareCentimetre), 33.6, 1e-9)
	s.Cable = &Conductor{Ampacity: 2.5}
	if f := ForInstaller(s, Conductors()).BatteryFuse; f.Known || !strings.Contains(f.Why, "thicker cable") {
		t.Errorf("a fuse above its cable: %+v", f)
	}
	// The cable to an AC pump leads to its inverter: no fuse at the battery can be
	// told from it, whatever it may carry.
	s.ACPump = 90
	ac := ForInstaller(s, Conductors())
	near(t, "surge", float64(ac.InverterSurge.Value), 270, 0)
	if f := ac.BatteryFuse; f.Known || !strings.Contains(f.Why, "inverter") {
		t.Errorf("a fuse at the battery by the cable behind the inverter: %+v", f)
	}
	// Nothing known: every figure says what is missing.
	none := ForInstaller(InstallerSpec{}, Conductors())
	for what, why := range map[string]string{
		"controller": none.ControllerCurrent.Why, "PV fuse": none.PVFuse.Why, "cold": none.ColdVoltage.Why, "current": none.BatteryCurrent.Why, "fuse": none.BatteryFuse.Why,
		"copper": none.LeastCopper.Why, "surge": none.InverterSurge.Why, "refill": none.GeneratorRefill.Why, "air": none.VentFlow.Why,
	} {
		if why == "" {
			t.Errorf("%s: no reason", what)
		}
	}
}
