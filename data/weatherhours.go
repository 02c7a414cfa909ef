package data

import (
	"fmt"
	"math"
	"slices"
	"time"

	"sunrill/data/units"
)

// A year of this program has no 29 February.
const (
	daysPerYear    = 365
	hoursPerYear   = 24 * daysPerYear
	minutesPerYear = 60 * hoursPerYear
	minutesPerDay  = 24 * 60
)

// Limits of what finish fills, and the hourly peak of a year below which the unit cannot be
// W/m²: even polar and very cloudy places have hours of 400.
const (
	mostMissing    = 0.02 // of a column
	mostMissingRun = 3    // days
	leastPeak      = 100
)

// finish puts the rows in order of hours or days, checks that none is missing
// or double, averages parts of hours and fills short gaps.
func (b *weatherBuilder) finish() {
	if b.w.Step == StepMonth {
		return
	}
	if b.leapDays > 0 {
		b.warn("29 February is left out (%s): years have 365 days", Plural(b.leapDays, "day"))
	}
	if len(b.rows) == 0 {
		b.fail(0, "", "the file has no rows of weather", "", "a year of hours or days")
		return
	}
	b.checkOrder()
	b.checkLength()
	if !b.faults.Empty() {
		return
	}
	b.w.FirstHour = b.rows[0].at % minutesPerYear / 60
	b.columns()
	b.fillGaps()
	if peak := slices.Max(b.w.GHI); b.faults.Empty() && b.w.Step == StepHour && peak < leastPeak {
		b.faults.Add(&Error{File: b.file, Key: "ghi", Message: units.Sprintf("the brightest hour of the record has %.3g W/m2", peak),
			Allowed: "hours in W/m2, which reach several hundred in every year",
			Hint:    "kWh/m2 or MJ/m2 in each hour? Name the unit in the heading, such as ghi (kWh/m2)"})
	}
}

// checkOrder reports rows that do not follow the one before.
func (b *weatherBuilder) checkOrder() {
	const mostTold = 5 // one slip makes many
	if first := b.rows[0]; first.at%minutesPerDay != 0 {
		b.fail(first.line, "", "the record starts within a day", stamp(first.at), "a record that starts with the first hour of a day")
		return
	}
	for i, told := 1, 0; i < len(b.rows) && told < mostTold; i++ {
		was, is := b.rows[i-1].at, b.rows[i].at
		late := is - was - b.step
		ofYear := (late%minutesPerYear + minutesPerYear) % minutesPerYear // 0 to below a year
		if late == 0 || b.format.typical && ofYear == 0 {
			continue
		}
		told++
		e := &Error{File: b.file, Line: b.rows[i].line, Message: "rows are missing before this one", Found: stamp(is),
			Allowed: fmt.Sprintf("the next row after %s, every %d minutes without a gap", stamp(was), b.step)}
		switch {
		case is == was:
			e.Message = "the same time stands twice"
		case ofYear == 0:
			e.Message = "years are missing before this row"
		}
		if b.step == minutesPerDay {
			e.Allowed = "the day after " + stamp(was)
		}
		if ofYear == 60 || ofYear == minutesPerYear-60 {
			e.Hint = "the clock may change to summer time: give standard time all year"
		}
		b.faults.Add(e)
	}
}

// stamp returns where a row's span starts, as text.
func stamp(at int) string {
	start := time.Date(2001, 1, 1, 0, at%minutesPerYear, 0, 0, time.UTC)
	return fmt.Sprintf("%04d-%s", at/minutesPerYear, start.Format("01-02 15:04"))
}

// checkLength refuses records shorter than a year, and typical years that are
// longer.
func (b *weatherBuilder) checkLength() {
	perDay := minutesPerDay / b.step
	n, year := len(b.rows), daysPerYear*perDay
	unit := map[int]string{60: "hours", minutesPerDay: "days"}[b.step]
	if unit == "" {
		unit = fmt.Sprintf("rows of %d minutes", b.step)
	}
	switch {
	case n < year:
		b.fail(b.rows[n-1].line, "", fmt.Sprintf("the file has %d %s, a year has %d", n, unit, year), "", "a whole year or more")
	case b.format.typical && n != year:
		b.fail(b.rows[n-1].line, "", fmt.Sprintf("the file has %d %s, a typical year has %d", n, unit, year), "", "one year")
	}
	if loose := n % perDay; loose > 0 && b.faults.Empty() {
		b.rows = b.rows[:n-loose]
		b.warn("the last day is not whole and is left out")
	}
	if n%year != 0 && b.faults.Empty() {
		b.warn("the record is %.2f years: some months stand in it more often than others", float64(n)/float64(year))
	}
}

// columns moves the rows to columns, parts of hours averaged. An hour with
// less than half of its parts is missing.
func (b *weatherBuilder) columns() {
	parts := 1
	if b.step < 60 {
		parts = 60 / b.step
		b.warn("rows of %d minutes are averaged to hours", b.step)
	}
	n := len(b.rows) / parts
	column := func(of figureOf) []float64 {
		out := make([]float64, n)
		for i := range out {
			sum, count := 0.0, 0
			for k := range parts {
				if v := b.rows[i*parts+k].figures[of]; !math.IsNaN(v) {
					sum, count = sum+v, count+1
				}
			}
			out[i] = math.NaN()
			if 2*count >= parts {
				out[i] = sum / float64(count)
			}
		}
		return out
	}
	b.w.GHI, b.w.TempC = column(global), column(air)
	if b.beam {
		b.w.DNI, b.w.DHI = column(beam), column(diffuse)
	}
	b.rows = nil
}

// fillGaps fills what is missing of each column, or refuses. Beam and diffuse
// that are missing too often are left to the split of the global.
func (b *weatherBuilder) fillGaps() {
	perDay, unit := 24, "hours"
	if b.w.Step == StepDay {
		perDay, unit = 1, "days"
	}
	fill := func(name string, x []float64, must bool) bool {
		missing, run, whole := fillMissing(x, perDay)
		few := whole && float64(missing) <= mostMissing*float64(len(x)) && run <= mostMissingRun*perDay
		switch {
		case missing == 0:
		case few:
			b.warn("assumed: %s is missing in %d of %d %s and was filled with the mean of the neighbouring days", name, missing, len(x),
				unit)
		case must:
			b.fail(0, "", fmt.Sprintf("%s is missing in %d of %d %s, %d in a row", name, missing, len(x), unit, run), "",
				units.Sprintf("up to %g %% and %d days in a row; write 0 where the sun was measured as dark", 100*mostMissing,
					mostMissingRun))
		default:
			b.warn("%s is missing in %d of %d %s: beam and diffuse are split from the global instead", name, missing, len(x), unit)
		}
		return few
	}
	fill("the global irradiance", b.w.GHI, true)
	fill("the temperature", b.w.TempC, true)
	if b.w.DNI != nil && (!fill("the beam", b.w.DNI, false) || !fill("the diffuse", b.w.DHI, false)) {
		b.w.DNI, b.w.DHI = nil, nil
	}
}

// fillMissing gives every missing value of x the mean of the values one, two or three
// days before and after, the nearest on each side. It returns how many were missing,
// the longest run, and whether there was a value near each.
func fillMissing(x []float64, perDay int) (missing, longest int, whole bool) {
	measured := slices.Clone(x)
	run := 0
	whole = true
	for i, v := range measured {
		if !math.IsNaN(v) {
			run = 0
			continue
		}
		missing++
		run++
		longest = max(longest, run)
		sum, n := 0.0, 0
		for _, step := range [2]int{-perDay, perDay} {
			for k := 1; k <= mostMissingRun; k++ {
				if j := i + k*step; j >= 0 && j < len(x) && !math.IsNaN(measured[j]) {
					sum, n = sum+measured[j], n+1
					break
				}
			}
		}
		x[i] = sum / float64(n) // no number where there is none
		whole = whole && n > 0
	}
	return missing, longest, whole
}
