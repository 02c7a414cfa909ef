package data

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// column is what the tags of a struct's field say of its column:
//
//	csv:"head,omitempty"  its heading, where the field is a quantity without the unit,
//	                      which the heading of a file names; omitempty says that the
//	                      column may be left out and its cells be empty
//	also:"lift height"    other headings that people and data sheets use
//	bare:"watts"          a heading that is itself the unit
//	kind:"head"           the kind of the quantity, where the type has several
//	unit:"L"              the unit of an example, where it is not the metric one
//	zero:"refused"        0 stands for what was not measured
type column struct {
	name    string
	empty   bool
	also    []string
	bare    string
	kind    units.Kind // 0 where the cells are no quantities
	noZero  bool
	number  bool // the cells are numbers, so that commas in them are decimal marks
	example string
	index   []int // of the field

	at   int        // where it stands in a file; -1 where it does not
	unit units.Unit // of its numbers
}

// filePlan is what one kind of file may hold.
type filePlan struct {
	of       string // the kind of file in a message, such as "a pump curve"
	headings string // every heading it takes, in words; "" lists the columns
	rows     int    // how many it may have
}

var maybeType = reflect.TypeFor[figure.Maybe[float64]]()

// columnsOf returns the columns of struct type t.
func columnsOf(t reflect.Type) []column {
	var all []column
	for _, f := range reflect.VisibleFields(t) {
		name, options, _ := strings.Cut(f.Tag.Get("csv"), ",")
		if name == "" {
			continue
		}
		c := column{name: name, empty: options == "omitempty", also: strings.Fields(f.Tag.Get("also")), bare: f.Tag.Get("bare"),
			example: f.Tag.Get("unit"), index: f.Index, at: -1, noZero: f.Tag.Get("zero") == "refused"}
		if q, is := reflect.Zero(f.Type).Interface().(interface{ Kind() units.Kind }); is {
			c.kind = q.Kind()
		}
		if kind, is := units.KindNamed(f.Tag.Get("kind")); is {
			c.kind = kind
		}
		c.number = f.Type.Kind() == reflect.Float64 || f.Type == maybeType
		all = append(all, c)
	}
	return all
}

var betweenWords = strings.NewReplacer(" ", "", "_", "", "-", "", ",", "", ":", "")

// plainHeading leaves out of a heading what does not tell two apart.
func plainHeading(heading string) string { return betweenWords.Replace(strings.ToLower(heading)) }

func named(columns []column, name string) *column {
	word := plainHeading(name)
	for i := range columns {
		c := &columns[i]
		if word == plainHeading(c.name) || word == c.bare && word != "" || slices.Contains(c.also, word) {
			return c
		}
	}
	return nil
}

// headed returns the column that a heading names, nil for none, and the text of
// its unit.
func headed(columns []column, text string) (*column, string) {
	if c := named(columns, text); c != nil && c.kind == 0 {
		return c, ""
	}
	name, unit := units.SplitHeading(text)
	if c := named(columns, name); c != nil || unit != "" {
		if c != nil && unit == "" && strings.EqualFold(name, c.bare) {
			unit = name
		}
		return c, unit
	}
	for i := min(len(name), 100) - 1; i > 0; i-- { // a known name before a unit that is not known
		if name[i] == '_' || name[i] == ' ' {
			if c := named(columns, name[:i]); c != nil {
				return c, strings.ReplaceAll(name[i+1:], "_", " ")
			}
		}
	}
	return nil, ""
}

// findColumns sets where each column stands and the unit that its heading names. It
// reports whether all headings are good and no required one is missing, so that the
// rows can be read.
func (s *sheet) findColumns(columns []column, plan filePlan, faults *FaultList) bool {
	good := true
	bad := func(h cell, e Error) {
		good = false
		e.File, e.Line, e.Column, e.Found = s.file, h.line, h.column, h.text
		faults.Add(&e)
	}
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	if plan.headings == "" {
		plan.headings = strings.Join(names, ", ")
	}
	if s.headless() {
		bad(s.heads[0], Error{Message: "the heading row is missing", Allowed: plan.headings})
		return false
	}
	for i, h := range s.heads {
		c, unit := headed(columns, h.text)
		switch {
		case h.text == "":
			bad(h, Error{Message: "a heading is empty", Allowed: plan.headings})
			continue
		case c == nil:
			e := Error{Message: "there is no such column in " + plan.of, Allowed: plan.headings}
			if near := Nearest(h.text, names); near != "" {
				e.Hint = "perhaps " + near
			}
			bad(h, e)
			continue
		case c.at >= 0:
			bad(h, Error{Key: c.name, Message: "the " + c.name + " stands in two columns, first in " + s.heads[c.at].text,
				Allowed: "one column of each"})
			continue
		}
		c.at = i
		if c.kind == 0 {
			continue
		}
		var err error
		if c.unit, err = units.Lookup(c.kind, unit); unit == "" {
			bad(h, Error{Key: c.name, Message: "the heading has no unit", Allowed: c.withUnit()})
		} else if err != nil {
			bad(h, Error{Key: c.name, Message: err.(*units.Error).Problem, Allowed: c.withUnit(), Err: err})
		}
	}
	for _, c := range columns {
		if c.at < 0 && !c.empty {
			good = false
			e := &Error{File: s.file, Line: s.heads[0].line, Key: c.name, Message: "the column is missing", Allowed: plan.headings}
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

// headless reports whether the first row holds numbers alone.
func (s *sheet) headless() bool {
	return !slices.ContainsFunc(s.heads, func(h cell) bool { return strings.Trim(h.text, "0123456789.,-+ ") != "" })
}

// value reads a cell of c into its field. The error says what is wrong and, as an
// *Error, what is allowed instead.
func (c *column) value(dst reflect.Value, at *cell, decimal mark) error {
	if at.text == "" && c.empty {
		return nil
	}
	switch to := dst.Addr().Interface().(type) {
	case *string:
		if *to = at.text; at.text == "" {
			return refused(errEmptyCell, "a value")
		}
		return nil
	case *bool:
		return yesOrNo(to, at.text)
	case interface{ UnmarshalText([]byte) error }:
		return to.UnmarshalText([]byte(at.text))
	}
	v, err := decimal.value(at)
	if watch, is := units.ParseStopwatch(at.text); is && c.kind == units.KindTime {
		v, err = float64(watch), nil
	} else if err == nil && c.kind != 0 {
		v = c.unit.Base(v)
	}
	allowed := "a number, 0 or more"
	switch {
	case c.kind == 0 && at.text == "":
		allowed = "a value"
	case c.kind == 0:
		allowed = "a plain number such as 12.5"
	case err != nil:
	case v < 0:
		err = fmt.Errorf("the %s is negative", c.name)
	case v > units.Largest:
		err = errTooLarge
	case v == 0 && c.noZero:
		err, allowed = errors.New("nothing was measured"), "a number above 0, or an empty cell"
	}
	if err != nil {
		return refused(err, allowed)
	}
	if dst.Type() == maybeType {
		dst.Set(reflect.ValueOf(figure.Known(v)))
	} else {
		dst.SetFloat(v)
	}
	return nil
}

// refused adds to an error what is allowed instead.
func refused(err error, allowed string) error {
	return &Error{Message: err.Error(), Allowed: allowed, Err: err}
}

// yesOrNo reads yes, no and the empty cell.
func yesOrNo(to *bool, text string) error {
	switch strings.ToLower(text) {
	case "yes", "y", "x", "true", "1":
		*to = true
	case "", "no", "n", "false", "0", "-":
	default:
		return &Error{Message: "neither yes nor no", Allowed: "yes, no or an empty cell"}
	}
	return nil
}
