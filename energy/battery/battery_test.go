package battery

import (
	"errors"
	"math"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// PK2 and PK3, calculated by hand from the form for a rated capacity: what 100 Ah
// rated at 20 h give at some current. At 10 A and k 1.2 they last 8.71 h.
func TestPK2PK3RateShare(t *testing.T) {
	b := IdealBattery()
	b.RatedHours = 20
	for _, c := range []struct {
		id          string
		k, amps, ah float64
		tol         float64
	}{
		{"PK2", 1.2, 5, 100, 1e-9}, {"PK2", 1.2, 10, 87.1, 0.05},
		{"PK3", 1.1, 10, 93.3, 0.05}, {"PK3", 1.1, 20, 87.1, 0.05}, {"PK3", 1.1, 50, 79.4, 0.05}, {"PK3", 1.1, 100, 74.1, 0.05},
	} {
		b.Peukert = c.k
		// At 1 V a current is a power and a charge an energy.
		got := 100 * b.RateShare(100*units.WattHour, units.Power(c.amps))
		if math.Abs(got-c.ah) > c.tol {
			t.Errorf("%s k %g, %g A: %.3f Ah, want %g", c.id, c.k, c.amps, got, c.ah)
		}
	}
}

// TestRateShare: 100 Ah at 12 V rated at 20 h and k 1.1 gives 93.3 % at twice
// the rated power, as PK3 does at twice the rated current; slower is not counted.
func TestRateShare(t *testing.T) {
	b := IdealBattery()
	b.Peukert, b.RatedHours = 1.1, 20
	for _, c := range []struct{ load, want float64 }{{120, 0.933}, {60, 1}, {10, 1}, {0, 1}} {
		if got := b.RateShare(1200*units.WattHour, units.Power(c.load)); math.Abs(got-c.want) > 0.0005 {
			t.Errorf("%g W: %.4f, want %g", c.load, got, c.want)
		}
	}
}

// TestColdCapacity: multipliers of two stand-alone worksheets and, at -10 °C,
// of a battery maker's note (SA5); the lithium shares of a cell maker's sheet.
func TestColdCapacity(t *testing.T) {
	for _, c := range []struct {
		kind        string
		tempC, want float64
	}{
		{"flooded lead", 26.7, 1}, {"flooded lead", 40, 1}, {"flooded lead", 4.4, 1 / 1.30}, {"sealed lead", -1.1, 1 / 1.40},
		{"flooded lead", 7.2, (1/1.19 + 1/1.30) / 2}, {"flooded lead", -10, 1 / 1.65}, {"flooded lead", -30, 1 / 1.65},
		{"LiFePO4", 25, 1}, {"LiFePO4", 0, 0.80}, {"LiFePO4", -20, 0.70}, {"LiFePO4", 12.5, 0.90},
		{"ideal", -40, 1},
	} {
		row, err := data.BatteryKindOf(c.kind)
		if err != nil {
			t.Fatal(err)
		}
		if got := BatteryOf(row, data.BatteryCold()).CapacityAt(units.Celsius(c.tempC)); math.Abs(got-c.want) > 1e-5 {
			t.Errorf("%s at %g C: %.5f, want %.5f", c.kind, c.tempC, got, c.want)
		}
	}
}

// batteryKinds returns the kinds that a plan may name, each of which has a row: see
// TestTablesAndKeysNameTheSameWords of data.
func batteryKinds() []string {
	k, _ := plan.KeyNamed("battery.kind")
	return k.Choices
}

// TestBatteryKinds: every row is a battery that passes its own check, and its
// losses lie in the published ranges of methods 3.6.
func TestBatteryKinds(t *testing.T) {
	roundTrip := map[string][2]float64{
		"flooded lead": {0.65, 0.75}, // about 70 %
		"sealed lead":  {0.75, 0.90}, // between flooded lead and lithium; common practice, no source
		"LiFePO4":      {0.92, 0.97},
		"ideal":        {1, 1},
	}
	kinds := batteryKinds()
	if len(kinds) != len(roundTrip) {
		t.Errorf("%d kinds, want %d", len(kinds), len(roundTrip))
	}
	for _, kind := range kinds {
		row, err := data.BatteryKindOf(kind)
		if err != nil {
			t.Fatal(err)
		}
		b := BatteryOf(row, data.BatteryCold())
		if err := b.Check(); err != nil {
			t.Errorf("%s: %v", row.Kind, err)
		}
		want, known := roundTrip[row.Kind]
		if rt := b.ChargeShare * b.DischargeShare; !known || rt < want[0] || rt > want[1] {
			t.Errorf("%s: round trip %.3f, want %v", row.Kind, rt, want)
		}
		if row.Source == "" {
			t.Errorf("%s has no source", row.Kind)
		}
	}
}

func TestBatteryFrom(t *testing.T) {
	share := func(x float64) *float64 { return &x }
	volts := func(x units.Voltage) *units.Voltage { return &x }
	b, assumed, err := BatteryFrom(plan.Battery{})
	if err != nil || b.Kind != "LiFePO4" || len(assumed) < 5 {
		t.Errorf("nothing given: %q, assumed %v, %v", b.Kind, assumed, err)
	}
	b, _, err = BatteryFrom(plan.Battery{Kind: "lifepo4", Usable: share(0.5)})
	if err != nil || b.CutOff != 0.5 || b.Reconnect <= b.CutOff {
		t.Errorf("half usable: cut-off %g, reconnect %g, %v; the cut-off follows the usable share", b.CutOff, b.Reconnect, err)
	}
	if b, _, err = BatteryFrom(plan.Battery{Kind: "ideal", Usable: share(0.8)}); err != nil || b.CutOff != 0 || b.Reconnect != 0 {
		t.Errorf("ideal: cut-off %g, reconnect %g, %v; it has no limits", b.CutOff, b.Reconnect, err)
	}
	// The same level for both is a controller without hysteresis; 0 is none.
	if b, _, err = BatteryFrom(plan.Battery{CutOff: share(0), Reconnect: share(0)}); err != nil || b.Reconnect != 0 {
		t.Errorf("cut-off and reconnect 0: %g, %g, %v", b.CutOff, b.Reconnect, err)
	}
	count := 1000
	for _, c := range []struct {
		p    plan.Battery
		want float64
	}{
		{plan.Battery{}, 3000 * 0.8}, {plan.Battery{Cycles: &count}, 800}, {plan.Battery{CycleDepth: share(0.5)}, 1500},
		{plan.Battery{Cycles: &count, CycleDepth: share(0.5)}, 500}, {plan.Battery{Kind: "ideal", Cycles: &count}, 1000},
	} {
		if b, _, err := BatteryFrom(c.p); err != nil || math.Abs(b.FullCycles-c.want) > 1e-9 {
			t.Errorf("%+v: %g full cycles, %v; want %g", c.p, b.FullCycles, err, c.want)
		}
	}
	months := [12]units.Temperature{}
	for m := range months {
		months[m] = units.Celsius(float64(10 + m))
	}
	months[6] = units.Celsius(0)
	b, _, err = BatteryFrom(plan.Battery{Temperature: &months, CapacityAt0C: share(0.9)})
	if err != nil || math.Abs(b.ColdShare-0.9) > 1e-12 {
		t.Errorf("cold share %g, %v; want 0.9 as given", b.ColdShare, err)
	}
	for key, p := range map[string]plan.Battery{
		"battery.kind":      {Kind: "nickel"},
		"battery.usable":    {Usable: share(1.2)},
		"battery.reconnect": {CutOff: share(0.5), Reconnect: share(0.4)},
		"battery.voltage":   {Voltage: volts(12)}, // LiFePO4 makes 12.8 V
	} {
		_, _, err := BatteryFrom(p)
		var fault *data.Error
		if !errors.As(err, &fault) || fault.Key != key {
			t.Errorf("%v, want a fault of %s", err, key)
		}
	}
}

// TestBatteryLife by a pencil: 1000 Wh nominal, 300 kWh taken a year is 300
// cycles; 2400 full cycles last 8 years; at 35 C ten years become five.
func TestBatteryLife(t *testing.T) {
	b := IdealBattery()
	b.FullCycles, b.CalendarYears = 2400, 10
	l := b.Life(1000*units.WattHour, 300*units.KilowattHour, units.Celsius(20))
	if math.Abs(l.CyclesPerYear-300) > 1e-9 || math.Abs(l.ByCycles-8) > 1e-9 || l.ByAge != 10 || math.Abs(l.Years()-8) > 1e-9 {
		t.Errorf("%+v, want 300 cycles, 8 and 10 years", l)
	}
	if l = b.Life(1000*units.WattHour, 0, units.Celsius(35)); l.ByAge != 5 || l.Years() != 5 {
		t.Errorf("%+v, want 5 years at 35 C", l)
	}
}

// TestUsableNominal: nominal = usable / (usable share x cold x end of life).
func TestUsableNominal(t *testing.T) {
	b := IdealBattery()
	b.UsableShare, b.ColdShare, b.EndOfLifeShare = 0.8, 0.9, 0.8
	n := b.Nominal(576 * units.WattHour)
	if math.Abs(n.In(units.WattHour)-1000) > 1e-9 || math.Abs(b.Usable(n).In(units.WattHour)-576) > 1e-9 {
		t.Errorf("nominal %v, want 1000 Wh", n)
	}
}

// TestAgeingTemperature: half the year at 35 C ages at the mean of one and two
// times the rate of 25 C, 1.5: 25 + 10 log2 1.5 = 30.85 C. Cold gains nothing.
func TestAgeingTemperature(t *testing.T) {
	var months [12]units.Temperature
	for m := range months {
		months[m] = units.Celsius(5)
		if m%2 == 0 {
			months[m] = units.Celsius(35)
		}
	}
	if got := AgeingTemperature(months).InCelsius(); math.Abs(got-30.8496) > 1e-4 {
		t.Errorf("%g C, want 30.85", got)
	}
}
