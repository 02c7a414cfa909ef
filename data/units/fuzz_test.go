package units

import (
	"math"
	"testing"
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
		Lookup(KindFlow, s) // must not panic
		SplitHeading(s)
		ParseNumber(s)
	})
}
