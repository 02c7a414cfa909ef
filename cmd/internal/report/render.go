package report

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// Options say how a page is to look. They change no number.
type Options struct {
	System units.System // units of text, Markdown and HTML
	Width  int          // columns of text; 0 means 80
	Short  bool         // text is the short answer alone, where the page has one: the same for every terminal
}

// Format is one way to print a page.
type Format struct {
	Name    string   // as --format takes it
	Endings []string // file endings that choose it
	render  func(*document.Document, Options) ([]byte, error)
}

// Formats lists the formats in the order in which help shows them.
var Formats = []Format{
	{"text", []string{".txt", ".text"}, textPage},
	{"markdown", []string{".md", ".markdown"}, markdownPage},
	{"csv", []string{".csv"}, csvPage},
	{"json", []string{".json"}, jsonPage},
	{"html", []string{".html", ".htm"}, func(d *document.Document, opt Options) ([]byte, error) { return d.HTML(opt.System) }},
}

// String returns the name of f, "" where it is none of Formats.
func (f Format) String() string { return f.Name }

// Type returns the names as help shows them.
func (Format) Type() string { return strings.Join(FormatNames(), "|") }

// Set makes f the format of that name.
func (f *Format) Set(name string) error {
	i := slices.Index(FormatNames(), name)
	if i < 0 {
		return fmt.Errorf("there is no such choice; allowed: %s", strings.Join(FormatNames(), ", "))
	}
	*f = Formats[i]
	return nil
}

// FormatForFile returns the format that the ending of path asks for.
func FormatForFile(path string) (Format, bool) {
	for _, f := range Formats {
		if slices.Contains(f.Endings, strings.ToLower(filepath.Ext(path))) {
			return f, true
		}
	}
	return Format{}, false
}

// FormatNames returns the names of all formats.
func FormatNames() []string {
	return document.Each(Formats, Format.String)
}

// Endings returns every file ending that chooses a format.
func Endings() []string {
	return slices.Concat(document.Each(Formats, func(f Format) []string { return f.Endings })...)
}

// Render returns the whole page in format f, or an error and nothing. It takes off d
// what illustrates the page and cannot be made.
func Render(f Format, d *document.Document, opt Options) ([]byte, error) {
	d.LeaveOut()
	if err := d.Check(); err != nil {
		return nil, err
	}
	return f.render(d, opt)
}
