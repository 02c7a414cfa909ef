package document_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/document/testdata/documenttest"
	"sunrill/data/units"
)

func page(t *testing.T, d *document.Document) []byte {
	t.Helper()
	page, err := d.HTML(units.Metric)
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// The elements and attributes of our own pages and drawings.
var (
	ourElements = strings.Fields(`html head meta title style body aside p header h1 h2 h3 main section dl div dt dd figure figcaption
		svg path circle text details summary table caption thead tbody tr th td span ul li data`)
	ourAttributes = strings.Fields(`lang charset http-equiv content name class role aria-label viewBox d x y cx cy r
		fill stroke stroke-width stroke-dasharray font-size text-anchor value scope data-h`)
)

// node is an element with the text in it, that of inner elements too.
type node struct {
	xml.StartElement
	text string
}

func (n node) attribute(name string) string {
	for _, a := range n.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// nodes reads a page or a drawing, strictly: every element closed in turn, every mark of
// a text escaped. It reports what is not of our making.
func nodes(t *testing.T, page []byte) []node {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(page))
	var all []node
	var open []int
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("it cannot be read: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			open, all = append(open, len(all)), append(all, node{StartElement: token.Copy()})
			if !slices.Contains(ourElements, token.Name.Local) {
				t.Errorf("it has an element %.60q", token.Name.Local)
			}
			for _, a := range token.Attr {
				if !slices.Contains(ourAttributes, a.Name.Local) {
					t.Errorf("%s has an attribute %.60q", token.Name.Local, a.Name.Local)
				}
			}
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, i := range open {
				all[i].text += string(token)
			}
		case xml.Comment, xml.ProcInst:
			t.Errorf("it has %.60q", token)
		}
	}
	if len(all) < 5 {
		t.Fatalf("it has %d elements", len(all))
	}
	for _, r := range string(page) {
		if document.IsBidi(r) || unicode.IsControl(r) && r != '\n' {
			t.Fatalf("it has a character %U", r)
		}
	}
	return all
}

// TestNamesFromFilesAreHarmless puts names in every place and reads them back as text.
func TestNamesFromFilesAreHarmless(t *testing.T) {
	for i, name := range documenttest.Hostile {
		t.Run(strconv.Itoa(i), func(t *testing.T) {
			d, clean := documenttest.HostilePage(name), document.Clean(name)
			texts, labels := map[string]string{}, map[string]string{}
			for _, n := range nodes(t, page(t, d)) {
				texts[n.Name.Local], labels[n.Name.Local] = n.text, n.attribute("aria-label")
			}
			for _, element := range []string{"title", "h1", "dt"} {
				if texts[element] != clean {
					t.Errorf("<%s> reads %.60q, want %.60q", element, texts[element], clean)
				}
			}
			if labels["svg"] != clean {
				t.Errorf("a picture is labelled %.60q, want %.60q", labels["svg"], clean)
			}
		})
	}
}

func TestHTMLIsTheSameEachTime(t *testing.T) {
	if diff := cmp.Diff(string(page(t, documenttest.Sample())), string(page(t, documenttest.Sample()))); diff != "" {
		t.Error(diff)
	}
}

// TestHTMLHeadings asks for one h1 and no step down of more than one.
func TestHTMLHeadings(t *testing.T) {
	var levels []int
	for _, n := range nodes(t, page(t, documenttest.Sample())) {
		if name := n.Name.Local; len(name) == 2 && name[0] == 'h' && unicode.IsDigit(rune(name[1])) {
			levels = append(levels, int(name[1]-'0'))
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

func TestPictureThatCannotBeDrawnIsFound(t *testing.T) {
	for name, c := range map[string]document.Chart{
		"nothing":      {Series: []document.Series{{Name: "a"}}},
		"unequal":      {Series: []document.Series{{X: []float64{1}, Y: []float64{1, 2}}}},
		"not a number": {Series: []document.Series{{X: []float64{1}, Y: []float64{math.NaN()}, Name: "a"}}},
		"unnamed":      {Series: []document.Series{{X: []float64{1}, Y: []float64{math.Inf(1)}}}},
		"lower edge":   {Series: []document.Series{{X: []float64{1}, Y: []float64{1}, Low: []float64{math.NaN()}}}},
	} {
		if (document.Picture{Key: "p", Chart: c}).Check() == nil {
			t.Errorf("%s: passes", name)
		}
	}
}

// TestWideTablesKeepTheirRoles: a table that is laid out as blocks on a phone says
// of every part what it is (WAI-ARIA 1.2, role table), as browsers may take a
// block for no part of a table.
func TestWideTablesKeepTheirRoles(t *testing.T) {
	roles := map[string]string{"table": "table", "thead": "rowgroup", "tbody": "rowgroup", "tr": "row", "td": "cell"}
	wide, parts := false, map[string]int{}
	for _, n := range nodes(t, page(t, documenttest.Sample())) {
		if n.Name.Local == "table" {
			wide = n.attribute("class") == "wide"
		}
		want := roles[n.Name.Local]
		if n.Name.Local == "th" {
			want = map[string]string{"col": "columnheader", "row": "rowheader"}[n.attribute("scope")]
		}
		if !wide || want == "" {
			continue
		}
		parts[want]++
		if role := n.attribute("role"); role != want {
			t.Errorf("<%s> of a wide table has the role %q, want %q", n.Name.Local, role, want)
		}
	}
	for _, role := range []string{"table", "rowgroup", "row", "columnheader", "rowheader", "cell"} {
		if parts[role] == 0 {
			t.Errorf("no %s in any wide table", role)
		}
	}
}

// TestDocumentLinksLittle: a page can be made in a browser, where every package that
// is linked has to be sent.
func TestDocumentLinksLittle(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", ".").Output()
	if err != nil {
		t.Fatal(err)
	}
	deps := strings.Fields(string(out))
	for _, path := range deps {
		first, _, _ := strings.Cut(path, "/")
		switch {
		case first == "sunrill" && path != "sunrill/cmd/internal/document" && path != "sunrill/data/units",
			strings.Contains(first, "."), // cobra, pflag, gonum/plot
			path == "html/template", path == "text/template":
			t.Errorf("document links %s", path)
		}
	}
	if !slices.Contains(deps, "sunrill/data/units") {
		t.Errorf("the list of %d packages is not that of document", len(deps))
	}
}
