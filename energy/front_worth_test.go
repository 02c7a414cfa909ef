package energy

import (
	"errors"
	"slices"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

var prices = []string{"panel.price_per_watt=0.8", "battery.price_per_wh=0.4"}

// Beyond the polar circle no panel makes anything in December, whatever it costs;
// the months named to stand still in carry the rest, with prices or without, and
// are no longer judged.
func TestDarkWhateverThePrices(t *testing.T) {
	size := func(sets ...string) (*Sizing, error) {
		p := plantest.SteadyLoad(t, append([]string{"reliability.years=2"}, sets...)...)
		north := units.Angle(70) * units.Degree
		p.Site.Latitude = &north
		s, err := NewStorage(p, StorageFiles{})
		if err != nil {
			t.Fatal(err)
		}
		return s.Sheltered().Size()
	}
	for _, money := range [][]string{nil, prices} {
		z, err := size(money...)
		if err != nil {
			t.Fatal(err)
		}
		n := z.Nothing
		if n == nil || n.Dark == nil || n.Dark.Month != 11 || len(n.MonthsOff) == 0 || len(z.Front.Pairs) == 0 {
			t.Fatalf("%v: %+v with %d pairs, want a December that is too dark beside the pairs", money, n, len(z.Front.Pairs))
		}
		off := "run.months_off="
		for _, m := range n.MonthsOff {
			off += plan.MonthNames[m] + ","
		}
		z, err = size(append(slices.Clone(money), off[:len(off)-1])...)
		if err != nil || z.Nothing != nil {
			t.Errorf("%v, %s, as advised: %+v, %v", money, off, z.Nothing, err)
		}
	}
}

// In a month off the controller still draws, and the battery carries it; neither
// the panel's slope nor its size is judged by that month.
func TestMonthsOffAreNotJudged(t *testing.T) {
	s, err := storageOfPump(t, "DC", `voltage = "12 V"`, `months_off = "Jun"`)
	if err != nil {
		t.Fatal(err)
	}
	made, asked := supply.Monthly(s.Record)
	if asked[5] <= 0 {
		t.Error("the controller draws nothing in the month off")
	}
	if _, asked := supply.Judged(s.Record); asked[5] != 0 || asked[6] <= 0 {
		t.Errorf("judged by %v Wh in June, %v in July", asked[5], asked[6])
	}
	if need := s.Pump.need(); need[5] != 0 || need[6] <= 0 {
		t.Errorf("laid for %v Wh in June, %v in July", need[5], need[6])
	}
	asked[5] = 0
	if m := supply.WorstMonth(made, asked); supply.WorstMonthRatio(s.Record) != made[m]/asked[m] {
		t.Error("the worst month is one off")
	}
	if s, err = storageOfPump(t, "DC", `voltage = "12 V"`, "months_off = \"Jun\"\n[air]\npower = \"5 W\"\nhours = \"0-24\""); err != nil {
		t.Fatal(err)
	}
	if _, asked := supply.Judged(s.Record); asked[5] <= 0 {
		t.Error("an air pump that runs in a month off is a load like any other")
	}
}

func TestNoLoadIsRefused(t *testing.T) {
	s := storageOf(t)
	for i := range s.Record.Load {
		s.Record.Load[i] = 0
	}
	var fault *data.Error
	if _, err := s.Size(); !errors.As(err, &fault) || fault.Key != "load.power" {
		t.Errorf("%v, want a fault of load.power", err)
	}
}

// A load in watts stands still in the months off too.
func TestSteadyLoadRestsInMonthsOff(t *testing.T) {
	s := storageOf(t, "run.months_off=Nov-Mar")
	for i, w := range s.Record.Load {
		m := supply.MonthAt(s.Record.Start, i)
		if want := map[bool]float64{true: 0, false: 20}[m >= 10 || m <= 2]; w != want {
			t.Fatalf("%v W in month %d, want %v", w, m+1, want)
		}
	}
}

// The darkest fortnight is one in which something runs.
func TestDarkestFortnightRuns(t *testing.T) {
	s := storageOf(t, "run.months_off=Nov-Mar")
	start, ok := battery.Darkest(s.Record)
	if from, to := supply.MonthAt(s.Record.Start, start), supply.MonthAt(s.Record.Start, start+battery.FortnightHours-1); !ok || from < 3 || to > 9 {
		t.Errorf("months %d to %d, %v", from+1, to+1, ok)
	}
}

// A battery too cold to be charged for a season is told beside the one that a place
// without frost would do with.
func TestFrostFreeBesideGivenCold(t *testing.T) {
	z, err := storageOf(t, "battery.temperature=-8 C, -7 C, -3 C, 3 C, 10 C, 14 C, 17 C, 16 C, 11 C, 6 C, 0 C, -4 C").Size()
	if err != nil || z.Nothing != nil {
		t.Fatalf("%v, %+v", err, z)
	}
	if f := z.FrostFree; !f.Known || f.Value.BoughtWh >= z.Front.Chosen.BoughtWh {
		t.Errorf("%+v beside %g Wh in the cold", f, z.Front.Chosen.BoughtWh)
	}
}
