package report

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/units"

	"github.com/google/go-cmp/cmp"
	"github.com/olekukonko/tablewriter/pkg/twwidth"
)

const (
	rightToLeft = "\u202e"
	nasty       = "pump |\x1b[31m*one*" + rightToLeft + "`x`"
)

// sample is a page with every part that a page can have. Its figures are
// invented and stand for nothing.
func sample() *Document {
	duty := Table{
		Key: "duty", Title: "Duty points",
		Columns: []Column{
			{Key: "name", Heading: "pump", Unit: Word},
			{Key: "flow_m3_per_h", Heading: "flow", Unit: Flow},
			{Key: "head_m", Heading: "head", Unit: Head},
			{Key: "power_w", Heading: "power", Unit: Power, Digits: 2},
			{Key: "note", Heading: "note", Unit: Word},
		},
		Rows: [][]Cell{
			{Text(nasty), Number(2.4567891), Number(1.23456), Number(51.25), Text("=SUM(A1)")},
			{Text("two"), Number(0.98765432), Number(1.5), Unknown("the curve has no power column"), Text("a note long enough that it has to be broken to stay on a page")},
		},
	}
	return &Document{
		Title: Sentence("Sample pond, %v", Volume.Of(8.1234)), Subtitle: Plain("plan sample.toml"),
		Banner: Sentence("THIS IS A SAMPLE"),
		Answer: []Line{{"Flow", Sentence("%v at the filter at %v", Flow.Of(2.4567891), Temperature.Of(12.5))}},
		Sections: []Section{
			{Heading: "What flows", Prose: []Prose{Sentence("The pump %v meets the lift.", nasty)}, Tables: []Table{duty}},
			{Heading: "Months", Tables: []Table{{Key: "months", Columns: []Column{{Key: "share_fraction", Heading: "share", Unit: Fraction}},
				Rows: [][]Cell{{Number(0.87654321)}}}},
				Pictures: []Picture{{Key: "curve", Title: Sentence("One line falls"), Alt: Sentence("A line from left to right."), Chart: Chart{
					X: Axis{Key: "flow_m3_per_h", Label: "flow", Unit: Flow}, Y: Axis{Key: "head_m", Label: "head", Unit: Head},
					Series: []Series{{Name: nasty, X: []float64{0, 1.1111111}, Y: []float64{3.3333333, 1}}}}}}},
		},
		Warnings:    []data.Warning{{Message: "the curve ends early"}},
		NotYours:    []Assumption{{Key: "pond.volume", Value: Sentence("%v", Volume.Of(5)), Why: Sentence("as the starter file has it")}},
		Assumed:     []Assumption{{Key: "water.temperature", Value: Sentence("%v", Temperature.Of(15)), Why: Sentence("no site given"), Source: "common practice, no source"}},
		Cautions:    []Prose{Sentence("water and electricity")},
		Sources:     []string{"A handbook"},
		Working:     []Step{{Key: "flow_m3_per_h", Formula: "Q = 3600 * V * A", Inputs: []Input{{"V", 0.71717171, Velocity, "in the hose"}, {"A", 0.0009503318, Area, "of the hose"}}, What: "flow of the hose", Result: 2.4535715, Unit: Flow, Source: "continuity"}},
		ShowWorking: true,
	}
}

func render(t *testing.T, format string, d *Document, opt Options) string {
	t.Helper()
	f, ok := FormatNamed(format)
	if !ok {
		t.Fatalf("no format %q", format)
	}
	page, err := Render(f, d, opt)
	if err != nil {
		t.Fatal(err)
	}
	return string(page)
}

// TestEveryNumberInEveryFormat feeds one Document to all renderers: pages
// hold every figure of every table as it is shown, data formats hold it in full.
func TestEveryNumberInEveryFormat(t *testing.T) {
	d := sample()
	for _, f := range Formats {
		page := render(t, f.Name, d, Options{})
		for _, table := range d.tables() {
			if f.Name != "html" && f.Name != "json" && table.Key == "curve" {
				continue // what draws nothing shows nothing behind it
			}
			for _, row := range table.Rows {
				for j, c := range row {
					if c.kind != numberCell {
						continue
					}
					want := table.Columns[j].Unit.Figure(c.number, units.Metric, table.Columns[j].Digits)
					if f.Name == "csv" || f.Name == "json" {
						want = fullPrecision(c.number)
					}
					if !strings.Contains(page, want) {
						t.Errorf("%s: no %s of table %s in\n%s", f.Name, want, table.Key, page)
					}
				}
			}
		}
		if f.Name == "csv" {
			continue // holds tables only
		}
		for _, want := range []string{"the curve ends early", "pond.volume", "water.temperature", "common practice, no source",
			"water and electricity", "A handbook", "Q = 3600 * V * A", "THIS IS A SAMPLE"} {
			page := strings.ReplaceAll(strings.ReplaceAll(page, `\`, ""), "\n  ", " ")
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %q in\n%s", f.Name, want, page)
			}
		}
	}
}

func TestGolden(t *testing.T) {
	for _, f := range Formats {
		if f.Name == "html" {
			continue // its looks change too often: html_test.go reads what matters
		}
		for _, system := range []units.System{units.Metric, units.US} {
			name := filepath.Join("testdata", "sample-"+system.String()+f.Endings[0])
			got := render(t, f.Name, sample(), Options{System: system})
			if os.Getenv("UPDATE_GOLDEN") != "" {
				if err := os.WriteFile(name, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("%s (renew with UPDATE_GOLDEN=1): -want +got\n%s", name, diff)
			}
		}
	}
}

func TestDataFormatsIgnoreUnits(t *testing.T) {
	for _, format := range []string{"csv", "json"} {
		if diff := cmp.Diff(render(t, format, sample(), Options{}), render(t, format, sample(), Options{System: units.US})); diff != "" {
			t.Errorf("%s differs between metric and US: %s", format, diff)
		}
	}
}

func TestTextFits(t *testing.T) {
	for _, width := range []int{30, 40, 53, 66, 80} {
		for line := range strings.Lines(render(t, "text", sample(), Options{Width: width})) {
			if n := twwidth.Width(strings.TrimRight(line, "\n")); n > width {
				t.Errorf("width %d: line of %d: %q", width, n, line)
			}
		}
	}
}

// TestFigureStaysWithItsUnit breaks a sentence at every width.
func TestFigureStaysWithItsUnit(t *testing.T) {
	d := &Document{Title: Sentence("x"), Answer: []Line{{"Flow", Sentence("about %v now", Flow.Of(2.4))}}}
	for width := leastWidth; width < 60; width++ {
		page := render(t, "text", d, Options{Width: width})
		if !strings.Contains(page, "2400 L/h") || strings.Contains(page, hardSpace) {
			t.Errorf("width %d: %q", width, page)
		}
	}
}

func TestForeignTextIsHarmless(t *testing.T) {
	text := render(t, "text", sample(), Options{})
	if strings.ContainsAny(text, "\x1b"+rightToLeft) {
		t.Errorf("text passes control characters through: %q", text)
	}
	if coloured := render(t, "text", sample(), Options{Colour: true}); strings.Contains(coloured, "\x1b[31m") {
		t.Error("text passes the colour of a pump's name through")
	}
	for line := range strings.Lines(render(t, "markdown", sample(), Options{})) {
		cells := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|") - 1
		if strings.HasPrefix(line, "|") && cells != 5 && cells != 1 {
			t.Errorf("markdown row has %d cells: %s", cells, line)
		}
	}
	if page := render(t, "csv", sample(), Options{}); !strings.Contains(page, ",'=SUM(A1),") {
		t.Errorf("csv holds a formula:\n%s", page)
	}
	var back struct {
		Duty []struct{ Name string }
	}
	page := render(t, "json", sample(), Options{})
	if strings.Contains(page, rightToLeft) {
		t.Error("json holds a bidirectional mark as it is")
	}
	if got := render(t, "json", &Document{Sources: []string{"a\u009b32m\u0085\x7fb"}}, Options{}); !strings.Contains(got, `"a\u009b32m\u0085\u007fb"`) {
		t.Errorf("json holds a control character as it is: %q", got)
	}
	if err := json.Unmarshal([]byte(page), &back); err != nil || back.Duty[0].Name != nasty {
		t.Errorf("json gives back %q, %v", back.Duty, err)
	}
}

// TestFormulasAreDefused: a spreadsheet reads the wide forms of the marks that open a
// formula as the marks themselves.
func TestFormulasAreDefused(t *testing.T) {
	for _, s := range []string{"=1", "+1", "-1", "@a", "＝1", "＋1", "－1", "＠a"} {
		if got := defuse(s); got != "'"+s {
			t.Errorf("%s stays %s", s, got)
		}
	}
	for _, s := range []string{"", "1=1", "ünder"} {
		if got := defuse(s); got != s {
			t.Errorf("%s becomes %s", s, got)
		}
	}
}

// TestZeroIsZero: what is zero, or what reckoning leaves of it, is 0 in every format.
func TestZeroIsZero(t *testing.T) {
	type object struct {
		Text  string    `json:"text"`
		Flows []float64 `json:"flows"`
	}
	for _, v := range []float64{math.Copysign(0, -1), -3.3e-16, 4e-13, 1e-100} {
		d := &Document{Title: Sentence("a flow of %v for %v", Power.Of(v), Money("R").Of(v)),
			Sections: []Section{{Tables: []Table{{Key: "t", Columns: []Column{{Key: "flow_w", Heading: "flow", Unit: Power}}, Rows: [][]Cell{{Number(v)}}}}}}}
		for format, want := range map[string]string{"text": "of 0 W for R 0.00", "markdown": "of 0 W for R 0.00", "csv": "\n0\n", "html": `<data value="0">0</data>`, "json": `"flow_w": 0` + "\n"} {
			if page := render(t, format, d, Options{}); !strings.Contains(page, want) {
				t.Errorf("%g in %s:\n%s", v, format, page)
			}
		}
		d.Object = object{"below: -0,", []float64{v, 1e-9, v}}
		if page := render(t, "json", d, Options{}); !strings.Contains(page, `"below: -0,"`) || !strings.Contains(page, "[\n    0,\n    1e-9,\n    0\n  ]") {
			t.Errorf("%g in an object:\n%s", v, page)
		}
	}
}

func TestJSONShape(t *testing.T) {
	d := sample()
	d.Sections[1].Tables[0].Beside = true
	d.Object = struct {
		FlowM3PerH *float64 `json:"flow_m3_per_h"`
		Why        string   `json:"why"`
	}{nil, "no curve"}
	page := render(t, "json", d, Options{})
	if !strings.HasPrefix(page, "{\n  \"format_version\": 1,\n  \"flow_m3_per_h\": null,\n  \"why\": \"no curve\",") {
		t.Errorf("json opens with\n%s", page)
	}
	var back map[string]any
	if err := json.Unmarshal([]byte(page), &back); err != nil {
		t.Fatal(err)
	}
	if back["duty"] != nil {
		t.Error("json holds a table that is not beside the object")
	}
	for _, key := range []string{"months", "assumed", "warnings", "cautions", "sources", "working"} {
		if back[key] == nil {
			t.Errorf("json has no %s", key)
		}
	}
}

func TestCSVOfOneTable(t *testing.T) {
	d := sample()
	d.Sections, d.ShowWorking = d.Sections[:1], false
	rows, err := csv.NewReader(strings.NewReader(render(t, "csv", d, Options{}))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"name", "flow_m3_per_h", "head_m", "power_w", "note"}
	if diff := cmp.Diff(want, rows[0]); diff != "" {
		t.Errorf("heading: -want +got\n%s", diff)
	}
	if rows[2][3] != "" {
		t.Errorf("unknown power is %q, want an empty cell", rows[2][3])
	}
}

func TestNothingOfABrokenPage(t *testing.T) {
	breaks := map[string]func(*Document){
		"NaN in a cell":      func(d *Document) { d.Sections[0].Tables[0].Rows[0][1] = Number(math.NaN()) },
		"NaN within":         func(d *Document) { d.Answer[0].Text = Sentence("%v", Sentence("%v", Flow.Of(math.NaN()))) },
		"NaN in a sentence":  func(d *Document) { d.Answer[0].Text = Sentence("%v", Flow.Of(math.NaN())) },
		"row short of cells": func(d *Document) { d.Sections[0].Tables[0].Rows[0] = []Cell{Text("x")} },
	}
	for name, spoil := range breaks {
		for _, f := range Formats {
			d := sample()
			spoil(d)
			if page, err := Render(f, d, Options{}); err == nil || len(page) > 0 {
				t.Errorf("%s: %s printed %d bytes, error %v", name, f.Name, len(page), err)
			}
		}
	}
}

// TestPageWithoutAStep: a step of the working that is no number is left out, and the
// rest of the page stands.
func TestPageWithoutAStep(t *testing.T) {
	for _, f := range Formats {
		d := sample()
		d.Working = append(d.Working, Step{Key: "x", Formula: "x = a / b", Inputs: []Input{{"a", 1, None, ""}, {"b", math.NaN(), None, ""}}})
		page := render(t, f.Name, d, Options{})
		if strings.Contains(page, "a / b") || f.Name != "csv" && (!strings.Contains(page, "Q = 3600") || !strings.Contains(page, "working x: left out")) {
			t.Errorf("%s: a step that cannot be worked:\n%s", f.Name, page)
		}
	}
}

type fullDisk struct{}

var errFull = errors.New("no space left")

func (fullDisk) Write([]byte) (int, error) { return 0, errFull }

func TestWriteErrorsComeBack(t *testing.T) {
	for _, f := range Formats {
		if err := f.Render(fullDisk{}, sample(), Options{}); !errors.Is(err, errFull) {
			t.Errorf("%s returns %v", f.Name, err)
		}
	}
}

func TestFormatNumber(t *testing.T) {
	tests := []struct {
		v      float64
		digits int
		want   string
	}{
		{0, 3, "0"},
		{2653.4, 3, "2650"},
		{999.6, 3, "1000"},
		{1000, 3, "1000"},
		{984.4, 3, "984"},
		{1.6, 3, "1.60"},
		{0.02634, 3, "0.0263"},
		{-1.005, 2, "-1.0"},
		{51.25, 2, "51"},
		{0.0015, 12, "0.0015"},
		{2400, 12, "2400"},
		{1e-9, 3, "1e-09"},
	}
	for _, tt := range tests {
		if got := formatNumber(tt.v, tt.digits); got != tt.want {
			t.Errorf("formatNumber(%v, %d) = %s, want %s", tt.v, tt.digits, got, tt.want)
		}
	}
}

func TestUnitsOfEachSystem(t *testing.T) {
	// Factors from NIST Special Publication 811, appendix B.8: US gallon
	// 3.785412 L, imperial gallon 4.546090 L, foot 0.3048 m.
	tests := []struct {
		q    Quantity
		want []string
	}{
		{Flow.Of(2.4), []string{"2400 L/h", "634 US gal/h", "528 imp gal/h"}},
		{Head.Of(1.5), []string{"1.50 m", "4.92 ft", "4.92 ft"}},
		{OfKind(units.KindVolume, 9.2), []string{"9.2 m³", "2430 US gal", "2020 imp gal"}},
		{OfKind(units.KindBore, 1.5e-6), []string{"0.0015 mm", "0.0000591 in", "0.0000591 in"}},
		{OfKind(units.KindLength, 0.9144), []string{"0.9144 m", "3 ft", "3 ft"}},
		{Bore.Of(25.4), []string{"25.4 mm", "1.00 in", "1.00 in"}},
		{Temperature.Of(20), []string{"20.0 °C", "68.0 °F", "20.0 °C"}},
		{Temperature.Of(-0.0427), []string{"0.0 °C", "31.9 °F", "0.0 °C"}},
		{Temperature.Of(-0.587), []string{"-0.6 °C", "30.9 °F", "-0.6 °C"}},
		{Fraction.Of(0.825), []string{"82.5 %", "82.5 %", "82.5 %"}},
		{Money("R").Of(1390.4), []string{"R 1390", "R 1390", "R 1390"}},
	}
	for _, tt := range tests {
		got := []string{softened(tt.q.in(units.Metric, Clean)), softened(tt.q.in(units.US, Clean)), softened(tt.q.in(units.Imperial, Clean))}
		if !slices.Equal(got, tt.want) {
			t.Errorf("got %q, want %q", got, tt.want)
		}
	}
}
