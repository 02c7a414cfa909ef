package document

import (
	"testing"

	"sunrill/data/units"
)

// TestSentencesGrow: what is said behind a sentence keeps the figures of both, and is
// left out where it does not hold.
func TestSentencesGrow(t *testing.T) {
	s := Sentence("a pump of %v", Power.Of(62.0))
	for _, c := range []struct {
		got  Prose
		want string
	}{
		{s.And(" at 100 %% for %v", Hours.Of(3.0)), "a pump of 62.0 W at 100 % for 3.00 h"},
		{s.When(true, ", %v", "slowed").And("."), "a pump of 62.0 W, slowed."},
		{s.And(" for %v, then %v", Hours.AtLeast(0.0062), Hours.Brief(0.25)), "a pump of 62.0 W for 22 s, then 15 min"},
		{s.When(false, ", %v", Hours.Of("no hours")).And("."), "a pump of 62.0 W."},
	} {
		if got := c.got.String(); got != c.want || finite("", c.got) != nil {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Sentences of the packages that reckon follow the page wherever they stand: 1 m3 is
// 264 US gal, 2 t are 4400 lb (NIST Handbook 44) and 5 cm 2.0 in.
func TestTextsFollowThePage(t *testing.T) {
	const text, metric, us = units.Text("{1.0 m3} of {2.0 t}, up to {5 cm}"), "1.0 m3 of 2.0 t, up to 5 cm",
		"260 US gal of 4400 lb, up to 2.0 in"
	p := Sentence("take %v", text)
	if got := p.Text(units.US, Clean); got != "take "+us {
		t.Errorf("%q", got)
	}
	if got := (&page{system: units.US}).prose(Told(text)); got != markup(us) {
		t.Errorf("HTML %q", got)
	}
	if got := p.String(); got != "take "+metric {
		t.Errorf("%q", got)
	}
	d := Document{Warnings: []Warning{{Where: "5 m.csv:2: ", Message: text}}}
	if got := d.WarningTexts(units.US)[0]; got != "5 m.csv:2: "+us {
		t.Errorf("warning %q", got)
	}
	table := TableOf("t", []struct {
		Range units.Text `json:"range"`
		Name  string     `json:"name"`
	}{{text, "{5 m}"}}, []Column{{Key: "range", Unit: Word}, {Key: "name", Unit: Word}})
	table.Rows = [][]Cell{append(table.Rows[0], Unknown(text)), {Text("a"), Text("b"), Number(1)}}
	table.Columns = append(table.Columns, Column{Heading: "x"})
	g := table.Grid(units.US, Clean)
	if g.Rows[0][0] != us || g.Rows[0][1] != "{5 m}" || g.Notes[0] != "x: "+us {
		t.Errorf("table %q, %q", g.Rows[0], g.Notes)
	}
	if c := table.Rows[0][0]; c.Words() != metric || !c.IsText() {
		t.Errorf("cell %q", c.Words())
	}
}
