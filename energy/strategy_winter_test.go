package energy

import (
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/energy/still"
)

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
		if off, rule := darkMonths(&c.ghi); off.String() != c.want || rule != c.rule {
			t.Errorf("%v: %s, %t, want %s, %t", c.ghi, off.String(), rule, c.want, c.rule)
		}
	}
}

// The row that is off in the dark months buys what the plan buys that is told so,
// where both have their panel laid alike.
func TestWinterRowIsThePlanWithItsMonthsOff(t *testing.T) {
	at := []plan.Setting{{Key: "site.latitude", Text: "52.4"}, {Key: "site.longitude", Text: "13.1"}, {Key: "reliability.years", Text: "4"}, {Key: "panel.tilt", Text: "60"}, {Key: "panel.azimuth", Text: "180"},
		{Key: "panel.sizes", Text: "500 W, 1000 W, 1500 W, 2000 W, 3000 W, 4000 W, 6000 W, 8000 W, 12000 W"}, {Key: "battery.sizes", Text: "1 kWh, 2 kWh, 4 kWh, 6 kWh, 8 kWh, 12 kWh, 16 kWh, 24 kWh, 32 kWh"}}
	whole, err := everything(demoInputs(t, at...))
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
	told, err := everything(demoInputs(t, append(at, plan.Setting{Key: "run.months_off", Text: strings.TrimPrefix(row.Name, "off in ")})...))
	if err != nil {
		t.Fatal(err)
	}
	c := told.Solar.Value.DayAndNight.Value.Front.Chosen
	if row.Panel.Value != c.PanelW || row.Battery.Value != c.BoughtWh || row.MonthsOff != 92*24 || row.Risk.Value < still.HighRisk {
		t.Errorf("%s: %g W with %g Wh, off %g h, risk %v; the plan that is told buys %g W with %g Wh", row.Name, row.Panel.Value, row.Battery.Value, row.MonthsOff, row.Risk.Value, c.PanelW, c.BoughtWh)
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
