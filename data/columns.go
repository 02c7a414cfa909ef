package data

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"regexp"
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
	date    string // what numbers of a time its cells hold, as weatherFormat lists them
	number  bool   // the cells are numbers, so that commas in them are decimal marks
	example string
	index   []int // of the field

	at      int        // where it stands in a file; -1 where it does not
	unit    units.Unit // of its numbers
	written string     // its unit as the heading has it
}

type filePlan struct {
	of       string // the kind of file in a message, such as "a pump curve"
	headings string // every heading it takes, in words; "" lists the columns
	rows     int    // how many it may have
	none     string // that there are none
	least    string // how many it should have
	others   bool   // columns that are not known are left unread
}

var maybeType = reflect.TypeFor[figure.Maybe[float64]]()

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

// headedOfMany is headed among columns of which many are not known, whose names may
// begin like those that are.
func headedOfMany(columns []column, text string) (*column, string) {
	if c := named(columns, text); c != nil {
		return c, ""
	}
	if m := unitOfMany.FindStringSubmatch(strings.ToLower(text)); m != nil {
		return named(columns, m[1]), m[2] + strings.ReplaceAll(m[3], "_", " ")
	}
	return nil, ""
}

var unitOfMany = regexp.MustCompile(`^(.+?)(?:[(\[,](.*?)[)\], ]*|_((?:w|kwh|mj)_per_m2.*|c))$`)

// findColumns takes columns as those of the file, and sets where each stands and the unit
// that its heading names. It reports whether all headings are good and no required one is
// missing, so that the rows can be read.
func (s *sheet) findColumns(columns []column) bool {
	before, plan, heads := s.faults.count(), s.plan, s.heads
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	plan.headings = cmp.Or(plan.headings, strings.Join(names, ", "))
	if strings.Trim(strings.Join(heads.cells, ""), "0123456789.,-+ ") == "" {
		s.bad(heads, 0, refused(plan.headings, "the heading row is missing"))
		return false
	}
	s.columns = columns
	var unread []string
	for i := range heads.cells {
		text := heads.cell(i)
		c, unit := headed(columns, text)
		if plan.others {
			c, unit = headedOfMany(columns, text)
		}
		switch {
		case c == nil && plan.others:
			unread = append(unread, text)
		case text == "":
			s.bad(heads, i, refused(plan.headings, "a heading is empty"))
		case c == nil:
			e := refused(plan.headings, "there is no such column in %s", plan.of)
			if near := Nearest(text, names); near != "" {
				e.Hint = "perhaps " + near
			}
			s.bad(heads, i, e)
		case c.at >= 0:
			e := refused("one column of each", "the %s stands in two columns, first in %s", c.name, heads.cell(c.at))
			e.Key = c.name
			s.bad(heads, i, e)
		default:
			if c.at, c.written = i, unit; c.kind != 0 {
				s.findUnit(c)
			}
		}
	}
	for _, c := range columns {
		if c.at < 0 && !c.empty {
			e := &Error{File: s.file, Line: heads.line, Key: c.name, Message: "the column is missing", Allowed: plan.headings}
			switch {
			case len(heads.cells) == 1:
				e.Hint = "the cells of a row are divided by a comma, a semicolon or a tab"
			case plan.others && len(s.rows) == 12:
				e.Hint = "twelve months are a climate file, headed month,ghi_kwh_per_m2_day,temp_c"
			}
			s.faults.Add(e)
		}
	}
	if s.faults.count() > before {
		return false
	}
	if unread != nil {
		s.unread = strings.Join(unread, ", ")
	}
	return true
}

func (s *sheet) findUnit(c *column) {
	var err error
	e := Error{Key: c.name, Message: "the heading has no unit"}
	if c.unit, err = units.Lookup(c.kind, c.written); c.written != "" && err == nil {
		return
	} else if c.written != "" {
		e.Message = err.(*units.Error).Problem
	}
	unit := cmp.Or(c.example, units.Metric.Unit(c.kind).String())
	e.Allowed = "a heading such as " + c.name + " (" + unit + "); units: " + c.kind.Allowed()
	s.bad(s.heads, c.at, &e)
}

// value reads a cell of c into its field. The error says what is wrong and, as an
// *Error, what is allowed instead.
func (c *column) value(dst reflect.Value, text string, decimal mark) error {
	if text == "" && c.empty {
		return nil
	}
	switch to := dst.Addr().Interface().(type) {
	case *string:
		if *to = text; text == "" {
			return refused("a value", "%w", errEmptyCell)
		}
		return nil
	case *bool:
		return yesOrNo(to, text)
	case interface{ UnmarshalText([]byte) error }:
		return to.UnmarshalText([]byte(text))
	}
	v, err := decimal.value(text)
	if watch, is := units.ParseStopwatch(text); is && c.kind == units.KindTime {
		v, err = float64(watch), nil
	} else if err == nil && c.kind != 0 {
		v = c.unit.Base(v)
	}
	allowed := "a number, 0 or more"
	switch {
	case c.kind == 0 && text == "":
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
		return refused(allowed, "%w", err)
	}
	if dst.Type() == maybeType {
		dst.Set(reflect.ValueOf(figure.Known(v)))
	} else {
		dst.SetFloat(v)
	}
	return nil
}

func refused(allowed, format string, args ...any) *Error {
	err := fmt.Errorf(format, args...)
	return &Error{Message: err.Error(), Allowed: allowed, Err: errors.Unwrap(err)}
}

// yesOrNo reads yes, no and the empty cell.
func yesOrNo(to *bool, text string) error {
	switch strings.ToLower(text) {
	case "yes", "y", "x", "true", "1":
		*to = true
	case "", "no", "n", "false", "0", "-":
	default:
		return refused("yes, no or an empty cell", "neither yes nor no")
	}
	return nil
}
