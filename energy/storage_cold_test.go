package energy

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/solar"
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

// TestColdHoursOfMadeYears: hours lie about the mean of their month as the normal
// distribution of their spread has it, the root of (10/2.83)² + 4² = 5.34 K; a
// sheltered battery always charges, in other years too.
func TestColdHoursOfMadeYears(t *testing.T) {
	s := storageOf(t, "battery.least_charging_temperature=8 C")
	var want []int
	air := s.Sky.AirByMonth()
	for m := range air {
		if air[m].InCelsius() < 8 {
			want = append(want, m)
		}
	}
	if len(want) < 3 || len(want) > 9 || !slices.Equal(s.Frost.Months, want) {
		t.Fatalf("months %v are too cold, want %v", s.Frost.Months, want)
	}
	var cold, all [12]float64
	for i, c := range hoursAbout(air, supply.Record{Panel: make([]float64, 60*solar.HoursPerYear)}) {
		m := supply.MonthAt(0, i)
		all[m]++
		if c < 8 {
			cold[m]++
		}
	}
	for m := range cold {
		below := 0.5 * math.Erfc((air[m].InCelsius()-8)/5.34/math.Sqrt2)
		reftest.Near(t, "hours below 8 C", cold[m]/all[m], below, 0.03)
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

// TestNoCliffInTheCold: a tenth of a degree on either side of a month's mean makes little
// difference outdoors, and a place with little frost in its sunny hours is not warned of.
func TestNoCliffInTheCold(t *testing.T) {
	coldest := storageOf(t).Sky.AirByMonth()[0].InCelsius()
	missing := func(by float64) (share, unmet float64) {
		s := storageOf(t, fmt.Sprintf("battery.least_charging_temperature=%.3f C", coldest+by), "panel.watts=400 W", "battery.size=1000 Wh")
		b, err := s.Balance(true)
		if err != nil || s.Frost == nil {
			t.Fatal(err, s.Frost)
		}
		return s.Frost.SunShare, b.UnmetFraction()
	}
	shareBelow, unmetBelow := missing(-0.1)
	shareAbove, unmetAbove := missing(0.1)
	if !(shareAbove >= shareBelow && shareAbove < shareBelow+0.01 && math.Abs(unmetAbove-unmetBelow) < 0.01) {
		t.Errorf("%.4f and %.4f of the sun, %.4f and %.4f of the energy", shareBelow, shareAbove, unmetBelow, unmetAbove)
	}
	if s := storageOf(t, fmt.Sprintf("battery.least_charging_temperature=%.3f C", coldest-9)); s.Frost != nil || s.Record.BatteryC != nil {
		t.Errorf("frost of %+v", s.Frost)
	}
}

// TestLeadThatFreezes by the table: half of the way from -9 C at 40 % to -27 C at 70 %.
// A battery run flat in a hard winter is warned of, a full one and one in a warm room not.
func TestLeadThatFreezes(t *testing.T) {
	for charge, want := range map[float64]float64{0: 0, 0.4: -9, 0.55: -18, 1: -50} {
		reftest.Near(t, "freezes at", battery.FreezesAt(charge).InCelsius(), want, 1e-9)
	}
	const flat, full = "panel.watts=100 W,battery.size=1000 Wh,battery.usable=90 %", "panel.watts=4000 W,battery.size=20000 Wh"
	for _, c := range []struct {
		sets  string
		warns bool
	}{{flat, true}, {full, false}, {flat + ",battery.temperature=15 C", false}, {flat + ",battery.temperature=-5 C", true}} {
		b, err := storageOf(t, strings.Split("battery.kind=sealed lead,"+c.sets, ",")...).Balance(false)
		if err != nil {
			t.Fatal(err)
		}
		if got := slices.ContainsFunc(b.Warnings, func(w data.Warning) bool { return strings.Contains(w.Message.String(), "freezes at") }); got != c.warns {
			t.Errorf("%s: warned %v, want %v; lowest charge %g", c.sets, got, c.warns, b.LowestCharge)
		}
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
