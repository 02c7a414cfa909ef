package data

import (
	"slices"
	"strings"

	"sunrill/data/units"
)

// columnSet is what columns one kind of file may have: curves, logs of tests and
// logs of hours, whose headings name the unit of each quantity.
type columnSet struct {
	of       string // the kind of file in a message, such as "a pump curve"
	headings string // every heading it takes, in words
	columns  []column
}

// column is one column of a columnSet.
type column struct {
	name     string
	kind     units.Kind // 0 where its cells are no quantities
	required bool
	words    []string // other headings that people and data sheets use
	bare     string   // a heading that is itself the unit, such as "watts"
	example  string   // the unit of its example; "" for the metric one
}

// placed is where a column stands and the unit of its numbers.
type placed struct {
	at   int
	unit units.Unit
}

// findColumns finds each column of the set by its heading. It reports whether all
// headings are good and no required one is missing, so that the rows can be read.
func (s *sheet) findColumns(set *columnSet, faults *FaultList) (map[string]placed, bool) {
	found := map[string]placed{}
	good := true
	bad := func(h cell, message, allowed string, err error) {
		good = false
		faults.Add(&Error{File: s.file, Line: h.line, Column: h.column, Key: h.key, Found: h.text, Message: message, Allowed: allowed, Err: err})
	}
	if s.headless() {
		bad(s.heads[0], "the heading row is missing", set.headings, nil)
		return nil, false
	}
	for i, h := range s.heads {
		c, unitText := set.heading(h.text)
		switch {
		case h.text == "":
			bad(h, "a heading is empty", set.headings, nil)
			continue
		case c == nil:
			bad(h, "there is no such column in "+set.of, set.headings, nil)
			continue
		}
		h.key = c.name
		if first, double := found[c.name]; double {
			bad(h, "the "+c.name+" stands in two columns, first in "+s.heads[first.at].text, "one column of each", nil)
			continue
		}
		found[c.name] = placed{at: i}
		switch {
		case c.kind == 0:
		case unitText == "":
			bad(h, "the heading has no unit", c.withUnit(), nil)
		default:
			u, err := units.Lookup(c.kind, unitText)
			if err != nil {
				bad(h, problem(err), c.withUnit(), err)
			}
			found[c.name] = placed{i, u}
		}
	}
	return found, s.noneMissing(set, found, faults) && good
}

// noneMissing reports whether every required column was found.
func (s *sheet) noneMissing(set *columnSet, found map[string]placed, faults *FaultList) bool {
	good := true
	for _, c := range set.columns {
		if _, ok := found[c.name]; !ok && c.required {
			good = false
			e := &Error{File: s.file, Line: s.heads[0].line, Key: c.name, Message: "the column is missing", Allowed: set.headings}
			if len(s.heads) == 1 {
				e.Hint = "the cells of a row are divided by a comma, a semicolon or a tab"
			}
			faults.Add(e)
		}
	}
	return good
}

// withUnit says what heading with a unit the column takes.
func (c *column) withUnit() string {
	unit := c.example
	if unit == "" {
		unit = units.Metric.Unit(c.kind).String()
	}
	return "a heading such as " + c.name + " (" + unit + "); units: " + c.kind.Allowed()
}

// problem returns what is wrong by a units.Error, without what is allowed.
func problem(err error) string {
	if e, ok := err.(*units.Error); ok { // made by Lookup, which wraps nothing
		return e.Problem
	}
	return err.Error()
}

// headless reports whether the first row holds numbers alone.
func (s *sheet) headless() bool {
	for _, h := range s.heads {
		if strings.Trim(h.text, "0123456789.,-+ ") != "" {
			return false
		}
	}
	return true
}

// heading returns the column that a heading names, nil for none, and the text of
// its unit.
func (set *columnSet) heading(text string) (*column, string) {
	name, unit := units.SplitHeading(text)
	if c := set.named(name); c != nil || unit != "" {
		if c != nil && unit == "" && strings.EqualFold(name, c.bare) {
			unit = name
		}
		return c, unit
	}
	for i := min(len(name), 100) - 1; i > 0; i-- { // a known name before a unit that is not known
		if name[i] == '_' || name[i] == ' ' {
			if c := set.named(name[:i]); c != nil {
				return c, strings.ReplaceAll(name[i+1:], "_", " ")
			}
		}
	}
	return nil, ""
}

func (set *columnSet) named(name string) *column {
	word := strings.NewReplacer(" ", "", "_", "", "-", "", ",", "", ":", "").Replace(strings.ToLower(name))
	for i := range set.columns {
		c := &set.columns[i]
		if word == c.name || word == c.bare && word != "" || slices.Contains(c.words, word) {
			return c
		}
	}
	return nil
}

// decimalMark settles the decimal mark from the cells of all quantities.
func (s *sheet) decimalMark(set *columnSet, found map[string]placed, faults *FaultList) mark {
	var m marks
	for _, row := range s.rows {
		for _, c := range set.columns {
			if p, ok := found[c.name]; ok && c.kind != 0 {
				m.look(&row[p.at], s.delimiter)
			}
		}
	}
	return m.settle(s.file, faults)
}

// quantity reads one number of a row in the base unit, or reports its fault.
func (s *sheet) quantity(name string, row []cell, found map[string]placed, decimal mark, faults *FaultList) (float64, bool) {
	p := found[name]
	c := &row[p.at]
	if decimal == noMark && c.text != "" {
		return 0, false // reported once for the file
	}
	const allowed = "a number, 0 or more"
	v, err := decimal.value(c)
	switch {
	case err != nil:
		faults.Add(s.badCell(c, err, allowed))
		return 0, false
	case v < 0:
		faults.Add(&Error{File: s.file, Line: c.line, Column: c.column, Key: c.key, Found: c.text, Message: "the " + name + " is negative", Allowed: allowed})
		return 0, false
	}
	base := p.unit.Base(v)
	if !(base <= units.Largest) {
		faults.Add(s.badCell(c, errTooLarge, allowed))
		return 0, false
	}
	return base, true
}
