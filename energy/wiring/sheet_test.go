package wiring

import (
	"errors"
	"strings"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// Each figure by the single functions' own checks; here that they come
// together: 60 W at 25.6 V is 2.34 A, times 1.25 is 2.93 A: a 3 A fuse. Over 9 m
// at 24 V 0.72 V may be lost, 17.1 ohm/km at 2.34 A: 1.5 mm² flexible (14.3 at 40 °C).
func TestForInstaller(t *testing.T) {
	s := InstallerSpec{
		MPPT: true, Panel: 450, OpenCircuit: 44, ColdestMonth: units.Celsius(8), BatteryVoltage: 25.6, Load: 60,
		LoadVoltage: 24, LoadCurrent: 2.34, Run: 9,
	}
	out := ForInstaller(s)
	reftest.Near(t, "fuse", float64(out.BatteryFuse.Value), 3, 0)
	reftest.Near(t, "copper", out.LeastCopper.Value.Area.In(units.SquareMillimetre), 1.5, 1e-9)
	reftest.Near(t, "cold voltage", float64(out.ColdVoltage.Value), 44*(1+0.003*32), 1e-9) // -7 °C is 32 below 25
	// The charging circuit has its own: 1.25 × 450 W / 25.6 V = 21.97 A, times 1.25
	// is 27.5 A: a 30 A fuse, which 4 mm² may carry.
	reftest.Near(t, "controller", float64(out.ControllerCurrent.Value), 21.97, 0.005)
	reftest.Near(t, "charge fuse", float64(out.ChargeFuse.Value), 30, 0)
	reftest.Near(t, "charge copper", out.ChargeCopper.Value.Area.In(units.SquareMillimetre), 4, 1e-9)
	if out.PVFuse.Known || out.PVFuse.Why == "" {
		t.Errorf("without a short-circuit current: %+v", out.PVFuse)
	}
	s.Cable = &supply.Conductor{Ampacity: 2.5}
	if f := ForInstaller(s).BatteryFuse; f.Known || !strings.Contains(f.Why.String(), "thicker cable") {
		t.Errorf("a fuse above its cable: %+v", f)
	}
	// Nothing known: every figure says what is missing.
	none := ForInstaller(InstallerSpec{})
	for what, why := range map[string]string{
		"controller": none.ControllerCurrent.Why.String(), "PV fuse": none.PVFuse.Why.String(), "cold": none.ColdVoltage.Why.String(), "current": none.BatteryCurrent.Why.String(), "fuse": none.BatteryFuse.Why.String(),
		"copper": none.LeastCopper.Why.String(), "surge": none.InverterSurge.Why.String(),
	} {
		if why == "" {
			t.Errorf("%s: no reason", what)
		}
	}
}

// By hand: 300 W of inverter at 90 % on a 12.8 V battery that is down to 11.2 V
// take 29.76 A; times 1.25 is 37.2 A: a 40 A fuse, which 10 mm² may carry. The
// cable to the pump at 230 V has no part in it: fixed wiring takes 1.5 mm² at least
// (IEC 60364-5-52, from memory), however little it carries.
func TestTheInverterSetsTheBatteryFuse(t *testing.T) {
	s := InstallerSpec{BatteryVoltage: 12.8, Load: 60, ACPump: 53.6, LoadVoltage: 230, LoadCurrent: 0.233, Run: 9,
		Cable: &supply.Conductor{Ampacity: 6}, InverterRated: 300, InverterShare: 0.9}
	out := ForInstaller(s)
	reftest.Near(t, "current", float64(out.BatteryCurrent.Value), 29.76, 0.005)
	reftest.Near(t, "fuse", float64(out.BatteryFuse.Value), 40, 0)
	reftest.Near(t, "copper", out.InverterCopper.Value.Area.In(units.SquareMillimetre), 10, 1e-9)
	reftest.Near(t, "cable to the pump", out.LeastCopper.Value.Area.In(units.SquareMillimetre), 1.5, 1e-9)
	reftest.Near(t, "surge", float64(out.InverterSurge.Value), 160.8, 1e-9)
	// Without its rating the start alone is known: 160.8 W / (0.9 × 11.2 V) = 15.95 A.
	s.InverterRated = 0
	if out = ForInstaller(s); out.BatteryFuse.Known || !strings.Contains(out.BatteryFuse.Why.String(), "inverter.rated") || !strings.Contains(out.BatteryFuse.Why.String(), "16 A") {
		t.Errorf("a fuse without the inverter's rating: %+v", out.BatteryFuse)
	}
}

// By hand: 1.25 × 14500 W / 12.8 V = 1416 A. No controller and no fuse is that
// large, and it is said; 450 W at 25.6 V, 22 A, needs no word.
func TestLargeChargeCurrentsAreDoubted(t *testing.T) {
	out := ForInstaller(InstallerSpec{MPPT: true, Panel: 14500, BatteryVoltage: 12.8})
	reftest.Near(t, "controller", float64(out.ControllerCurrent.Value), 1416, 0.1)
	if len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0].Message.String(), "several controllers") || out.ChargeFuse.Known {
		t.Errorf("1416 A: %v, fuse %+v", out.Warnings, out.ChargeFuse)
	}
	if out = ForInstaller(InstallerSpec{MPPT: true, Panel: 450, BatteryVoltage: 25.6}); len(out.Warnings) > 0 {
		t.Errorf("22 A: %v", out.Warnings)
	}
}

// By hand: 7650 W of panel at 12 V could charge with 1.25 × 637.5 = 797 A. A lead
// battery of 308 Ah that takes 0.2 of its size an hour is given 61.6 A, and 34 W of
// pump 2.83 A beside it: 64.4 A, with a fuse of 100 A (1.25 × 64.4 = 80.5). That is
// all that the balance charges with. A PWM controller cannot be set so, and a
// battery of 0.5 an hour takes all that 1000 W give.
func TestTheBatteryLimitsTheCharging(t *testing.T) {
	s := InstallerSpec{MPPT: true, Panel: 7650, BatteryVoltage: 12, Load: 34, Capacity: 308 * units.AmpereHour, ChargeRate: 0.2}
	out := ForInstaller(s)
	reftest.Near(t, "limit", float64(out.ChargeLimit.Value), 61.6, 1e-9)
	reftest.Near(t, "controller", float64(out.ControllerCurrent.Value), 64.433, 0.001)
	reftest.Near(t, "fuse", float64(out.ChargeFuse.Value), 100, 0)
	if len(out.Warnings) != 1 || out.Warnings[0].Key != "battery.charge_rate" || !strings.Contains(out.Warnings[0].Message.String(), "61.6 A") || !strings.Contains(out.Warnings[0].Message.String(), "797 A") {
		t.Errorf("a limited controller: %v", out.Warnings)
	}
	s.MPPT, s.ShortCircuit = false, 100
	if out = ForInstaller(s); out.ControllerCurrent.Value != 125 || len(out.Warnings) != 2 || !strings.Contains(out.Warnings[0].Message.String(), "PWM") {
		t.Errorf("PWM: %+v, %v", out.ControllerCurrent, out.Warnings)
	}
	s.MPPT, s.Panel, s.ChargeRate = true, 1000, 0.5
	if out = ForInstaller(s); out.Limited || len(out.Warnings) > 1 {
		t.Errorf("104 A into 154 A: %v", out.Warnings)
	}
	s.ChargeRate = 0
	if out = ForInstaller(s); out.Limited || out.ChargeLimit.Known || out.ChargeLimit.Why == "" {
		t.Errorf("no limit: %+v", out.ChargeLimit)
	}
}

// FU1: five 3 A modules in parallel at 1.56: 23.4 A (fuse makers' factor 1.25²).
func TestFU1PVFuse(t *testing.T) { reftest.Near(t, "FU1", float64(PVFuse(5*3)), 23.4, 0.05) }

func TestInstallerFigures(t *testing.T) {
	// By hand: 1.25 × 450 W / 25.6 V = 21.97 A; 1.25 × 8 A = 10 A.
	reftest.Near(t, "MPPT", float64(ControllerCurrent(true, 450, 0, 25.6).Value), 21.97, 0.005)
	reftest.Near(t, "PWM", float64(ControllerCurrent(false, 0, 8, 12.8).Value), 10, 1e-9)
	if got := ControllerCurrent(false, 100, 0, 12.8); got.Known || got.Why == "" {
		t.Errorf("PWM without a short-circuit current gave %+v", got)
	}
	// By hand: 2 × 22 V × (1 - 0.003 × (-10 - 25)) = 48.62 V at 5 - 15 = -10 °C.
	v, at := ColdVoltage(22, 2, units.Celsius(5))
	reftest.Near(t, "cold voltage", float64(v), 48.62, 1e-9)
	reftest.Near(t, "cold", at.InCelsius(), -10, 1e-9)
	// 1.25 × 13 A = 16.25 A: the next usual fuse is 20 A, under 30 A of cable.
	f, err := BatteryFuse(13, 30)
	reftest.Near(t, "fuse", float64(f), 20, 0)
	if err != nil {
		t.Error(err)
	}
	for _, c := range [][2]units.Current{{13, 17}, {13, 0}, {390, 600}} {
		if _, err := BatteryFuse(c[0], c[1]); !errors.Is(err, ErrNoFuse) {
			t.Errorf("fuse for %v: %v", c, err)
		}
	}
	reftest.Near(t, "surge", float64(InverterSurge(90)), 270, 0)
}
