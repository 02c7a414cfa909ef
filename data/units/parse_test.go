package units

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The factors are those of NIST SP 811: US gallon 3.785411784 L, imperial
// gallon 4.54609 L, foot 0.3048 m, psi 6894.757 Pa.
func TestParseReads(t *testing.T) {
	tests := []struct {
		kind Kind
		in   string
		want float64
	}{
		{KindFlow, "2400 L/h", 2.4 / 3600},
		{KindFlow, "2400l/h", 2.4 / 3600},
		{KindFlow, "2400 lph", 2.4 / 3600},
		{KindFlow, "2400 litres per hour", 2.4 / 3600},
		{KindFlow, "2400 L h⁻¹", 2.4 / 3600},
		{KindFlow, "2.4 m3/h", 2.4 / 3600},
		{KindFlow, "2,4 m³/h", 2.4 / 3600},
		{KindFlow, "2.4 m^3/hr", 2.4 / 3600},
		{KindFlow, "2.4\u00a0M3/H", 2.4 / 3600},
		{KindFlow, "40 L/min", 0.04 / 60},
		{KindFlow, "1 Gal US / Min", 3.785411784e-3 / 60},
		{KindFlow, "2 cubic feet per minute", 2 * 0.3048 * 0.3048 * 0.3048 / 60},
		{KindVelocity, "2 ft/s", 0.6096},
		{KindVelocity, "0.6 m s-1", 0.6},
		{KindFlow, "40 LPM", 0.04 / 60},
		{KindFlow, "0.5 L/s", 0.0005},
		{KindFlow, "600 US gal/h", 600 * 3.785411784e-3 / 3600},
		{KindFlow, "600 US gph", 600 * 3.785411784e-3 / 3600},
		{KindFlow, "600 gph (US)", 600 * 3.785411784e-3 / 3600},
		{KindFlow, "10 US gal per minute", 10 * 3.785411784e-3 / 60},
		{KindFlow, "500 imp gal/h", 500 * 4.54609e-3 / 3600},
		{KindFlow, "500 imp. gph", 500 * 4.54609e-3 / 3600},
		{KindFlow, "1e3 L/h", 1.0 / 3600},
		{KindFlow, "0", 0},
		{KindFlow, "0.0", 0},
		{KindHead, "0.9 m", 0.9},
		{KindHead, "3 ft", 0.9144},
		{KindHead, "-0.2 m", -0.2},
		{KindHead, "−0.2 m", -0.2},
		{KindHead, "9.80665 kPa", 1},
		{KindHead, "1 psi", 6894.757293168 / 9806.65},
		{KindHead, "2 mH2O", 2},
		{KindHead, "2 ft of water", 0.6096},
		{KindHead, "1 bar", 1e5 / 9806.65},
		{KindLength, "25mm", 0.025},
		{KindLength, "25MM", 0.025},
		{KindBore, "1/2 in", 0.0127},
		{KindBore, "1 1/4 in", 0.03175},
		{KindBore, `1-1/4"`, 0.03175},
		{KindBore, `1½″`, 0.0381},
		{KindBore, "¾ inch", 0.01905},
		{KindLength, "5 ft 6 in", 1.6764},
		{KindLength, `5'6"`, 1.6764},
		{KindLength, "-5 ft 6 in", -1.6764},
		{KindLength, "0,500 m", 0.5},
		{KindVolume, "9200 litres", 9.2},
		{KindVolume, "1000 US gallons", 3.785411784},
		{KindVolume, "1000 imperial gallons", 4.54609},
		{KindArea, "24 sq m", 24},
		{KindArea, "2.5 mm²", 2.5e-6},
		{KindPower, "65W", 65},
		{KindPower, "0.065 kw", 65},
		{KindEnergy, "600 Wh", 600 * 3600},
		{KindEnergy, "1.2 kWh", 1.2 * 3.6e6},
		{KindEnergy, "3.6 MJ", 3.6e6},
		{KindCharge, "110 Ah", 110 * 3600},
		{KindCharge, "800 mAh", 0.8 * 3600},
		{KindTemperature, "12 °C", 285.15},
		{KindTemperature, "-4C", 269.15},
		{KindTemperature, "68 °F", 293.15},
		{KindTemperature, "68 degF", 293.15},
		{KindTemperature, "300 K", 300},
		{KindAngle, "180°", math.Pi},
		{KindAngle, "-90 deg", -math.Pi / 2},
		{KindAngle, "0", 0},
		{KindTime, "1 h 30 min", 5400},
		{KindTime, "1h30min", 5400},
		{KindTime, "9.8s", 9.8},
		{KindTime, "2 days", 172800},
		{KindTime, "3 months", 365 * 86400 / 4.},
		{KindFeedRate, "30 g/day", 0.03 / 86400},
		{KindFeedRate, "30 g per day", 0.03 / 86400},
		{KindMass, "2 lb", 0.90718474},
		{KindIrradiance, "1000 W/m2", 1000},
		{KindIrradiance, "1 kW/m²", 1000},
		{KindVoltage, "24 V", 24},
		{KindCurrent, "2700 mA", 2.7},
		{KindShare, "80 %", 0.8},
		{KindShare, "80%", 0.8},
		{KindShare, "0.8", 0.8},
		{KindShare, "1", 1},
		{KindShare, "-2 %", -0.02},
	}
	for _, tt := range tests {
		got, err := Parse(tt.kind, tt.in)
		if err != nil {
			t.Errorf("Parse(%v, %q): %v", tt.kind, tt.in, err)
		} else if math.Abs(got-tt.want) > 1e-12*math.Abs(tt.want) {
			t.Errorf("Parse(%v, %q) = %v, want %v", tt.kind, tt.in, got, tt.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		kind Kind
		in   string
		says string // what the message must hold
	}{
		{KindFlow, "", "nothing is written"},
		{KindFlow, "   ", "nothing is written"},
		{KindFlow, "2400", "no unit: write for example 2400 L/h"},
		{KindFlow, "2400", "L/min"},
		{KindFlow, "2 kW", "is a power; a flow is needed"},
		{KindFlow, "500 gph", "500 US gal/h for US gallons or 500 imp gal/h"},
		{KindFlow, "10 gpm", "US gal/min"},
		{KindVolume, "500 gal", "500 US gal for US gallons or 500 imp gal"},
		{KindVolume, "500 Gallons", "imp gal"},
		{KindFlow, "500 gal", "is a volume; a flow is needed"},
		{KindLength, "500 gph", "is a flow; a length is needed"},
		{KindFlow, "500 gallons an hour", "not a unit"},
		{KindFlow, "500 gallons per hour", "500 US gal/h"},
		{KindFlow, "1,500 L/h", "write 1500 if it divides thousands or 1.500"},
		{KindFlow, "1.500,5 L/h", "thousands"},
		{KindFlow, "1,500,000 L/h", "thousands"},
		{KindFlow, "1 500 L/h", "without a space"},
		{KindFlow, "1_500 L/h", "not a unit"},
		{KindFlow, "1'500 L/h", "not a unit"},
		{KindFlow, "NaN L/h", "number"},
		{KindFlow, "Inf L/h", "number"},
		{KindFlow, "0x10 L/h", "not a unit"},
		{KindFlow, "1e999 L/h", "too large"},
		{KindEnergy, "1e308 kWh", "too large"},
		{KindPower, "1e308 W", "too large"},
		{KindFlow, "-5 L/h", "cannot be negative"},
		{KindFlow, "5 L/h and more", "not a unit"},
		{KindFlow, "5 L/h 6", "not a unit"},
		{KindFlow, "5 furlongs", "not a unit of flow"},
		{KindLength, "1/0 in", "fraction"},
		{KindLength, "1/2/3 in", "not a unit"},
		{KindLength, "1 5/4 in", "fraction"},
		{KindLength, "5 ft 6", "no unit"},
		{KindLength, "5 in 6 ft", "smaller"},
		{KindLength, "9 kPa", "is a pressure; a length is needed"},
		{KindTemperature, "0", "needs its unit"},
		{KindTemperature, "-300 °C", "absolute zero"},
		{KindTime, "5 m", "min or month"},
		{KindTime, "1:75", "with 00 to 59 seconds"},
		{KindTime, "5 min 1 h", "smaller"},
		{KindEnergy, "5 mJ", "not a unit"},
		{KindEnergy, "110 Ah", "is a charge; an energy is needed"},
		{KindPower, "5 MW", "not a unit"},
		{KindShare, "80", "write 80 %"},
		{KindShare, "1.5", "150 %"},
		{KindShare, "-1.5", "-150 %"},
		{KindShare, "1e307", "too large"},
		{KindHead, "2 bar 3", "no unit"},
		{KindTime, strings.Repeat("1", 1<<20) + " h", "too long"},
	}
	for _, tt := range tests {
		got, err := Parse(tt.kind, tt.in)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("Parse(%v, %q) = %v, %v; want an *Error", tt.kind, tt.in, got, err)
		} else if !strings.Contains(err.Error(), tt.says) || e.Allowed == "" {
			t.Errorf("Parse(%v, %q): %q does not say %q", tt.kind, tt.in, err, tt.says)
		}
	}
}

// TestSprintf: a sentence shows numbers as people write them.
func TestSprintf(t *testing.T) {
	tests := []struct {
		format string
		v      any
		want   string
	}{
		{"%.2g A", 5400.0, "5400 A"},
		{"%.3g m", 1214.0 * Metre, "1210 m"},
		{"%g V", 16.799999999999997, "16.8 V"},
		{"%g", 0.000012, "0.000012"},
		{"%.3g", 2e15, "2e+15"},
		{"UTC%+g", math.Copysign(0, -1), "UTC+0"},
		{"%.0f %%", -0.3, "0 %"},
		{"%.1f C", -0.04, "0.0 C"},
		{"%.1f C", -0.06, "-0.1 C"},
		{"%d h", 7, "7 h"},
		{"%v", 1.5 * Metre, "1.5 m"},
	}
	for _, tt := range tests {
		if got := Sprintf(tt.format, tt.v); got != tt.want {
			t.Errorf("%s of %v is %s, want %s", tt.format, tt.v, got, tt.want)
		}
	}
}

// TestAnglesKeepTheirDegrees: degrees come back from radians as they were given.
func TestAnglesKeepTheirDegrees(t *testing.T) {
	for tenths := -3600; tenths <= 3600; tenths++ {
		if want := float64(tenths) / 10; (Angle(want) * Degree).In(Degree) != want {
			t.Errorf("%v degrees come back as %v", want, (Angle(want) * Degree).In(Degree))
		}
	}
}

// A minus before nothing leaves no minus zero to be printed.
func TestParseMinusZero(t *testing.T) {
	for _, s := range []string{"-0", "-0 m", "-0.0 mm"} {
		if v, err := Parse(KindLength, s); err != nil || math.Signbit(v) {
			t.Errorf("Parse(%q) = %v, %v", s, v, err)
		}
	}
	if v, err := Parse(KindShare, "-0"); err != nil || math.Signbit(v) {
		t.Errorf("share -0 = %v, %v", v, err)
	}
}

// Every kind names itself, has a home in each system, and reads its example.
func TestKinds(t *testing.T) {
	for _, k := range Kinds() {
		if back, ok := KindNamed(k.String()); !ok || back != k {
			t.Errorf("KindNamed(%q) = %v, %v", k, back, ok)
		}
		if _, err := Parse(k, k.Example()); err != nil {
			t.Errorf("example of %v: %v", k, err)
		}
		for _, s := range []System{Metric, US, Imperial} {
			if u := s.Unit(k); u.String() == "" || math.Abs(u.From(u.Base(7))-7) > 1e-9 {
				t.Errorf("%v %v: unit %v does not read back", s, k, u)
			}
		}
		for _, f := range k.families() {
			for _, symbol := range shown[f] {
				if _, ok := find(k, symbol); !ok {
					t.Errorf("%v lists %q but does not take it", k, symbol)
				}
			}
		}
	}
}

func TestPropParseReadsStringBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
		low := 0.0
		if traits[k].signed && k != KindTemperature {
			low = -1e9
		}
		x := rapid.Float64Range(low, 1e9).Draw(t, "x")
		got, err := Parse(k, Format(k, x))
		if err != nil {
			t.Fatalf("%q: %v", Format(k, x), err)
		}
		tol := 1e-11 * math.Abs(x)
		if k == KindTemperature { // 12 digits of a Celsius number near zero are finer than the sum with 273.15
			tol = 1e-11 * (math.Abs(x) + 273.15)
		}
		if math.Abs(got-x) > tol {
			t.Fatalf("Parse(%q) = %v, want %v", Format(k, x), got, x)
		}
	})
}
