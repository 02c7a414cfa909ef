package units

import (
	"math"
	"testing"
)

// held returns what a quantity of the base units v holds: its number of unit, its text and
// its kind.
func held[K interface{ kind() Kind }](unit Quantity[K]) func(v float64) (float64, string, Kind) {
	return func(v float64) (float64, string, Kind) {
		return Quantity[K](v).In(unit), Quantity[K](v).String(), Quantity[K](v).Kind()
	}
}

// The pairs are definitions: the foot and pound of 1959, the US gallon of 231
// cubic inches, the mechanical horsepower of 550 foot-pounds a second, as in
// NIST SP 811; 0 °C = 273.15 K.
func TestQuantitiesKeepWhatTheyHold(t *testing.T) {
	for _, tt := range []struct {
		kind       Kind
		text       string
		hold       func(v float64) (float64, string, Kind)
		want, base float64
	}{
		{KindLength, "10 ft", held(Metre), 3.048, 3.048},
		{KindArea, "100 ft²", held(SquareMetre), 9.290304, 9.290304},
		{KindVolume, "1000 US gal", held(Litre), 3785.411784, 3.785411784},
		{KindFlow, "600 US gal/h", held(LitrePerHour), 2271.2470704, 2.2712470704 / 3600},
		{KindVelocity, "2 ft/s", held(MetrePerHour), 0.6096 * 3600, 0.6096},
		{KindMass, "10 lb", held(Gram), 4535.9237, 4.5359237},
		{KindFeedRate, "86.4 g/day", held(FeedRate(1)), 1e-6, 1e-6},
		{KindPower, "2 kW", held(Horsepower), 2000 / 745.6998715822702, 2000},
		{KindEnergy, "1.2 kWh", held(WattHour), 1200, 4.32e6},
		{KindCharge, "110 Ah", held(AmpereHour), 110, 396000},
		{KindVoltage, "12.8 V", held(Volt), 12.8, 12.8},
		{KindCurrent, "2.7 A", held(Ampere), 2.7, 2.7},
		{KindTime, "36 h", held(Day), 1.5, 129600},
		{KindShare, "80 %", held(Share(1)), 0.8, 0.8},
	} {
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-12*math.Abs(want) {
				t.Errorf("%v %q: %s %.15g, want %.15g", tt.kind, tt.text, what, got, want)
			}
		}
		base, err := Parse(tt.kind, tt.text)
		if err != nil {
			t.Errorf("%v %q: %v", tt.kind, tt.text, err)
		}
		near("in the base unit", base, tt.base)
		in, text, kind := tt.hold(base)
		near("holds", in, tt.want)
		back, err := Parse(tt.kind, text)
		if near("after a reading of its own text", back, tt.base); err != nil || kind != tt.kind {
			t.Errorf("%v: its own %q as %v: %v", tt.kind, text, kind, err)
		}
		if _, err := Parse(tt.kind, "7 parsecs"); err == nil {
			t.Errorf("%v takes parsecs", tt.kind)
		}
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
