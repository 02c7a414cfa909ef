package energy

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
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
	for i, c := range hoursAbout(air, supply.Record{Panel: supply.Tile([]float64{1}, 0, 60*solar.HoursPerYear)}, 8) {
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

// TestSpreadOfDays holds the rule to the hours of measured years (NREL TMY3), whose days it
// lets spread by no less, or a tenth.
func TestSpreadOfDays(t *testing.T) {
	folder := os.Getenv("SUNRILL_WEATHER")
	if folder == "" {
		t.Skip("SUNRILL_WEATHER is not set: real weather files are not part of the project")
	}
	for name, want := range map[string]float64{"USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw": 3.4, "USA_CO_Denver.Intl.AP.725650_TMY3.epw": 4,
		"VT-Burlington_International_Ap.tmy3": 4, "723170TYA.CSV": 4} {
		in, err := os.Open(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		w, err := data.ReadWeather(name, in)
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
		var days [12][]float64
		for i := 0; i+24 <= len(w.TempC); i += 24 {
			m := supply.MonthAt(0, i)
			days[m] = append(days[m], stat.Mean(w.TempC[i:i+24], nil))
		}
		var months [12]units.Temperature
		measured := 0.0
		for m, d := range days {
			mean, std := stat.MeanStdDev(d, nil)
			months[m] = units.Celsius(mean)
			measured += std / 12
		}
		rule := spreadOfDays(months)
		reftest.Near(t, name, rule, want, 0.05)
		if measured > 1.15*rule || measured < rule/2.5 {
			t.Errorf("%s: days spread by %.2f K, the rule has %.2f", name, measured, rule)
		}
	}
}

// TestNightsTooCold: an equatorial highland at 9 °C has no frost to be warned of, one at 4 °C has
// in its colder months; a winter at 9 °C has. Lead and a warm room are in no doubt.
func TestNightsTooCold(t *testing.T) {
	for _, c := range []struct {
		kind  string
		means [12]float64
		want  string // the months
	}{
		{"LiFePO4", [12]float64{9.2, 9.6, 9.8, 9.7, 9.5, 9.2, 9.2, 9.6, 9.4, 9.1, 8.8, 8.9}, ""},
		{"LiFePO4", [12]float64{12, 12, 12, 12, 12, 4, 4, 12, 12, 12, 12, 12}, "Jun, Jul"},
		{"LiFePO4", [12]float64{19, 18, 17, 15, 12, 9, 9, 12, 15, 17, 18, 19}, "Jun, Jul"},
		{"LiFePO4", [12]float64{15, 15, 15, 15, 15, 15, 15, 15, 15, 15, 15, 15}, ""},
		{"sealed lead", [12]float64{}, ""},
	} {
		row, err := data.BatteryKindOf(c.kind)
		if err != nil {
			t.Fatal(err)
		}
		s := Storage{Battery: battery.BatteryOf(row, nil)}
		var months [12]units.Temperature
		for m, mean := range c.means {
			months[m] = units.Celsius(mean)
		}
		s.coldNights(months)
		if got := len(s.Warnings); got > 1 || (got == 1) != (c.want != "") || got == 1 && !strings.Contains(s.Warnings[0].Message.String(), "are likely in "+c.want+";") {
			t.Errorf("%s at %v: %v", c.kind, c.means, s.Warnings)
		}
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
