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

// goodAnswers is a full set of answers about an invented pond.
const goodAnswers = "Heron Nook\n2 m3\nlight\n\n3000 L/h\n2.2 m\n65 W\nAC\n0.9 m\nhose 38 mm\n4 m\n2 x elbow 90\nyes\n0.30 EUR\n-32.0, 23.0\n\n\n\n"

// TestAskStopped: what a person answered before the input was closed is kept, and the next
// time goes on from there to the same plan as without a stop.
func TestAskStopped(t *testing.T) {
	folder := t.TempDir()
	asked := func(dir, answers string) (out string, err error) {
		var page, errs bytes.Buffer
		s := newStreams(strings.NewReader(answers), &page, &errs)
		s.inIsTTY = true
		err = runAsk(s, filepath.Join(folder, dir))
		return page.String(), err
	}
	lines := strings.SplitAfter(goodAnswers, "\n")
	for _, part := range []string{strings.Join(lines[:2], ""), "", strings.Join(lines[2:9], "")} {
		out, err := asked("stopped", part)
		if err == nil || !strings.Contains(err.Error(), "--ask goes on from there") || out != "" {
			t.Errorf("%v, %q", err, out)
		}
	}
	got, err := asked("stopped", strings.Join(lines[9:], ""))
	want, failed := asked("whole", goodAnswers)
	if err != nil || failed != nil {
		t.Fatal(err, failed)
	}
	if got = strings.ReplaceAll(got, "stopped", "whole"); got == "" || got[:40] != want[:40] {
		t.Errorf("%q, want %q", got, want)
	}
	plans := map[string]string{}
	for _, dir := range []string{"stopped", "whole"} {
		text, err := os.ReadFile(filepath.Join(folder, dir, plan.PlanFile))
		if plans[dir] = string(text); err != nil {
			t.Error(err)
		}
		if exists(filepath.Join(folder, dir, "answers.txt")) {
			t.Error(dir, "keeps the answers that its plan has")
		}
	}
	if plans["stopped"] != plans["whole"] {
		t.Errorf("%s\nwant\n%s", plans["stopped"], plans["whole"])
	}
}

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
}

// TestAskEnds: answers without end are told their faults, and as many pumps are asked for as
// anybody compares.
func TestAskEnds(t *testing.T) {
	for _, test := range []struct {
		rest string
		most int
		want string
	}{
		{strings.Repeat("yes\n", 5000), data.MaxFaults + 1, "question 17, pump.2.curve: then name it"},
		{strings.Repeat("yes\n\n2500 L/h\n2 m\n60 W\n\n", 30) + "no\n", 21, "@more: that is enough to ask for; allowed: no; further pumps"},
	} {
		var out, errs bytes.Buffer
		text := strings.TrimSuffix(goodAnswers, "\n\n\n") + test.rest
		code := Main([]string{"new", filepath.Join(t.TempDir(), "pond"), "--ask"}, strings.NewReader(text), &out, &errs)
		if n := strings.Count(errs.String(), "sunrill: error: "); code != exitUsage || n > test.most || !strings.Contains(errs.String(), test.want) {
			t.Errorf("exit %d, %d faults, not %q in %s", code, n, test.want, errs.String())
		}
	}
}

// TestAskDoubtsHighLift: on a terminal a lift beyond the pump is explained and
// asked for again.
func TestAskDoubtsHighLift(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "pond")
	var out, errs bytes.Buffer
	s := newStreams(strings.NewReader(strings.Replace(goodAnswers, "\n0.9 m\n", "\n2.4 m\n0.9 m\n", 1)), &out, &errs)
	s.inIsTTY = true
	if err := runAsk(s, dir); err != nil {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	for _, want := range []string{"the pump reaches 2.2 m at most", "measure from the pond's surface, not from the pump"} {
		if !strings.Contains(errs.String(), want) {
			t.Errorf("%q is not said:\n%s", want, errs.String())
		}
	}
	if !strings.HasPrefix(out.String(), "Heron Nook, 2 m³") {
		t.Errorf("page %q", out.String())
	}
}

// TestAskTakesACurveBack: a figure of the box typed for the curve is explained,
// and an empty answer after it brings the questions about the box.
func TestAskTakesACurveBack(t *testing.T) {
	for _, figure := range []string{"3000 L/h", "8 m", "2500", "2500 L"} {
		dir := filepath.Join(t.TempDir(), "pond")
		var out, errs bytes.Buffer
		s := newStreams(strings.NewReader(strings.Replace(goodAnswers, "\n\n3000 L/h\n", "\n"+figure+"\n\n3000 L/h\n", 1)), &out, &errs)
		s.inIsTTY = true
		if err := runAsk(s, dir); err != nil {
			t.Fatalf("%v\n%s", err, errs.String())
		}
		for _, want := range []string{"one figure from the box is no curve", "the box's flow and head come next", `label_flow = "3000 L/h"`} {
			if !strings.Contains(errs.String(), want) {
				t.Errorf("%s: %q is not said:\n%s", figure, want, errs.String())
			}
		}
	}
}

// TestAskPricesAndPlaces: what a bill and a map show is taken, what is no price
// is not.
func TestAskPricesAndPlaces(t *testing.T) {
	for _, test := range []struct{ price, place, want string }{
		{"0.30 EUR/kWh", "-32.0, 23.0", "price = 0.30\ncurrency = \"EUR\"\nlatitude = -32.0\nlongitude = 23.0"},
		{"$0.12 per kWh", "50.9N 4.4E", "price = 0.12\ncurrency = \"$\"\nlatitude = \"50.9N\"\nlongitude = \"4.4E\""},
		{"2,50 R", "50°54'S, 4°24'36\"W", "price = \"2,50\"\ncurrency = \"R\"\nlatitude = \"50°54'S\"\nlongitude = \"4°24'36\\\"W\""},
		{"", "50,9; 4,4", "latitude = \"50,9\"\nlongitude = \"4,4\""},
		{"30 ct", "", "price = 0.3"},
		{"0.30 kWh", "", "that is power or energy, not money"},
		{"", "-32.0,23.0", "latitude = -32.0\nlongitude = 23.0"},
		{"", "50,9 4,4", "latitude = \"50,9\"\nlongitude = \"4,4\""},
		{"", "S 33°30', E 18.5", "latitude = \"S 33°30'\"\nlongitude = \"E 18.5\""},
		{"", "95N 4E", "too large"},
		{"", "50.9", "latitude and longitude are two numbers"},
	} {
		a := newAsker(newStreams(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}), "")
		err := a.setPrice("mains.price", test.price)
		if err == nil {
			err = a.setSite("site.place", test.place)
		}
		var lines []string
		for _, v := range a.answers {
			k, _ := plan.KeyNamed(v.Key)
			lines = append(lines, k.PlanLine(v.Text))
		}
		got := strings.Join(lines, "\n")
		if err != nil {
			got = data.Faults(err)[0].Message
		}
		if got != test.want {
			t.Errorf("%q, %q: %s, want %s", test.price, test.place, got, test.want)
		}
	}
}

// TestAskHelps: help lists choices once, sends nobody with sloping walls to the mean depth that straight
// ones take, and one pump is not asked for among several.
func TestAskHelps(t *testing.T) {
	for _, test := range []struct{ answers, after, said, unsaid string }{
		{"Heron\n2 m3\n?\n", "> ", "medium", "none, light, medium"},
		{"Heron\nsloping\n4 m\n3 m\n?\n", "How deep", "deepest place", "mean depth"},
		{"Heron\noval\n4 m\n3 m\n?\n", "How deep", "give the mean depth here", "sloping"},
		{goodAnswers, "Another pump", "Does it run there today: yes or no?", "Which of them"},
		{strings.TrimSuffix(goodAnswers, "\n\n\n") + "yes\n\n2500 L/h\n2 m\n60 W\n\n\n2\n\n", "Another pump", "Which of them", "Does it run"},
	} {
		var out, errs bytes.Buffer
		s := newStreams(strings.NewReader(test.answers), &out, &errs)
		s.inIsTTY = true
		if err := runAsk(s, filepath.Join(t.TempDir(), "pond")); err != nil && !strings.Contains(err.Error(), "stopped") {
			t.Fatal(err)
		}
		_, said, found := strings.Cut(errs.String(), test.after)
		said = strings.Join(strings.Fields(said), " ")
		if !found || !strings.Contains(said, test.said) || strings.Contains(said, test.unsaid) {
			t.Errorf("not %q, or %q, is said after %q:\n%s", test.said, test.unsaid, test.after, said)
		}
	}
}

// TestQuestionsFit: each question is of a key of the plan, and each special answer
// and each word that puts a question has its row.
func TestQuestionsFit(t *testing.T) {
	keys, words := map[string]bool{}, map[string]bool{"fill": true, "box": true, "watts": true, "DC": true, "mains": true, "off": true,
		"one": true, "several": true}
	for shape := range shapes {
		words[shape] = true
	}
	for _, q := range questions() {
		keys[q.Key] = true
		if _, ok := plan.KeyNamed(q.Key); !ok && !strings.HasPrefix(q.Key, "@") {
			t.Errorf("there is no key %s", q.Key)
		}
		if q.Default != "" && q.Empty != "" {
			t.Errorf("%s: an empty answer is both a value and none", q.Key)
		}
		for _, word := range strings.Fields(q.When) {
			if !words[word] {
				t.Errorf("%s waits for %q, which nothing makes true", q.Key, word)
			}
		}
	}
	for key := range takes {
		if !keys[key] {
			t.Errorf("nothing asks for %s", key)
		}
	}
}

// FuzzAsk checks that no answers make sunrill new panic, and that it writes a
// plan that reads, or nothing with an error.
func FuzzAsk(f *testing.F) {
	for _, text := range []string{
		goodAnswers, strings.ReplaceAll(goodAnswers, "\n", "\r\n"), "", "\n\n\n", "\ufeffA\nround\n3 m\n1 m\nheavy\n\n1 L/h\n1 m\n\ndc\n24 V\n0\n25 mm\n1 m\n\n\n\n",
		"\"\\\n6 m3\nnone\n", strings.Replace(goodAnswers, "Heron", "\x00\x1b[2J\u202e\"'\\", 1), strings.Replace(goodAnswers, "0.30 EUR", "R 2,38", 1),
		strings.Replace(goodAnswers, "-32.0, 23.0", "-32,0; 23,5", 1), strings.Replace(goodAnswers, "2 m3", "fill\n900 L/h\n2 h", 1),
		strings.Replace(goodAnswers, "yes\n0.30 EUR\n-32.0, 23.0\n", "no\n\n0,50 EUR\n0,35 EUR\n", 1),
		strings.Replace(goodAnswers, "2 x elbow 90", "9999 x elbow 90", 1), strings.Repeat("x", 5000),
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		dir := filepath.Join(t.TempDir(), "pond")
		var out, errs bytes.Buffer
		code := Main([]string{"new", dir, "--ask"}, strings.NewReader(text), &out, &errs)
		_, there := os.Stat(dir)
		switch code {
		case exitUsage:
			if there == nil || out.Len() > 0 || !strings.Contains(errs.String(), "sunrill: error: ") {
				t.Errorf("exit 2, folder %v, printed %q, said %q", there, out.String(), errs.String())
			}
		case exitAnswered, exitNoAnswer:
			if _, err := plan.LoadPlan(dir, plan.LoadOptions{ReadOptions: plan.ReadOptions{Need: plan.NeedPond}}); err != nil {
				t.Errorf("exit %d, and the plan does not read: %v", code, err)
			}
		default:
			t.Errorf("exit %d", code)
		}
	})
}
