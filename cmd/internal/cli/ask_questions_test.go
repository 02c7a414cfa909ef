package cli

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
)

// TestAskUnderstands: a number with its unit and the words of the question are taken, in
// capitals or not; all else is refused, never guessed.
func TestAskUnderstands(t *testing.T) {
	const refused = "refused"
	for _, test := range []struct{ key, said, want string }{
		{"pond.volume", "6 m3", "pond.volume=6 m3"},
		{"pond.volume", "6", "pond.volume=6 m3"},
		{"pond.volume", "Round", "pond.shape=round"},
		{"pond.volume", "1500 gallons", refused},
		{"pond.volume", "about six", refused},
		{"pond.stocking", "Light", "pond.stocking=light"},
		{"pond.stocking", "none", "pond.stocking=none"},
		{"pond.stocking", "25 goldfish", refused},
		{"pond.stocking", "", refused},
		{"pond.stocking", "?", refused},
		{"pump.1.curve", "no, only the box", ""},
		{"pump.1.curve", "no", ""},
		{"pump.1.curve", "yes", refused},
		{"pump.1.curve", "3000 L/h", refused},
		{"pump.1.label_flow", "50 L/min", "pump.1.label_flow=50 L/min"},
		{"pump.1.label_power", "dont know", ""},
		{"pump.1.label_power", "1.56 kWh a day", refused},
		{"pump.1.supply", "dc", "pump.1.supply=DC"},
		{"pump.1.supply", "AC/DC", refused},
		{"feed.1.pipe", "1/2 in", "feed.1.bore=1/2 in"},
		{"feed.1.fittings", "2 elbows", "feed.1.fittings=2 x elbow 90"},
		{"feed.1.fittings", "none", ""},
		{"@mains", "n", "site.mains=false"},
		{"@mains", "perhaps", refused},
		{"mains.price", "0,30 EUR/kWh", "mains.price=0,30 mains.currency=EUR"},
		{"@runs", "Yes", "pump.1.present=true"},
		{"@runs", "perhaps", refused},
		{"@today", "1", "pump.1.present=true"},
		{"@today", "2", refused},
	} {
		i := slices.IndexFunc(questions(), func(q question) bool { return q.Key == test.key })
		a := newAsker(newStreams(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}), "")
		a.s.inIsTTY = true
		err := a.take(questions()[i], test.said)
		var values []string
		for _, v := range a.answers {
			values = append(values, v.Key+"="+v.Text)
		}
		got := strings.Join(values, " ")
		if err != nil {
			got = refused
		}
		if got != test.want {
			t.Errorf("%s, %q: %s, want %s", test.key, test.said, got, test.want)
		}
	}
}

// TestAskOneCurrency: two prices have one currency, written once, and are refused in two.
func TestAskOneCurrency(t *testing.T) {
	for battery, want := range map[string]string{"0,35 EUR": "", "0,35": "", "0,35 USD": "question 16, battery.price_per_wh: the price before was in EUR"} {
		dir := filepath.Join(t.TempDir(), "pond")
		var out, errs bytes.Buffer
		text := strings.Replace(goodAnswers, "yes\n0.30 EUR\n-32.0, 23.0\n", "no\n\n0,50 EUR\n"+battery+"\n", 1)
		Main([]string{"new", dir, "--ask"}, strings.NewReader(text), &out, &errs)
		switch written, err := os.ReadFile(filepath.Join(dir, plan.PlanFile)); {
		case want == "" && (err != nil || strings.Count(string(written), `currency = "EUR"`) != 1):
			t.Errorf("%v, %s\n%s", err, written, errs.String())
		case want != "" && (err == nil || !strings.Contains(errs.String(), want)):
			t.Errorf("not %q:\n%s", want, errs.String())
		}
	}
}

// TestFishAreCounted: as many fish as the question names, of the length it names, are within the range
// of the word. Weight of a carp in g, 1.7/100 times the cube of its length in cm: value from memory.
func TestFishAreCounted(t *testing.T) {
	i := slices.IndexFunc(questions(), func(q question) bool { return q.Key == "pond.stocking" })
	why := questions()[i].Why
	counted := regexp.MustCompile(`(\w+), up to (\d+) (?:fish )?of (\d+) cm or (\d+) of (\d+) cm`).FindAllStringSubmatch(why, -1)
	if len(counted) != 2 {
		t.Fatalf("%q counts %d times", why, len(counted))
	}
	for _, m := range counted {
		word, err := data.StockingOf(m[1])
		if err != nil {
			t.Fatal(err)
		}
		for pair := range slices.Chunk(m[2:], 2) {
			n, err := strconv.ParseFloat(pair[0], 64)
			length, failed := strconv.ParseFloat(pair[1], 64)
			if err != nil || failed != nil {
				t.Fatal(err, failed)
			}
			if kg := n * 1.7e-5 * math.Pow(length, 3); kg > word.FishHighPerM3 || kg < 0.8*word.FishHighPerM3 {
				t.Errorf("%s: %s fish of %s cm are %.3g kg/m3, not nearly %g", m[1], pair[0], pair[1], kg, word.FishHighPerM3)
			}
		}
	}
	a := newAsker(newStreams(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}), "")
	if f := data.Faults(a.take(questions()[i], "25")); len(f) != 1 || f[0].Allowed != "none, light, medium, heavy" || f[0].Hint != why {
		t.Errorf("25: %+v", f)
	}
}

// TestAskDoubts: a bare number that is not usual in the unit asked for, and is in another,
// has to be told with its unit.
func TestAskDoubts(t *testing.T) {
	for _, test := range []struct{ key, said, want string }{
		{"pond.volume", "5000", "is that 5000 m3 or 5000 L or 5000 US gal?"},
		{"pond.volume", "5000 L", ""},
		{"pond.volume", "50", ""},
		{"pond.length", "320", "is that 320 m or 320 cm?"},
		{"pond.depth", "5", "is that 5 m or 5 ft?"},
		{"pond.fill_flow", "20", "is that 20 L/h or 20 L/min or 20 m3/h?"},
		{"pond.fill_time", "90", "is that 90 h or 90 min?"},
		{"pump.1.label_flow", "3,5", "is that 3,5 L/h or 3,5 L/min or 3,5 m3/h?"},
		{"pump.1.label_flow", "3500", ""},
		{"pump.1.label_head", "220", "is that 220 m or 220 cm?"},
		{"pump.1.label_power", "0.065", "is that 0.065 W or 0.065 kW?"},
		{"lift.static_head", "90", "is that 90 m or 90 cm?"},
		{"lift.static_head", "0", ""},
		{"feed.1.pipe", "1", "is that 1 mm or 1 in or 1 cm?"},
		{"feed.1.pipe", "25", ""},
	} {
		i := slices.IndexFunc(questions(), func(q question) bool { return q.Key == test.key })
		a := newAsker(newStreams(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}), "")
		a.s.inIsTTY = true
		got := ""
		if err := a.take(questions()[i], test.said); err != nil {
			got = data.Faults(err)[0].Message
		}
		if got != test.want {
			t.Errorf("%s, %q: %q, want %q", test.key, test.said, got, test.want)
		}
	}
}
