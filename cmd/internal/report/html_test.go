package report

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"sunrill/data"
	"sunrill/data/units"

	"github.com/google/go-cmp/cmp"
)

// hostile are names as a file may hold them, by accident or not.
var hostile = []string{
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

// hostilePage has a name in every place that a name from a file can reach.
func hostilePage(name string) *Document {
	d := sample()
	d.Title, d.Subtitle, d.Banner = Sentence("%v", name), Plain(name), Plain(name)
	d.Answer = []Line{{name, Sentence("%v of %v", Flow.Of(1), name)}}
	d.Warnings = []data.Warning{{Key: name, Message: name}}
	d.NotYours = []Assumption{{Key: name, Value: Plain(name), Why: Plain(name), Source: name}}
	d.Sources, d.Cautions = []string{name}, []Prose{Plain(name)}
	d.Working = []Step{{Key: name, Formula: name, Inputs: []Input{{Symbol: name, Value: 1, Unit: Flow, What: name}}, Source: name}}
	table := &d.Sections[0].Tables[0]
	table.Title = name
	table.Columns[0].Heading, table.Columns[1].Unit = name, Money(name)
	table.Rows[0][0], table.Rows[1][3] = Text(name), Unknown(name)
	p := &d.Sections[1].Pictures[0]
	p.Title, p.Alt = Sentence("%v", name), Sentence("%v", name)
	p.Chart.Series = []Series{
		{Name: name, As: AsLine, X: []float64{0, 1}, Y: []float64{1, 2}},
		{Name: name, As: AsPoints, X: []float64{0.5}, Y: []float64{1}, Labels: []string{name}},
	}
	p.Chart.Rules = []Rule{{Name: name, At: 1.5}}
	p.Chart.X.Label = name
	d.Sections[1].Pictures = append(d.Sections[1].Pictures, Picture{Key: "months", Title: Plain(name), Alt: Plain(name), Chart: Chart{
		Names: []string{name, name}, Y: Axis{Key: "head_m", Label: name, Unit: Head}, X: Axis{Key: "what", Label: name},
		Series: []Series{{Key: "one", Name: name, As: AsStack, Y: []float64{1, 2}}, {Key: "two", Name: name, As: AsStack, Ink: InkSun, Y: []float64{2, 1}}}}})
	return d
}

// The elements and attributes of our own pages and drawings.
var (
	ourElements = strings.Fields(`html head meta title style body p header h1 h2 h3 main section dl div dt dd figure figcaption
		svg desc g path text details summary table caption thead tbody tr th td span ul li data bdi`)
	ourAttributes = strings.Fields(`lang charset http-equiv content name class role aria-label viewBox transform d x y
		style value scope data-h width height xmlns xlink`)
)

// onlyOurs reads a page or a drawing and reports what is not of our making.
func onlyOurs(t *testing.T, page []byte, strict bool) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(page))
	if !strict {
		d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	}
	elements := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("it cannot be read: %v", err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		elements++
		if !slices.Contains(ourElements, start.Name.Local) {
			t.Errorf("it has an element %.60q", start.Name.Local)
		}
		for _, a := range start.Attr {
			if !slices.Contains(ourAttributes, a.Name.Local) {
				t.Errorf("%s has an attribute %.60q", start.Name.Local, a.Name.Local)
			}
		}
	}
	if elements < 5 {
		t.Fatalf("it has %d elements", elements)
	}
	for _, r := range string(page) {
		if isBidi(r) || unicode.IsControl(r) && !strings.ContainsRune("\n\t", r) {
			t.Fatalf("it has a character %U", r)
		}
	}
}

func TestNamesFromFilesAreHarmless(t *testing.T) {
	for i, name := range hostile {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			d := hostilePage(name)
			onlyOurs(t, []byte(render(t, "html", d, Options{})), false)
			for _, p := range d.Pictures() {
				svg, err := p.SVG(units.Metric)
				if err != nil {
					t.Fatal(err)
				}
				onlyOurs(t, svg, true)
				if len(svg) > 60_000 {
					t.Errorf("a drawing of %d bytes", len(svg))
				}
			}
			text := render(t, "text", d, Options{})
			if strings.ContainsFunc(text, func(r rune) bool { return isBidi(r) || unicode.IsControl(r) && r != '\n' }) {
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
			if md := render(t, "markdown", d, Options{}); strings.Contains(md, "<") || strings.ContainsFunc(md, isBidi) {
				t.Error("Markdown lets marks through")
			}
		})
	}
}

func TestHTMLIsTheSameEachTime(t *testing.T) {
	if diff := cmp.Diff(render(t, "html", sample(), Options{}), render(t, "html", sample(), Options{})); diff != "" {
		t.Error(diff)
	}
	p := sample().Pictures()[0]
	for _, draw := range []func(units.System) ([]byte, error){p.SVG, p.PNG} {
		one, err := draw(units.Metric)
		if err != nil {
			t.Fatal(err)
		}
		two, err := draw(units.Metric)
		if err != nil || !bytes.Equal(one, two) {
			t.Errorf("a drawing differs from itself, %v", err)
		}
	}
}

// TestHTMLHeadings asks for one h1 and no step down of more than one.
func TestHTMLHeadings(t *testing.T) {
	d := xml.NewDecoder(strings.NewReader(render(t, "html", sample(), Options{})))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var levels []int
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if start, ok := token.(xml.StartElement); ok && len(start.Name.Local) == 2 && start.Name.Local[0] == 'h' && unicode.IsDigit(rune(start.Name.Local[1])) {
			levels = append(levels, int(start.Name.Local[1]-'0'))
		}
	}
	if len(levels) < 5 || levels[0] != 1 || slices.Contains(levels[1:], 1) {
		t.Fatalf("headings %v, want one h1 first", levels)
	}
	for i := 1; i < len(levels); i++ {
		if levels[i] > levels[i-1]+1 {
			t.Errorf("headings %v: step from %d to %d", levels, levels[i-1], levels[i])
		}
	}
}

// luminance is the relative luminance of WCAG 2.2: sRGB linearised, weighted
// 0.2126, 0.7152 and 0.0722.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	var rgb [3]int
	if _, err := fmt.Sscanf(colour, "#%02X%02X%02X", &rgb[0], &rgb[1], &rgb[2]); err != nil {
		t.Fatal(colour, err)
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v := float64(rgb[i]) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		sum += weight * v
	}
	return sum
}

// TestPaletteContrast holds every ink that words stand in to 4.5 against the
// ground, and every area to a visible 1.25 (WCAG 2.2, success criterion 1.4.3;
// the figure for areas, which never stand alone, is our own).
func TestPaletteContrast(t *testing.T) {
	contrast := func(a, b string) float64 {
		x, y := luminance(t, a), luminance(t, b)
		return (max(x, y) + 0.05) / (min(x, y) + 0.05)
	}
	paper := palette[InkPaper]
	for i, p := range palette {
		want := 4.5
		switch Ink(i) {
		case InkPaper:
			continue
		case InkFaint, InkWaterFill, InkSunFill, InkStoreFill, InkDirtFill:
			want = 1.25
		}
		if light, dark := contrast(p.light, paper.light), contrast(p.dark, paper.dark); light < want || dark < want {
			t.Errorf("%s: contrast %.2f on light and %.2f on dark, want %.2f", p.name, light, dark, want)
		}
	}
	if got := contrast("#000000", "#FFFFFF"); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white %.3f, want 21", got)
	}
}

// TestPaletteInBlackAndWhite holds neighbours in a stack apart by lightness.
func TestPaletteInBlackAndWhite(t *testing.T) {
	stack := []Ink{InkWater, InkSunFill, InkStore, InkDirtFill}
	for i := 1; i < len(stack); i++ {
		a, b := luminance(t, palette[stack[i-1]].light), luminance(t, palette[stack[i]].light)
		if ratio := (max(a, b) + 0.05) / (min(a, b) + 0.05); ratio < 3 {
			t.Errorf("%s beside %s: %.2f, want 3", palette[stack[i-1]].name, palette[stack[i]].name, ratio)
		}
	}
}

// TestPageWithoutAPicture: a picture that cannot be drawn is left out, and the rest of
// the page stands.
func TestPageWithoutAPicture(t *testing.T) {
	for name, c := range map[string]Chart{
		"nothing":         {Series: []Series{{Name: "a"}}},
		"unequal":         {Series: []Series{{X: []float64{1}, Y: []float64{1, 2}}}},
		"not a number":    {Series: []Series{{X: []float64{1}, Y: []float64{math.NaN()}, Name: "a"}}},
		"unnamed":         {Series: []Series{{X: []float64{1}, Y: []float64{math.Inf(1)}}}},
		"lower edge":      {Series: []Series{{X: []float64{1}, Y: []float64{1}, Low: []float64{math.NaN()}}}},
		"too many labels": {Series: []Series{{X: []float64{1}, Y: []float64{1}, Labels: []string{"a", "b"}}}},
	} {
		for _, f := range Formats {
			d := sample()
			d.Sections[0].Pictures = []Picture{{Key: "p", Title: Plain("drawn anyway"), Chart: c}}
			page := render(t, f.Name, d, Options{})
			if strings.Contains(page, "drawn anyway") || f.Name != "csv" && !strings.Contains(page, "picture p: left out") || !strings.Contains(page, "two") {
				t.Errorf("%s as %s:\n%s", name, f.Name, page)
			}
		}
	}
}

// TestWideTablesKeepTheirRoles: a table that is laid out as blocks on a phone says
// of every part what it is (WAI-ARIA 1.2, role table), as browsers may take a
// block for no part of a table.
func TestWideTablesKeepTheirRoles(t *testing.T) {
	roles := map[string]string{"table": "table", "thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "td": "cell"}
	d := xml.NewDecoder(strings.NewReader(render(t, "html", sample(), Options{})))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	wide, parts := false, map[string]int{}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		start, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		has := map[string]string{}
		for _, a := range start.Attr {
			has[a.Name.Local] = a.Value
		}
		name := start.Name.Local
		if name == "table" {
			wide = has["class"] == "wide"
		}
		want := roles[name]
		if name == "th" {
			want = map[string]string{"col": "columnheader", "row": "rowheader"}[has["scope"]]
		}
		if !wide || want == "" {
			continue
		}
		parts[want]++
		if has["role"] != want {
			t.Errorf("<%s> of a wide table has the role %q, want %q", name, has["role"], want)
		}
	}
	for _, role := range []string{"table", "rowgroup", "row", "columnheader", "rowheader", "cell"} {
		if parts[role] == 0 {
			t.Errorf("no %s in any wide table", role)
		}
	}
}

// TestColoursAreOfThePalette: the style sheet names no colour of its own but the
// white of paper, so that TestPaletteContrast holds all that a reader sees.
func TestColoursAreOfThePalette(t *testing.T) {
	for _, colour := range regexp.MustCompile(`#[0-9A-Fa-f]{3,8}\b|\b(rgb|hsl|color)a?\(`).FindAllString(reportStyle, -1) {
		if colour != "#FFFFFF" {
			t.Errorf("the style sheet has a colour %s", colour)
		}
	}
}
