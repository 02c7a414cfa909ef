package energy

import (
	"time"

	"sunrill/data/units"
)

// longestPause returns the longest stretch in which the pump is off by s [h], the
// day taken to repeat, in the months in which it runs at all; 24 where it never
// does. The order within an hour is not kept: of one that is partly off the part
// counts to the stretch before it and to the one after, so that the figure errs
// on the long side, by less than an hour.
func (s Schedule) longestPause() float64 {
	running := s.RunningMonths()
	if running == 0 {
		return hoursPerDay
	}
	longest := 0.0
	for m := time.January; m <= time.December; m++ {
		if !running.Has(m) {
			continue
		}
		run := 0.0
		for h := range 2 * hoursPerDay { // twice, for a stretch over midnight
			off := 0.0
			for _, sp := range s.Spells(m, h%hoursPerDay) {
				if sp.Speed == 0 {
					off += sp.Part
				}
			}
			run += off
			longest = max(longest, run)
			if off < 1 {
				run = off
			}
		}
	}
	return longest
}

// or returns the schedule that runs, at full speed, in every hour in which s or t
// runs. Parts of one hour are taken to overlap.
func (s Schedule) or(t Schedule) Schedule {
	part := func(of Schedule, m time.Month, h int) (on float64) {
		for _, sp := range of.Spells(m, h) {
			if sp.Speed > 0 {
				on += sp.Part
			}
		}
		return on
	}
	out := Schedule{spells: new([12][24][]Spell)}
	for m := time.January; m <= time.December; m++ {
		for h := range hoursPerDay {
			on := max(part(s, m, h), part(t, m, h))
			out.spells[m-1][h] = []Spell{{Speed: 1, Part: on}, {Speed: 0, Part: 1 - on}}
		}
	}
	return out
}

// movedWater is the water that a battery really lets a record's load move.
type movedWater struct {
	PerDay [12]units.Volume // in the mean day of each month; 0 where the record has none of it
	// Still is the longest stretch without any water [h], Short that without all
	// that the pump would move, which hours of stop count to. Hours in which none is
	// asked for count to both: a dull evening before a night that is off anyway is
	// one stop for the pond, not two.
	Still, Short float64
}

// stretch is a run of hours, and the longest so far.
type stretch struct{ run, longest float64 }

func (s *stretch) add(on bool) {
	if s.run++; !on {
		s.run = 0
	}
	s.longest = max(s.longest, s.run)
}

// waterMoved reads r, which has Water, through a battery of wh Wh by o, hour by
// hour. Months outside running are left out of the stretches.
func waterMoved(r Record, scale float64, b Battery, wh float64, o BalanceOptions, running Months) movedWater {
	const rounding = 1e-9 // of an hour's water
	st := newStore(r, scale, b, wh, o)
	if o.Repeat {
		leadIn(&r, []carrier{st})
	}
	st.begin(true)
	var out movedWater
	var still, short stretch
	for i, asked := range r.Water {
		stops, missed := st.log.Hours, st.missed
		st.advance(&r, i, i+1)
		moved := asked - (st.missed - missed)
		m := monthAt(r.Start, i)
		out.PerDay[m] += units.Volume(moved)
		on := running>>m&1 == 1
		still.add(on && moved <= rounding*asked)
		short.add(on && (asked == 0 || st.log.Hours > stops))
	}
	for m, hours := range monthHours(r) {
		if hours > 0 {
			out.PerDay[m] *= units.Volume(hoursPerDay / hours)
		}
	}
	out.Still, out.Short = still.longest, short.longest
	return out
}
