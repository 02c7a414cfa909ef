package data

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// ClimateFile is twelve months as a person typed them.
type ClimateFile struct {
	File      string
	GHI       [12]float64 // mean global horizontal irradiation [kWh/m² a day]
	TempC     [12]float64 // mean air temperature [°C]
	Lines     [12]int     // where each month stands
	GHIColumn int         // column of the sun, counted in cells from 1
	Warnings  []Warning
}

// climateColumns are the headings of a climate file, in any order.
var climateColumns = [3]string{"month", "ghi_kwh_per_m2_day", "temp_c"}

// monthNames lets a person write a month by name.
const monthNames = "jan feb mar apr may jun jul aug sep oct nov dec"

// ReadClimate reads a climate CSV of twelve rows, one a month in any order,
// headed month,ghi_kwh_per_m2_day,temp_c. Lines that start with # are comments.
// Every fault is reported at once as joined *Error values.
func ReadClimate(file string, content []byte) (ClimateFile, error) {
	c := ClimateFile{File: file}
	content = bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))
	r := csv.NewReader(bytes.NewReader(content))
	r.Comment = '#'
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	heading, err := r.Read()
	if err != nil {
		return c, &Error{File: file, Line: 1, Message: "no heading row", Allowed: strings.Join(climateColumns[:], ","), Err: csvCause(err)}
	}
	at, err := climateHeading(file, r, heading)
	if err != nil {
		return c, err
	}
	c.GHIColumn = at[1] + 1
	var faults []error
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			faults = append(faults, csvFault(file, err))
			break
		}
		faults = append(faults, c.readRow(r, cells, len(heading), at)...)
		if len(faults) >= mostFaults {
			break
		}
	}
	if len(faults) == 0 {
		faults = append(faults, c.missingMonths()...)
	}
	return c, errors.Join(faults...)
}

// climateHeading returns where each column of climateColumns is.
func climateHeading(file string, r *csv.Reader, heading []string) (at [3]int, err error) {
	line, _ := r.FieldPos(0)
	at = [3]int{-1, -1, -1}
	var faults []error
	for i, h := range heading {
		known := false
		for k, name := range climateColumns {
			if strings.ToLower(strings.TrimSpace(h)) != name {
				continue
			}
			known = true
			if at[k] >= 0 {
				faults = append(faults, &Error{File: file, Line: line, Column: i + 1, Key: name, Message: "this column is there twice"})
			}
			at[k] = i
		}
		if !known {
			faults = append(faults, &Error{File: file, Line: line, Column: i + 1, Message: "not a column of a climate file", Found: h,
				Allowed: strings.Join(climateColumns[:], ",")})
		}
	}
	for k, i := range at {
		if i < 0 {
			faults = append(faults, &Error{File: file, Line: line, Key: climateColumns[k], Message: "this column is missing",
				Allowed: strings.Join(climateColumns[:], ",")})
		}
	}
	return at, errors.Join(faults...)
}

// readRow takes one month of c.
func (c *ClimateFile) readRow(r *csv.Reader, cells []string, want int, at [3]int) []error {
	line, _ := r.FieldPos(0)
	if len(cells) != want {
		return []error{&Error{File: c.File, Line: line, Message: fmt.Sprintf("%d cells, the heading has %d", len(cells), want)}}
	}
	month, ok := parseMonth(cells[at[0]])
	if !ok {
		return []error{&Error{File: c.File, Line: line, Column: at[0] + 1, Key: climateColumns[0], Message: "no such month",
			Found: cells[at[0]], Allowed: "1 to 12, or jan to dec"}}
	}
	if c.Lines[month] != 0 {
		return []error{&Error{File: c.File, Line: line, Column: at[0] + 1, Key: climateColumns[0],
			Message: fmt.Sprintf("this month is there twice, first on line %d", c.Lines[month]), Found: cells[at[0]]}}
	}
	c.Lines[month] = line
	var faults []error
	value := func(k int, low, high float64, allowed string) float64 {
		x, err := strconv.ParseFloat(strings.TrimSpace(cells[at[k]]), 64)
		if err == nil && x >= low && x <= high && !strings.ContainsAny(cells[at[k]], "xX_pP") {
			return x
		}
		faults = append(faults, &Error{File: c.File, Line: line, Column: at[k] + 1, Key: climateColumns[k],
			Message: "not a figure that this column can hold", Found: cells[at[k]], Allowed: allowed})
		return 0
	}
	c.GHI[month] = value(1, 0, 1000, "a daily mean from 0 to about 10 kWh/m2, with a decimal point")
	c.TempC[month] = value(2, -70, 50, "a monthly mean from -70 to 50 C, with a decimal point")
	return faults
}

// missingMonths names the months that no row gives.
func (c *ClimateFile) missingMonths() []error {
	var names []string
	for m, line := range c.Lines {
		if line == 0 {
			names = append(names, strconv.Itoa(m+1))
		}
	}
	if names == nil {
		return nil
	}
	return []error{&Error{File: c.File, Key: climateColumns[0], Message: fmt.Sprintf("%d rows, months missing: %s", 12-len(names), strings.Join(names, ", ")),
		Allowed: "twelve rows, one for each month"}}
}

// parseMonth returns the month, 0 to 11, of 1 to 12 or a name of at least
// three letters.
func parseMonth(text string) (int, bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	if n, err := strconv.Atoi(text); err == nil {
		return n - 1, n >= 1 && n <= 12
	}
	if len(text) < 3 {
		return 0, false
	}
	for m, name := range strings.Fields(monthNames) {
		if strings.HasPrefix(text, name) && strings.HasPrefix(monthFull[m], text) {
			return m, true
		}
	}
	return 0, false
}

// monthFull are the full names of the months.
var monthFull = [12]string{"january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december"}

// mostFaults is how many faults of one file are told before reading stops.
const mostFaults = 20

// csvFault turns an error of encoding/csv into an *Error with its place.
func csvFault(file string, err error) error {
	e := &Error{File: file, Message: "not a readable CSV row", Err: csvCause(err)}
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		e.Line, e.Column, e.Message = parse.Line, parse.Column, parse.Err.Error()
	}
	return e
}

// csvCause returns err unless it is only the end of the file.
func csvCause(err error) error {
	if err == io.EOF {
		return nil
	}
	return err
}

// finite reports whether x is a plain number.
func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
