package energy

import (
	"fmt"
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/units"
)

// darkShare is the sun of the three darkest months over the year's mean below
// which they rule panel and battery, so that standing still through them is
// offered: a stated rule, no source.
const darkShare = 0.5

// darkMonths returns the three consecutive months with the least sun and
// whether they are dark beside the year.
func darkMonths(ghi *[12]float64) (Months, bool) {
	sum, least, first := 0.0, math.Inf(1), 0
	for m := range ghi {
		sum += ghi[m]
		if three := ghi[m] + ghi[(m+1)%12] + ghi[(m+2)%12]; three < least {
			least, first = three, m
		}
	}
	var off Months
	for k := range 3 {
		off |= 1 << ((first + k) % 12)
	}
	return off, least/3 < darkShare*sum/12
}

// winter returns the row that stands still through the three darkest months;
// false where they do not rule, or the plan is off in them already.
func (j *job) winter(i int) (Strategy, bool, error) {
	if j.light == nil {
		return Strategy{}, false, nil
	}
	dark, rule := darkMonths(&j.light.Climate.SizingGHI)
	running := j.water.Schedule.RunningMonths()
	if !rule || running&dark == 0 || running&^dark == 0 {
		return Strategy{}, false, nil
	}
	off := joined(dark, ^running)
	row := Strategy{Name: "off in " + monthSpan(off), Kind: OffInWinter, Pump: i}
	if !j.ownHours() {
		row.Speed = 1
	}
	run := j.plan.Run
	for m := time.January; m <= time.December; m++ {
		if off.Has(m) {
			run.MonthsOff[m-1] = true
			row.MonthsOff += float64(data.MonthDays[m-1]) * hoursPerDay
		}
	}
	var err error
	row.schedule, err = ScheduleOf(run)
	return row, err == nil, err
}

// joined returns the consecutive months of set and those of more that join them
// on either side.
func joined(set, more Months) Months {
	for grew := true; grew; {
		grew = false
		for m := range 12 {
			beside := set.Has(time.Month((m+11)%12+1)) || set.Has(time.Month((m+1)%12+1))
			if month := time.Month(m + 1); beside && !set.Has(month) && more.Has(month) {
				set |= 1 << m
				grew = true
			}
		}
	}
	return set
}

// monthSpan words consecutive months, as Nov-Jan.
func monthSpan(set Months) string {
	for m := range 12 {
		if before := time.Month((m+11)%12 + 1); !set.Has(before) && set.Has(time.Month(m+1)) {
			last := m
			for set.Has(time.Month((last+1)%12 + 1)) {
				last++
			}
			return fmt.Sprintf("%.3s-%.3s", time.Month(m+1), time.Month(last%12+1))
		}
	}
	return "all months"
}

// winterRisk grades months of standing still. Oxygen by the hour says nothing
// of them.
func (j *job) winterRisk(s *Strategy) Risk {
	r := Risk{Grade: HighRisk, Reasons: []string{
		units.Sprintf("%.0f days still: the filter's bacteria die when it stands and take weeks to come back (common practice, no source)", s.MonthsOff/hoursPerDay)}}
	switch j.plan.Pond.Stocking {
	case "none":
		return Risk{ModerateRisk, r.Reasons}
	case "heavy":
		r.Grade = SevereRisk
	}
	r.Reasons = append(r.Reasons, "fish in still water under ice need a hole kept open and air; drain what can freeze")
	return r
}
