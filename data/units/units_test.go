package units

import (
	"math"
	"testing"
)

// quantity is what every named quantity offers to flags, cells and plans.
type quantity interface {
	String() string
	Set(string) error
	Type() string
}

// The pairs are definitions: the foot and pound of 1959, the US gallon of 231
// cubic inches, the mechanical horsepower of 550 foot-pounds a second, as in
// NIST SP 811; 0 °C = 273.15 K.
func TestQuantitiesReadAndKeepWhatTheyHold(t *testing.T) {
	var (
		length   Length
		area     Area
		volume   Volume
		flow     Flow
		velocity Velocity
		mass     Mass
		feed     FeedRate
		power    Power
		energy   Energy
		charge   Charge
		voltage  Voltage
		current  Current
		duration Duration
		share    Share
	)
	tests := []struct {
		q        quantity
		kind     Kind
		text     string
		in       func() float64
		want     float64
		baseWant float64
	}{
		{&length, KindLength, "10 ft", func() float64 { return length.In(Metre) }, 3.048, 3.048},
		{&area, KindArea, "100 ft²", func() float64 { return area.In(SquareMetre) }, 9.290304, 9.290304},
		{&volume, KindVolume, "1000 US gal", func() float64 { return volume.In(Litre) }, 3785.411784, 3.785411784},
		{&flow, KindFlow, "600 US gal/h", func() float64 { return flow.In(LitrePerHour) }, 2271.2470704, 2.2712470704 / 3600},
		{&velocity, KindVelocity, "2 ft/s", func() float64 { return velocity.In(MetrePerHour) }, 0.6096 * 3600, 0.6096},
		{&mass, KindMass, "10 lb", func() float64 { return mass.In(Gram) }, 4535.9237, 4.5359237},
		{&feed, KindFeedRate, "86.4 g/day", func() float64 { return feed.In(GramPerDay) }, 86.4, 1e-6},
		{&power, KindPower, "2 kW", func() float64 { return power.In(Horsepower) }, 2000 / 745.6998715822702, 2000},
		{&energy, KindEnergy, "1.2 kWh", func() float64 { return energy.In(Megajoule) }, 4.32, 4.32e6},
		{&charge, KindCharge, "110 Ah", func() float64 { return charge.In(MilliampereHour) }, 110000, 396000},
		{&voltage, KindVoltage, "12.8 V", func() float64 { return voltage.In(Millivolt) }, 12800, 12.8},
		{&current, KindCurrent, "2.7 A", func() float64 { return current.In(Milliampere) }, 2700, 2.7},
		{&duration, KindTime, "36 h", func() float64 { return duration.In(Day) }, 1.5, 129600},
		{&share, KindShare, "80 %", func() float64 { return float64(share) }, 0.8, 0.8},
	}
	for _, tt := range tests {
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-12*math.Abs(want) {
				t.Errorf("%v %q: %s %.15g, want %.15g", tt.kind, tt.text, what, got, want)
			}
		}
		if err := tt.q.Set(tt.text); err != nil {
			t.Errorf("%v %q: %v", tt.kind, tt.text, err)
		}
		near("holds", tt.in(), tt.want)
		base, err := Parse(tt.kind, tt.text)
		if err != nil {
			t.Errorf("%v %q: %v", tt.kind, tt.text, err)
		}
		near("in the base unit", base, tt.baseWant)
		if got := tt.q.Type(); got != tt.kind.String() {
			t.Errorf("%v: help calls it %q", tt.kind, got)
		}
		if err := tt.q.Set(tt.q.String()); err != nil {
			t.Errorf("%v: its own %q: %v", tt.kind, tt.q, err)
		}
		near("after a reading of its own text", tt.in(), tt.want)
		if err := tt.q.Set("7 parsecs"); err == nil {
			t.Errorf("%v takes parsecs", tt.kind)
		}
		near("after a refusal", tt.in(), tt.want)
	}
}

func TestParseStopwatch(t *testing.T) {
	for text, want := range map[string]Duration{"0:22": 22, "1:05.4": 65.4, " 12:00 ": 720, "0:59,5": 59.5} {
		if got, ok := ParseStopwatch(text); !ok || math.Abs(float64(got-want)) > 1e-9 {
			t.Errorf("%q: %v, %v", text, got, ok)
		}
	}
	for _, text := range []string{"22", "0:5", "0:60", "1:2:3", ":22", "-1:22", "0:-2", "0:22 s", "0:1e1", ""} {
		if got, ok := ParseStopwatch(text); ok {
			t.Errorf("%q was read as %v", text, got)
		}
	}
}

// Fixed points of water under one atmosphere, which define neither scale today
// but hold to 0.03 K: 0 °C is 32 °F, 100 °C is 212 °F; -40 is -40.
func TestTemperatureScalesMeet(t *testing.T) {
	for _, p := range []struct{ c, f float64 }{{0, 32}, {100, 212}, {-40, -40}} {
		if got := US.Unit(KindTemperature).From(float64(Celsius(p.c))); math.Abs(got-p.f) > 1e-10 {
			t.Errorf("%g °C is %g °F, want %g", p.c, got, p.f)
		}
	}
}

func TestSystemsAreNamed(t *testing.T) {
	for _, want := range []System{Metric, US, Imperial} {
		var s System
		if err := s.Set(want.String()); err != nil || s != want {
			t.Errorf("%v is read as %v: %v", want, s, err)
		}
	}
	s := US
	if err := s.Set("troy"); err == nil || s != US {
		t.Errorf("troy: %v, leaves %v", err, s)
	}
	if got := Kind(99).String(); got != "Kind(99)" {
		t.Errorf("no kind is called %q", got)
	}
	if k, ok := KindNamed("luck"); ok || k != 0 {
		t.Errorf("luck is a %v", k)
	}
}

func TestAnglesAndTemperaturesAreShown(t *testing.T) {
	if a := 35 * Degree; a.In(Degree) != 35 || a.String() != "35°" {
		t.Errorf("35 degrees are %v, or %v", a.In(Degree), a)
	}
	if c := Celsius(10); c.InCelsius() != 10 || c.String() != "10 °C" {
		t.Errorf("10 °C is %v, or %v", c.InCelsius(), c)
	}
}
