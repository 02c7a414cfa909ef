package data

import (
	"io"
	"math"
	"slices"
	"strings"
	"time"
)

// Step is how far apart the values of a weather file are once read.
type Step int

// The steps of Weather. Shorter ones are averaged to hours.
const (
	StepHour  Step = iota // irradiance, mean of the hour [W/m²]
	StepDay               // irradiation [kWh/m² a day]
	StepMonth             // irradiation, means of the twelve calendar months [kWh/m² a day]
)

// Weather is a weather file as plain values, complete and in order: one for
// every hour or day from the first on, without 29 February, or one a month.
type Weather struct {
	File   string
	Format string // EPW, TMY3, NASA POWER or CSV
	Place  string // as the file names it

	Located        bool // the file says where it is
	LatDeg, LonDeg float64
	Elevated       bool // and how high
	ElevationM     float64

	Clocked    bool    // the file says what clock it keeps
	UTCOffsetH float64 // that clock less universal time [h]

	Step      Step
	FirstHour int // hour of the year of 365 days of the first value

	GHI      []float64 // global horizontal
	DNI, DHI []float64 // beam and diffuse [W/m²]; nil where the file has not both
	TempC    []float64 // air temperature [°C]

	Warnings []Warning // among them everything assumed
}

// ReadWeather reads a weather file of any of the formats: EPW, TMY3 CSV, NASA
// POWER CSV (hourly, daily, monthly) or a plain CSV headed time, ghi,
// temperature and, if known, dni and dhi. Which one it is shows in its first
// lines. Stamps are put on the hour that they belong to by the rules of the
// format, units and missing codes come from the header.
//
// A value that is missing is never taken for darkness. At most 2 % of a column
// and three days in a row are filled, each value with the mean of the same
// hour of the nearest day before and the nearest after that has it, within
// three days; a warning says how many. More is refused, with the count, and so
// are missing or double rows, records shorter than a year and figures that no
// place has: as joined *Error values with their lines.
func ReadWeather(file string, r io.Reader) (*Weather, error) {
	s, err := newSheet(file, r)
	if err != nil {
		return nil, err
	}
	b := &weatherBuilder{w: &Weather{File: file, Warnings: s.warnings}, sheet: s, step: 60}
	if first := s.line(1); strings.HasPrefix(first, "YEAR,") || strings.HasPrefix(first, "PARAMETER,") {
		return nil, &Error{File: file, Line: 1, Column: 1,
			Message: "a NASA POWER file without its header: clock, units and missing code are unknown",
			Found:   first, Allowed: "the file with its header, from -BEGIN HEADER- to -END HEADER-"}
	}
	b.format = weatherFormats[slices.IndexFunc(weatherFormats, func(f weatherFormat) bool {
		return strings.HasPrefix(s.line(f.line), f.opens)
	})]
	b.w.Format = b.format.name
	headings := b.format.header(b)
	if !s.faults.Empty() {
		return nil, s.faults.Err()
	}
	if err = s.read(headings, maxRows); err != nil {
		return nil, err
	}
	if b.readRows(); s.faults.Empty() {
		b.finish()
	}
	if err = s.faults.Err(); err != nil {
		return nil, err
	}
	return b.w, nil
}

// readMonths reads rows of PARAMETER, perhaps a year, and the months: the means of years
// of months, or a climatology, which has one row a parameter.
func (b *weatherBuilder) readMonths() {
	columns := []column{{name: "PARAMETER", at: -1}}
	for m := range 12 {
		columns = append(columns, column{name: strings.ToUpper(time.Month(m + 1).String()[:3]), at: -1})
	}
	b.plan = filePlan{others: true}
	if !b.findColumns(columns) {
		return
	}
	for _, parameter := range []struct {
		name string
		of   figureOf
	}{{powerSun, global}, {powerTemp, air}} {
		scale := b.scale(parameter.of, parameter.name, b.units[parameter.name], columns[0].at)
		means, counts, rows := make([]float64, 12), [12]int{}, 0
		for _, r := range b.sheet.rows {
			if r.cell(columns[0].at) != parameter.name {
				continue
			}
			rows++
			for m, c := range columns[1:] {
				one := newRow(r.line)
				b.figure(&one, parameter.of, r, c.at, scale, point)
				if v := one.figures[parameter.of]; !math.IsNaN(v) {
					means[m] += v
					counts[m]++
				}
			}
		}
		most := slices.Max(counts[:])
		for m, n := range counts {
			switch month := columns[1+m].name; {
			case rows == 0 && m == 0:
				b.fail(b.heads.line, parameter.name, "the parameter has no row", "", "a row of each of "+powerSun+" and "+powerTemp)
			case rows > 0 && n == 0:
				b.fail(b.heads.line, parameter.name, "no value for "+month, "", "a value for each month")
			case n < most:
				b.warn("%s of %s is missing in %d of %d years: the mean is that of the others", parameter.name, month, most-n, most)
			}
			means[m] /= float64(n)
		}
		if b.w.TempC = means; parameter.of == global {
			b.w.GHI = means
		}
	}
}
