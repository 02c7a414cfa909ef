package data

import (
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
		return refused("1 to 12, or a name such as jan", "no such month")
	}
	*m = calendarMonth(from0 + 1)
	return nil
}

// ReadClimate reads a climate CSV of twelve rows, one a month in any order,
// headed month,ghi_kwh_per_m2_day,temp_c. The faults are those of Read and a
// month that is missing, there twice, or has a figure no place on Earth has.
func ReadClimate(file string, r io.Reader) (ClimateFile, error) {
	c := ClimateFile{File: file}
	rows, s, err := readRows[climateRow](file, r, anyFile)
	err, c.Warnings = s.done(err), s.warnings
	if err != nil {
		return c, err
	}
	sun := s.place("ghi_kwh_per_m2_day")
	for _, row := range rows {
		m := row.Row.Month - 1
		if c.Lines[m] != 0 {
			s.bad(row.cells, s.place("month"), refused("one row for each month", "the month stands twice, first in line %d", c.Lines[m]))
			continue
		}
		c.Lines[m], c.Columns[m], c.GHI[m], c.TempC[m] = row.Line, s.at(row.cells, sun).Column, row.Row.GHI, row.Row.TempC
		if !(c.GHI[m] >= 0 && c.GHI[m] < 500) {
			s.bad(row.cells, sun, refused("the mean of a day, 0 to about 10 kWh/m2", "no month has this sun"))
		}
		if !(c.TempC[m] >= -75 && c.TempC[m] <= 50) {
			s.bad(row.cells, s.place("temp_c"), refused("-75 to 50 C", "no month has this mean temperature"))
		}
	}
	var missing []string
	for m, line := range c.Lines {
		if line == 0 {
			missing = append(missing, strconv.Itoa(m+1))
		}
	}
	if missing != nil {
		s.badLine(s.heads.line, "", Plural(len(rows), "row")+", months missing: "+strings.Join(missing, ", "),
			"twelve rows, one for each month")
	}
	return c, s.faults.Err()
}
