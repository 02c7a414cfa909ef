package energy

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/floats"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/energy/supply"
)

func storageOf(t *testing.T, sets ...string) *Storage {
	t.Helper()
	s, err := NewStorage(plantest.SteadyLoad(t, append([]string{"reliability.years=2"}, sets...)...), StorageFiles{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestSteadyLoadKeepsTheClock checks a load by clock hours, half hours and
// bands over midnight among them.
func TestSteadyLoadKeepsTheClock(t *testing.T) {
	for _, c := range []struct {
		hours string
		want  map[int]float64 // watts by clock hour; 0 in the others
	}{
		{"8-16", map[int]float64{8: 20, 9: 20, 10: 20, 11: 20, 12: 20, 13: 20, 14: 20, 15: 20}},
		{"22-02", map[int]float64{22: 20, 23: 20, 0: 20, 1: 20}},
		{"00:30-02", map[int]float64{0: 10, 1: 20}},
	} {
		s := storageOf(t, "load.hours="+c.hours)
		for i, w := range s.Record.Load {
			if w != c.want[(s.Record.Start+i)%24] {
				t.Fatalf("%s: %g W at %d h", c.hours, w, (s.Record.Start+i)%24)
			}
		}
	}
}

// TestStorageBatterySizes reads Wh and Ah, and the voltage that a kind's cells
// come nearest to.
func TestStorageBatterySizes(t *testing.T) {
	for _, c := range []struct {
		sets []string
		wh   float64
	}{
		{[]string{"battery.size=600 Wh"}, 600},
		{[]string{"battery.size=50 Ah"}, 50 * 12.8},
		{[]string{"battery.size=50 Ah", "battery.kind=sealed lead"}, 50 * 12},
		{[]string{"battery.size=50 Ah", "battery.voltage=25.6 V"}, 50 * 25.6},
		{[]string{"battery.size=0"}, 0},
	} {
		s := storageOf(t, c.sets...)
		if !s.NominalWh.Known || math.Abs(s.NominalWh.Value-c.wh) > 1e-9 {
			t.Errorf("%v: %v, want %g Wh", c.sets, s.NominalWh, c.wh)
		}
	}
	if s := storageOf(t); s.NominalWh.Known {
		t.Errorf("a battery of %g Wh out of nowhere", s.NominalWh.Value)
	}
}

// TestStorageListsWhatItAssumed checks that what was given is not listed and
// what came from the kind's row is.
func TestStorageListsWhatItAssumed(t *testing.T) {
	s := storageOf(t, "battery.usable=90 %")
	listed := map[string]bool{}
	for _, a := range s.Assumed {
		listed[a.Key] = true
	}
	for _, key := range []string{"battery.kind", "battery.charge_efficiency", "battery.end_of_life", "battery.cut_off", "panel.tilt", "site.utc_offset"} {
		if !listed[key] {
			t.Errorf("%s is not listed", key)
		}
	}
	if listed["battery.usable"] {
		t.Error("battery.usable was given and is listed as assumed")
	}
}

// TestStorageSeeds checks that other seeds make other weather of the same
// climate and the same load.
func TestStorageSeeds(t *testing.T) {
	s := storageOf(t)
	other := s.WithSeed(s.Sky.Seed + 1)
	same, differ := 0.0, 0
	for i := range other.Panel {
		same += other.Panel[i] - s.Record.Panel[i]
		if other.Panel[i] != s.Record.Panel[i] {
			differ++
		}
		if other.LoadAt(i) != s.Record.LoadAt(i) {
			t.Fatal("the load follows the seed")
		}
	}
	if differ < 1000 || math.Abs(same) > 0.02*floats.Sum(s.Record.Panel) {
		t.Errorf("%d hours differ, %g Wh of %g in all", differ, same, floats.Sum(s.Record.Panel))
	}
	again := s.WithSeed(s.Sky.Seed)
	for i := range again.Panel {
		if again.Panel[i] != s.Record.Panel[i] {
			t.Fatal("one seed made two weathers")
		}
	}
}

// storageOfPump returns what a battery meets under a pump of 25 W with some supply, more
// keys of the pump, and more of its hours and beyond.
func storageOfPump(t *testing.T, supply, more, run string) (*Storage, error) {
	t.Helper()
	const text = `
[[pump]]
name = "small"
label_flow = "2000 L/h"
label_head = "2 m"
label_power = "25 W"
supply = "%s"
%s
[lift]
static_head = "0.5 m"
[[feed]]
bore = "25 mm"
length = "5 m"
[site]
latitude = -32.4
longitude = 22.6
[reliability]
years = 1
[run]
%s
`
	whole := strings.Replace(strings.Replace(strings.Replace(text, "%s", supply, 1), "%s", more, 1), "%s", run, 1)
	p, _, err := plan.ReadPlan("heron.toml", strings.NewReader(whole), plan.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	return NewStorage(&p, StorageFiles{Curves: make([]data.CurveRows, 1)})
}

// TestStorageOfAPump checks the load of a pump by hand: 25 W at its own voltage,
// an inverter of 90 % with 6 W idle, a controller of 0.5 W.
func TestStorageOfAPump(t *testing.T) {
	if _, err := storageOfPump(t, "AC", "", ""); err == nil || !strings.Contains(err.Error(), "inverter") {
		t.Errorf("an AC pump without an inverter: %v", err)
	}
	s, err := storageOfPump(t, "AC", "", "[inverter]\nidle = \"6 W\"")
	if err != nil {
		t.Fatal(err)
	}
	want := 25/0.9 + 6 + 0.5
	for i, w := range s.Record.Load {
		if math.Abs(w-want) > 1e-9 {
			t.Fatalf("hour %d: %g W, want %g", i, w, want)
		}
	}
	if s.Pump == nil || s.Pump.Name != "small" || floats.Sum(s.Record.Water) <= 0 {
		t.Errorf("%+v", s.Pump)
	}
	s, err = storageOfPump(t, "DC", `voltage = "26.4 V"`, "months_off = \"Jun-Aug\"")
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range s.Record.Load {
		want := 25.5
		if m := supply.MonthAt(s.Record.Start, i); m >= 5 && m <= 7 {
			want = 0.5 // the controller alone
		}
		if math.Abs(w-want) > 1e-9 {
			t.Fatalf("hour %d: %g W, want %g", i, w, want)
		}
	}
}

// TestAirIsFedAsTheWaterPumpIs by hand: 9 W of air beside 25 W of DC pump hang on
// the battery as they are; beside an AC pump they go through its inverter, whose
// 6 W of idle draw they cause by themselves where it goes off with the pump.
func TestAirIsFedAsTheWaterPumpIs(t *testing.T) {
	for _, c := range []struct {
		supply, more   string
		running, still float64
	}{
		{"DC", "", 25 + 9 + 0.5, 9 + 0.5},
		{"AC", "[inverter]\nidle = \"6 W\"", 25/0.9 + 6 + 9/0.9 + 0.5, 6 + 9/0.9 + 0.5},
		{"AC", "[inverter]\nidle = \"6 W\"\nswitched_with_pump = true", 25/0.9 + 6 + 9/0.9 + 0.5, 6 + 9/0.9 + 0.5},
	} {
		volts := map[string]string{"DC": `voltage = "26.4 V"`}[c.supply]
		s, err := storageOfPump(t, c.supply, volts, "months_off = \"Jun-Aug\"\n[air]\npower = \"9 W\"\n"+c.more)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(s.Assumed, func(a figure.Assumed) bool { return a.Key == "air.hours" }) {
			t.Error("day and night is not listed as assumed")
		}
		for i, w := range s.Record.Load {
			want := c.running
			if m := supply.MonthAt(s.Record.Start, i); m >= 5 && m <= 7 {
				want = c.still
			}
			if math.Abs(w-want) > 1e-9 {
				t.Fatalf("%s %s, hour %d: %g W, want %g", c.supply, c.more, i, w, want)
			}
		}
	}
}

// TestNoPumpForTheGoal says why there is no load where no pump will do.
func TestNoPumpForTheGoal(t *testing.T) {
	const text = `
[pond]
volume = "40 m3"
[[pump]]
name = "small"
label_flow = "2000 L/h"
label_head = "2 m"
label_power = "25 W"
supply = "DC"
[[pump]]
name = "large"
label_flow = "4000 L/h"
label_head = "2 m"
label_power = "45 W"
supply = "DC"
[lift]
static_head = "0.5 m"
[[feed]]
bore = "25 mm"
length = "5 m"
[site]
latitude = -32.4
longitude = 22.6
`
	p, _, err := plan.ReadPlan("heron.toml", strings.NewReader(text), plan.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	_, err = NewStorage(&p, StorageFiles{Curves: make([]data.CurveRows, 2)})
	var none *NoPump
	if !errors.As(err, &none) || !strings.Contains(none.Why.String(), "goal") {
		t.Errorf("%v", err)
	}
}
