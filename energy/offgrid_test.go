package energy

import (
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/wiring"
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
	reftest.Near(t, "Kirchhoff", float64(d.Voltage)+float64(d.Current)*r, 26.4, 1e-6)
	reftest.Near(t, "speed", d.Speed, float64(d.Voltage)/24, 1e-9)
	reftest.Near(t, "speed of the dirty line by its own drop", w.Speed.Value, 26.4*(1-w.Drop)/24, 1e-9)
	if !(w.Speed.Value < 0.97*thick.Water.Speed.Value && w.Flow.Value < 0.97*thick.Water.Flow.Value && w.PerDay < thick.Water.PerDay) {
		t.Errorf("thin copper moves %+v, thick %+v", w, thick.Water)
	}
	reftest.Near(t, "a day", float64(w.PerDay), 24*w.Flow.Value.In(units.CubicMetrePerHour), 1e-9)
	reftest.Near(t, "turnover", w.Turnover.Value.In(units.Hour), 9.2*24/float64(w.PerDay), 1e-9)
}

// offGridOfTheDemo returns the demo's pump on a battery at the end of 60 m.
func offGridOfTheDemo(t *testing.T, area string) DayAndNight {
	t.Helper()
	in := demoInputs(t, plan.Setting{Key: "cable.run", Text: "60 m"}, plan.Setting{Key: "cable.area", Text: area}, plan.Setting{Key: "reliability.years", Text: "2"})
	r, err := everything(in)
	if err != nil {
		t.Fatal(err)
	}
	d := r.Solar.Value.DayAndNight
	if !d.Known {
		t.Fatal(d.Why)
	}
	i := r.Base
	dirty, status := r.Water.Pumps[i].Pump.Duty(d.Value.Water.Speed.Value, r.Water.Works.Line.WithDirt(r.Water.Works.Dirt))
	if status != pumps.Meets {
		t.Fatal(status)
	}
	reftest.Near(t, area+": flow", float64(d.Value.Water.Flow.Value), float64(dirty.Flow), 1e-12)
	warned := ""
	for _, w := range r.Warnings {
		if w.Key == "cable.area" {
			warned = w.Message.String()
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

// TestFuseStandsFullSpeed: a pump that is planned at 80 % can be turned up, so that its fuse and its
// cable are those of full speed; the slow hours alone would take a smaller fuse. By the cube of the
// speed they draw half of its power.
func TestFuseStandsFullSpeed(t *testing.T) {
	at := func(speed string) DayAndNight {
		r, err := everything(demoInputs(t, plan.Setting{Key: "run.speed", Text: speed}, plan.Setting{Key: "choice.pump", Text: "24 V 65 W"},
			plan.Setting{Key: "cable.run", Text: "9 m"},
			plan.Setting{Key: "reliability.years", Text: "2"}))
		if err != nil || !r.Solar.Value.DayAndNight.Known {
			t.Fatal(err, r.Solar.Value.DayAndNight.Why)
		}
		return r.Solar.Value.DayAndNight.Value
	}
	slow, full := at("0.8"), at("1")
	if a, b := slow.Installer, full.Installer; !a.BatteryFuse.Known || a.BatteryFuse != b.BatteryFuse || a.LeastCopper != b.LeastCopper ||
		!(slow.Draw.Source < 0.65*full.Draw.Source) {
		t.Errorf("slow %+v, %+v; full %+v, %+v", a.BatteryFuse, a.LeastCopper, b.BatteryFuse, b.LeastCopper)
	}
	if f, err := wiring.FuseFor(slow.Draw.Current); err != nil || f >= slow.Installer.BatteryFuse.Value {
		t.Errorf("the slow pump alone would take %g A, %v", float64(f), err)
	}
}
