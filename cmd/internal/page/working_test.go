package page

import (
	"path"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/data/units"
)

var symbolName = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9]*#?$`)

// TestWorkingTable reads every row as the working does, with lists of two items.
func TestWorkingTable(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range stepRows() {
		if seen[r.At+r.Key+r.Formula+r.Inputs] || r.What == "" || r.Source == "" || r.Key == "" {
			t.Errorf("%s %s is told twice, or says too little", r.At, r.Key)
		}
		seen[r.At+r.Key+r.Formula+r.Inputs] = true
		for _, pattern := range strings.Fields(r.At) {
			if _, err := path.Match(pattern, ""); err != nil {
				t.Errorf("%s %s: %v", r.At, r.Key, err)
			}
		}
		symbols := map[string]float64{}
		for _, in := range strings.Split(r.Inputs, "; ") {
			symbol, from, is := strings.Cut(in, "=")
			if !is || !symbolName.MatchString(symbol) || !strings.Contains(from, " ") {
				t.Errorf("%s %s: %q is no input", r.At, r.Key, in)
			}
			for _, n := range []string{"1", "2"} {
				symbols[strings.ReplaceAll(symbol, "#", n)] = 0.5
			}
			if from, _, _ = strings.Cut(from, " "); strings.Contains(from, "|") && !strings.HasSuffix(from, "|0") && !strings.HasSuffix(from,
				"|1") {
				t.Errorf("%s %s: %q has no number", r.At, r.Key, in)
			}
		}
		left, right, is := strings.Cut(spread(r.Formula, 2), " = ")
		if _, err := Evaluate(right, symbols); err != nil || !is || !symbolName.MatchString(left) {
			t.Errorf("%s %s: %q: %v", r.At, r.Key, r.Formula, err)
		}
		if _, condition, is := strings.Cut(r.When, "("); is {
			if _, err := Evaluate("("+condition, symbols); err != nil {
				t.Errorf("%s %s: %v", r.At, r.Key, err)
			}
		}
	}
}

// TestFigures works rows of its own on a small page.
func TestFigures(t *testing.T) {
	length, currency := 3*units.Metre, plan.Money(2)
	p := &plan.Plan{Pond: plan.Pond{Shape: "round", Length: &length, VolumeError: 0.1}, Mains: plan.Mains{Currency: "R",
		Price: &currency, Years: 7}}
	type leaf struct {
		Flow float64  `json:"flow_m3_per_h"`
		Head *float64 `json:"head_m"`
		Name string   `json:"name"`
	}
	f := newFigures(struct {
		List []leaf    `json:"list"`
		Bare []float64 `json:"size_m"`
		Name string    `json:"name"`
		On   bool      `json:"on"`
	}{[]leaf{{Flow: 2}, {Flow: 3, Name: "B"}}, []float64{4, 5}, "pump", true}, p)
	for at, want := range map[string]any{"list.2.flow_m3_per_h": 3.0, "size_m.1": 4.0, "name": "pump", "on": true,
		"plan.pond.length_m": 3.0, "plan.pond.length_mm": 3000.0,
		"plan.pond.volume_error_fraction": 0.1, "plan.mains.price": 2.0, "plan.mains.years": 7.0, "plan.pond.shape": "round",
		"plan.pond.width_m": nil, "plan.nothing": nil, "list.3.flow_m3_per_h": nil} {
		if got, _ := f.known(at); got != want {
			t.Errorf("%s is %v, want %v", at, got, want)
		}
	}
	for at, want := range map[string]string{"size_m.1": "m", "plan.mains.price": "R", "plan.pond.length_mm": "mm", "x.cost_per_year": "R"} {
		if _, unit := f.known(at); unit.Symbol != want {
			t.Errorf("%s is in %q, want %q", at, unit.Symbol, want)
		}
	}
	at, _ := f.match("list.*", "list.2")
	root, _ := f.match(".", "")
	root.step(stepRow{Key: "all_m3_per_h", What: "all", Formula: "Q = {q#} + k",
		Inputs: "q#=list.#.flow_m3_per_h flow #; k=none|1 one", When: "new on !off name=pump (k)"})
	at.step(stepRow{Key: "twice_m3_per_h", What: "twice", Formula: "T = Q * s", Inputs: "Q=.flow_m3_per_h flow; s=size_m.* size",
		When: "new"})
	at.step(stepRow{Key: "head_m", What: "null on the page", Formula: "H = Q", Inputs: "Q=.flow_m3_per_h flow", When: "new"})
	for _, when := range []string{"", "new off", "new !on", "new name=hose", "new (Q - 4)", "new (Q"} {
		at.step(stepRow{Key: "not_m", Formula: "H = Q", Inputs: "Q=.flow_m3_per_h flow", When: when})
	}
	at.step(stepRow{Key: "not_m", Formula: "H = Q + q", Inputs: "Q=.flow_m3_per_h flow; q=.none flow", When: "new"})
	at.step(stepRow{Key: "flow_m3_per_h", What: "a figure of the page", Formula: "Q = s", Inputs: "s=size_m.1 size"})
	at.step(stepRow{Key: "flow_m3_per_h", Formula: "Q = s + 1", Inputs: "s=size_m.1 size"})
	want := []document.Step{
		{Key: "all_m3_per_h", What: "all", Formula: "Q = q1 + q2 + k", Result: 6, Unit: document.Flow},
		{Key: "list.2.twice_m3_per_h", What: "twice, B", Formula: "T = Q * s", Result: 15, Unit: document.Flow},
		{Key: "list.2.flow_m3_per_h", What: "a figure of the page, B", Formula: "Q = s", Result: 3, Unit: document.Flow},
	}
	if len(f.steps) != len(want) {
		t.Fatalf("%d steps, want %d", len(f.steps), len(want))
	}
	for i, s := range f.steps {
		if s.Inputs = nil; !reflect.DeepEqual(s, want[i]) {
			t.Errorf("%+v, want %+v", s, want[i])
		}
	}
}
