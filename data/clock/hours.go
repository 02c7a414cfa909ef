package clock

import (
	"fmt"
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// Months is a set of calendar months.
type Months uint16

// AllMonths holds every month.
const AllMonths Months = 1<<12 - 1

// Has reports whether month is in the set.
func (m Months) Has(month time.Month) bool { return m>>(month-1)&1 == 1 }

// minutesPerDay is the resolution of hour bands: whole minutes.
const minutesPerDay = 1440

// Days says on which days of the week a band holds.
type Days int

// The days of a band. The zero value is every day.
const (
	EveryDay Days = iota
	Weekdays      // Monday to Friday
	Weekends      // Saturday and Sunday
)

// HourBand is a stretch of the clock in some months. A band whose end comes
// before its start runs past midnight: from 22 to 6 h it holds the first six
// and the last two hours of each of its days.
type HourBand struct {
	Key    string         // where it was written, for messages, such as "run.2"
	Months Months         // the months it holds in; none set means every month
	Days   Days           // the days of the week it holds on
	From   units.Duration // since midnight
	To     units.Duration // since midnight, up to 24 h
}

// months returns the months of the band.
func (b HourBand) months() Months {
	if b.Months == 0 {
		return AllMonths
	}
	return b.Months
}

// minutes returns the band's ends in whole minutes, or the fault of it.
func (b HourBand) minutes() (from, to int, err error) {
	f, t := b.From.In(units.Minute), b.To.In(units.Minute)
	for _, v := range []float64{f, t} {
		if !(v >= 0 && v <= minutesPerDay) {
			return 0, 0, &data.Error{Key: b.Key, Message: "the hour is not on the clock", Found: units.Sprintf("%g h", v/60), Allowed: "0 to 24"}
		}
	}
	from, to = int(math.Round(f)), int(math.Round(t))
	if from == to {
		return 0, 0, &data.Error{Key: b.Key, Message: "the band is empty", Found: ClockText(from) + " to " + ClockText(to), Allowed: "0 to 24 for the whole day"}
	}
	return from, to, nil
}

// covers reports whether minute i of the day is in a band from one minute to
// another.
func covers(from, to, i int) bool {
	if from < to {
		return i >= from && i < to
	}
	return i >= from || i < to
}

// ClockText writes minutes since midnight as hours and minutes.
func ClockText(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// noBand marks a minute that no band covers.
const noBand = -1

// DayPlan names, for each month and minute of the day, the band that holds.
type DayPlan [12][minutesPerDay]int16

// LayOut returns which band holds when on one kind of day. Bands off the clock,
// empty or overlapping are faults, all reported; each pair that overlaps once.
func LayOut(bands []HourBand, days Days) (*DayPlan, []error) {
	var errs []error
	p := new(DayPlan)
	for m := range p {
		for i := range p[m] {
			p[m][i] = noBand
		}
	}
	for n, b := range bands {
		if b.Days != EveryDay && days != EveryDay && b.Days != days {
			continue
		}
		from, to, err := b.minutes()
		if err != nil {
			errs = append(errs, err)
			continue
		}
		clash := map[int16]bool{}
		for m := range p {
			if !b.months().Has(time.Month(m + 1)) {
				continue
			}
			for i := range p[m] {
				if !covers(from, to, i) {
					continue
				}
				if old := p[m][i]; old != noBand && !clash[old] {
					clash[old] = true
					errs = append(errs, &data.Error{Key: b.Key, Message: fmt.Sprintf("overlaps %s at %s in %s", bands[old].Key, ClockText(i), time.Month(m+1)),
						Found: ClockText(from) + " to " + ClockText(to), Allowed: "bands that do not overlap in any month"})
				}
				p[m][i] = int16(n)
			}
		}
	}
	return p, errs
}

// Gap returns the first stretch of the first month that no band covers.
func (p *DayPlan) Gap() (month time.Month, from, to int, found bool) {
	for m := range p {
		for i := range p[m] {
			if p[m][i] != noBand {
				continue
			}
			end := i
			for end < minutesPerDay && p[m][end] == noBand {
				end++
			}
			return time.Month(m + 1), i, end, true
		}
	}
	return 0, 0, 0, false
}

// share is a part of a clock hour that belongs to one band.
type share struct {
	Band int     // index of the band, or noBand
	Part float64 // of the hour, above 0
}

// Shares returns how the hour that starts at hour is divided among the bands;
// the parts sum to 1.
func (p *DayPlan) Shares(month time.Month, hour int) []share {
	var out []share
	for _, band := range p[month-1][hour*60 : hour*60+60] {
		i := 0
		for i < len(out) && out[i].Band != int(band) {
			i++
		}
		if i == len(out) {
			out = append(out, share{Band: int(band)})
		}
		out[i].Part++
	}
	for i := range out {
		out[i].Part /= 60
	}
	return out
}

// DayEnd is the end of a day on the clock.
const DayEnd = 24 * units.Hour

// HourBands turns a plan's hours and months into bands of the clock.
func HourBands(key string, h plan.Hours, m plan.MonthSet, days Days) []HourBand {
	var out []HourBand
	for _, s := range h.Spans() {
		to := s.To
		if to == 0 {
			to = DayEnd
		}
		out = append(out, HourBand{Key: key, Months: MonthsOf(m), Days: days, From: s.From, To: to})
	}
	return out
}

// MonthsOf returns the months of a plan's set.
func MonthsOf(set plan.MonthSet) Months {
	var m Months
	for i, on := range set {
		if on {
			m |= 1 << i
		}
	}
	return m
}
