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

// TestAskUnderstands: what a keeper says in words of their own is taken for what it means
// or refused, never guessed.
func TestAskUnderstands(t *testing.T) {
	const refused = "refused"
	for _, test := range []struct{ key, said, want string }{
		{"pond.volume", "about 6 m3", "pond.volume=6 m3"},
		{"pond.volume", "it's round.", "pond.shape=round"},
		{"pond.volume", "3 x 2 x 1 m", "pond.shape=rectangle"},
		{"pond.volume", "1500 gallons", refused},
		{"pond.fill_flow", "10 L in 30 s", "pond.fill_flow=1200 L/h"},
		{"pond.fill_time", "6:30", "pond.fill_time=6 h 30 min"},
		{"pond.stocking", "A few goldfish", "pond.stocking=light"},
		{"pond.stocking", "5 koi", "pond.stocking=heavy"},
		{"pond.stocking", "0", "pond.stocking=none"},
		{"pond.stocking", "3500", refused},
		{"pond.stocking", "25 goldfish", refused},
		{"pond.stocking", "five small fish", refused},
		{"pond.stocking", "no fish", "pond.stocking=none"},
		{"pond.stocking", "", refused},
		{"pond.stocking", "?", refused},
		{"pond.stocking", "...", refused},
		{"pond.stocking", "no koi, but goldfish", refused},
		{"pump.1.curve", "no, only the box", ""},
		{"pump.1.curve", "yes", refused},
		{"pump.1.label_flow", "only the box", refused},
		{"pump.1.label_flow", "50 litres a minute", "pump.1.label_flow=50 L/min"},
		{"pump.1.label_power", "dont know", ""},
		{"pump.1.supply", "24 V from a battery", "pump.1.supply=DC"},
		{"pump.1.supply", "AC/DC", refused},
		{"lift.static_head", "zero", "lift.static_head=0 m"},
		{"feed.1.pipe", "half inch", "feed.1.bore=1/2 in"},
		{"feed.1.length", "ten", "feed.1.length=10 m"},
		{"feed.1.fittings", "two elbows", "feed.1.fittings=2 x elbow 90"},
		{"feed.1.fittings", "no bends, 1 tap", refused},
		{"@mains", "no, only the box", "site.mains=false"},
		{"@mains", "off grid", "site.mains=false"},
		{"@mains", "yes, but it fails", ""},
		{"@mains", "perhaps", refused},
		{"mains.price", "0,30 EUR/kWh", "mains.price=0,30 mains.currency=EUR"},
		{"site.place", "-32 23", "site.latitude=-32 site.longitude=23"},
		{"@runs", "Yes.", "pump.1.present=true"},
		{"@runs", "1", "pump.1.present=true"},
		{"@runs", "not yet", ""},
		{"@runs", "perhaps", refused},
		{"@today", "the first", "pump.1.present=true"},
		{"@today", "all", refused},
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

// TestAskCompletes: what answers a question that was asked back is taken with what was answered first.
func TestAskCompletes(t *testing.T) {
	for _, test := range []struct{ key, said, want string }{
		{"pond.volume", "5000\nL", "pond.volume=5000 L"},
		{"pond.volume", "5000\n?\nl", "pond.volume=5000 l"},
		{"pond.volume", "5000\nM3", "pond.volume=5000 M3"},
		{"pond.volume", "5000\n5000", "pond.volume=5000 m3"},
		{"pond.volume", "5000\n7 miles\nL\n8 m3", "pond.volume=8 m3"}, // L is of nothing that was understood
		{"pond.volume", "L\n8 m3", "pond.volume=8 m3"},
		{"pond.length", "320\nCM", "pond.length=320 CM"},
		{"pump.1.label_flow", "3,5\nm3/h", "pump.1.label_flow=3,5 m3/h"},
		{"feed.1.pipe", "1\nin", "feed.1.bore=1 in"},
		{"site.place", "47.2N\n8.5E", "site.latitude=47.2N site.longitude=8.5E"},
		{"site.place", "47,2 n\n8,5", "site.latitude=47,2 n site.longitude=8,5"},
		{"site.place", "47.2\n-8.5", "site.latitude=47.2 site.longitude=-8.5"},
		{"site.place", "8.5E\n47.2N", "site.latitude=47.2N site.longitude=8.5E"},
		{"site.place", "47.2N\n95N\n47.2, 8.5", "site.latitude=47.2 site.longitude=8.5"},
		{"site.place", "47.2N\n", ""},
		{"mains.price", "34 ct\neur", "mains.price=0.34 mains.currency=EUR"},
		{"mains.price", "0.34\nnone", "mains.price=0.34"},
		{"mains.price", "0.34\n", "mains.price=0.34"},
		{"mains.price", "0.34\n0.34", "mains.price=0.34"},
		{"mains.price", "0.34\nkWh\n$", "mains.price=0.34 mains.currency=$"},
		{"mains.price", "34\n34\nEUR", "mains.price=34 mains.currency=EUR"},
		{"mains.price", "34 EUR\n0.34 EUR", "mains.price=0.34 mains.currency=EUR"},
	} {
		i := slices.IndexFunc(questions(), func(q question) bool { return q.Key == test.key })
		a := newAsker(newStreams(strings.NewReader(test.said+"\n"), &bytes.Buffer{}, &bytes.Buffer{}), "")
		a.s.inIsTTY = true
		err := a.ask(questions()[i])
		var values []string
		for _, v := range a.answers {
			values = append(values, v.Key+"="+v.Text)
		}
		if got := strings.Join(values, " "); err != nil || got != test.want {
			t.Errorf("%s, %q: %s, %v, want %s", test.key, test.said, got, err, test.want)
		}
		if again := a.said; len(again) == 1 { // as it is kept, it is taken without being asked back
			b := newAsker(a.s, "")
			b.kept = again
			if err := b.ask(questions()[i]); err != nil || !slices.Equal(b.answers, a.answers) {
				t.Errorf("%s, %q: kept as %q, which is %v, %v", test.key, test.said, again, b.answers, err)
			}
		}
	}
}

// TestAskOneCurrency: two prices have one currency, written once; without the first it is asked for once,
// and where they differ it is asked which, or refused where nobody is there to ask.
func TestAskOneCurrency(t *testing.T) {
	for _, test := range []struct{ panel, battery, want string }{
		{"0,50 EUR", "0,35 EUR", "0,50 EUR 0,35"},
		{"0.50 EUR", "0.35", "0.50 EUR 0.35"},
		{"0.50\nnone", "0.35", "0.50 0.35"},
		{"0.50\nnone", "0.35 EUR", "0.50 0.35 EUR"},
		{"", "0.35\nEUR", "0.35 EUR"},
		{"0.50 EUR", "0.35 USD\nusd", "0.50 USD 0.35"},
		{"0.50 EUR", "0.35 USD\nEUR", "0.50 EUR 0.35"},
		{"0.50 R", "0.35 USD\n", "0.50 R 0.35"},
	} {
		a := newAsker(newStreams(strings.NewReader(test.panel+"\n"+test.battery+"\n"), &bytes.Buffer{}, &bytes.Buffer{}), "")
		a.s.inIsTTY = true
		for _, q := range questions() {
			if q.Key == "panel.price_per_watt" || q.Key == "battery.price_per_wh" {
				if err := a.ask(q); err != nil {
					t.Error(err)
				}
			}
		}
		var values []string
		for _, v := range a.answers {
			values = append(values, v.Text)
		}
		if got := strings.Join(values, " "); got != test.want {
			t.Errorf("%q, %q: %s, want %s", test.panel, test.battery, got, test.want)
		}
	}
	for battery, want := range map[string]string{"0,35 EUR": "", "0,35 USD": "question 16, battery.price_per_wh: is that USD, or EUR"} {
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
// is asked back; with a unit, or the same again, it is taken.
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
		{"mains.price", "34 EUR", "is that 34 EUR or 0.34 EUR?"},
	} {
		i := slices.IndexFunc(questions(), func(q question) bool { return q.Key == test.key })
		a := newAsker(newStreams(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}), "")
		a.s.inIsTTY = true
		got := ""
		if err := a.take(questions()[i], test.said); err != nil {
			got = data.Faults(err)[0].Message
			a.sure = true
			if again := a.take(questions()[i], test.said); again != nil && data.Faults(again)[0].Message == got {
				t.Errorf("%s, %q: doubted again", test.key, test.said)
			}
		}
		if got != test.want {
			t.Errorf("%s, %q: %q, want %q", test.key, test.said, got, test.want)
		}
	}
	var out, errs bytes.Buffer // nobody is there to ask: a volume is refused, a price of such a currency is not
	text := strings.NewReplacer("2 m3", "4000", "0.30 EUR", "34").Replace(goodAnswers)
	code := Main([]string{"new", filepath.Join(t.TempDir(), "pond"), "--ask"}, strings.NewReader(text), &out, &errs)
	said := errs.String()
	if code != exitUsage || !strings.Contains(said, "question 2, pond.volume: is that 4000 m3 or 4000 L or 4000 US gal?\n"+
		"sunrill: hint: write the one that is meant\n") || !strings.Contains(said, "taken as 34 for one") ||
		!strings.Contains(said, "no currency given") || strings.Count(said, "error:") != 1 {
		t.Errorf("piped: exit %d, %s", code, said)
	}
}
