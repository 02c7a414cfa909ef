package battery

import (
	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// movedWater is the water that a battery really lets a record's load move.
type movedWater struct {
	PerDay [12]units.Volume // in the mean day of each month; 0 where the record has none of it
	// Still is the longest stretch without any water [h], Short that without all
	// that the pump would move, which hours of stop count to, each by the month in which
	// it begins. Hours in which none is asked for count to both: a dull evening before a
	// night that is off anyway is one stop for the pond, not two.
	Still, Short [12]float64
}

// stretch is a run of hours, and the longest so far of those that began in each month.
type stretch struct {
	run, month int
	longest    [12]float64
}

func (s *stretch) add(month int, on bool) {
	if !on {
		s.run = 0
		return
	}
	if s.run++; s.run == 1 {
		s.month = month
	}
	s.longest[s.month] = max(s.longest[s.month], float64(s.run))
}

// WaterMoved returns what r, which has Water, really moves through a battery of wh Wh
// by o. Months outside running are left out of the stretches.
func WaterMoved(r supply.Record, scale float64, b Battery, wh float64, o BalanceOptions, running plan.MonthSet) movedWater {
	const rounding = 1e-9 // of an hour's water
	st := newStore(r, scale, b, wh, o)
	if o.Repeat {
		newLoaded(r, b, nil).trial(scale).reach(st, 0)
	} else {
		st.begin(true)
	}
	var day []missedHour
	st.noted = &day
	var out movedWater
	var still, short stretch
	for lo := 0; lo < r.Hours(); {
		_, water := r.Asked(lo, min(r.Hours(), lo+clock.HoursPerDay-(r.Start+lo)%clock.HoursPerDay))
		day = day[:0]
		st.advance(&r, lo, lo+len(water))
		stops := day
		m := supply.MonthAt(r.Start, lo)
		on := running>>m&1 == 1
		for i, asked := range water {
			moved, stopped := asked, len(stops) > 0 && stops[0].hour == lo+i
			if stopped {
				moved -= stops[0].water
				stops = stops[1:]
			}
			out.PerDay[m] += units.Volume(moved)
			still.add(m, on && moved <= rounding*asked)
			short.add(m, on && (asked == 0 || stopped))
		}
		lo += len(water)
	}
	for m, hours := range supply.MonthHours(r) {
		if hours > 0 {
			out.PerDay[m] *= units.Volume(clock.HoursPerDay / hours)
		}
	}
	out.Still, out.Short = still.longest, short.longest
	return out
}
