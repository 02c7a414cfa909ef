package data

import (
	"fmt"
	"io"
	"strconv"
	"strings"
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
	GHI   float64       `csv:"ghi_kwh_per_m2_day"`
	TempC float64       `csv:"temp_c"`
}

// calendarMonth is a month counted from 1, written as a number or a name.
type calendarMonth int

// UnmarshalText reads 1 to 12, or a name of at least three letters.
func (m *calendarMonth) UnmarshalText(text []byte) error {
	from0, ok := Month(string(text))
	if !ok {
		return &Error{Message: "no such month", Allowed: "1 to 12, or a name such as jan"}
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
	bad := func(row Record[climateRow], column, message, allowed string) {
		faults.Add(row.sheet.badCell(row.cell(column), &Error{Message: message, Allowed: allowed}))
	}
	for _, row := range rows {
		m := row.Row.Month - 1
		if c.Lines[m] != 0 {
			bad(row, "month", fmt.Sprintf("the month stands twice, first in line %d", c.Lines[m]), "one row for each month")
			continue
		}
		c.Lines[m], c.Columns[m], c.GHI[m], c.TempC[m] = row.Line, row.cell("ghi_kwh_per_m2_day").column, row.Row.GHI, row.Row.TempC
		if !(c.GHI[m] >= 0 && c.GHI[m] < 500) {
			bad(row, "ghi_kwh_per_m2_day", "no month has this sun", "the mean of a day, 0 to about 10 kWh/m2")
		}
		if !(c.TempC[m] >= -75 && c.TempC[m] <= 50) {
			bad(row, "temp_c", "no month has this mean temperature", "-75 to 50 C")
		}
	}
	var missing []string
	for m, line := range c.Lines {
		if line == 0 {
			missing = append(missing, strconv.Itoa(m+1))
		}
	}
	if missing != nil {
		faults.Add(rows[0].sheet.noRows(fmt.Sprintf("%s, months missing: %s", Plural(len(rows), "row"), strings.Join(missing,
			", ")), "twelve rows, one for each month"))
	}
	return c, faults.Err()
}
