package energy

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plantest"
	"sunrill/energy/supply"
)

// TestGivenTemperatureIsObeyed: a battery that is always too cold to be charged
// carries nothing, so that what is missing is what the panel does not make in the
// very hour.
func TestGivenTemperatureIsObeyed(t *testing.T) {
	s := storageOf(t, "battery.temperature=-10 C", "panel.watts=400 W", "battery.size=1000 Wh", "battery.cut_off=0 %", "battery.reconnect=0 %")
	want := 0.0
	for i, p := range s.Record.Panel {
		want += max(0, s.Record.LoadAt(i)-400*p)
	}
	b, err := s.Balance(true)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(b.UnmetWh/want-1) > 1e-9 || s.Frost == nil || !s.Frost.Given || len(s.Frost.Months) != 12 || s.Frost.SunShare != 1 {
		t.Errorf("%g Wh are missing, want %g; %+v", b.UnmetWh, want, s.Frost)
	}
	if s.Sheltered() != s {
		t.Error("a place that is given is not obeyed")
	}
	// The same limit moved below the temperature keeps nothing from being charged.
	if s = storageOf(t, "battery.temperature=-10 C", "battery.least_charging_temperature=-20 C"); s.Record.BatteryC != nil || s.Frost != nil {
		t.Errorf("%+v", s.Frost)
	}
}

// TestColdMonthsOfMadeYears: months whose mean air is below the limit do not
// charge outdoors; a sheltered battery always does, in other years too.
func TestColdMonthsOfMadeYears(t *testing.T) {
	s := storageOf(t, "battery.least_charging_temperature=8 C")
	var want []int
	for m, air := range s.Sky.AirByMonth() {
		if air.InCelsius() < 8 {
			want = append(want, m)
		}
	}
	if len(want) < 3 || len(want) > 9 || !slices.Equal(s.Frost.Months, want) {
		t.Fatalf("months %v are too cold, want %v", s.Frost.Months, want)
	}
	for i, c := range s.Record.BatteryC {
		if (c < 8) != slices.Contains(want, supply.MonthAt(s.Record.Start, i)) {
			t.Fatalf("hour %d has %g C", i, c)
		}
	}
	in := s.Sheltered()
	if !slices.ContainsFunc(in.Assumed, func(a figure.Assumed) bool {
		return a.Key == "battery.temperature" && strings.Contains(a.Why.String(), "at times be too cold")
	}) {
		t.Errorf("sheltered, assumed: %v", in.Assumed)
	}
	other := in.WithSeed(2)
	if in == s || in.Record.BatteryC != nil || other.BatteryC != nil || in.Outdoors() != s || in.Battery.ColdShare <= s.Battery.ColdShare {
		t.Errorf("sheltered: %+v", in.Frost)
	}
	if s = storageOf(t, "battery.kind=flooded lead"); s.Frost != nil || s.Sheltered() != s {
		t.Error("lead is kept from frost")
	}
}

// TestLogAtAGivenTemperature: a measured log has no weather, but its battery may
// have a temperature.
func TestLogAtAGivenTemperature(t *testing.T) {
	p := plantest.SteadyLoad(t, "battery.temperature=-5 C", "panel.watts=100 W", "battery.size=50 Wh", "battery.cut_off=0 %", "battery.reconnect=0 %")
	log := &data.Series{FirstHour: 0, PanelW: make([]float64, 48), LoadW: make([]float64, 48)}
	for i := range log.LoadW {
		log.LoadW[i] = 5
		if i%24 >= 10 && i%24 < 14 {
			log.PanelW[i] = 60
		}
	}
	s, err := NewStorage(p, StorageFiles{Series: log})
	if err != nil {
		t.Fatal(err)
	}
	b, err := s.Balance(true)
	if err != nil {
		t.Fatal(err)
	}
	if want := 2 * 20 * 5.0; math.Abs(b.UnmetWh-want) > 1e-6 {
		t.Errorf("%g Wh are missing, want the %g of the dark hours", b.UnmetWh, want)
	}
}
