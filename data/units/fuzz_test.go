package units

import (
	"math"
	"strings"
	"testing"
	"unicode"
)

// FuzzParse holds the parser to its promise for any text and every kind: no
// panic, a finite result, an error that quotes what is allowed, and a printed
// form that reads back.
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"2400 L/h", "25mm", "1/2 in", `1-1/4"`, "1½″", "5'6\"", "-4 °C", "2,5 m³/h", "1,500 L/h", "1.500,5", "1 500 L/h",
		"500 gph", "500 gal", "1e308 kWh", "1e999 m", "1e-400 m", "NaN", "Inf m", "0x10 m", "1_0 m", "1/0 in", "1 1/4", "1 h 30 min",
		"5 m", "80 %", "80", "0", "-0", "+", "-", ".", ",", "e", "1e", "1e+", "½", "½½", "1/½", "\u00a0", "°", "5°", "\x00", "\xff5 m",
		"2400 L h⁻¹", "US gal/h", "1 US gal/h 2", "(US)", "١٢ m", "９ m", "1.e5 m", "1,e5 m", "00012 m", "5 m\n", "−5 m", "5 ft -6 in",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, k := range Kinds() {
			v, err := Parse(k, s)
			if err != nil {
				if e, ok := err.(*Error); !ok || e.Allowed == "" || e.Problem == "" {
					t.Fatalf("Parse(%v, %q): bare error %v", k, s, err)
				}
				continue
			}
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("Parse(%v, %q) = %v", k, s, v)
			}
			back, err := Parse(k, Format(k, v))
			if err != nil {
				t.Fatalf("Parse(%v, %q) = %v, printed %q: %v", k, s, v, Format(k, v), err)
			}
			if tol := 1e-11 * (math.Abs(v) + 273.15); math.Abs(back-v) > tol {
				t.Fatalf("%v %q: %v printed %q read %v", k, s, v, Format(k, v), back)
			}
		}
		ParseNumber(s) // must not panic
	})
}

// wordsOnly returns the letters and digits of s.
func wordsOnly(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return -1
	}, s)
}

// FuzzHeading: a heading is taken apart without loss of its letters and digits,
// and a unit that is found turns numbers both ways.
func FuzzHeading(f *testing.F) {
	for _, s := range []string{
		"flow (L/h)", "flow [L/h]", "flow_l_per_h", "Flow (US gal/h)", "Q L/min", "head_m", "head (kPa)", "pump", "", "(", ")", "[]", "flow (", "flow ((L/h))",
		"flow_", "_l_per_h", "flow rate", "flow (L/h) (max)", "\u00a0flow\t(L/h)", "flow_us_gal_per_h", "temperature (\u00b0C)", "\xff(\xfe)",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		name, unit := SplitHeading(s)
		if got, want := wordsOnly(name)+wordsOnly(unit), wordsOnly(ordinary.Replace(s)); got != want {
			t.Fatalf("%q is taken apart into %q and %q", s, name, unit)
		}
		for _, k := range Kinds() {
			u, err := Lookup(k, unit)
			if err != nil {
				continue
			}
			if back := u.From(u.Base(7)); math.Abs(back-7) > 1e-9 {
				t.Fatalf("%q of %v turns 7 into %g", unit, k, back)
			}
		}
	})
}
