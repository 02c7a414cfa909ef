package document_test

import (
	"slices"
	"strings"
	"testing"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/document/testdata/documenttest"
	"sunrill/data/units"
)

// frontOf is a front with name in every place that a file may fill.
func frontOf(name string) *document.Front {
	own := document.Control{Key: "lift.static_head", Label: "Lift", Steps: []document.Setting{
		{Set: [][2]string{{"lift.static_head", name}}, Name: document.Plain(name)},
		{Set: [][2]string{{"lift.static_head", "2 m"}}, Name: document.Sentence("%v", document.Head.Of(2.0))}}}
	words, picker := own, own
	words.Key, picker.Key = "pond.stocking", "choice.pump"
	said := document.Sentence("%v takes %v", name, document.Hours.Of(4.0))
	return &document.Front{State: document.Doubtful, Head: said, More: []document.Prose{said},
		Tiles: []document.Tile{{Key: "water", Label: "Turnover", Figure: said, Says: said, Notes: []document.Prose{said}, Brief: said,
			Span: &document.Span{Low: 3, At: 4, High: 6, Goal: 5, Tick: said, Alt: said}}, {Key: "none"}},
		Groups: []document.Group{{Key: "water", Heading: "Water", Controls: []document.Control{own, words},
			Picker: &document.Picker{Control: picker, Heads: []string{"a", "b"}, Rows: [][]document.Prose{{said, said}, {said, said}},
				State: []document.State{document.Good, document.Danger}},
			Scene: &document.Scene{Pump: name, Flow: said, Clean: said, Lift: said, Volume: said, Hose: said, LiftM: 1, WidthM: 3, DepthM: 1,
				TankWidthM: 1, TankM: 0.5},
			Pictures: documenttest.HostilePage(name).Pictures()}}}
}

// TestFrontIsHarmless: what a file names stays text, on the page, in its controls and in
// what an answer puts in their place; the policy allows nothing but what is there.
func TestFrontIsHarmless(t *testing.T) {
	ourElements = append(ourElements, strings.Fields("nav a button input output label datalist option script")...)
	ourAttributes = append(ourAttributes, strings.Fields(`id for type min max list hidden checked href lang aria-hidden aria-labelledby
		aria-valuetext data-slot data-key data-names data-sets data-at`)...)
	for _, name := range documenttest.Hostile {
		d := documenttest.HostilePage(name)
		d.Front = func(units.System) *document.Front { return frontOf(name) }
		text, policy, err := d.Live(units.Metric, &document.Engine{Policy: "; connect-src 'self'", Save: name})
		if err != nil {
			t.Fatal(err)
		}
		page, script, _ := strings.Cut(string(text), "<script>")
		_, after, _ := strings.Cut(script, "</script>")
		all := nodes(t, []byte(page+after)) // the script is no XML
		if got := all[slices.IndexFunc(all, func(n node) bool { return n.Name.Local == "h1" })].text; strings.Join(strings.Fields(got), " ") !=
			strings.Join(strings.Fields(document.Clean(name)+" takes 4.00 h"), " ") {
			t.Errorf("the heading reads %.80q", got)
		}
		for _, loose := range []string{"unsafe", "*", "data:", "http"} {
			if strings.Contains(policy, loose) {
				t.Errorf("the policy allows %s: %s", loose, policy)
			}
		}
		still, err := d.HTML(units.Metric)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range nodes(t, still) {
			if slices.Contains([]string{"script", "input", "button"}, n.Name.Local) {
				t.Errorf("a page without an engine has a %s", n.Name.Local)
			}
		}
		slots, err := d.Slots(units.Metric, true, true)
		if err != nil || len(slots) < 12 {
			t.Errorf("%v: %d slots", err, len(slots))
		}
		for id, inner := range slots {
			if id == "tile-none" {
				continue
			}
			if !strings.Contains(string(still), inner) {
				t.Errorf("the page has another %s", id)
			}
		}
	}
}
