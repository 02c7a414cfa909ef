package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// FormatVersion is the value of "format_version" in every JSON object. It
// grows when a key goes or changes its meaning, not when one is added.
const FormatVersion = 1

// jsonPage returns one object: format_version, then the fields of d.Object and
// the tables beside it or, where that is nil, all tables by their keys, the
// numbers behind the pictures, then what every page closes with. Numbers keep full precision;
// unknown is null, with the reason under the key followed by _why.
func jsonPage(d *document.Document, _ Options) ([]byte, error) {
	parts := []any{struct {
		FormatVersion int `json:"format_version"`
	}{FormatVersion}}
	if d.Object == nil {
		parts = append(parts, tablesObject(d.Tables()))
	} else {
		object, err := document.Object(d.Object)
		if err != nil {
			return nil, err
		}
		beside := slices.DeleteFunc(d.Tables(), func(t document.Table) bool { return !t.Beside })
		parts = append(parts, object, tablesObject(beside))
	}
	if behind := d.PictureTables(); len(behind) > 0 {
		parts = append(parts, document.Ordered{{Key: "pictures", Value: tablesObject(behind)}})
	}
	var members []string
	for _, part := range append(parts, closing(d)) {
		text, err := fields(part)
		if err != nil {
			return nil, err
		}
		if text != "" {
			members = append(members, text)
		}
	}
	var compact, page bytes.Buffer
	compact.WriteString("{" + strings.Join(members, ",") + "}")
	if err := json.Indent(&page, compact.Bytes(), "", "  "); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	page.WriteByte('\n')
	return residues.ReplaceAll(escapeUnseen(page.Bytes()), []byte(" 0$1")), nil
}

// residues matches zero with a sign and numbers below the least that a page shows, which
// end their line as no text does.
var residues = regexp.MustCompile(`(?m) (?:-0|-?[0-9.]+e-(?:1[3-9]|[2-9][0-9]|[0-9]{3}))(,?)$`)

// fields returns the members of the JSON object that v encodes to, without
// its braces.
func fields(v any) (string, error) {
	s, err := document.Encoded(v)
	if err != nil {
		return "", fmt.Errorf("report: %w", err)
	}
	if len(s) < 2 || s[0] != '{' {
		return "", fmt.Errorf("report: %T is not a JSON object", v)
	}
	return string(s[1 : len(s)-1]), nil
}

func tablesObject(tables []document.Table) document.Ordered {
	object := document.Ordered{}
	for _, t := range tables {
		rows := make([]document.Ordered, 0, len(t.Rows))
		for _, row := range t.Rows {
			var r document.Ordered
			for j, c := range row {
				key := t.Columns[j].Key
				switch v, is := c.Value(); {
				case is:
					r = append(r, document.Member{Key: key, Value: v})
				case !c.IsText():
					r = append(r, document.Member{Key: key, Value: nil}, document.Member{Key: key + "_why", Value: c.Words()})
				case c.Words() == "" && t.Numeric(j):
					r = append(r, document.Member{Key: key, Value: nil}, document.Member{Key: key + "_why", Value: "does not apply"})
				default:
					r = append(r, document.Member{Key: key, Value: c.Words()})
				}
			}
			rows = append(rows, r)
		}
		object = append(object, document.Member{Key: t.Key, Value: rows})
	}
	return object
}

// closing returns what every page ends with, lists that are empty as such.
func closing(d *document.Document) any {
	return struct {
		Banner   string                `json:"notice,omitempty"`
		NotYours []document.Assumption `json:"not_yet_yours,omitempty"`
		Assumed  []document.Assumption `json:"assumed"`
		Warnings []string              `json:"warnings"`
		Cautions []document.Prose      `json:"cautions"`
		Sources  []string              `json:"sources"`
		Working  []document.Step       `json:"working,omitempty"`
	}{d.Banner.String(), d.NotYours, append([]document.Assumption{}, d.Assumed...), d.WarningTexts(units.Metric),
		append([]document.Prose{}, d.Cautions...), append([]string{}, d.Sources...), d.Working}
}

// escapeUnseen writes the characters that would steer a terminal or reorder its line
// as JSON escapes, which any reader turns back.
func escapeUnseen(page []byte) []byte {
	unseen := func(r rune) bool { return document.IsBidi(r) || r != '\n' && unicode.IsControl(r) }
	if !bytes.ContainsFunc(page, unseen) {
		return page
	}
	var b bytes.Buffer
	for _, r := range string(page) {
		if unseen(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.Bytes()
}
