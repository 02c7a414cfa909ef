package supply

import (
	"math"
	"slices"
	"time"

	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/solar"
)

// Record is what a battery goes through, hour after hour; several years are
// simply longer. Load and Water may be those of the first 8760 hours alone: they
// begin anew with every year.
type Record struct {
	Start int       // hour of the year of the first value, 0 to 8759; Start mod 24 is clock time
	Panel []float64 // panel power after the controller, mean of the hour [W]
	Load  []float64 // power asked for at the battery terminals [W]

	BatteryC []float64 // temperature of the battery in the hours of Panel [°C]; nil where not known by the hour
	Water    []float64 // water that the load would move in the hours of Load [m³]; nil where not asked

	// Standby are months off: nothing runs, but what is left on (a controller, an
	// inverter) still draws. The battery carries that, so that they are no month
	// by which a panel is judged.
	Standby plan.MonthSet

	sums *PanelSums // of Panel, where they were asked for before a load was
}

// Hours returns the length of r.
func (r Record) Hours() int { return len(r.Panel) }

// LoadAt returns the power asked for in hour i [W].
func (r Record) LoadAt(i int) float64 { return r.Load[i%len(r.Load)] }

// Asked returns load and water of the hours from lo on, up to hi or to where they
// begin anew; water is nil where r has none.
func (r *Record) Asked(lo, hi int) (load, water []float64) {
	from := lo % len(r.Load)
	to := min(len(r.Load), from+hi-lo)
	if r.Water != nil {
		water = r.Water[from:to]
	}
	return r.Load[from:to], water
}

// In returns r with the load of some months alone.
func (r Record) In(months plan.MonthSet) Record {
	r.Load, r.Water = slices.Clone(r.Load), slices.Clone(r.Water)
	for i := range r.Load {
		if months.Has(time.Month(MonthAt(r.Start, i) + 1)) {
			continue
		}
		if r.Load[i] = 0; r.Water != nil {
			r.Water[i] = 0
		}
	}
	return r
}

// PanelSums are the sums of a record's panel, whatever the load.
type PanelSums struct {
	Sum, Most float64
	Made      [12]float64 // by calendar month [Wh]
	Bright    [][2]int    // stretches with sun, each from an hour up to another

	of []float64 // the panel
}

// Summed returns r with the sums of its panel, for the records of many loads that
// are made of it.
func (r Record) Summed() Record {
	s := r.PanelSums()
	r.sums = &s
	return r
}

// PanelSums returns the sums of the panel.
func (r Record) PanelSums() (s PanelSums) {
	if k := r.sums; k != nil && len(k.of) == len(r.Panel) && &k.of[0] == &r.Panel[0] {
		return *k
	}
	s.of = r.Panel
	r.eachDay(func(month, lo, hi int) {
		made, most := s.Made[month], s.Most
		for _, p := range r.Panel[lo:hi] {
			if made += p; p > most {
				most = p
			}
		}
		s.Made[month], s.Most = made, most
	})
	for _, p := range s.Made {
		s.Sum += p
	}
	s.Bright = make([][2]int, 0, len(r.Panel)/clock.HoursPerDay+1)
	for i, n := 0, len(r.Panel); i < n; i++ {
		if from := i; r.Panel[i] > 0 {
			for i < n && r.Panel[i] > 0 {
				i++
			}
			s.Bright = append(s.Bright, [2]int{from, i})
		}
	}
	return s
}

// eachDay calls visit with the calendar month, 0 to 11, and the hours lo to hi-1 of
// every day of r in turn.
func (r Record) eachDay(visit func(month, lo, hi int)) {
	for lo, n := 0, r.Hours(); lo < n; {
		hi := min(n, lo+clock.HoursPerDay-(r.Start+lo)%clock.HoursPerDay)
		visit(MonthAt(r.Start, lo), lo, hi)
		lo = hi
	}
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
	n, year := len(r.Load), r
	year.Panel = r.Panel[:n]
	year.eachDay(func(month, lo, hi int) {
		for i := lo; i < hi; i++ {
			asked[month] += r.Load[i] * float64((r.Hours()+n-1-i)/n) // as often as the hour comes
		}
	})
	return r.PanelSums().Made, asked
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
	r.eachDay(func(month, lo, hi int) { hours[month] += float64(hi - lo) })
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

// LoadSum returns the energy that the load asks for [Wh].
func (r Record) LoadSum() float64 { return r.whole(r.Load) }

// WaterSum returns the water that the load would move [m³].
func (r Record) WaterSum() float64 { return r.whole(r.Water) }

// whole sums a column that may begin anew with every year.
func (r Record) whole(column []float64) (sum float64) {
	rest := 0.0
	for i, v := range column {
		if i == r.Hours()%len(column) {
			rest = sum
		}
		sum += v
	}
	if len(column) == 0 {
		return 0
	}
	return sum*float64(r.Hours()/len(column)) + rest
}

// DayLoad returns the energy that the load asks for in a mean day [Wh].
func DayLoad(r Record) float64 { return r.LoadSum() / float64(r.Hours()) * clock.HoursPerDay }

// Ratio returns part over whole, 0 where there is no whole.
func Ratio(part, whole float64) float64 {
	if whole == 0 {
		return 0
	}
	return part / whole
}

// Tile repeats a cycle from one of its hours on; it may be that cycle itself.
func Tile(cycle []float64, start, hours int) []float64 {
	if start == 0 && hours <= len(cycle) {
		return cycle[:hours:hours]
	}
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
