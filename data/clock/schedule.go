// Package clock holds the schedule of a speed over a year of 365 days, and what it asks
// for hour by hour.
package clock

import (
	"cmp"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// Spell is a part of a clock hour at one speed.
type Spell struct {
	Speed float64
	Part  float64 // of the hour; the parts of an hour sum to 1
}

// Schedule is the speed in every clock hour of the mean day of each month. The
// zero value is off all year.
type Schedule struct {
	spells *[12][24][2]Spell
}

// LeastSpeed is the lowest speed that a plan may ask for.
const LeastSpeed = 0.1

// ScheduleOf returns the schedule of a plan. Of bands that overlap, which Check of the
// plan refuses, the first holds.
func ScheduleOf(r plan.Run) Schedule {
	s := Schedule{spells: new([12][24][2]Spell)}
	for m := range s.spells {
		for h := range s.spells[m] {
			first, second := r.SpeedAt(m, 2*h), r.SpeedAt(m, 2*h+1)
			if s.spells[m][h] = [2]Spell{{first, 1}}; first != second {
				s.spells[m][h] = [2]Spell{{first, 0.5}, {second, 0.5}}
			}
		}
	}
	return s
}

// Spells returns how the clock hour that starts at hour is divided among
// speeds in month.
func (s Schedule) Spells(month time.Month, hour int) []Spell {
	if s.spells == nil {
		return []Spell{{Speed: 0, Part: 1}}
	}
	two := &s.spells[month-1][hour]
	if two[1].Part == 0 {
		return two[:1]
	}
	return two[:]
}

// SpeedHours is how long a speed is held.
type SpeedHours struct {
	Speed float64
	Hours float64
}

// Hours returns the hours of the 365-day year at each speed, off included,
// the slowest first. They sum to 8,760.
func (s Schedule) Hours() (all []SpeedHours) {
	for m := time.January; m <= time.December; m++ {
		all = s.hold(all, m, float64(data.MonthDays[m-1]))
	}
	return all
}

// Day returns the hours of the mean day of month at each speed above 0, the slowest first.
func (s Schedule) Day(month time.Month) []SpeedHours {
	all := s.hold(nil, month, 1)
	if all[0].Speed == 0 {
		return all[1:]
	}
	return all
}

// hold adds the hours of days of month to all, which is in order of speed.
func (s Schedule) hold(all []SpeedHours, month time.Month, days float64) []SpeedHours {
	for h := range HoursPerDay {
		for _, sp := range s.Spells(month, h) {
			i, held := slices.BinarySearchFunc(all, sp.Speed, func(h SpeedHours, speed float64) int { return cmp.Compare(h.Speed, speed) })
			switch {
			case held:
				all[i].Hours += sp.Part * days
			case sp.Part > 0:
				all = slices.Insert(all, i, SpeedHours{sp.Speed, sp.Part * days})
			}
		}
	}
	return all
}

// on returns the part of a clock hour in which the speed is above 0.
func (s Schedule) on(month time.Month, hour int) (part float64) {
	for _, sp := range s.Spells(month, hour) {
		if sp.Speed > 0 {
			part += sp.Part
		}
	}
	return part
}

// RunningMonths returns the months with any hour on.
func (s Schedule) RunningMonths() (set plan.MonthSet) {
	for m := time.January; m <= time.December; m++ {
		for h := range HoursPerDay {
			if s.on(m, h) > 0 {
				set |= 1 << (m - 1)
			}
		}
	}
	return set
}

// MonthlyHours is the energy drawn in each clock hour of the mean day of each
// month [kWh], which is also the mean power in that hour [kW].
type MonthlyHours [12][24]float64

// PerDay returns the energy of the mean day of month.
func (u MonthlyHours) PerDay(month time.Month) units.EnergyPerDay {
	sum := 0.0
	for _, e := range u[month-1] {
		sum += e
	}
	return units.EnergyPerDay(units.Energy(sum) * units.KilowattHour)
}

// PerYear returns the energy of the 365-day year.
func (u MonthlyHours) PerYear() (sum units.EnergyPerYear) {
	for m, days := range data.MonthDays {
		sum += units.EnergyPerYear(u.PerDay(time.Month(m+1))) * units.EnergyPerYear(days)
	}
	return sum
}

// Watts returns the mean power of each hour of the 365-day year [W], from
// midnight on 1 January by the clock of the schedule.
func (u MonthlyHours) Watts() []float64 {
	out := make([]float64, 0, 8760)
	for m := range u {
		for range data.MonthDays[m] {
			for _, e := range u[m] {
				out = append(out, e*1000)
			}
		}
	}
	return out
}

// Pause returns the longest stretch of a month in which the pump is off by s [h], the day
// taken to repeat, 24 where it never runs then. The order within an hour is not kept: of one
// that is partly off the part counts to the stretch before it and to the one after, so that
// the figure errs on the long side, by less than an hour.
func (s Schedule) Pause(m time.Month) (longest float64) {
	run := 0.0
	for h := range 2 * HoursPerDay { // twice, for a stretch over midnight
		off := 1 - s.on(m, h%HoursPerDay)
		run += off
		longest = max(longest, run)
		if off < 1 {
			run = off
		}
	}
	return min(longest, HoursPerDay)
}

// LongestPause returns the longest of the months in which the pump runs at all; 24 where
// it never does.
func (s Schedule) LongestPause() (longest float64) {
	running := s.RunningMonths()
	for m := time.January; m <= time.December; m++ {
		if running == 0 || running.Has(m) {
			longest = max(longest, s.Pause(m))
		}
	}
	return longest
}

// Or returns the schedule that runs, at full speed, in every hour in which s or t
// runs. Parts of one hour are taken to overlap.
func (s Schedule) Or(t Schedule) Schedule {
	out := Schedule{spells: new([12][24][2]Spell)}
	for m := time.January; m <= time.December; m++ {
		for h := range HoursPerDay {
			on := max(s.on(m, h), t.on(m, h))
			out.spells[m-1][h] = [2]Spell{{Speed: 1, Part: on}, {Speed: 0, Part: 1 - on}}
		}
	}
	return out
}

// Slows reports whether a schedule runs at less than full speed in any hour.
func (s Schedule) Slows() bool {
	return slices.ContainsFunc(s.Hours(), func(h SpeedHours) bool { return h.Speed > 0 && h.Speed < 1 })
}

// DaysByMonth returns the energy of the mean day of each month [Wh].
func (u MonthlyHours) DaysByMonth() (wh [12]float64) {
	for m := range wh {
		wh[m] = u.PerDay(time.Month(m + 1)).WattHours()
	}
	return wh
}

// HoursPerDay is the length of a day [h].
const HoursPerDay = 24
