package data

import (
	"fmt"
	"strconv"
	"strings"
)

// The hours of an EPW file start on line epwFirst, after eight of header.
const (
	epwFirst = 9
	epwCells = 16 // of 35, up to the diffuse
)

// epw reads EnergyPlus weather: fields of each row are year, month, day, hour 1
// to 24 that ends the span, minute, flags, dry bulb; global, beam and diffuse
// in Wh/m² are fields 14 to 16 (EnergyPlus Auxiliary Programs, Weather Data
// format). Years of the rows are those of spliced months and do not count.
func (b *weatherBuilder) epw(text string) {
	b.w.Format, b.w.Typical, b.beam, b.step = "EPW", true, true, 60
	perHour := 1
	eachLine(text, 1, func(n int, line string) bool {
		cells := quotedCells(line)
		switch {
		case n == 1 && len(cells) < 10:
			b.fail(n, "the LOCATION line is too short", line, "name, region, country, source, station, latitude, longitude, time zone, elevation")
		case n == 1:
			b.w.Place = strings.TrimSpace(cells[1])
			b.place(n, cells[6], cells[7], cells[9])
			b.clock(n, cells[8])
		case strings.HasPrefix(line, "DATA PERIODS,"):
			perHour = b.epwPeriods(n, line, cells)
			b.step = 60 / perHour
		}
		return n < epwFirst-1
	})
	if !b.faults.Empty() {
		return
	}
	var cells []string
	b.rows = make([]weatherRow, 0, hoursPerYear*perHour)
	eachLine(text, epwFirst, func(n int, line string) bool {
		cells = splitCells(line, cells, epwCells)
		if len(cells) < epwCells {
			b.fail(n, fmt.Sprintf("the row has %s, EPW has 35", Plural(len(cells), "cell")), line, "a row of an EPW file")
			return !b.tooManyFaults()
		}
		row := weatherRow{line: n}
		hour, minute := 0, 0
		if !b.whole(n, cells[:5], &row.year, &row.month, &row.day, &hour, &minute) {
			return !b.tooManyFaults()
		}
		row.minute = (hour - 1) * 60
		if perHour > 1 { // the minute ends the part of the hour
			row.minute += minute - b.step
		}
		row.t = b.temp(n, cells[6])
		row.ghi = b.sun(n, "global", cells[13], 1, mostHour)
		row.dni = b.sun(n, "beam", cells[14], 1, mostHour)
		row.dhi = b.sun(n, "diffuse", cells[15], 1, mostHour)
		b.add(row)
		return !b.tooManyFaults()
	})
}

// epwPeriods returns the records an hour of the DATA PERIODS line.
func (b *weatherBuilder) epwPeriods(n int, line string, cells []string) int {
	if len(cells) < 3 || strings.TrimSpace(cells[1]) != "1" {
		b.fail(n, "the file holds several periods", line, "one period of a year")
		return 1
	}
	perHour, err := strconv.Atoi(strings.TrimSpace(cells[2]))
	if err != nil || perHour < 1 || perHour > 60 || 60%perHour != 0 {
		b.fail(n, "no such number of records an hour", cells[2], "1, 2, 3, 4, 6, 12 or 60")
		return 1
	}
	return perHour
}

// tmy3Columns are the headings of what is read of a TMY3 file.
var tmy3Columns = [6]string{"Date (MM/DD/YYYY)", "Time (HH:MM)", "GHI (W/m^2)", "DNI (W/m^2)", "DHI (W/m^2)", "Dry-bulb (C)"}

// tmy3 reads NREL's third typical years: the first line is station, name,
// state, time zone, latitude, longitude, elevation; the second the headings;
// times 01:00 to 24:00 end the hour, in standard time (Wilcox & Marion 2008,
// NREL/TP-581-43156).
func (b *weatherBuilder) tmy3(text string) {
	b.w.Format, b.w.Typical, b.beam, b.step = "TMY3", true, true, 60
	station := quotedCells(nthLine(text, 1))
	if len(station) < 7 {
		b.fail(1, "not the station line of a TMY3 file", nthLine(text, 1), "station, name, state, time zone, latitude, longitude, elevation")
		return
	}
	b.w.Place = station[1]
	b.place(1, station[4], station[5], station[6])
	b.clock(1, station[3])
	at := b.tmy3Headings(nthLine(text, 2))
	if !b.faults.Empty() {
		return
	}
	most := 0
	for _, i := range at {
		most = max(most, i)
	}
	var cells []string
	b.rows = make([]weatherRow, 0, hoursPerYear)
	eachLine(text, 3, func(n int, line string) bool {
		cells = splitCells(line, cells, most+1)
		if len(cells) <= most {
			b.fail(n, fmt.Sprintf("the row has %s only", Plural(len(cells), "cell")), line, "a row as the headings say")
			return !b.tooManyFaults()
		}
		row := weatherRow{line: n}
		month, rest, first := strings.Cut(cells[at[0]], "/")
		day, year, second := strings.Cut(rest, "/")
		hours, minutes, colon := strings.Cut(cells[at[1]], ":")
		date := [...]string{month, day, year, hours, minutes}
		hour, minute := 0, 0
		if !first || !second || !colon || !b.whole(n, date[:], &row.month, &row.day, &row.year, &hour, &minute) {
			b.fail(n, "not a date and hour", cells[at[0]]+" "+cells[at[1]], "MM/DD/YYYY and 01:00 to 24:00")
			return !b.tooManyFaults()
		}
		row.minute = (hour-1)*60 + minute
		row.ghi = b.sun(n, "GHI", cells[at[2]], 1, mostHour)
		row.dni = b.sun(n, "DNI", cells[at[3]], 1, mostHour)
		row.dhi = b.sun(n, "DHI", cells[at[4]], 1, mostHour)
		row.t = b.temp(n, cells[at[5]])
		b.add(row)
		return !b.tooManyFaults()
	})
}

// tmy3Headings returns where each of tmy3Columns is.
func (b *weatherBuilder) tmy3Headings(line string) (at [6]int) {
	found, _ := b.headings(2, line)
	for k, name := range tmy3Columns {
		i, ok := found[name]
		if at[k] = i; !ok && found != nil {
			b.faults.Add(&Error{File: b.w.File, Line: 2, Key: name, Message: "the column is missing", Allowed: strings.Join(tmy3Columns[:], ", ")})
		}
	}
	return at
}
