package data

import (
	"cmp"
	"encoding/csv"
	"errors"
	"io"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"sunrill/data/units"
)

// row is a row of a file: its cells as they stand between the delimiters, and its lines,
// of which quotes can hold several.
type row struct {
	cells     []string
	line, end int
}

func (r row) cell(i int) string { return strings.TrimFunc(r.cells[i], isBlank) }

// sheet is a CSV file as a heading row and rows of as many cells.
type sheet struct {
	file      string
	lines     []string
	delimiter rune
	heads     row
	rows      []row
	plan      filePlan
	columns   []column // as found
	unread    string   // headings of other columns
	warnings  []Warning
	faults    FaultList
	dropped   bool // rows were left out, so that too few of them means nothing
	wide      int  // above 0 where rows may have more cells than headings: how many to part at most
}

// How many rows a file may have, forty years of hours, and how many columns.
const (
	maxRows    = 400_000
	maxColumns = 1000
)

func newSheet(name string, r io.Reader) (*sheet, error) {
	text, warnings, err := ReadText(name, r)
	return &sheet{file: name, lines: strings.Split(text, "\n"), warnings: warnings}, err
}

// read reads heading and at most so many rows strictly, from a line on: the delimiter is a
// comma, semicolon or tab, named by a line sep=; or found in the heading row; # opens a
// comment; blank rows count for nothing; every row has as many cells as the heading.
// Rows that do not are reported and left out. The error is for what makes the rest
// unreadable.
func (s *sheet) read(first, most int) error {
	if i := slices.IndexFunc(s.lines, tableHeader.MatchString); i >= 0 {
		return &Error{File: s.file, Line: i + 1, Column: 1, Message: "this is the line of a plan and not of a CSV file",
			Found: s.lines[i], Allowed: "a heading row and rows of numbers, as in the curve that a plan names"}
	}
	first, s.delimiter = findDelimiter(s.lines, first)
	for next := first; next <= len(s.lines); {
		one, err := s.record(next)
		next = one.end + 1
		if err != nil && s.heads.cells != nil {
			s.dropped = true
			s.faults.Add(s.broken(err, one))
			return nil
		}
		switch {
		case err != nil:
			return s.broken(err, one)
		case len(one.trimmed(0).cells) == 0 || strings.HasPrefix(one.cell(0), "#"):
		case s.heads.cells == nil:
			if s.heads = one.trimmed(1); len(s.heads.cells) > maxColumns {
				return TooMany(s.file, one.line, s.at(one, maxColumns).Column, "column", maxColumns)
			}
		case len(s.rows) == most:
			return TooMany(s.file, one.line, 1, "row", most)
		default:
			s.addRow(one)
		}
	}
	if s.heads.cells == nil {
		return &Error{File: s.file, Message: "the file is empty", Allowed: "a heading row and rows of numbers"}
	}
	return nil
}

func (s *sheet) record(line int) (r row, err error) {
	r = row{line: line, end: line}
	first := s.line(line)
	if strings.HasPrefix(first, "#") || !strings.Contains(first, `"`) { // as most are
		r.cells = strings.SplitN(first, string(s.delimiter), cmp.Or(s.wide, -1))
		return r, nil
	}
	for quotes := strings.Count(first, `"`); quotes%2 == 1 && r.end < len(s.lines); r.end++ {
		quotes += strings.Count(s.lines[r.end], `"`)
	}
	r.cells, err = s.reader(r).Read()
	return r, err
}

// reader reads the lines of a row.
func (s *sheet) reader(r row) *csv.Reader {
	in := csv.NewReader(strings.NewReader(strings.Join(s.lines[r.line-1:r.end], "\n")))
	in.Comma, in.TrimLeadingSpace = s.delimiter, s.delimiter != '\t'
	return in
}

// at returns a fault of cell i of a row, which it finds by reading the row again.
func (s *sheet) at(r row, i int) *Error {
	in := s.reader(r)
	_, _ = in.Read() // as it was read before
	line, column := in.FieldPos(i)
	line += r.line - 1
	e := &Error{File: s.file, Line: line, Column: charColumn(s.line(line), column), Found: r.cell(i)}
	if r.line != s.heads.line && i < len(s.heads.cells) {
		e.Key = s.heads.cell(i)
	}
	return e
}

func (s *sheet) bad(r row, i int, err error) {
	if s.faults.full() { // to find more cells would take long
		s.faults.more++
		return
	}
	e := s.at(r, i)
	e.Message, e.Err = err.Error(), err
	if says, is := err.(*Error); is {
		e.Message, e.Allowed, e.Hint = says.Message, says.Allowed, says.Hint
		e.Key, e.Found = cmp.Or(says.Key, e.Key), cmp.Or(says.Found, e.Found)
	}
	if errors.Is(err, errThousands) {
		e.Hint = "write " + withoutThousands(e.Found) + " for " + e.Found
	}
	s.faults.Add(e)
}

// fail adds a fault of a line, 0 for the whole file, in the column of what was found if it
// stands there once.
func (s *sheet) fail(line int, key, message, found, allowed string) {
	e := &Error{File: s.file, Line: line, Key: key, Message: message, Found: found, Allowed: allowed}
	if text := strings.TrimSpace(found); text != "" {
		whole := regexp.MustCompile(`(?:^|[^\w.])(` + regexp.QuoteMeta(text) + `)(?:$|[^\w.])`)
		if at := whole.FindAllStringSubmatchIndex(s.line(line), 2); len(at) == 1 {
			e.Column = charColumn(s.line(line), at[0][2]+1)
		}
	}
	s.faults.Add(e)
}

// warn adds a warning of a line, 0 for the whole file.
func (s *sheet) warn(line int, key string, message units.Text) {
	s.warnings = append(s.warnings, Warning{File: s.file, Line: line, Key: key, Message: message})
}

func isBlank(r rune) bool {
	return r == ' ' || r == '\t' || r == '\u00a0' || r == '\u202f' || r == '\ufeff' || r == '\n'
}

// trimmed returns r without the empty cells that spreadsheets put at the end of a row.
func (r row) trimmed(least int) row {
	for len(r.cells) > least && r.cell(len(r.cells)-1) == "" {
		r.cells = r.cells[:len(r.cells)-1]
	}
	return r
}

func (s *sheet) addRow(r row) {
	heads := len(s.heads.cells)
	r = r.trimmed(heads)
	cells := len(r.cells)
	if cells == heads || cells > heads && s.wide > 0 {
		s.rows = append(s.rows, r)
		return
	}
	s.dropped = true
	if s.faults.full() {
		s.faults.more++
		return
	}
	e := s.at(r, min(heads, cells-1))
	e.Key, e.Found, e.Allowed = "", s.line(e.Line), "one cell for each heading"
	e.Message = "the row has " + Plural(cells, "cell") + " under " + Plural(heads, "heading")
	switch {
	case cells < heads:
		e.Line, e.Column, e.Found = r.line, s.at(r, 0).Column, s.line(r.line)
	case heads == 1:
		e.Hint = "if line " + strconv.Itoa(s.heads.line) + " is a title and no heading, put # before it"
	case s.delimiter == ',':
		e.Hint = "numbers with a decimal comma need ; or a tab between the cells"
	}
	s.faults.Add(e)
}

// Plural returns a number with its word.
func Plural(n int, word string) string {
	if n != 1 {
		word += "s"
	}
	return strconv.Itoa(n) + " " + word
}

func (s *sheet) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return s.lines[n-1]
}

// tableHeader is the line that opens a table of a plan file.
var tableHeader = regexp.MustCompile(`^\s*\[{1,2}[a-z._]+\]{1,2}\s*(#.*)?$`)

// broken turns the error of the CSV reader into a fault.
func (s *sheet) broken(err error, r row) *Error {
	e := &Error{File: s.file, Message: "the quotes cannot be read", Allowed: `cells with a quote inside as "1 1/4"" hose"`, Err: err}
	var p *csv.ParseError
	if errors.As(err, &p) {
		e.Line = p.Line + r.line - 1
		column := p.Column
		if p.StartLine < p.Line {
			e.Message = "a quote is opened and not closed"
			e.Line = p.StartLine + r.line - 1
			column = strings.IndexByte(s.line(e.Line), '"') + 1
		}
		e.Column = charColumn(s.line(e.Line), column)
		e.Found = s.line(e.Line)
	}
	return e
}

// charColumn turns the byte column of a line into one in characters.
func charColumn(line string, column int) int {
	return utf8.RuneCountInString(line[:min(max(column-1, 0), len(line))]) + 1
}

// findDelimiter returns the line to read from and the delimiter: the one that a line sep=
// before it names, else the tab, semicolon or comma that the heading row holds.
func findDelimiter(lines []string, first int) (int, rune) {
	named := false
	for i, line := range lines[first-1:] {
		line = strings.Trim(line, ` "`)
		if mark, ok := strings.CutPrefix(strings.ToLower(line), "sep="); ok && !named {
			named, first = true, first+i+1
			if mark != "" && strings.ContainsRune(";,\t", rune(mark[0])) {
				return first, rune(mark[0])
			}
			continue
		}
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") || strings.Trim(line, ";,") == "" {
			continue
		}
		for _, d := range "\t;" {
			if strings.ContainsRune(line, d) {
				return first, d
			}
		}
		break
	}
	return first, ','
}

// record is one row of a CSV file and the line that it stands on.
type record[T any] struct {
	Line int
	Row  T

	cells row
	bad   bool // a cell could not be read
}

var anyFile = filePlan{of: "this file", rows: maxRows, none: "there are no rows under the headings", least: "at least one row"}

// readRows returns the rows of a CSV file whose columns are the fields of T with a csv
// tag (see column), in any order. Fields are strings, bools (yes and no), float64 and
// a Maybe of it, the quantities of package units, whose headings name their unit, and
// types with UnmarshalText. Unknown and double headings are refused. The decimal
// mark is settled for the whole file by any cell that shows it; where none does, a
// number such as 1,500 is refused with both readings.
//
// It returns rows of which a cell is bad too, and the sheet that they come from, whose
// faults are what is wrong; none of the rows where that is a heading. The error is for
// what makes all unreadable.
func readRows[T any](name string, r io.Reader, plan filePlan) ([]record[T], *sheet, error) {
	s, err := newSheet(name, r)
	if err == nil {
		err = s.read(1, plan.rows)
	}
	if s.plan = plan; err != nil || !s.findColumns(columnsOf(reflect.TypeFor[T]())) {
		return nil, s, err
	}
	decimal := s.decimalMark()
	rows := make([]record[T], len(s.rows))
	for i, cells := range s.rows {
		one := &rows[i]
		one.Line, one.cells = cells.line, cells
		row := reflect.ValueOf(&one.Row).Elem()
		for k := range s.columns {
			c := &s.columns[k]
			if c.at < 0 {
				continue
			}
			if text := cells.cell(c.at); c.number && decimal == noMark && text != "" {
				one.bad = true // told once for the file
			} else if err := c.value(row.FieldByIndex(c.index), text, decimal); err != nil {
				one.bad = true
				s.bad(cells, c.at, err)
			}
		}
	}
	return rows, s, nil
}

// done returns err or else the faults of a file, among them that it is all heading.
func (s *sheet) done(err error) error {
	if err == nil && len(s.rows) == 0 && s.faults.Empty() {
		s.fail(s.heads.line, "", s.plan.none, "", s.plan.least)
	}
	return cmp.Or(err, s.faults.Err())
}

// place returns where a column stands, -1 where the file has none of that name.
func (s *sheet) place(name string) int {
	if c := named(s.columns, name); c != nil {
		return c.at
	}
	return -1
}

// decimalMark settles the decimal mark from the cells of all numbers.
func (s *sheet) decimalMark() mark {
	var m marks
	for _, row := range s.rows {
		for _, c := range s.columns {
			if c.number && c.at >= 0 {
				m.look(row, c.at, s.delimiter)
			}
		}
	}
	return m.settle(s)
}
