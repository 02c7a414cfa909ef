package plan

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sunrill/data"
	"sunrill/data/units"
)

// TestBandsReadBack checks that hours and months read back what they print.
func TestBandsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var h Hours
		for i := range h {
			h[i] = rapid.Bool().Draw(t, "half hour")
		}
		var got Hours
		if bad := listed(&got, written{text: h.String()}, "", addHours); bad != nil || got != h {
			t.Fatalf("%q reads as %q, %v", h, got, bad)
		}
		m := MonthSet(rapid.Uint16Max(uint16(AllYear)).Draw(t, "months"))
		var set MonthSet
		if bad := listed(&set, written{text: m.String()}, "", addMonths); bad != nil || set != m {
			t.Fatalf("%q reads as %q, %v", m, set, bad)
		}
	})
}

// TestCompass: an angle as maps and phones write it is the signed number, and a letter of the
// other axis is refused with those that there are. 18°30' is 18.5, 4°24'36" is 4.41.
func TestCompass(t *testing.T) {
	for _, c := range []struct{ key, text, want string }{
		{"latitude", "47 N", "47"}, {"latitude", "47.5°N", "47.5"}, {"latitude", "33 S", "-33"}, {"latitude", "S 33°30'", "-33.5"},
		{"latitude", "50,9 south", "-50.9"}, {"latitude", "-0°30'", "-0.5"}, {"latitude", "0 S", "0"}, {"latitude", "47.5°", "47.5"},
		{"longitude", "18°30' E", "18.5"}, {"longitude", "18.5E", "18.5"}, {"longitude", "4° 24′ 36″ W", "-4.41"},
		{"longitude", "18 deg west", "-18"},
		{"longitude", "47 N", "N is no side of a longitude, which lies E or W"},
		{"latitude", "18.5 E", "E is no side of a latitude, which lies N or S"},
		{"latitude", "-33 S", "the side is said twice: one sign or one letter is enough"},
		{"latitude", "18.5°30' N", "minutes and seconds are below 60, and only the last number has decimals"},
		{"latitude", "18°75' N", "minutes and seconds are below 60, and only the last number has decimals"},
		{"latitude", "91 S", "too small"}, {"longitude", "181 E", "too large"}, {"latitude", "N", "it does not begin with a number"},
	} {
		p := NewPlan()
		got, err := "", p.Set("site."+c.key, c.text)
		if err != nil {
			f := data.Faults(err)[0]
			if got = f.Message; f.Found != c.text || !strings.Contains(f.Allowed, "its letter, such as") {
				t.Errorf("%q: found %q, allowed %q", c.text, f.Found, f.Allowed)
			}
		} else {
			at := map[string]*units.Angle{"latitude": p.Site.Latitude, "longitude": p.Site.Longitude}[c.key]
			got = units.Sprintf("%.6g", at.In(units.Degree))
		}
		if got != c.want {
			t.Errorf("%s of %q: %s, want %s", c.key, c.text, got, c.want)
		}
	}
}

func TestFittingForms(t *testing.T) {
	want := []Fitting{{"elbow 90", 4}, {"ball valve", 1}}
	for _, text := range []string{"4 x elbow 90, 1 x ball valve", "4x elbow 90; ball valve", "4 × elbow 90, 1*ball valve"} {
		var got []Fitting
		bad := fittings(&got, written{text: text}, "")
		if diff := cmp.Diff(want, got); len(bad) > 0 || diff != "" {
			t.Errorf("%q: %v %s", text, bad, diff)
		}
	}
}

// A fitting of an inline table is given once, by one name.
func TestFittingTables(t *testing.T) {
	for text, want := range map[string]string{
		`{ elbow = 3, "ball valve" = 1 }`:   "",
		`{ elbow = 3, tee = 1, elbow = 4 }`: `pond.toml:2:34: feed.1.fittings: the fitting is given twice: found "elbow"`,
		`{ "elbow 90" = 1, elbow = 2 }`:     `the fitting is given twice: found "elbow"`,
		`"10000 x elbow 90"`:                "the number of a fitting is from 1 to 1000",
		`{ ball.valve = 1 }`:                `there is no such fitting: found "ball.valve"`,
		`{ elbow = 0 }`:                     "the number of a fitting is from 1 to 1000",
	} {
		_, _, err := ReadPlan("pond.toml", strings.NewReader("[[feed]]\nfittings = "+text+"\nbore = \"25 mm\"\nlength = \"1 m\"\n"), ReadOptions{})
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
}

func TestBandForms(t *testing.T) {
	for text, want := range map[string]string{
		"22-06": "22-06", "22:00-6:00": "22-06", "8h-16h": "08-16", "8 to 16": "08-16", "06-09, 17-21": "06-09, 17-21",
		"0-24": "all", "all": "all", "None": "none", "00:30-07:30": "00:30-07:30", "23-24": "23-00", "22-02;1-3": "22-03",
	} {
		var got Hours
		if bad := listed(&got, written{text: text}, "", addHours); len(bad) > 0 || got.String() != want {
			t.Errorf("hours %q: %q %v, want %q", text, got, bad, want)
		}
	}
	for text, want := range map[string]string{
		"May-Sep": "May-Sep", "november - february": "Nov-Feb", "1, 3": "Jan, Mar", "12-1": "Dec-Jan", "all": "all", "Jan-Dec": "all", "sept": "Sep",
	} {
		var got MonthSet
		if bad := listed(&got, written{text: text}, "", addMonths); len(bad) > 0 || got.String() != want {
			t.Errorf("months %q: %q %v, want %q", text, got, bad, want)
		}
	}
}

func BenchmarkLoadPlanDemo(b *testing.B) {
	for b.Loop() {
		if _, err := LoadPlan(PlanFile, LoadOptions{Open: FromFS(data.Demo())}); err != nil {
			b.Fatal(err)
		}
	}
}
