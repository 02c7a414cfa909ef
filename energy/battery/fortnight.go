package battery

import (
	"math"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Fortnight is a record's darkest fourteen days as a battery goes through them.
type Fortnight struct {
	Start int // its first hour, counted from 0 in the record
	Hours []FortnightHour

	Month    int          `json:"month"` // on which it begins
	Day      int          `json:"day"`
	Year     int          `json:"year"` // counted from 1
	Days     int          `json:"length_days"`
	SunShare float64      `json:"sun_over_mean_fraction"` // what the panel makes in it over the record's mean fortnight
	Lowest   float64      `json:"lowest_charge_fraction"`
	Stops    int          `json:"stop_h"` // hours in which the load falls short
	Asked    units.Volume `json:"water_asked_m3"`
	Moved    units.Volume `json:"water_moved_m3"`
}

// FortnightHour is one hour of it.
type FortnightHour struct {
	Panel  units.Power // after the controller, before any is spilled
	Load   units.Power // asked for
	Short  units.Power // not delivered
	Charge float64     // at the hour's end, share of capacity
}

// FortnightHours is the length of a Fortnight.
const FortnightHours = 14 * clock.HoursPerDay

// DarkestFortnight returns the fourteen whole days of r in which the panel
// makes least, the first of several, and how battery b of a nominal size goes
// through them. The record's panel is taken times scale. Charge and shortfall
// are those of BalanceOf with the same options. It is false for a record of
// less than fourteen whole days.
func DarkestFortnight(r supply.Record, scale float64, b Battery, nominal units.Energy, o BalanceOptions) (Fortnight, bool) {
	start, ok := Darkest(r)
	if !ok {
		return Fortnight{}, false
	}
	f := Fortnight{Start: start, Days: FortnightHours / clock.HoursPerDay, Lowest: 1, Hours: make([]FortnightHour, FortnightHours)}
	st := newStore(r, scale, b, nominal.In(units.WattHour), o)
	if o.Repeat {
		newLoaded(r, b, nil).trial(scale).reach(st, start)
	} else {
		st.begin(true)
		st.advance(&r, 0, start)
	}
	asked, missed := st.asked, st.missed
	for k := range f.Hours {
		i, before := start+k, st.unmet
		st.advance(&r, i, i+1)
		f.Hours[k] = FortnightHour{
			Panel: units.Power(scale * r.Panel[i]), Load: units.Power(r.LoadAt(i)),
			Short: units.Power(st.unmet - before), Charge: b.charge(st.s, st.cap),
		}
		f.Lowest = min(f.Lowest, f.Hours[k].Charge)
		if f.Hours[k].Short > 0 {
			f.Stops++
		}
	}
	f.Asked, f.Moved = units.Volume(st.asked-asked), units.Volume(st.asked-asked-(st.missed-missed))
	f.date(&r)
	return f, true
}

// date fills in when the fortnight begins and its share of the sun.
func (f *Fortnight) date(r *supply.Record) {
	hour := r.Start + f.Start
	f.Year = hour/solar.HoursPerYear + 1
	day := hour % solar.HoursPerYear / clock.HoursPerDay
	for f.Month = 1; day >= data.MonthDays[f.Month-1]; f.Month++ {
		day -= data.MonthDays[f.Month-1]
	}
	f.Day = day + 1
	f.SunShare = supply.Ratio(total(r.Panel[f.Start:f.Start+FortnightHours]), r.PanelSums().Sum*FortnightHours/float64(len(r.Panel)))
}

// Darkest returns the first hour of the fourteen whole days with the least
// energy from the panel, months off left out.
func Darkest(r supply.Record) (start int, ok bool) {
	first := (clock.HoursPerDay - r.Start%clock.HoursPerDay) % clock.HoursPerDay
	off := func(hour int) bool { return r.Standby>>supply.MonthAt(r.Start, hour)&1 == 1 }
	var days []float64
	for day := first; day+clock.HoursPerDay <= len(r.Panel); day += clock.HoursPerDay {
		days = append(days, total(r.Panel[day:day+clock.HoursPerDay]))
	}
	const fortnight = FortnightHours / clock.HoursPerDay
	least := math.Inf(1)
	for k := 0; k+fortnight <= len(days); k++ {
		day := first + k*clock.HoursPerDay
		if off(day) || off(day+FortnightHours-1) {
			continue
		}
		if made := total(days[k : k+fortnight]); !ok || made < least*(1-1e-9) { // a rounding is no darker day
			least, start, ok = made, day, true
		}
	}
	return start, ok
}

func total(hours []float64) (sum float64) {
	for _, v := range hours {
		sum += v
	}
	return sum
}

// DarkestFortnight returns how the size bought goes through the darkest fourteen
// days of record r, on which it was chosen.
func (c Choice) DarkestFortnight(r supply.Record, b Battery) (Fortnight, bool) {
	return DarkestFortnight(r, c.PanelW, b, WattHours(c.BoughtWh), BalanceOptions{StartCharge: 1, Repeat: true, Connected: true})
}
