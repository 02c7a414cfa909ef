// Package documenttest holds pages for the tests of what prints a Document.
package documenttest

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

const (
	rightToLeft = "\u202e"
	// Nasty is the name of a pump with marks of several formats in it.
	Nasty = "pump |\x1b[31m*one*" + rightToLeft + "`x`"
)

// Sample is a page with every part that a page can have. Its figures are
// invented and stand for nothing.
func Sample() *document.Document {
	duty := document.Table{
		Key: "duty",
		Columns: []document.Column{
			{Key: "name", Heading: "pump", Unit: document.Word},
			{Key: "flow_m3_per_h", Heading: "flow", Unit: document.Flow},
			{Key: "head_m", Heading: "head", Unit: document.Head},
			{Key: "power_w", Heading: "power", Unit: document.Power, Digits: 2},
			{Key: "note", Heading: "note", Unit: document.Word},
		},
		Rows: [][]document.Cell{
			{document.Text(Nasty), document.Number(2.4567891), document.Number(1.23456), document.Number(51.25), document.Text("=SUM(A1)")},
			{document.Text("two"), document.Number(0.98765432), document.Number(1.5), document.Unknown("the curve has no power column"),
				document.Text("a note long enough that it has to be broken to stay on a page")},
		},
	}
	return &document.Document{
		Title: document.Sentence("Sample pond, %v", document.Volume.Of(8.1234)), Subtitle: document.Plain("plan sample.toml"),
		Banner: document.Sentence("THIS IS A SAMPLE"),
		Answer: []document.Line{{Label: "Flow",
			Text: document.Sentence("%v at the filter at %v", document.Flow.Of(2.4567891), document.Temperature.Of(12.5))}},
		Sections: []document.Section{
			{Heading: "What flows", Prose: []document.Prose{document.Sentence("The pump %v meets the lift.", Nasty)},
				Tables: []document.Table{duty}},
			{Heading: "Months", Tables: []document.Table{{Key: "months",
				Columns: []document.Column{{Key: "share_fraction", Heading: "share", Unit: document.Fraction}},
				Rows:    [][]document.Cell{{document.Number(0.87654321)}}}},
				Pictures: []document.Picture{{Key: "curve",
					Title: document.Sentence("One line falls"), Alt: document.Sentence("A line from left to right."), Chart: document.Chart{
						X:      document.Axis{Label: "flow", Unit: document.Flow},
						Y:      document.Axis{Label: "head", Unit: document.Head},
						Series: []document.Series{{Name: Nasty, X: []float64{0, 1.1111111}, Y: []float64{3.3333333, 1}}}}}}},
		},
		Warnings: []document.Warning{{Message: "the curve ends early"}},
		NotYours: []document.Assumption{{Key: "pond.volume",
			Value: document.Sentence("%v", document.Volume.Of(5)), Why: document.Sentence("as the starter file has it")}},
		Assumed: []document.Assumption{{Key: "water.temperature",
			Value: document.Sentence("%v", document.Temperature.Of(15)),
			Why:   document.Sentence("no site given"), Source: "common practice, no source"}},
		Cautions: []document.Prose{document.Sentence("water and electricity")},
		Sources:  []string{"A handbook"},
		Working: []document.Step{{Key: "flow_m3_per_h", Formula: "Q = 3600 * V * A", Inputs: []document.Input{
			{Symbol: "V", Value: 0.71717171, Unit: document.Velocity, What: "in the hose"},
			{Symbol: "A", Value: 0.0009503318, Unit: document.Area, What: "of the hose"}},
			What: "flow of the hose", Result: 2.4535715, Unit: document.Flow, Source: "continuity"}},
	}
}

// Hostile are names as a file may hold them, by accident or not.
var Hostile = []string{
	`<script>alert(1)</script>`,
	`"onload=alert(1) x="`,
	`' style='x:expression(1)`,
	`</style></title><img src=http://example.org/x>`,
	`{{.}} %v %d %!`,
	rightToLeft + "gnp.exe\u2066\u200f",
	`=HYPERLINK("http://example.org","x")`,
	"\x1b[2J\x00\x07bell\r\nnext",
	strings.Repeat("x", 10000),
	strings.Repeat("word ", 2000),
	"بركة الزنبق",
}

// HostilePage has a name in every place that a name from a file can reach.
func HostilePage(name string) *document.Document {
	d := Sample()
	d.Title, d.Subtitle, d.Banner = document.Sentence("%v", name), document.Plain(name), document.Plain(name)
	d.Answer = []document.Line{{Label: name, Text: document.Sentence("%v of %v", document.Flow.Of(1), name)}}
	d.Warnings = []document.Warning{{Where: name + ": ", Message: units.Say("%s", name)}}
	d.NotYours = []document.Assumption{{Key: name, Value: document.Plain(name), Why: document.Plain(name), Source: name}}
	d.Sources, d.Cautions = []string{name}, []document.Prose{document.Plain(name)}
	d.Working = []document.Step{{Key: name, Formula: name, Inputs: []document.Input{{Symbol: name, Value: 1, Unit: document.Flow,
		What: name}},
		Source: name}}
	table := &d.Sections[0].Tables[0]
	table.Columns[0].Heading, table.Columns[1].Unit = name, document.Money(name)
	table.Rows[0][0], table.Rows[1][3] = document.Text(name), document.Unknown(name)
	p := &d.Sections[1].Pictures[0]
	p.Title, p.Alt = document.Sentence("%v", name), document.Sentence("%v", name)
	p.Chart.Series = []document.Series{
		{Name: name, As: document.AsLine, X: []float64{0, 1}, Y: []float64{1, 2}},
		{Name: name, As: document.AsPoints, X: []float64{0.5}, Y: []float64{1}},
	}
	p.Chart.Rules = []document.Rule{{Name: name, At: 1.5}}
	p.Chart.X.Label = name
	d.Sections[1].Pictures = append(d.Sections[1].Pictures, document.Picture{
		Key: "months", Title: document.Plain(name), Alt: document.Plain(name), Chart: document.Chart{
			Names: []string{name, name}, Y: document.Axis{Label: name, Unit: document.Head},
			Series: []document.Series{{Name: name, As: document.AsBars, Y: []float64{1, 2}},
				{Name: name, As: document.AsSteps, Ink: document.InkSun, Y: []float64{2, 1}}}}})
	return d
}
