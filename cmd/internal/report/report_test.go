package report

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/clipperhouse/displaywidth"
	"github.com/google/go-cmp/cmp"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/document/testdata/documenttest"
	"sunrill/data/units"
)

func render(t *testing.T, format string, d *document.Document, opt Options) string {
	t.Helper()
	var f Format
	if err := f.Set(format); err != nil {
		t.Fatal(err)
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
	d := documenttest.Sample()
	for _, f := range Formats {
		page := render(t, f.Name, d, Options{})
		for _, table := range d.Tables() {
			for _, row := range table.Rows {
				for j, c := range row {
					v, is := c.Value()
					if !is {
						continue
					}
					want := table.Columns[j].Unit.Figure(v, units.Metric, table.Columns[j].Digits)
					if f.Name == "csv" || f.Name == "json" {
						want = document.FullPrecision(v)
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
			got := render(t, f.Name, documenttest.Sample(), Options{System: system})
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
		metric, us := render(t, format, documenttest.Sample(), Options{}), render(t, format, documenttest.Sample(), Options{System: units.US})
		if diff := cmp.Diff(metric, us); diff != "" {
			t.Errorf("%s differs between metric and US: %s", format, diff)
		}
	}
}

func TestTextFits(t *testing.T) {
	for _, width := range []int{30, 40, 53, 66, 80} {
		for line := range strings.Lines(render(t, "text", documenttest.Sample(), Options{Width: width})) {
			if n := displaywidth.String(strings.TrimRight(line, "\n")); n > width {
				t.Errorf("width %d: line of %d: %q", width, n, line)
			}
		}
	}
}

// TestFigureStaysWithItsUnit breaks a sentence at every width.
func TestFigureStaysWithItsUnit(t *testing.T) {
	d := &document.Document{Title: document.Sentence("x"),
		Answer: []document.Line{{Label: "Flow", Text: document.Sentence("about %v now", document.Flow.Of(2.4))}}}
	for width := leastWidth; width < 60; width++ {
		page := render(t, "text", d, Options{Width: width})
		if !strings.Contains(page, "2400 L/h") || strings.Contains(page, document.HardSpace) {
			t.Errorf("width %d: %q", width, page)
		}
	}
}

func TestForeignTextIsHarmless(t *testing.T) {
	text := render(t, "text", documenttest.Sample(), Options{})
	if strings.ContainsAny(text, "\x1b\u202e") {
		t.Errorf("text passes control characters through: %q", text)
	}
	for line := range strings.Lines(render(t, "markdown", documenttest.Sample(), Options{})) {
		cells := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|") - 1
		if strings.HasPrefix(line, "|") && cells != 5 && cells != 1 {
			t.Errorf("markdown row has %d cells: %s", cells, line)
		}
	}
	if page := render(t, "csv", documenttest.Sample(), Options{}); !strings.Contains(page, ",'=SUM(A1),") {
		t.Errorf("csv holds a formula:\n%s", page)
	}
	var back struct {
		Duty []struct{ Name string }
	}
	page := render(t, "json", documenttest.Sample(), Options{})
	if strings.Contains(page, "\u202e") {
		t.Error("json holds a bidirectional mark as it is")
	}
	if got := render(t, "json", &document.Document{Sources: []string{"a\u009b32m\u0085\x7fb"}}, Options{}); !strings.Contains(got, `"a\u009b32m\u0085\u007fb"`) {
		t.Errorf("json holds a control character as it is: %q", got)
	}
	if err := json.Unmarshal([]byte(page), &back); err != nil || back.Duty[0].Name != documenttest.Nasty {
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
		Flows []float64 `json:"flows_w"`
	}
	for _, v := range []float64{math.Copysign(0, -1), -3.3e-16, 4e-13, 1e-100} {
		d := &document.Document{Title: document.Sentence("a flow of %v for %v", document.Power.Of(v), document.Money("R").Of(v)),
			Sections: []document.Section{{Tables: []document.Table{{Key: "t", Columns: []document.Column{{Key: "flow_w", Heading: "flow", Unit: document.Power}},
				Rows: [][]document.Cell{{document.Number(v)}}}}}}}
		for format, want := range map[string]string{"text": "of 0 W for R 0.00", "markdown": "of 0 W for R 0.00", "csv": "\n0\n",
			"html": `<data value="0">0</data>`, "json": `"flow_w": 0` + "\n"} {
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

// TestPageWithoutAPicture: a picture that cannot be drawn is left out, and the rest of
// the page stands.
func TestPageWithoutAPicture(t *testing.T) {
	for name, c := range map[string]document.Chart{
		"nothing":      {Series: []document.Series{{Name: "a"}}},
		"unequal":      {Series: []document.Series{{X: []float64{1}, Y: []float64{1, 2}}}},
		"not a number": {Series: []document.Series{{X: []float64{1}, Y: []float64{math.NaN()}}}},
		"infinite":     {Series: []document.Series{{X: []float64{math.Inf(1)}, Y: []float64{1}}}},
		"lower edge":   {Series: []document.Series{{X: []float64{1}, Y: []float64{1}, Low: []float64{math.NaN()}}}},
	} {
		for _, f := range Formats {
			d := documenttest.Sample()
			d.Sections[0].Pictures = []document.Picture{{Key: "p", Title: document.Plain("drawn anyway"), Chart: c}}
			page := render(t, f.Name, d, Options{})
			if strings.Contains(page, "drawn anyway") || f.Name != "csv" && !strings.Contains(page, "picture p: left out") || !strings.Contains(page, "two") {
				t.Errorf("%s as %s:\n%s", name, f.Name, page)
			}
		}
	}
}

// TestPageWithoutAStep: a step of the working that is no number is left out, and the
// rest of the page stands.
func TestPageWithoutAStep(t *testing.T) {
	for _, f := range Formats {
		d := documenttest.Sample()
		d.Working = append(d.Working, document.Step{Key: "x", Formula: "x = a / b",
			Inputs: []document.Input{{Symbol: "a", Value: 1, Unit: document.None}, {Symbol: "b", Value: math.NaN(), Unit: document.None}}})
		page := render(t, f.Name, d, Options{})
		if strings.Contains(page, "a / b") || f.Name != "csv" && (!strings.Contains(page, "Q = 3600") || !strings.Contains(page, "working x: left out")) {
			t.Errorf("%s: a step that cannot be worked:\n%s", f.Name, page)
		}
	}
}

func TestJSONShape(t *testing.T) {
	d := documenttest.Sample()
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
	d := documenttest.Sample()
	d.Sections, d.Working = d.Sections[:1], nil
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
	breaks := map[string]func(*document.Document){
		"NaN in a cell": func(d *document.Document) { d.Sections[0].Tables[0].Rows[0][1] = document.Number(math.NaN()) },
		"NaN within": func(d *document.Document) {
			d.Answer[0].Text = document.Sentence("%v", document.Sentence("%v", document.Flow.Of(math.NaN())))
		},
		"NaN in a sentence":  func(d *document.Document) { d.Answer[0].Text = document.Sentence("%v", document.Flow.Of(math.NaN())) },
		"row short of cells": func(d *document.Document) { d.Sections[0].Tables[0].Rows[0] = []document.Cell{document.Text("x")} },
	}
	for name, spoil := range breaks {
		for _, f := range Formats {
			d := documenttest.Sample()
			spoil(d)
			if page, err := Render(f, d, Options{}); err == nil || len(page) > 0 {
				t.Errorf("%s: %s printed %d bytes, error %v", name, f.Name, len(page), err)
			}
		}
	}
}

// TestNamesFromFilesAreHarmless: no format lets a name do anything but be read.
func TestNamesFromFilesAreHarmless(t *testing.T) {
	for i, name := range documenttest.Hostile {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			d := documenttest.HostilePage(name)
			for _, p := range d.Pictures() {
				if _, err := PNG(p, units.Metric); err != nil {
					t.Error(err)
				}
			}
			text := render(t, "text", d, Options{})
			if strings.ContainsFunc(text, func(r rune) bool { return document.IsBidi(r) || unicode.IsControl(r) && r != '\n' }) {
				t.Error("text holds control characters")
			}
			// Whatever stands beside a name as long as this may not be set in by its width.
			if most := 50*len(name) + 10_000; len(text) > most {
				t.Errorf("text of %d bytes, want at most %d", len(text), most)
			}
			rows, err := csv.NewReader(strings.NewReader(render(t, "csv", d, Options{}))).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			for _, row := range rows {
				for _, cell := range row {
					if _, err := strconv.ParseFloat(cell, 64); err != nil && cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") {
						t.Errorf("a spreadsheet runs %.40q", cell)
					}
				}
			}
			if md := render(t, "markdown", d, Options{}); strings.Contains(md, "<") || strings.ContainsFunc(md, document.IsBidi) {
				t.Error("Markdown lets marks through")
			}
		})
	}
}
