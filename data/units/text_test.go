package units

import (
	"encoding/json"
	"fmt"
	"testing"
)

// The figures are by NIST SP 811, appendix B.8: 1 ft = 0.3048 m, 1 US gallon =
// 3.785 412 L, 1 lb = 0.453 592 4 kg, and F = 1.8 C + 32. The imperial gallon is
// 4.546 09 L (Weights and Measures Act 1985, schedule 1).
func TestTextInOtherUnits(t *testing.T) {
	for _, c := range []struct {
		text                 Text
		metric, us, imperial string
	}{
		{Say("24 V 38 W: {%.2f m/s} is below the {%.1f m/s} at which a pipe stays clean", 0.45, 0.6),
			"24 V 38 W: 0.45 m/s is below the 0.6 m/s at which a pipe stays clean",
			"24 V 38 W: 1.5 ft/s is below the 2.0 ft/s at which a pipe stays clean",
			"24 V 38 W: 1.5 ft/s is below the 2.0 ft/s at which a pipe stays clean"},
		{"a clean bed costs {0.054 mm} of head", "a clean bed costs 0.054 mm of head", "a clean bed costs 0.0021 in of head",
			"a clean bed costs 0.0021 in of head"},
		{"not below {0 C}, and {5.25 C}", "not below 0 C, and 5.25 C", "not below 32 °F, and 41.45 °F", "not below 0 C, and 5.25 C"},
		{"right within {±1.5 °C}, at {-12 C}", "right within ±1.5 °C, at -12 C", "right within ±2.7 °F, at 10 °F",
			"right within ±1.5 °C, at -12 C"},
		{"{1000 L/h} against {3.00 m}", "1000 L/h against 3.00 m", "264.2 US gal/h against 9.84 ft", "220.0 imp gal/h against 9.84 ft"},
		{"from {10 to 20 kg} of fish in {9.2 m3}.", "from 10 to 20 kg of fish in 9.2 m3.", "from 22 to 44 lb of fish in 2400 US gal.",
			"from 22 to 44 lb of fish in 2000 imp gal."},
		{"{1.0 m3} of {2.0 t}, {±5 cm}, {5 Wh}, {some}", "1.0 m3 of 2.0 t, ±5 cm, 5 Wh, {some}",
			"260 US gal of 4400 lb, ±2.0 in, 5 Wh, {some}", "220 imp gal of 4400 lb, ±2.0 in, 5 Wh, {some}"},
		// What comes from outside is no figure; a text inside another keeps its own.
		{Say("%s gives {%v}: %s", "the {5 m} box", 1500*LitrePerHour, Text("{2 m}")), "the {5 m} box gives 1.5 m³/h: 2 m",
			"the {5 m} box gives 400 US gal/h: 6.6 ft", "the {5 m} box gives 330 imp gal/h: 6.6 ft"},
	} {
		for system, want := range map[System]string{Metric: c.metric, US: c.us, Imperial: c.imperial} {
			if got := c.text.In(system); got != want {
				t.Errorf("%v: %q\n got %q\nwant %q", system, c.text, got, want)
			}
		}
		if got := fmt.Sprint(c.text); got != c.metric {
			t.Errorf("printed %q, want %q", got, c.metric)
		}
		want, _ := json.Marshal(c.metric)
		if got, err := json.Marshal(c.text); err != nil || string(got) != string(want) {
			t.Errorf("encoded %s, %v; want %s", got, err, want)
		}
	}
}
