package plan

import (
	"slices"
	"strings"
	"testing"
)

// TestRulesNameKeys holds data/rules.csv to the key table: a name that is none would
// never be given, so that its rule were silent or always broken.
func TestRulesNameKeys(t *testing.T) {
	is := func(path string) bool {
		ix := keyTable()
		_, key := ix.byPath[path]
		return key || ix.tables[path] != nil || ix.tables[path+"[]"] != nil
	}
	for _, r := range rules() {
		at := "rule " + r.Table + " " + r.Key + " " + r.Rule + " " + r.Other
		if r.Table != "" && keyTable().tables[r.Table] == nil {
			t.Errorf("%s: no such table", at)
		}
		if others := []string{"or", "clears", "has", "needs", "idle"}; !slices.Contains(others, r.Rule) && breaks[r.Rule] == nil && needWords[r.Rule] == 0 {
			t.Errorf("%s: no such rule", at)
		}
		for _, path := range append(r.others(r.Table), joinKey(r.Table, r.Key)) {
			if path = strings.TrimPrefix(strings.ReplaceAll(path, `.""`, ""), `""`); path != "" && !is(path) && path != r.Table {
				t.Errorf("%s: no such key as %s", at, path)
			}
		}
		if (r.Message == "") != (r.Rule == "clears" || r.Rule == "or" && r.Table != "mains") {
			t.Errorf("%s: message %q", at, r.Message)
		}
	}
}

// TestSettingTakesThePlaceBothWays: of two ways to say the same, the one that the
// command line gives stays, whichever it is; two on the command line contradict.
func TestSettingTakesThePlaceBothWays(t *testing.T) {
	for _, c := range []struct{ file, set, text, gone string }{
		{"[load]\npower = \"20 W\"\n", "load.series", "s.csv", "load.power"},
		{"[load]\nseries = \"s.csv\"\n", "load.power", "20 W", "load.series"},
		{"[site]\nplace = \"Adelaide\"\n", "site.longitude", "13", "site.place"},
		{"[pond]\nfill_flow = \"600 L/h\"\nfill_time = \"5 h\"\n", "pond.volume", "3 m3", "pond.fill_time"},
		{"[[feed]]\npipe = \"hose 25 mm\"\nlength = \"3 m\"\nfittings = \"2 x tee\"\n", "feed.1.loss_k", "2", "feed.1.fittings"},
	} {
		p, _, err := ReadPlan("pond.toml", strings.NewReader(c.file), ReadOptions{Sets: []Setting{{Key: c.set, Text: c.text}}})
		if c.set == "site.longitude" { // a longitude alone is half a place
			if err == nil || !strings.Contains(err.Error(), "belong together") {
				t.Errorf("%s: %v", c.set, err)
			}
			continue
		}
		if err != nil || p.Given(c.gone) || !p.Given(c.set) {
			t.Errorf("%s over %s: %v, given %v", c.set, c.gone, err, p.Given(c.gone))
		}
	}
	p := NewPlan()
	if err := p.Apply([]Setting{{Key: "load.power", Text: "20 W"}, {Key: "load.series", Text: "s.csv"}}); err == nil || !strings.Contains(err.Error(), "two ways") {
		t.Errorf("two settings: %v", err)
	}
}
