package data

import (
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"sunrill/data/units"
)

// cell is the trimmed text of one field and where it stands.
type cell struct {
	text         string
	line, column int
	key          string // heading of its column
}

// sheet is a CSV file as a heading row and rows of as many cells.
type sheet struct {
	file      string
	delimiter rune
	heads     []cell
	rows      [][]cell
	warnings  []Warning
	lines     []string
	columns   []column // of its rows
	dropped   bool     // rows were left out, so that too few of them means nothing
}

// How many rows a file may have, forty years of hours, and how many columns.
const (
	maxRows    = 400_000
	maxColumns = 1000
)

// readSheet reads a CSV file of at most so many rows strictly: the delimiter is a comma, semicolon or
// tab, named by a line sep=; or found in the heading row; # opens a comment;
// blank rows count for nothing; every row has as many cells as the heading.
// Rows that do not are reported to faults and left out. The error is for what
// makes the rest unreadable.
func readSheet(name string, r io.Reader, most int, faults *FaultList) (*sheet, error) {
	text, warnings, err := ReadText(name, r)
	if err != nil {
		return nil, err
	}
	s := &sheet{file: name, warnings: warnings, lines: strings.Split(text, "\n")}
	s.delimiter = findDelimiter(s.lines)
	if i := slices.IndexFunc(s.lines, tableHeader.MatchString); i >= 0 {
		return nil, &Error{File: name, Line: i + 1, Column: 1, Message: "this is the line of a plan and not of a CSV file",
			Found:   s.lines[i],
			Allowed: "a heading row and rows of numbers, as in the curve that a plan names"}
	}
	in := csv.NewReader(strings.NewReader(strings.Join(s.lines, "\n")))
	in.Comma, in.Comment, in.FieldsPerRecord, in.TrimLeadingSpace = s.delimiter, '#', -1, s.delimiter != '\t'
	for {
		record, err := in.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			if s.heads == nil {
				return nil, s.broken(err)
			}
			s.dropped = true
			faults.Add(s.broken(err))
			return s, nil
		}
		row := make([]cell, len(record))
		blank := true
		last, from, column := 0, 0, 0
		for i, field := range record {
			line, at := in.FieldPos(i)
			if line != last {
				last, from, column = line, 0, 1
			}
			column += utf8.RuneCountInString(s.line(line)[from : at-1])
			from = at - 1
			row[i] = cell{text: strings.TrimFunc(field, isBlank), line: line, column: column}
			blank = blank && row[i].text == ""
		}
		switch {
		case blank || strings.HasPrefix(row[0].text, "#"):
		case s.heads == nil:
			if s.heads = trimRow(row, 1); len(s.heads) > maxColumns {
				return nil, TooMany(name, row[0].line, row[maxColumns].column, "column", maxColumns)
			}
		case len(s.rows) == most:
			return nil, TooMany(name, row[0].line, 1, "row", most)
		default:
			s.addRow(row, faults)
		}
	}
	if s.heads == nil {
		return nil, &Error{File: name, Message: "the file is empty", Allowed: "a heading row and rows of numbers"}
	}
	return s, nil
}

// warn adds a warning of a line, 0 for the whole file.
func (s *sheet) warn(line int, key string, message units.Text) {
	s.warnings = append(s.warnings, Warning{File: s.file, Line: line, Key: key, Message: message})
}

func isBlank(r rune) bool {
	return r == ' ' || r == '\t' || r == '\u00a0' || r == '\u202f' || r == '\ufeff' || r == '\n'
}

// trimRow drops the empty cells that spreadsheets put at the end of a row.
func trimRow(row []cell, least int) []cell {
	for len(row) > least && row[len(row)-1].text == "" {
		row = row[:len(row)-1]
	}
	return row
}

func (s *sheet) addRow(row []cell, faults *FaultList) {
	row = trimRow(row, len(s.heads))
	if len(row) == len(s.heads) {
		for i := range row {
			row[i].key = s.heads[i].text
		}
		s.rows = append(s.rows, row)
		return
	}
	s.dropped = true
	e := &Error{File: s.file, Line: row[0].line, Column: row[0].column,
		Message: "the row has " + Plural(len(row), "cell") + " under " + Plural(len(s.heads), "heading"),
		Found:   s.line(row[0].line), Allowed: "one cell for each heading"}
	if len(row) > len(s.heads) {
		e.Column = row[len(s.heads)].column
		switch {
		case len(s.heads) == 1:
			e.Hint = "if line " + strconv.Itoa(s.heads[0].line) + " is a title and no heading, put # before it"
		case s.delimiter == ',':
			e.Hint = "numbers with a decimal comma need ; or a tab between the cells"
		}
	}
	faults.Add(e)
}

// Plural returns a number with its word.
func Plural(n int, word string) string {
	if n != 1 {
		word += "s"
	}
	return strconv.Itoa(n) + " " + word
}

// line returns line n of the file.
func (s *sheet) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return s.lines[n-1]
}

// tableHeader is the line that opens a table of a plan file.
var tableHeader = regexp.MustCompile(`^\s*\[{1,2}[a-z._]+\]{1,2}\s*(#.*)?$`)

// broken turns the error of the CSV reader into a fault.
func (s *sheet) broken(err error) *Error {
	e := &Error{File: s.file, Message: "the quotes cannot be read", Allowed: `cells with a quote inside as "1 1/4"" hose"`, Err: err}
	var p *csv.ParseError
	if errors.As(err, &p) {
		e.Line, e.Column = p.Line, charColumn(s.lines, p.Line, p.Column)
		if p.StartLine < p.Line {
			e.Message = "a quote is opened and not closed"
			e.Line, e.Column = p.StartLine, charColumn(s.lines, p.StartLine, strings.IndexByte(s.line(p.StartLine), '"')+1)
		}
		e.Found = s.line(e.Line)
	}
	return e
}

// charColumn turns the byte column of the CSV reader into one in characters.
func charColumn(lines []string, line, column int) int {
	if line < 1 || line > len(lines) || column < 1 {
		return 1
	}
	before := min(column-1, len(lines[line-1]))
	return utf8.RuneCountInString(lines[line-1][:before]) + 1
}

// findDelimiter returns the delimiter: the one that a line sep= names, which is made
// blank, so that lines keep their numbers, else the tab, semicolon or comma that the
// heading row holds.
func findDelimiter(lines []string) rune {
	named := false
	for i, line := range lines {
		line = strings.Trim(line, ` "`)
		if mark, ok := strings.CutPrefix(strings.ToLower(line), "sep="); ok && !named {
			named, lines[i] = true, ""
			if mark != "" && strings.ContainsRune(";,\t", rune(mark[0])) {
				return rune(mark[0])
			}
			continue
		}
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") || strings.Trim(line, ";,") == "" {
			continue
		}
		for _, d := range "\t;" {
			if strings.ContainsRune(line, d) {
				return d
			}
		}
		break
	}
	return ','
}
