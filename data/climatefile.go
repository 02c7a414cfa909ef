package data

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// ClimateFile is twelve months as a person typed them.
type ClimateFile struct {
	File     string
	GHI      [12]float64 // mean global horizontal irradiation [kWh/m² a day]
	TempC    [12]float64 // mean air temperature [°C]
	Lines    [12]int     // where each month stands
	Columns  [12]int     // where its sun stands
	Warnings []Warning
}

// climateRow is one row of a climate file.
type climateRow struct {
	Month calendarMonth `csv:"month"`
	GHI   Number        `csv:"ghi_kwh_per_m2_day"`
	TempC Number        `csv:"temp_c"`
}

// calendarMonth is a month counted from 1, written as a number or a name.
type calendarMonth int

var errNoMonth = errors.New("no such month; 1 to 12 or a name such as jan")

// UnmarshalText reads 1 to 12, or a name of at least three letters.
func (m *calendarMonth) UnmarshalText(text []byte) error {
	from0, ok := Month(string(text))
	if !ok {
		return errNoMonth
	}
	*m = calendarMonth(from0 + 1)
	return nil
}

// ReadClimate reads a climate CSV of twelve rows, one a month in any order,
// headed month,ghi_kwh_per_m2_day,temp_c. The faults are those of Read and a
// month that is missing, there twice, or has a figure no place on Earth has.
func ReadClimate(file string, r io.Reader) (ClimateFile, error) {
	c := ClimateFile{File: file}
	rows, warnings, err := Read[climateRow](file, r)
	c.Warnings = warnings
	if err != nil {
		return c, err
	}
	var faults FaultList
	bad := func(line, column int, key, found, message, allowed string) {
		faults.Add(&Error{File: file, Line: line, Column: column, Key: key, Found: found, Message: message, Allowed: allowed})
	}
	for _, row := range rows {
		m := row.Row.Month - 1
		ghi, temp := float64(row.Row.GHI), float64(row.Row.TempC)
		if c.Lines[m] != 0 {
			bad(row.Line, row.column("month"), "month", strconv.Itoa(int(m)+1), fmt.Sprintf("the month stands twice, first in line %d", c.Lines[m]), "one row for each month")
			continue
		}
		if !(ghi >= 0 && ghi < 500) {
			bad(row.Line, row.column("ghi_kwh_per_m2_day"), "ghi_kwh_per_m2_day", units.Sprintf("%g", ghi), "no month has this sun", "the mean of a day, 0 to about 10 kWh/m2")
		}
		if !(temp >= -75 && temp <= 50) {
			bad(row.Line, row.column("temp_c"), "temp_c", units.Sprintf("%g", temp), "no month has this mean temperature", "-75 to 50 C")
		}
		c.Lines[m], c.Columns[m], c.GHI[m], c.TempC[m] = row.Line, row.column("ghi_kwh_per_m2_day"), ghi, temp
	}
	var missing []string
	for m, line := range c.Lines {
		if line == 0 {
			missing = append(missing, strconv.Itoa(m+1))
		}
	}
	if missing != nil {
		bad(0, 0, "month", "", fmt.Sprintf("%s, months missing: %s", Plural(len(rows), "row"), strings.Join(missing, ", ")), "twelve rows, one for each month")
	}
	return c, faults.Err()
}
