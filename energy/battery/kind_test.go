package battery

import (
	"math"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// TestAssumedOfAKind: what a LiFePO4 row of data/batteries.csv stands for where the plan
// is silent; the ideal kind has nothing that counts.
func TestAssumedOfAKind(t *testing.T) {
	assumed := func(p plan.Battery) map[string]figure.Assumed {
		_, list, err := BatteryFrom(p)
		if err != nil {
			t.Fatal(err)
		}
		all := map[string]figure.Assumed{}
		for _, a := range list {
			all[a.Key] = a
		}
		return all
	}
	all := assumed(plan.Battery{})
	shares := map[string]float64{"battery.usable": 0.8, "battery.charge_efficiency": 0.97, "battery.discharge_efficiency": 0.98,
		"battery.self_discharge": 0.03, "battery.end_of_life": 0.8, "battery.cut_off": 0.2, "battery.reconnect": 0.4}
	rates := map[string]string{"battery.charge_rate": "0.5 of the size an hour", "battery.discharge_rate": "no limit"}
	for key, want := range shares {
		reftest.Near(t, key, all[key].Value, want, 1e-12)
		if a := all[key]; a.Why == "" || a.Kind != units.KindShare {
			t.Errorf("%s: %+v", key, a)
		}
	}
	for key, want := range rates {
		if a := all[key]; a.Text.String() != want || a.Kind != 0 {
			t.Errorf("%s: %+v", key, a)
		}
	}
	if len(all) != len(shares)+len(rates) {
		t.Errorf("%d keys are assumed, want %d", len(all), len(shares)+len(rates))
	}
	if ideal := assumed(plan.Battery{Kind: "ideal"}); len(ideal) != 0 {
		t.Errorf("the ideal kind assumes %v", ideal)
	}
	half := 0.5
	if _, counts := assumed(plan.Battery{Usable: &half})["battery.usable"]; counts {
		t.Error("a share that is given is assumed")
	}
}

// TestColdOfAFlatKind: a kind without losses in the cold falls in a line from 25 °C to
// what the plan says of 0 °C: 0.95 at 12.5.
func TestColdOfAFlatKind(t *testing.T) {
	share := 0.9
	b, _, err := BatteryFrom(plan.Battery{Kind: "ideal", CapacityAt0C: &share})
	if err != nil {
		t.Fatal(err)
	}
	for c, want := range map[float64]float64{30: 1, 25: 1, 12.5: 0.95, 0: 0.9, -20: 0.9} {
		reftest.Near(t, "share", b.CapacityAt(units.Celsius(c)), want, 1e-12)
	}
}

// TestVoltageOfCells: 51 V on the label is 16 cells of 3.2 V; 12 V are no number of them;
// a kind without cells takes any, but no voltage that none has.
func TestVoltageOfCells(t *testing.T) {
	for _, c := range []struct {
		kind  string
		volts float64
		key   string
	}{
		{"LiFePO4", 51, ""}, {"LiFePO4", 3.2, ""}, {"LiFePO4", 12, "battery.voltage"}, {"LiFePO4", 1, "battery.voltage"},
		{"flooded lead", 12, ""}, {"flooded lead", 12.8, "battery.voltage"}, {"ideal", 17.3, ""},
		{"ideal", -1, "battery.voltage"}, {"ideal", math.NaN(), "battery.voltage"}, {"ideal", math.Inf(1), "battery.voltage"},
	} {
		v := units.Voltage(c.volts)
		if _, _, err := BatteryFrom(plan.Battery{Kind: c.kind, Voltage: &v}); plantest.FaultKeys(err) != c.key {
			t.Errorf("%s of %g V: %v", c.kind, c.volts, err)
		}
	}
}

// TestHandbookWithoutALoad knows nothing, and says why: nor where every month only
// stands by.
func TestHandbookWithoutALoad(t *testing.T) {
	none, standby := steady(1, 30), steady(1, 30)
	for i := range none.Load {
		none.Load[i] = 0
	}
	standby.Standby = 1<<12 - 1
	for _, r := range []supply.Record{none, standby} {
		h := HandbookOf(r, IdealBattery(), 100, 480*units.WattHour, nil)
		if h.AutonomyDays.Known || h.EnergyRatio.Known || h.ArrayToLoad.Known || h.Asked.Known || h.AutonomyDays.Why != "there is no load" {
			t.Errorf("%+v", h)
		}
	}
}
