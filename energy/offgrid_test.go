package energy

import (
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// The water off the grid is that of the speed which the cable leaves: the voltage
// at the pump and the drop make the battery's (Kirchhoff), the speed is the
// voltage over the pump's, the flow that of the dirty line at this speed. R is 2 L
// times 13.3 ohm/km (IEC 60228, 1.5 mm²) at 40 °C, by hand.
func TestOffGridWaterIsOfTheSaggedSpeed(t *testing.T) {
	thick := offGridOfTheDemo(t, "25 mm2")
	thin := offGridOfTheDemo(t, "1.5 mm2")
	w, d := thin.Water, thin.Draw
	r := 2 * 60 * 0.0133 * (1 + 0.00393*20)
	near(t, "Kirchhoff", float64(d.Voltage)+float64(d.Current)*r, 25.6, 1e-6)
	near(t, "speed", d.Speed, float64(d.Voltage)/24, 1e-9)
	if !(w.Speed < 0.97*thick.Water.Speed && w.Flow < 0.97*thick.Water.Flow && w.PerDay < thick.Water.PerDay) {
		t.Errorf("thin copper moves %+v, thick %+v", w, thick.Water)
	}
	near(t, "a day", float64(w.PerDay), 24*w.Flow.In(units.CubicMetrePerHour), 1e-9)
	near(t, "turnover", w.Turnover.Value.In(units.Hour), 9.2*24/float64(w.PerDay), 1e-9)
}

// offGridOfTheDemo returns the demo's pump on a battery at the end of 60 m.
func offGridOfTheDemo(t *testing.T, area string) DayAndNight {
	t.Helper()
	in := demoInputs(t, data.Setting{Key: "cable.run", Text: "60 m"}, data.Setting{Key: "cable.area", Text: area}, data.Setting{Key: "reliability.years", Text: "2"})
	r, err := Plan(in)
	if err != nil {
		t.Fatal(err)
	}
	d := r.Solar.Value.DayAndNight
	if !d.Known {
		t.Fatal(d.Why)
	}
	i := r.Water.Choice.Nearest
	dirty, status := r.Water.Pumps[i].Pump.Duty(d.Value.Water.Speed, pumps.Soil(r.Water.Works.Line, r.Water.Works.Dirt))
	if status != pumps.Meets {
		t.Fatal(status)
	}
	near(t, area+": flow", float64(d.Value.Water.Flow), float64(dirty.Flow), 1e-12)
	warned := ""
	for _, w := range r.Warnings {
		if w.Key == "cable.area" {
			warned = w.Message
		}
	}
	if thin := area == "1.5 mm2"; thin != strings.Contains(warned, "over the 3 %") {
		t.Errorf("%s: %q", area, warned)
	}
	return d.Value
}

// The least copper is that of the current which the pump takes where the cable
// loses nothing, whatever cable there is: a thin one must not recommend itself.
func TestLeastCopperIsNotOfAStarvedPump(t *testing.T) {
	thin, thick := offGridOfTheDemo(t, "1.5 mm2").Installer.LeastCopper, offGridOfTheDemo(t, "25 mm2").Installer.LeastCopper
	if !thin.Known || thin.Value.Area != thick.Value.Area {
		t.Errorf("least copper %+v beside thin, %+v beside thick", thin, thick)
	}
}

// A plant of several strings: 10 modules of 100 W, 18 V and 6 A are 10 strings, so
// a PWM controller carries 1.25 × 60 A; the fuse is that of one, 1.56 × 6 A.
func TestShortCircuitCurrentOfOnePanel(t *testing.T) {
	isc, v := 6*units.Ampere, 18*units.Volt
	p := data.Plan{}
	p.Panel.ShortCircuitCurrent, p.Panel.WorkingVoltage, p.Panel.InSeries = &isc, &v, 1
	b := 12 * units.Volt
	p.Battery.Voltage = &b
	s := Storage{plan: &p, Sky: &Sky{Charger: Charger{Kind: "PWM"}}}
	out := s.Charging(1000, 1200)
	near(t, "PWM", float64(out.ControllerCurrent.Value), 75, 1e-9)
	near(t, "fuse of a string", float64(out.PVFuse.Value), 9.375, 1e-9)
}

// Three months in a row, over the end of the year too, and only where they are
// dark beside the year.
func TestDarkMonths(t *testing.T) {
	// Global sun [kWh/m²/day] of Potsdam, 52.4 N, and of Upington, 28.4 S, rounded.
	north := [12]float64{0.6, 1.2, 2.4, 3.9, 5.0, 5.3, 5.1, 4.4, 3.0, 1.6, 0.7, 0.4}
	karoo := [12]float64{7.9, 7.1, 6.1, 5.1, 4.3, 3.9, 4.2, 5.0, 6.1, 7.0, 7.8, 8.2}
	var south [12]float64
	for m := range south {
		south[m] = north[(m+6)%12]
	}
	for _, c := range []struct {
		ghi  [12]float64
		want string
		rule bool
	}{{north, "Nov-Jan", true}, {south, "May-Jul", true}, {karoo, "May-Jul", false}} {
		if off, rule := darkMonths(&c.ghi); monthSpan(off) != c.want || rule != c.rule {
			t.Errorf("%v: %s, %t, want %s, %t", c.ghi, monthSpan(off), rule, c.want, c.rule)
		}
	}
}

// The row that is off in the dark months buys what the plan buys that is told so,
// where both have their panel laid alike.
func TestWinterRowIsThePlanWithItsMonthsOff(t *testing.T) {
	at := []data.Setting{{Key: "site.latitude", Text: "52.4"}, {Key: "site.longitude", Text: "13.1"}, {Key: "reliability.years", Text: "4"}, {Key: "panel.tilt", Text: "60"}, {Key: "panel.azimuth", Text: "180"},
		{Key: "panel.sizes", Text: "500 W, 1000 W, 1500 W, 2000 W, 3000 W, 4000 W, 6000 W, 8000 W, 12000 W"}, {Key: "battery.sizes", Text: "1 kWh, 2 kWh, 4 kWh, 6 kWh, 8 kWh, 12 kWh, 16 kWh, 24 kWh, 32 kWh"}}
	whole, err := Plan(demoInputs(t, at...))
	if err != nil {
		t.Fatal(err)
	}
	var row *Strategy
	for i := range whole.Tradeoff {
		if whole.Tradeoff[i].Kind == OffInWinter {
			row = &whole.Tradeoff[i]
		}
	}
	if row == nil || !row.Panel.Known {
		t.Fatalf("no row for the dark months: %+v", row)
	}
	told, err := Plan(demoInputs(t, append(at, data.Setting{Key: "run.months_off", Text: strings.TrimPrefix(row.Name, "off in ")})...))
	if err != nil {
		t.Fatal(err)
	}
	c := told.Solar.Value.DayAndNight.Value.Front.Chosen
	if row.Panel.Value != c.PanelW || row.Battery.Value != c.BoughtWh || row.MonthsOff != 92*24 || row.Risk.Value.Grade < HighRisk {
		t.Errorf("%s: %g W with %g Wh, off %g h, risk %v; the plan that is told buys %g W with %g Wh", row.Name, row.Panel.Value, row.Battery.Value, row.MonthsOff, row.Risk.Value.Grade, c.PanelW, c.BoughtWh)
	}
	if full := whole.Solar.Value.DayAndNight; full.Known && row.Panel.Value+row.Battery.Value >= full.Value.Front.Chosen.PanelW+full.Value.Front.Chosen.BoughtWh {
		t.Errorf("%s saves nothing: %g W with %g Wh", row.Name, row.Panel.Value, row.Battery.Value)
	}
	for _, s := range told.Tradeoff {
		if s.Kind == OffInWinter {
			t.Error("the row is offered to a plan that is off already")
		}
	}
}

// By hand: of two years at 100 W, the fourteen days from 1 March of the second at
// 10 W; the record begins on 1 January. Mean (716 × 100 + 14 × 10) / 730 = 98.27.
func TestFortnightHasItsDate(t *testing.T) {
	var r Record
	for h := range 2 * 8760 {
		p := 100.0
		if day := h/24 - 365 - 59; day >= 0 && day < 14 {
			p = 10
		}
		r.Panel, r.Load, r.Water = append(r.Panel, p), append(r.Load, 20), append(r.Water, 2)
	}
	f, ok := DarkestFortnight(r, 1, lossy(), 100*units.WattHour, FromFull())
	if !ok || f.Day != 1 || f.Month != 3 || f.Year != 2 {
		t.Fatalf("it begins on %d/%d of year %d", f.Day, f.Month, f.Year)
	}
	near(t, "share of the sun", f.SunShare, 10/98.27, 1e-4)
	near(t, "asked", float64(f.Asked), 2*14*24, 1e-9)
	hours, lowest := f.Short()
	if hours < 300 || lowest > 0.5 || !(f.Moved < f.Asked) {
		t.Errorf("%d hours short, lowest %g, %g m3 moved", hours, lowest, float64(f.Moved))
	}
}

// On the sun alone the cable takes its share too: what flows for P at the pump
// takes P + (P/U)² R at the start of the cable (Ohm), and a bare panel's ceiling
// is lower by I R. 0.5 ohm on 96 V.
func TestDaylightThroughACable(t *testing.T) {
	bare := FlowTableSpec{Pump: schaschke(t), Circuit: fourMetres(t), Voltage: 96}
	wired := bare
	wired.Loop = 0.5
	short, long := mustTable(t, bare), mustTable(t, wired)
	solve := mustSolve(t, bare.Pump, bare.Circuit)
	for _, speed := range []float64{0.75, 0.9, 1} {
		d, err := solve(speed)
		if err != nil {
			t.Fatal(err)
		}
		p := float64(d.Power)
		amps := p / (96 * speed)
		at := units.Power(p + amps*amps*0.5)
		near(t, "flow", float64(long.FlowAt(at, true)), float64(d.Flow), 0.001*float64(short.FullFlow()))
		near(t, "flow by current", float64(long.FlowAtCurrent(units.Current(amps), units.Voltage(96*speed+amps*0.5), true)), float64(d.Flow), 0.001*float64(short.FullFlow()))
		if !(long.FlowAt(units.Power(p), true) < short.FlowAt(units.Power(p), true)) {
			t.Errorf("at %g W the cable costs no water", p)
		}
	}
	if full := float64(short.FullPower()); float64(long.FullPower()) <= full {
		t.Errorf("full power %g W with the cable, %g W without", float64(long.FullPower()), full)
	}
}
