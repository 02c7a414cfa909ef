package document

import (
	"testing"

	"sunrill/data/units"
)

// The figures are by NIST SP 811, appendix B.8: 1 ft = 0.3048 m, 1 US gallon =
// 3.785 412 L, 1 lb = 0.453 592 4 kg, and F = 1.8 C + 32. The imperial gallon is
// 4.546 09 L (Weights and Measures Act 1985, schedule 1).
func TestWarningInOtherUnits(t *testing.T) {
	names := []string{"1500 L/h box", "24 V 38 W"}
	for _, c := range []struct {
		metric, us, imperial string
	}{
		{"24 V 38 W: 0.45 m/s is below the 0.6 m/s at which a pipe stays clean",
			"24 V 38 W: 1.5 ft/s is below the 2.0 ft/s at which a pipe stays clean",
			"24 V 38 W: 1.5 ft/s is below the 2.0 ft/s at which a pipe stays clean"},
		{"a clean bed costs 0.054 mm of head", "a clean bed costs 0.0021 in of head", "a clean bed costs 0.0021 in of head"},
		{"from water of 4 C to 27 C", "from water of 39 °F to 81 °F", "from water of 4 C to 27 C"},
		{"LiFePO4 must not be charged below 0 C, and 5.25 C",
			"LiFePO4 must not be charged below 32 °F, and 41.45 °F", "LiFePO4 must not be charged below 0 C, and 5.25 C"},
		{"the air is right within 1.5 °C or by 10 C", "the air is right within 2.7 °F or by 18 °F", "the air is right within 1.5 °C or by 10 C"},
		{"at -12 C", "at 10 °F", "at -12 C"},
		{"1000 L/h against 3.00 m", "264.2 US gal/h against 9.84 ft", "220.0 imp gal/h against 9.84 ft"},
		{"from 10 to 20 kg of fish in 9.2 m3.", "from 22 to 44 lb of fish in 2400 US gal.", "from 22 to 44 lb of fish in 2000 imp gal."},
		{"1500 L/h box gives 1500 L/h", "1500 L/h box gives 396.3 US gal/h", "1500 L/h box gives 330.0 imp gal/h"},
		{`hose 38 mm, "5 m", 3 m/h, 4 mm2, 5 Wh, 12 V, 2 m²/s, 5 months, 3 Carps`,
			`hose 38 mm, "5 m", 3 m/h, 4 mm2, 5 Wh, 12 V, 2 m²/s, 5 months, 3 Carps`,
			`hose 38 mm, "5 m", 3 m/h, 4 mm2, 5 Wh, 12 V, 2 m²/s, 5 months, 3 Carps`},
	} {
		for system, want := range map[units.System]string{units.Metric: c.metric, units.US: c.us, units.Imperial: c.imperial} {
			d := Document{Warnings: []Warning{{Where: "5 m.csv:2: 1 m: ", Message: c.metric}}, Names: names}
			if got := d.WarningTexts(system)[0]; got != "5 m.csv:2: 1 m: "+want {
				t.Errorf("%v: %q\n got %q\nwant %q", system, c.metric, got, want)
			}
		}
	}
}

// A sentence of Sunrill's own, and such a cell, follow the page as a warning does:
// 2 t are 4400 lb and 1 m3 is 264 US gal (NIST Handbook 44), 5 cm 2.0 in.
func TestToldFollowsThePage(t *testing.T) {
	p := Sentence("take %v", Told("1.0 m3 of 2.0 t, up to 5 cm (5 %)"))
	if got, want := p.Text(units.US, Clean), "take 260 US gal of 4400 lb, up to 2.0 in (5 %)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := (page{units.US}).prose(p), markup("take 260 US gal of 4400 lb, up to 2.0 in (5 %)"); got != want {
		t.Errorf("HTML %q, want %q", got, want)
	}
	if got, want := p.String(), "take 1.0 m3 of 2.0 t, up to 5 cm (5 %)"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := (Cell{text: "±5 cm", told: true}).shown(Column{Unit: Word}, units.US, Clean), "±2.0 in"; got != want {
		t.Errorf("cell %q, want %q", got, want)
	}
}
