package wiring

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// lithium returns the voltages of n cells of LiFePO4 by the table of batteries.
func lithium(t testing.TB, n units.Voltage) data.BatteryVolts {
	t.Helper()
	row, err := data.BatteryKindOf("LiFePO4")
	if err != nil {
		t.Fatal(err)
	}
	return row.Volts(3.2 * n)
}

// Each figure by the single functions' own checks; here that they come
// together: 60 W of constant power on eight cells at 2.8 V take 2.68 A, times 1.25 is
// 3.35 A: a 4 A fuse. Over 9 m at 26.4 V 0.79 V may be lost, 1.5 mm² flexible (14.3 ohm/km
// at 40 °C) loses 0.59 V at 2.27 A. 40 °C of air leave 0.87 of the rating.
func TestForInstaller(t *testing.T) {
	s := InstallerSpec{
		MPPT: true, Panel: 450, Working: 36, OpenCircuit: 44, Coldest: units.Celsius(-7), Air: units.Celsius(40), Battery: lithium(t, 8),
		Lithium: true, Load: 60, LoadVoltage: 26.4, LoadCurrent: 2.27, Run: 9,
		Controller: 20,
	}
	out := ForInstaller(s)
	reftest.Near(t, "current", float64(out.BatteryCurrent.Value), 60/22.4, 1e-9)
	reftest.Near(t, "fuse", float64(out.BatteryFuse.Value), 4, 0)
	reftest.Near(t, "copper", out.LeastCopper.Value.Area.In(units.SquareMillimetre), 1.5, 1e-9)
	reftest.Near(t, "may carry", float64(out.LeastCopper.Value.Ampacity), 16.5*0.87, 1e-9)
	reftest.Near(t, "cold voltage", float64(out.ColdVoltage.Value), 44*(1+0.003*32), 1e-9) // -7 °C is 32 below 25
	reftest.Near(t, "on charge", float64(out.Highest.Value), 29.2, 1e-9)
	reftest.Near(t, "absorption", float64(out.Absorption.Value), 28, 1e-9)
	reftest.Near(t, "interrupts", float64(out.Interrupting.Value), 20000, 0)
	// A controller of 20 A has, times 1.25, a 25 A fuse, which 4 mm² carry at 40 °C (0.87 x 30 = 26.1 A).
	reftest.Near(t, "charge fuse", float64(out.ChargeFuse.Value), 25, 0)
	reftest.Near(t, "charge copper", out.ChargeCopper.Value.Area.In(units.SquareMillimetre), 4, 1e-9)
	if out.PVFuse.Known || out.PVFuse.Why == "" {
		t.Errorf("without a short-circuit current: %+v", out.PVFuse)
	}
	// A pump that follows its voltage takes most on charge: 60/26.4 x (29.2/26.4)² = 2.78 A.
	s.Follows = true
	reftest.Near(t, "on charge", float64(ForInstaller(s).BatteryCurrent.Value), 2.7803, 1e-4)
	s.Cable = &supply.Conductor{Ampacity: 4.5} // 3.9 A in the heat
	if f := ForInstaller(s).BatteryFuse; f.Known || !strings.Contains(f.Why.String(), "thicker cable") {
		t.Errorf("a fuse above its cable: %+v", f)
	}
	// Nothing known: every figure says what is missing.
	none := ForInstaller(InstallerSpec{})
	for what, why := range map[string]units.Text{
		"controller": none.ControllerCurrent.Why, "PV fuse": none.PVFuse.Why, "cold": none.ColdVoltage.Why,
		"current": none.BatteryCurrent.Why, "fuse": none.BatteryFuse.Why, "copper": none.LeastCopper.Why, "surge": none.InverterSurge.Why,
		"air": none.Air.Why, "absorption": none.Absorption.Why, "strings": none.StringFuses.Why, "panel's cable": none.PanelCopper.Why,
		"drop": none.PanelDrop.Why, "gauge": none.Gauge.Why, "interrupts": none.Interrupting.Why, "VA": none.InverterVA.Why,
	} {
		if why == "" {
			t.Errorf("%s: no reason", what)
		}
	}
}

// By hand: 300 W of inverter at 90 % on a 12.8 V battery that is down to 11.2 V
// take 29.76 A; times 1.25 is 37.2 A: a 40 A fuse, which 10 mm² may carry. The
// cable to the pump at 230 V has no part in it: fixed wiring takes 1.5 mm² at least
// (IEC 60364-5-52, from memory), however little it carries. At a power factor of 0.6
// the pump's 53.6 W are 89.3 VA.
func TestTheInverterSetsTheBatteryFuse(t *testing.T) {
	s := InstallerSpec{Battery: lithium(t, 4), Load: 60, ACPump: 53.6, PowerFactor: 0.6, LoadVoltage: 230, LoadCurrent: 0.233, Run: 9,
		Cable: &supply.Conductor{Ampacity: 6}, InverterRated: 300, InverterShare: 0.9}
	out := ForInstaller(s)
	reftest.Near(t, "current", float64(out.BatteryCurrent.Value), 29.76, 0.005)
	reftest.Near(t, "fuse", float64(out.BatteryFuse.Value), 40, 0)
	reftest.Near(t, "copper", out.InverterCopper.Value.Area.In(units.SquareMillimetre), 10, 1e-9)
	reftest.Near(t, "cable to the pump", out.LeastCopper.Value.Area.In(units.SquareMillimetre), 1.5, 1e-9)
	reftest.Near(t, "surge", float64(out.InverterSurge.Value), 160.8, 1e-9)
	reftest.Near(t, "VA", out.InverterVA.Value, 89.33, 0.005)
	s.InverterRated = 80
	if w := ForInstaller(s).Warnings; len(out.Warnings) != 0 || len(w) != 1 || !strings.Contains(w[0].Message.String(), "89.3 VA") {
		t.Errorf("300 VA: %v; 80 VA: %v", out.Warnings, w)
	}
	// Without its rating the pump's 89.3 VA take 8.86 A; its start of 160.8 W takes 15.95 A, which a
	// 20 A fuse stands.
	s.InverterRated = 0
	out = ForInstaller(s)
	reftest.Near(t, "current by the pump", float64(out.BatteryCurrent.Value), 8.862, 0.005)
	reftest.Near(t, "fuse by the start", float64(out.BatteryFuse.Value), 20, 0)
}

// By hand: 14500 W / (1.3 x 14 V) = 797 A, a hundred on each of eight controllers, each with a
// fuse of 125 A. One controller needs no word, and none on sale is said.
func TestLargePanelsTakeSeveralControllers(t *testing.T) {
	s := InstallerSpec{MPPT: true, Panel: 14500, Battery: lithium(t, 4), Controllers: 8, Controller: 100}
	out := ForInstaller(s)
	if out.Controllers != 8 || out.ControllerCurrent.Value != 100 || out.ChargeFuse.Value != 125 {
		t.Errorf("%d controllers of %v, fuse %+v", out.Controllers, out.ControllerCurrent.Value, out.ChargeFuse)
	}
	if len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0].Message.String(), "8 controllers") {
		t.Errorf("797 A: %v", out.Warnings)
	}
	s.Panel, s.Controllers, s.Controller = 450, 1, 20
	if out = ForInstaller(s); len(out.Warnings) > 0 || out.Controllers != 1 {
		t.Errorf("one: %v", out.Warnings)
	}
	s.Controllers, s.Controller = -1, 0
	if out = ForInstaller(s); out.ControllerCurrent.Known || out.ChargeFuse.Known || out.ChargeFuse.Why == "" {
		t.Errorf("none on sale: %+v", out)
	}
}

// By hand: 7650 W of panel at 12 V could charge with 637.5 A, held to five controllers of
// 100 A. A lead battery of 308 Ah that takes
// 0.2 of its size an hour is given 61.6 A. A PWM controller cannot be set so, and a battery
// of 0.5 an hour takes all that 1000 W give.
func TestTheBatteryLimitsTheCharging(t *testing.T) {
	lead := data.BatteryVolts{Nominal: 12, Rest: 12, Absorption: 14.4, Highest: 15, CutOff: 10.5}
	s := InstallerSpec{MPPT: true, Panel: 7650, Battery: lead, Load: 34, Capacity: 308 * units.AmpereHour, ChargeRate: 0.2,
		Controllers: 5, Controller: 100}
	out := ForInstaller(s)
	reftest.Near(t, "limit", float64(out.ChargeLimit.Value), 61.6, 1e-9)
	if len(out.Warnings) != 2 || out.Warnings[1].Key != "battery.charge_rate" ||
		!strings.Contains(out.Warnings[1].Message.String(), "61.6 A") || !strings.Contains(out.Warnings[1].Message.String(), "500 A") {
		t.Errorf("limited controllers: %v", out.Warnings)
	}
	s.MPPT, s.ShortCircuit, s.Controllers, s.Controller = false, 100, 1, 0
	if out = ForInstaller(s); out.ControllerCurrent.Value != 125 || len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0].Message.String(), "PWM") {
		t.Errorf("PWM: %+v, %v", out.ControllerCurrent, out.Warnings)
	}
	s.MPPT, s.Panel, s.ChargeRate, s.Controller = true, 1000, 0.5, 60
	if out = ForInstaller(s); out.Limited || len(out.Warnings) > 0 {
		t.Errorf("60 A into 154 A: %v", out.Warnings)
	}
	s.ChargeRate = 0
	if out = ForInstaller(s); out.Limited || out.ChargeLimit.Known || out.ChargeLimit.Why == "" {
		t.Errorf("no limit: %+v", out.ChargeLimit)
	}
}

// By hand: three strings of 9 A drive 2 x 1.25 x 9 = 22.5 A into a shorted one, above 20 A
// on the label; two drive 11.25 A. Over 12 m at 36 V 900 W are 25 A, and 6 mm² (3.56 ohm/km
// at 40 °C) lose 2.13 V of it, 5.9 %; three strings ask for 1.5625 x 27 = 42.2 A, which 6 mm²
// do not carry (38 A at 30 °C) and 10 do, but 12 m want 16 mm² (1.31 ohm/km, 0.78 V).
func TestPanelSide(t *testing.T) {
	six, _, err := supply.ConductorOf(supply.Conductors(), 6*units.SquareMillimetre)
	if err != nil {
		t.Fatal(err)
	}
	s := InstallerSpec{MPPT: true, Panel: 900, Working: 36, ShortCircuit: 9, ModuleFuse: 20, Strings: 3, PanelRun: 12, PanelCable: &six,
		Battery: lithium(t, 8)}
	out := ForInstaller(s)
	reftest.Near(t, "backfeed", float64(out.Backfeed.Value), 22.5, 1e-9)
	reftest.Near(t, "current", float64(out.PanelCurrent.Value), 33.75, 1e-9)
	reftest.Near(t, "drop", out.PanelDrop.Value, 0.0593, 0.0001)
	reftest.Near(t, "copper", out.PanelCopper.Value.Area.In(units.SquareMillimetre), 16, 1e-9)
	if !out.StringFuses.Value || len(out.Warnings) != 2 {
		t.Errorf("fuses %+v, %v", out.StringFuses, out.Warnings)
	}
	s.Strings, s.PanelCable = 2, nil
	if out = ForInstaller(s); !out.StringFuses.Known || out.StringFuses.Value || len(out.Warnings) != 0 {
		t.Errorf("two strings: %+v, %v", out.StringFuses, out.Warnings)
	}
	s.ModuleFuse = 0
	if out = ForInstaller(s); out.StringFuses.Known || !strings.Contains(out.StringFuses.Why.String(), "panel.fuse_rating") {
		t.Errorf("no label: %+v", out.StringFuses)
	}
}

// FU1: five 3 A modules in parallel at 1.56: 23.4 A (fuse makers' factor 1.25²).
func TestFU1PVFuse(t *testing.T) { reftest.Near(t, "FU1", float64(PVFuse(5*3)), 23.4, 0.05) }

func TestInstallerFigures(t *testing.T) {
	// By hand: 2 × 22 V × (1 - 0.003 × (-10 - 25)) = 48.62 V at -10 °C.
	reftest.Near(t, "cold voltage", float64(ColdVoltage(2*22, units.Celsius(-10))), 48.62, 1e-9)
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

// TestTheSheetHoldsTogether over drawn installations: every fuse that is named lies above
// the current that runs by 1.25 and at or below what its conductor carries in the heat of
// the site, the cable to the pump keeps its drop, and what charges is never above what the
// controllers give.
func TestTheSheetHoldsTogether(t *testing.T) {
	kinds := []string{"flooded lead", "sealed lead", "LiFePO4"}
	rapid.Check(t, func(t *rapid.T) {
		draw := func(what string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, what) }
		row, err := data.BatteryKindOf(rapid.SampledFrom(kinds).Draw(t, "kind"))
		if err != nil {
			t.Fatal(err)
		}
		b := row.Volts(rapid.SampledFrom([]units.Voltage{12, 24, 48}).Draw(t, "volts"))
		s := InstallerSpec{MPPT: rapid.Bool().Draw(t, "MPPT"), Panel: units.Power(draw("panel", 20, 8000)), Working: 36, OpenCircuit: 44,
			ShortCircuit: units.Current(draw("isc", 2, 14)), Strings: rapid.IntRange(1, 8).Draw(t, "strings"),
			PanelRun: units.Length(draw("panel run", 1, 60)), Coldest: units.Celsius(draw("cold", -50, 10)), Air: units.Celsius(draw("air", 15, 58)),
			Battery: b, Load: units.Power(draw("load", 2, 500)), Follows: rapid.Bool().Draw(t, "follows"), Run: units.Length(draw("run", 1, 60)),
			Capacity: units.Charge(draw("Ah", 5, 600)) * units.AmpereHour, ChargeRate: draw("rate", 0.05, 1),
			Controllers: rapid.IntRange(1, 8).Draw(t, "controllers")}
		if s.MPPT {
			s.Controller = units.Current(draw("controller", 10, 100))
		}
		s.LoadVoltage, s.LoadCurrent = b.Rest, units.Current(float64(s.Load)/float64(b.Rest))
		if rapid.Bool().Draw(t, "AC") {
			s.ACPump, s.PowerFactor, s.InverterShare, s.LoadVoltage = s.Load*0.8, 0.6, 0.9, 230
			s.InverterRated, s.LoadCurrent = s.Load*units.Power(draw("inverter", 1, 5)), units.Current(float64(s.Load)/230)
		}
		if rapid.Bool().Draw(t, "cable") {
			s.Cable = new(supply.Conductor)
			*s.Cable = rapid.SampledFrom(supply.Conductors()).Draw(t, "area")
		}
		o := ForInstaller(s)
		protects := func(what string, current, fuse units.Current, carries units.Current) {
			if fuse < 1.25*current*(1-1e-9) || fuse > carries*(1+1e-9) {
				t.Fatalf("%s: %.3g A run, fuse %g A, conductor for %.3g A", what, float64(current), float64(fuse), float64(carries))
			}
		}
		if o.ChargeFuse.Known && o.ChargeCopper.Known {
			protects("charging", o.ControllerCurrent.Value, o.ChargeFuse.Value, o.ChargeCopper.Value.Ampacity)
		}
		// What a load really takes at any voltage of its battery.
		running := units.Current(float64(s.Load) / float64(b.CutOff))
		for v := b.Rest; s.Follows && s.ACPump == 0 && v <= b.Highest; v += 0.1 {
			running = max(running, units.Current(float64(s.Load)*math.Pow(float64(v/b.Rest), 3)/float64(v)))
		}
		copper := o.LeastCopper
		if s.ACPump > 0 {
			copper, running = o.InverterCopper, units.Current(float64(s.InverterRated)/0.9/float64(b.CutOff))
		} else if s.Cable != nil {
			copper.Value, copper.Known = s.Cable.In(s.Air), true
		}
		if o.BatteryFuse.Known && copper.Known {
			protects("load", running, o.BatteryFuse.Value, copper.Value.Ampacity)
		}
		if c := o.LeastCopper; c.Known && (supply.Cable{Run: s.Run, Conductor: c.Value}).Drop(s.LoadCurrent) > s.LoadVoltage*data.UsualDrop {
			t.Fatalf("%v loses more than 3 %%", c.Value.Area)
		}
		if c := o.PanelCopper; c.Known && (c.Value.Ampacity < 1.25*o.PanelCurrent.Value*(1-1e-9) || o.PanelDrop.Value > data.UsualDrop*(1+1e-9)) {
			t.Fatalf("panel: %.3g A in %.3g A, drop %g", float64(o.PanelCurrent.Value), float64(c.Value.Ampacity), o.PanelDrop.Value)
		}
		if !s.MPPT {
			return
		}
		gives := float64(o.ControllerCurrent.Value) * float64(o.Controllers) * float64(b.Absorption)
		if o.ChargeLimit.Known && !o.Limited && min(gives/float64(b.Absorption), float64(s.Panel)/float64(b.Nominal)) > float64(o.ChargeLimit.Value)*(1+1e-9) {
			t.Fatalf("more than %v is charged and not said", o.ChargeLimit.Value)
		}
	})
}

// TestEachControllerHasItsStrings: seven strings on two controllers are four on one, whose lead
// carries 1.25 x 4 x 9 A and whose strings meet the current of three others.
func TestEachControllerHasItsStrings(t *testing.T) {
	out := ForInstaller(InstallerSpec{MPPT: true, Panel: 2800, Working: 36, ShortCircuit: 9, ModuleFuse: 20, Strings: 7, PanelRun: 12,
		Controllers: 2, Controller: 60, Battery: lithium(t, 8)})
	reftest.Near(t, "lead", float64(out.PanelCurrent.Value), 45, 1e-9)
	reftest.Near(t, "backfeed", float64(out.Backfeed.Value), 33.75, 1e-9)
}
