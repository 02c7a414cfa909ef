package cli

import (
	"bytes"
	"os"
	"path/filepath"
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
		for _, want := range []string{"one figure from the box is no curve",
			"the box's flow and head come next", `label_flow = "3000 L/h"`} {
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
		{"", "47.2N 8.5", "latitude = \"47.2N\"\nlongitude = 8.5"},
		{"", "47.2, 8.5E", "latitude = 47.2\nlongitude = \"8.5E\""},
		{"", "50.9", "that is the latitude alone"},
		{"", "8,5E", "that is the longitude alone"},
		{"", "1 2 3", "latitude and longitude are two numbers"},
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
		{strings.TrimSuffix(goodAnswers, "\n\n\n") +
			"yes\n\n2500 L/h\n2 m\n60 W\n\n\n2\n\n", "Another pump", "Which of them", "Does it run"},
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
