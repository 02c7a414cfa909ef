package supply

import (
	"errors"
	"fmt"
	"math"
	"sort"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
)

// SunRecord is what each watt of panel gives in every hour of a record.
type SunRecord struct {
	Start int       // hour of the year of the first value, 0 to 8759; Start mod 24 is clock time
	Yield []float64 // at its best power, every loss and temperature in it [W/W]
	Share []float64 // the same without temperature: the share of its rated current; nil where no kind needs it
}

// check returns the faults of the record.
func (r SunRecord) check() error {
	var faults data.FaultList
	n := len(r.Yield)
	faults.Want(n >= 24 && n%24 == 0 && r.Start >= 0 && r.Start < solar.HoursPerYear && r.Start%24 == 0, "weather",
		fmt.Sprintf("%d hours from hour %d of the year", n, r.Start), "whole days, from midnight on")
	return faults.Err()
}

// Month returns the month, 0 to 11, of hour i of the record.
func (r SunRecord) Month(i int) int { return MonthAt(r.Start, i) }

// DaylightMonth is what a pump without a battery does in a calendar month,
// means over all years of the record.
type DaylightMonth struct {
	Month     int            `json:"month"`
	PerDay    units.Volume   `json:"water_m3_per_day"` // of a mean day
	Turnovers float64        `json:"turnovers_per_day"`
	Running   units.Duration `json:"running_h"` // of a mean day, counted in hours with any flow
	// Of the stretches without flow that take in a midnight, Night is the time in
	// this month over its nights, and Longest the longest that reaches into it,
	// counted whole but at most as long as the month. So a month in which the pump
	// never runs, or that is off, has 24 h and all its hours.
	Night   units.Duration `json:"still_h"`
	Longest units.Duration `json:"longest_still_h"`
	Days    int            // of the record in this month
}

// DaylightYear is what Run returns.
type DaylightYear struct {
	Months   [12]DaylightMonth `json:"months"`
	PerYear  units.Volume      `json:"water_m3_per_year"` // of 365 days
	Longest  units.Duration    `json:"longest_still_h"`   // stretch without flow over a midnight, months off left out
	Least    int               // month with the least water, 0 to 11, of those that run
	Warnings data.Doubts
}

// Run returns what d moves through the record into a pond, hour by hour. The
// pump must start anew after every hour without flow. Months outside running are
// off. Litres never exceed the hours with sun times the full flow.
func (d *Daylight) Run(r SunRecord, pond units.Volume, running plan.MonthSet) (DaylightYear, error) {
	warn, err := d.Check()
	if err := errors.Join(err, r.check()); err != nil {
		return DaylightYear{}, err
	}
	y := DaylightYear{Warnings: warn}
	flows := y.run(d, r, running)
	y.mean(pond, running)
	y.nights(r, flows, running)
	least := math.Inf(1)
	for i, m := range y.Months {
		if w := float64(m.PerDay); m.Days > 0 && running>>i&1 == 1 && w < least {
			y.Least, least = i, w
		}
	}
	return y, nil
}

// run sums the water and running hours of the months, and returns in which hours of r
// there is any flow.
func (y *DaylightYear) run(d *Daylight, r SunRecord, running plan.MonthSet) []bool {
	flows, on := make([]bool, len(r.Yield)), false
	for day := 0; day < len(flows); day += 24 {
		month := r.Month(day)
		m := &y.Months[month]
		if m.Days++; running>>month&1 == 0 {
			on = false
			continue
		}
		for i := day; i < day+24; i++ {
			yield := r.Yield[i]
			if yield == 0 {
				on = false
				continue
			}
			share := yield
			if r.Share != nil {
				share = r.Share[i]
			}
			q := float64(d.Flow(yield, share, on))
			if on = q > 0; on {
				m.PerDay += units.Volume(q * 3600)
				m.Running += units.Hour
				flows[i] = true
			}
		}
	}
	return flows
}

// mean makes means of the sums of the months.
func (y *DaylightYear) mean(pond units.Volume, running plan.MonthSet) {
	for i := range y.Months {
		m := &y.Months[i]
		m.Month = i + 1
		if m.Days == 0 {
			if running>>i&1 == 1 {
				y.Warnings.Say("weather", "the record has no day in month %d", i+1)
			}
			continue
		}
		m.PerDay /= units.Volume(m.Days)
		m.Running /= units.Duration(m.Days)
		m.Turnovers = float64(m.PerDay / pond)
		y.PerYear += m.PerDay * units.Volume(data.MonthDays[i])
	}
}

// nights fills in the stretches without flow that take in or touch a midnight. One
// that the record, or the end of the running months, cuts short counts as far as
// it goes.
func (y *DaylightYear) nights(r SunRecord, flows []bool, running plan.MonthSet) {
	runs := make([]bool, len(flows)/24+1) // by day
	for day := range len(flows) / 24 {
		runs[day] = running>>r.Month(24*day)&1 == 1
	}
	on := func(i int) bool { return runs[i/24] }
	for start, end := 0, 0; start < len(flows); start = max(end, start+1) {
		for end = start; end < len(flows) && !flows[end] && on(end) == on(start); {
			end++
		}
		if midnight := (start + 23) / 24 * 24; midnight > end {
			continue
		}
		still := units.Duration(end-start) * units.Hour
		for i := start; i < end; {
			month, next := r.Month(i), min(end, i+24-i%24)
			m := &y.Months[month]
			m.Night += units.Duration(next-i) * units.Hour
			m.Longest = max(m.Longest, min(still, units.Duration(data.MonthDays[month])*units.Day))
			i = next
		}
		if on(start) {
			y.Longest = max(y.Longest, still)
		}
	}
	for i := range y.Months {
		y.Months[i].Night /= units.Duration(max(1, y.Months[i].Days))
	}
}

// RideThrough returns the record, ready for a balance with that panel, of a small battery
// that carries the pump through clouds but not through nights: what a watt of panel makes,
// the load at the battery terminals and the water it would move. draw is the running pump's.
//
// The pump is asked to run in as many of each month's best clock hours as
// the month's mean day pays for, with a tenth kept back for losses.
func (r SunRecord) RideThrough(panel units.Power, draw Draw) Record {
	n := len(r.Yield)
	year := min(n, solar.HoursPerYear)
	out := Record{Start: r.Start, Panel: r.Yield, Load: make([]float64, year), Water: make([]float64, year)}
	var mean [12][24]float64
	var days [12]float64
	for day := 0; day < n; day += 24 {
		m := r.Month(day)
		for h, v := range r.Yield[day : day+24] {
			mean[m][h] += v * float64(panel)
			days[m] += 1.0 / 24
		}
	}
	on := bestHours(mean, days, float64(draw.Source))
	for i := range out.Load {
		if on[r.Month(i)][i%24] {
			out.Load[i] = float64(draw.Source)
			out.Water[i] = float64(draw.Duty.Flow) * 3600
		}
	}
	return out
}

// keptBack is the share of a mean day's energy that RideThrough leaves for
// charging losses and duller days (a stated rule, no source).
const keptBack = 0.1

// bestHours returns the clock hours that the energy of each month's mean day
// pays for, the sunniest first.
func bestHours(sum [12][24]float64, days [12]float64, draw float64) (on [12][24]bool) {
	for m := range sum {
		if days[m] == 0 {
			continue
		}
		var order [24]int
		budget := 0.0
		for h := range order {
			order[h] = h
			budget += sum[m][h] / days[m]
		}
		budget *= 1 - keptBack
		sort.SliceStable(order[:], func(i, j int) bool { return sum[m][order[i]] > sum[m][order[j]] })
		for _, h := range order {
			if budget < draw || sum[m][h] == 0 {
				break
			}
			budget -= draw
			on[m][h] = true
		}
	}
	return on
}
