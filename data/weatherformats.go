package data

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// epwFirst is the line of the first hour of an EPW file, after eight of header.
const epwFirst = 9

// epwColumns are what is read of the 35 cells of a row of an EPW file, by their place
// (EnergyPlus Auxiliary Programs, Weather Data format). Years of the rows are those of
// spliced months and do not count.
var epwColumns = []weatherColumn{
	{heading: "year", date: "y", at: 0}, {heading: "month", date: "m", at: 1}, {heading: "day", date: "d", at: 2},
	{heading: "hour", date: "h", at: 3},
	{heading: "temperature", holds: air, at: 6}, {heading: "global", holds: global, at: 13, scale: 1},
	{heading: "beam", holds: beam, at: 14, scale: 1}, {heading: "diffuse", holds: diffuse, at: 15, scale: 1},
}

// epw reads EnergyPlus weather. Hours 1 to 24 end the span; the minute ends the part
// of an hour, where there are several.
func (b *weatherBuilder) epw(text string) {
	b.w.Format, b.w.Typical, b.beam, b.step = "EPW", true, true, 60
	layout := weatherLayout{columns: epwColumns, first: epwFirst, width: 35, lead: 60}
	eachLine(text, 1, func(n int, line string) bool {
		cells := quotedCells(line)
		switch {
		case n == 1 && len(cells) < 10:
			b.fail(n, "the LOCATION line is too short", line,
				"name, region, country, source, station, latitude, longitude, time zone, elevation")
		case n == 1:
			b.w.Place = strings.TrimSpace(cells[1])
			b.place(n, cells[6], cells[7], cells[9])
			b.clock(n, cells[8])
		case strings.HasPrefix(line, "DATA PERIODS,"):
			if perHour := b.epwPeriods(n, line, cells); perHour > 1 {
				b.step = 60 / perHour
				layout.lead += b.step
				layout.columns = append(slices.Clone(epwColumns), weatherColumn{heading: "minute", date: "n", at: 4})
			}
		}
		return n < epwFirst-1
	})
	if b.faults.Empty() {
		b.read(text, &layout)
	}
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

// tmy3Columns are what is read of a TMY3 file.
var tmy3Columns = []weatherColumn{
	{heading: "Date (MM/DD/YYYY)", date: "mdy"}, {heading: "Time (HH:MM)", date: "hn"}, {heading: "GHI (W/m^2)", holds: global, scale: 1},
	{heading: "DNI (W/m^2)", holds: beam, scale: 1}, {heading: "DHI (W/m^2)", holds: diffuse, scale: 1}, {heading: "Dry-bulb (C)",
		holds: air},
}

// tmy3 reads NREL's third typical years: the first line is station, name,
// state, time zone, latitude, longitude, elevation; the second the headings;
// times 01:00 to 24:00 end the hour, in standard time (Wilcox & Marion 2008,
// NREL/TP-581-43156).
func (b *weatherBuilder) tmy3(text string) {
	b.w.Format, b.w.Typical, b.beam, b.step = "TMY3", true, true, 60
	station := quotedCells(nthLine(text, 1))
	if len(station) < 7 {
		b.fail(1, "not the station line of a TMY3 file", nthLine(text, 1),
			"station, name, state, time zone, latitude, longitude, elevation")
		return
	}
	b.w.Place = station[1]
	b.place(1, station[4], station[5], station[6])
	b.clock(1, station[3])
	heads := b.heads(2, nthLine(text, 2))
	columns := b.find(2, heads, tmy3Columns)
	if b.faults.Empty() {
		b.read(text, &weatherLayout{columns: columns, first: 3, width: len(heads), lead: 60})
	}
}

// powerSun and powerTemp are the parameters of NASA POWER that have to be there.
const (
	powerSun  = "ALLSKY_SFC_SW_DWN"
	powerTemp = "T2M"
)

// powerColumns are what is read of hours and days of NASA POWER.
var powerColumns = []weatherColumn{
	{heading: "YEAR", date: "y"}, {heading: "MO", date: "m", optional: true}, {heading: "DY", date: "d", optional: true},
	{heading: "DOY", date: "j", optional: true}, {heading: "HR", date: "h", optional: true},
	{heading: powerSun, holds: global}, {heading: powerTemp, holds: air},
	{heading: "ALLSKY_SFC_SW_DNI", holds: beam, optional: true}, {heading: "ALLSKY_SFC_SW_DIFF", holds: diffuse, optional: true},
}

// powerMonths are the headings of monthly values.
var powerMonths = [12]string{"JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC"}

// powerHeader is what the header of a NASA POWER file says.
type powerHeader struct {
	end   int               // line of -END HEADER-
	clock string            // LST or UTC, "" where not said
	unit  map[string]string // of each parameter
}

// power reads a CSV file of NASA POWER, hourly, daily, monthly or climatology,
// from its header: place, clock and units. Hourly rows start at their hour. In
// LST, POWER's clock is the whole-hour zone of the longitude.
func (b *weatherBuilder) power(text string) {
	b.w.Format = "NASA POWER"
	head := b.powerHeader(text)
	if !b.faults.Empty() {
		return
	}
	if head.end == 0 {
		b.fail(1, "the header has no end", "", "a line -END HEADER-")
		return
	}
	n := head.end + 1
	line := nthLine(text, n)
	heads := b.heads(n, line)
	if !b.faults.Empty() {
		return
	}
	is := func(heading string) bool { return slices.Contains(heads, heading) }
	b.step = minutesPerDay
	switch {
	case heads[0] == "PARAMETER":
		b.powerMonthly(text, head, heads)
		return
	case is("HR"):
		b.step = 60
	case !is("DY") && !is("DOY"):
		b.fail(n, "not the headings of a NASA POWER file", line, "YEAR,MO,DY,HR or YEAR,MO,DY or YEAR,DOY or PARAMETER, then the "+
			"parameters")
		return
	default:
		b.w.Step = StepDay
	}
	b.powerClock(head)
	all := slices.Clone(powerColumns)
	if !is("DOY") {
		all[1].optional, all[2].optional = false, false
	}
	columns := b.find(n, heads, all)
	b.beam = b.step == 60 && is("ALLSKY_SFC_SW_DNI") && is("ALLSKY_SFC_SW_DIFF")
	columns = slices.DeleteFunc(columns, func(c weatherColumn) bool { return (c.holds == beam || c.holds == diffuse) && !b.beam })
	for i := range columns {
		if c := &columns[i]; c.date == "" && c.holds != air {
			c.scale = b.powerScale(head, c.heading)
		}
	}
	if b.faults.Empty() {
		b.read(text, &weatherLayout{columns: columns, first: n + 1, width: len(heads), exact: true})
	}
}

// powerHeader reads the lines up to -END HEADER-.
func (b *weatherBuilder) powerHeader(text string) powerHeader {
	head := powerHeader{unit: map[string]string{}}
	located := 0
	var lat, lon, elevation string
	eachLine(text, 1, func(n int, line string) bool {
		line = strings.TrimSpace(line)
		low := strings.ToLower(line)
		switch fields := strings.Fields(line); {
		case strings.HasPrefix(line, "-END HEADER-"):
			head.end = n
			return false
		case strings.HasPrefix(low, "location:") && len(fields) >= 5:
			located, lat, lon = n, after(fields, "latitude"), after(fields, "longitude")
		case strings.HasPrefix(low, "elevation"):
			_, value, _ := strings.Cut(line, "=")
			elevation, _, _ = strings.Cut(strings.TrimSpace(value), " ")
		case strings.HasPrefix(line, "Dates"):
			for _, f := range fields {
				if f == "LST" || f == "UTC" {
					head.clock = f
				}
			}
		case len(fields) > 1:
			if open := strings.LastIndexByte(line, '('); open >= 0 && strings.HasSuffix(line, ")") {
				head.unit[fields[0]] = line[open+1 : len(line)-1]
			}
		}
		return true
	})
	if located == 0 {
		b.fail(1, "the header does not say where", "", "a line Location: Latitude .. Longitude ..")
		return head
	}
	b.place(located, lat, lon, elevation)
	return head
}

// after returns the word after the given one, in any capitals.
func after(fields []string, word string) string {
	for i, f := range fields[:len(fields)-1] {
		if strings.EqualFold(strings.TrimSuffix(f, ":"), word) {
			return fields[i+1]
		}
	}
	return ""
}

// powerClock settles the clock of the rows.
func (b *weatherBuilder) powerClock(head powerHeader) {
	b.w.Clocked = true
	if head.clock == "UTC" {
		if b.w.Step == StepDay && math.Abs(b.w.LonDeg) > 30 {
			b.warn("days are cut at midnight UTC, not at the place's own midnight: dull days are spread over two")
		}
		return
	}
	b.w.UTCOffsetH = math.Round(b.w.LonDeg / 15)
	if head.clock == "" {
		b.warn("assumed: the header names no clock; taken as local solar time (LST)")
	}
}

// powerScale returns the scale of a parameter, or adds a fault.
func (b *weatherBuilder) powerScale(head powerHeader, name string) float64 {
	scale, ok := sunScale(head.unit[name], b.step)
	if !ok {
		b.failOf(name, 1, "the header gives no known unit", head.unit[name], "kW-hr/m^2/day, MJ/m^2/day, Wh/m^2, W/m^2")
	}
	return scale
}

// powerMonthly reads rows of PARAMETER, perhaps a year, and the months: the
// means of years of months, or a climatology, which has one row a parameter.
func (b *weatherBuilder) powerMonthly(text string, head powerHeader, heads []string) {
	b.w.Step = StepMonth
	columns := []weatherColumn{{heading: "PARAMETER"}}
	for _, m := range powerMonths {
		columns = append(columns, weatherColumn{heading: m})
	}
	columns = b.find(head.end+1, heads, columns)
	sun := weatherColumn{heading: powerSun, holds: global, scale: b.powerScale(head, powerSun)}
	if b.faults.Empty() {
		b.w.GHI = b.powerMeans(text, head.end+1, columns, sun)
		b.w.TempC = b.powerMeans(text, head.end+1, columns, weatherColumn{heading: powerTemp, holds: air})
	}
}

// powerMeans returns the means of one parameter by month over the rows below a line.
func (b *weatherBuilder) powerMeans(text string, below int, columns []weatherColumn, parameter weatherColumn) []float64 {
	sums, counts := make([]float64, 12), [12]int{}
	rows := 0
	eachLine(text, below+1, func(n int, line string) bool {
		cells := splitCells(line, nil, allCells)
		if strings.TrimSpace(cells[columns[0].at]) != parameter.heading {
			return true
		}
		rows++
		for m, c := range columns[1:] {
			if c.at >= len(cells) {
				b.fail(n, "the row has "+Plural(len(cells), "cell"), line, "one cell for each heading")
				break
			}
			row := newRow(n)
			b.figure(&row, &parameter, cells[c.at])
			if v := row.figures[parameter.holds]; !math.IsNaN(v) {
				sums[m] += v
				counts[m]++
			}
		}
		return !b.tooManyFaults()
	})
	if rows == 0 {
		b.failOf(parameter.heading, below, "the parameter has no row", "", "a row of each of "+powerSun+" and "+powerTemp)
		return sums
	}
	most := slices.Max(counts[:])
	for m, n := range counts {
		switch {
		case n == 0:
			b.failOf(parameter.heading, below, "no value for "+powerMonths[m], "", "a value for each month")
		case n < most:
			b.warn("%s of %s is missing in %d of %d years: the mean is that of the others", parameter.heading, powerMonths[m], most-n, most)
		}
		sums[m] /= float64(n)
	}
	return sums
}
