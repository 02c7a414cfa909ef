package data

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// powerSun and powerTemp are the parameters of NASA POWER that are read.
const (
	powerSun  = "ALLSKY_SFC_SW_DWN"
	powerTemp = "T2M"
	powerBeam = "ALLSKY_SFC_SW_DNI"
	powerDiff = "ALLSKY_SFC_SW_DIFF"
)

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
	at, width := b.headings(head.end+1, nthLine(text, head.end+1))
	if !b.faults.Empty() {
		return
	}
	first, monthly := at["PARAMETER"]
	_, hourly := at["HR"]
	_, daily := at["DY"]
	_, ofYear := at["DOY"]
	switch {
	case monthly && first == 0:
		b.powerMonthly(text, head, at)
		return
	case hourly:
		b.w.Step, b.step = StepHour, 60
	case daily || ofYear:
		b.w.Step, b.step = StepDay, minutesPerDay
	default:
		b.fail(head.end+1, "not the headings of a NASA POWER file", nthLine(text, head.end+1), "YEAR,MO,DY,HR or YEAR,MO,DY or YEAR,DOY or PARAMETER, then the parameters")
		return
	}
	b.powerClock(head)
	b.powerRows(text, head, at, width)
}

// powerHeader reads the lines up to -END HEADER-.
func (b *weatherBuilder) powerHeader(text string) powerHeader {
	head := powerHeader{unit: map[string]string{}}
	located := 0
	var lat, lon, elevation string
	eachLine(text, 1, func(n int, line string) bool {
		line = strings.TrimSpace(line)
		switch fields := strings.Fields(line); {
		case strings.HasPrefix(line, "-END HEADER-"):
			head.end = n
			return false
		case strings.HasPrefix(strings.ToLower(line), "location:") && len(fields) >= 5:
			located, lat, lon = n, after(fields, "latitude"), after(fields, "longitude")
		case strings.HasPrefix(strings.ToLower(line), "elevation"):
			if _, value, found := strings.Cut(line, "="); found {
				elevation, _, _ = strings.Cut(strings.TrimSpace(value), " ")
			}
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
	switch head.clock {
	case "UTC":
		b.w.UTCOffsetH, b.w.Clocked = 0, true
		if b.w.Step == StepDay && math.Abs(b.w.LonDeg) > 30 {
			b.warn("days are cut at midnight UTC, not at the place's own midnight: dull days are spread over two")
		}
	default:
		b.w.UTCOffsetH, b.w.Clocked = math.Round(b.w.LonDeg/15), true
		if head.clock == "" {
			b.warn("assumed: the header names no clock; taken as local solar time (LST)")
		}
	}
}

// powerScale returns what turns a unit into W/m² (hourly) or kWh/m² a day.
func powerScale(unit string, step Step) (scale float64, ok bool) {
	u := strings.ToLower(strings.NewReplacer(" ", "", "-", "", "^", "", "²", "2").Replace(unit))
	if step == StepHour {
		u = strings.TrimSuffix(strings.TrimSuffix(u, "/hour"), "/hr")
		scale, ok = map[string]float64{"w/m2": 1, "wh/m2": 1, "whr/m2": 1, "kwhr/m2": 1000, "kwh/m2": 1000, "mj/m2": 1000 / 3.6, "mj": 1000 / 3.6}[u]
		return scale, ok
	}
	u = strings.TrimSuffix(u, "/day")
	scale, ok = map[string]float64{"kwhr/m2": 1, "kwh/m2": 1, "mj/m2": 1 / 3.6, "w/m2": 0.024, "whr/m2": 0.001, "wh/m2": 0.001}[u]
	return scale, ok
}

// powerScaleOf returns the scale of a parameter, or adds a fault.
func (b *weatherBuilder) powerScaleOf(head powerHeader, name string) float64 {
	unit, named := head.unit[name]
	scale, ok := powerScale(unit, b.w.Step)
	if named && ok {
		return scale
	}
	b.faults.Add(&Error{File: b.w.File, Line: 1, Key: name, Message: "the header gives no known unit", Found: unit,
		Allowed: "kW-hr/m^2/day, MJ/m^2/day, Wh/m^2, W/m^2"})
	return 1
}

// powerTable is where the columns of hourly or daily rows stand, and what turns
// their sun into W/m² or kWh/m² a day.
type powerTable struct {
	at                 map[string]int
	date               []string // the columns of the date, the year first
	sun, beam, diffuse float64
	most               float64 // more than any sun of the step
}

// powerRows reads hourly or daily rows.
func (b *weatherBuilder) powerRows(text string, head powerHeader, at map[string]int, width int) {
	table := b.powerTable(head, at)
	if !b.faults.Empty() {
		return
	}
	var cells []string
	eachLine(text, head.end+2, func(n int, line string) bool {
		cells = splitCells(line, cells, allCells)
		if len(cells) != width {
			b.fail(n, fmt.Sprintf("the row has %s under %s", Plural(len(cells), "cell"), Plural(width, "heading")), line, "one cell for each heading")
		} else {
			b.powerRow(n, cells, &table)
		}
		return !b.tooManyFaults()
	})
}

// powerTable finds the columns and settles their scales.
func (b *weatherBuilder) powerTable(head powerHeader, at map[string]int) powerTable {
	table := powerTable{at: at, date: []string{"YEAR", "MO", "DY"}, most: mostDay}
	if _, ok := at["DOY"]; ok {
		table.date = []string{"YEAR", "DOY"}
	}
	if b.w.Step == StepHour {
		table.date, table.most = append(table.date, "HR"), mostHour
	}
	for _, name := range append([]string{powerSun, powerTemp}, table.date...) {
		if _, ok := at[name]; !ok {
			b.faults.Add(&Error{File: b.w.File, Line: head.end + 1, Key: name, Message: "the column is missing",
				Allowed: "YEAR, MO and DY or DOY, HR where hourly, " + powerSun + ", " + powerTemp})
		}
	}
	table.sun = b.powerScaleOf(head, powerSun)
	_, hasBeam := at[powerBeam]
	_, hasDiffuse := at[powerDiff]
	if b.beam = b.w.Step == StepHour && hasBeam && hasDiffuse; b.beam {
		table.beam, table.diffuse = b.powerScaleOf(head, powerBeam), b.powerScaleOf(head, powerDiff)
	}
	return table
}

// powerRow reads line n.
func (b *weatherBuilder) powerRow(n int, cells []string, table *powerTable) {
	row, hour := weatherRow{line: n, dni: math.NaN(), dhi: math.NaN()}, 0
	fields := []*int{&row.year, &row.month, &row.day, &hour}
	ofYear := table.date[1] == "DOY"
	if ofYear {
		fields = []*int{&row.year, &row.day, &hour}
	}
	for i, name := range table.date {
		at := table.at[name]
		if !b.whole(n, cells[at:at+1], fields[i]) {
			return
		}
	}
	if ofYear {
		row.month, row.day = monthAndDay(row.year, row.day)
	}
	row.minute = 60 * hour
	row.ghi = b.sun(n, powerSun, cells[table.at[powerSun]], table.sun, table.most)
	row.t = b.temp(n, cells[table.at[powerTemp]])
	if b.beam {
		row.dni = b.sun(n, powerBeam, cells[table.at[powerBeam]], table.beam, table.most)
		row.dhi = b.sun(n, powerDiff, cells[table.at[powerDiff]], table.diffuse, table.most)
	}
	b.add(row)
}

// monthAndDay returns the date of day n, from 1, of a year; month 0 where the
// year has no such day.
func monthAndDay(year, n int) (month, day int) {
	t := time.Date(year, time.January, n, 0, 0, 0, 0, time.UTC)
	if n < 1 || t.Year() != year {
		return 0, n
	}
	return int(t.Month()), t.Day()
}

// powerMonths are the headings of monthly values.
var powerMonths = [12]string{"JAN", "FEB", "MAR", "APR", "MAY", "JUN", "JUL", "AUG", "SEP", "OCT", "NOV", "DEC"}

// powerMonthly reads a monthly or climatology file: rows of a parameter, one a
// year or one in all, with a column a month. Years are averaged.
func (b *weatherBuilder) powerMonthly(text string, head powerHeader, at map[string]int) {
	b.w.Step, b.w.Typical = StepMonth, true
	for _, m := range powerMonths {
		if _, ok := at[m]; !ok {
			b.faults.Add(&Error{File: b.w.File, Line: head.end + 1, Key: m, Message: "the column is missing", Allowed: "PARAMETER, YEAR where monthly, JAN to DEC"})
		}
	}
	scale := b.powerScaleOf(head, powerSun)
	if !b.faults.Empty() {
		return
	}
	sums, counts := map[string]*[12]float64{powerSun: {}, powerTemp: {}}, map[string]*[12]int{powerSun: {}, powerTemp: {}}
	eachLine(text, head.end+2, func(n int, line string) bool {
		cells := splitCells(line, nil, allCells)
		name := strings.TrimSpace(cells[at["PARAMETER"]])
		sum := sums[name]
		if sum == nil {
			return true
		}
		for m, heading := range powerMonths {
			if at[heading] >= len(cells) {
				b.fail(n, "the row is short", line, "one cell for each heading")
				break
			}
			v := 0.0
			if name == powerSun {
				v = b.sun(n, name, cells[at[heading]], scale, mostDay)
			} else {
				v = b.temp(n, cells[at[heading]])
			}
			if !math.IsNaN(v) {
				sum[m] += v
				counts[name][m]++
			}
		}
		return !b.tooManyFaults()
	})
	b.w.GHI, b.w.TempC = b.monthlyMeans(powerSun, sums, counts), b.monthlyMeans(powerTemp, sums, counts)
}

// monthlyMeans returns the means of one parameter.
func (b *weatherBuilder) monthlyMeans(name string, sums map[string]*[12]float64, counts map[string]*[12]int) []float64 {
	means := make([]float64, 12)
	most := slices.Max(counts[name][:])
	for m, n := range counts[name] {
		if 0 < n && n < most {
			b.warn("%s of %s is missing in %d of %d years: the mean is that of the others", name, powerMonths[m], most-n, most)
		}
		if n == 0 {
			b.faults.Add(&Error{File: b.w.File, Key: name, Message: "no value for " + powerMonths[m], Allowed: "a value for each month"})
			continue
		}
		means[m] = sums[name][m] / float64(n)
	}
	return means
}
