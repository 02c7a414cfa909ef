package supply

import (
	"errors"
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/units"
	"sunrill/solar"
)

// Record is what a battery goes through, hour after hour; several years are
// simply longer. All slices that are not nil have one length.
type Record struct {
	Start int       // hour of the year of the first value, 0 to 8759; Start mod 24 is clock time
	Panel []float64 // panel power after the controller, mean of the hour [W]
	Load  []float64 // power asked for at the battery terminals [W]

	BatteryC []float64 // temperature of the battery [°C]; nil where not known by the hour
	Water    []float64 // water that the load would move in the hour [m³]; nil where not asked

	// Standby are months off: nothing runs, but what is left on (a controller, an
	// inverter) still draws. The battery carries that, so that they are no month
	// by which a panel is judged.
	Standby clock.Months
}

// Hours returns the length of r.
func (r Record) Hours() int { return len(r.Load) }

// Check returns every fault of r that a person can have brought in.
func (r Record) Check() error {
	n := r.Hours()
	if n < clock.HoursPerDay {
		return &data.Error{Key: "series", Message: "a balance needs a day or more", Found: fmt.Sprintf("%d hours", n), Allowed: "24 hours or more, one row an hour"}
	}
	if r.Start < 0 || r.Start >= solar.HoursPerYear {
		return &data.Error{Key: "series", Message: "the first hour lies outside the year", Found: fmt.Sprintf("hour %d", r.Start), Allowed: "0 to 8759"}
	}
	var faults []error
	for _, c := range []struct {
		name    string
		values  []float64
		least   float64
		allowed string
	}{
		{"panel", r.Panel, 0, "a number, 0 or more"}, {"load", r.Load, 0, "a number, 0 or more"},
		{"battery temperature", r.BatteryC, -273.15, "a temperature, such as -5 C"}, {"water", r.Water, 0, "a number, 0 or more"},
	} {
		if c.values == nil && (c.name == "battery temperature" || c.name == "water") {
			continue
		}
		if len(c.values) != n {
			faults = append(faults, &data.Error{Key: "series." + c.name, Message: "the columns differ in length", Found: fmt.Sprintf("%d hours beside %d of load", len(c.values), n), Allowed: "one value for every hour"})
			continue
		}
		for i, v := range c.values {
			if v >= c.least && v <= math.MaxFloat64 {
				continue
			}
			faults = append(faults, &data.Error{Key: "series." + c.name, Message: fmt.Sprintf("hour %d of the record cannot be this", i+1), Found: units.Sprintf("%g", v), Allowed: c.allowed})
			break
		}
	}
	return errors.Join(faults...)
}

// MonthAt returns the calendar month, 0 to 11, of hour i of a record that starts
// at an hour of the year.
func MonthAt(start, i int) int {
	return solar.MonthOf((start + i) / clock.HoursPerDay % solar.DaysPerYear)
}

// WorstMonthRatio returns the least, over the calendar months with a load, of
// the panel's energy over the load's.
func WorstMonthRatio(r Record) float64 {
	made, asked := Judged(r)
	m := WorstMonth(made, asked)
	if m < 0 {
		return math.Inf(1)
	}
	return made[m] / asked[m]
}

// WorstMonth returns the month, 0 to 11, in which least is made of what is
// asked for, -1 where nothing ever is.
func WorstMonth(made, asked [12]float64) int {
	worst := -1
	for m := range asked {
		if asked[m] > 0 && (worst < 0 || made[m]/asked[m] < made[worst]/asked[worst]) {
			worst = m
		}
	}
	return worst
}

// Monthly returns the sums of panel and load by calendar month [Wh].
func Monthly(r Record) (made, asked [12]float64) {
	for i := 0; i < len(r.Panel); {
		m := MonthAt(r.Start, i)
		for end := min(len(r.Panel), i+clock.HoursPerDay-(r.Start+i)%clock.HoursPerDay); i < end; i++ {
			made[m] += r.Panel[i]
			asked[m] += r.Load[i]
		}
	}
	return made, asked
}

// Judged returns the same with nothing asked in the months off.
func Judged(r Record) (made, asked [12]float64) {
	made, asked = Monthly(r)
	for m := range asked {
		if r.Standby>>m&1 == 1 {
			asked[m] = 0
		}
	}
	return made, asked
}

// MonthHours returns the hours that a record has in each calendar month.
func MonthHours(r Record) (hours [12]float64) {
	for i := range r.Load {
		hours[MonthAt(r.Start, i)]++
	}
	return hours
}

// PerDay returns what a panel of some watts makes and what the load asks for in a
// mean day of each calendar month [Wh], 0 for a month that r does not have.
func (r Record) PerDay(panelW float64) (made, asked [12]float64) {
	hours := MonthHours(r)
	made, asked = Monthly(r)
	for m := range hours {
		perDay := clock.HoursPerDay / max(1, hours[m])
		made[m], asked[m] = panelW*made[m]*perDay, asked[m]*perDay
	}
	return made, asked
}

// DayLoad returns the energy that the load asks for in a mean day [Wh].
func DayLoad(r Record) float64 {
	sum := 0.0
	for _, l := range r.Load {
		sum += l
	}
	return sum / float64(r.Hours()) * clock.HoursPerDay
}

// Ratio returns part over whole, 0 where there is no whole.
func Ratio(part, whole float64) float64 {
	if whole == 0 {
		return 0
	}
	return part / whole
}

// Tile repeats a cycle from one of its hours on.
func Tile(cycle []float64, start, hours int) []float64 {
	out := make([]float64, hours)
	for i := 0; i < hours; {
		i += copy(out[i:], cycle[start:])
		start = 0
	}
	return out
}

// Times returns x with every value multiplied.
func Times(x []float64, factor float64) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = factor * v
	}
	return out
}
