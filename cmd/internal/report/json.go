package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"unicode"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// FormatVersion is the value of "format_version" in every JSON object. It
// grows when a key goes or changes its meaning, not when one is added.
const FormatVersion = 1

// jsonPage returns one object: format_version, then the fields of d.Object and
// the tables beside it or, where that is nil, all tables by their keys, then what
// every page closes with. Numbers keep full precision; unknown is null, with the reason
// under the key followed by _why.
func jsonPage(d *document.Document, _ Options) ([]byte, error) {
	page := document.Ordered{{Key: "format_version", Value: FormatVersion}}
	if d.Object == nil {
		page = append(page, tablesObject(d.Tables())...)
	} else {
		object, err := document.Object(d.Object)
		if err != nil {
			return nil, err
		}
		fields, is := object.(document.Ordered)
		if !is {
			return nil, fmt.Errorf("report: %T is not a JSON object", d.Object)
		}
		beside := slices.DeleteFunc(d.Tables(), func(t document.Table) bool { return !t.Beside })
		page = slices.Concat(page, fields, tablesObject(beside))
	}
	compact, err := document.Encoded(append(page, closing(d)...))
	if err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	var out bytes.Buffer
	if err := json.Indent(&out, compact, "", "  "); err != nil {
		return nil, fmt.Errorf("report: %w", err)
	}
	out.WriteByte('\n')
	return escapeUnseen(out.Bytes()), nil
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

// closing returns what every page ends with, most lists also where they are empty.
func closing(d *document.Document) document.Ordered {
	var all document.Ordered
	add := func(is bool, key string, v any) {
		if is {
			all = append(all, document.Member{Key: key, Value: v})
		}
	}
	add(!d.Banner.IsZero(), "notice", d.Banner)
	add(len(d.NotYours) > 0, "not_yet_yours", d.NotYours)
	add(true, "assumed", append([]document.Assumption{}, d.Assumed...))
	add(true, "warnings", d.WarningTexts(units.Metric))
	add(true, "cautions", append([]document.Prose{}, d.Cautions...))
	add(true, "sources", append([]string{}, d.Sources...))
	add(len(d.Working) > 0, "working", d.Working)
	return all
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
