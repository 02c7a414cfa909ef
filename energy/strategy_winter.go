package energy

import (
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/still"
)

// darkShare is the sun of the three darkest months over the year's mean below
// which they rule panel and battery, so that standing still through them is
// offered: a stated rule, no source.
const darkShare = 0.5

// darkMonths returns the three consecutive months with the least sun and
// whether they are dark beside the year.
func darkMonths(ghi *[12]float64) (plan.MonthSet, bool) {
	bright, most := brightest(ghi, 9)
	_, year := brightest(ghi, 12)
	return plan.AllYear &^ bright, (year-most)/3 < darkShare*year/12
}

// winter returns the variant that stands still through the three darkest months;
// false where they do not rule, or the plan is off in them already.
func (j *job) winter(i int) (Variant, bool) {
	if j.light == nil {
		return Variant{}, false
	}
	dark, rule := darkMonths(&j.light.Climate.SizingGHI)
	running := j.water.Schedule.RunningMonths()
	if !rule || running&dark == 0 || running&^dark == 0 {
		return Variant{}, false
	}
	off := joined(dark, ^running)
	v := Variant{Name: "off in " + off.String(), Kind: OffInWinter, Pump: i, Speed: j.oneSpeed(),
		Set: func(p *plan.Plan) { p.Run.MonthsOff |= off }}
	for m, days := range data.MonthDays {
		if off.Has(time.Month(m + 1)) {
			v.MonthsOff += float64(days) * clock.HoursPerDay
		}
	}
	return v, true
}

// joined returns the consecutive months of set and those of more that join them
// on either side.
func joined(set, more plan.MonthSet) plan.MonthSet {
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

// winterRisk grades months of standing still. Oxygen by the hour says nothing
// of them.
func (j *job) winterRisk(s *Strategy) still.Risk {
	r := still.Risk{Grade: still.HighRisk, Reasons: []units.Text{
		units.Say("%.0f days still: the filter's bacteria die when it stands and take weeks to come back (common practice, no "+
			"source)", s.MonthsOff/clock.HoursPerDay)}}
	switch j.plan.Pond.Stocking {
	case "none":
		return still.Risk{Grade: still.ModerateRisk, Reasons: r.Reasons}
	case "heavy":
		r.Grade = still.SevereRisk
	}
	r.Reasons = append(r.Reasons, "fish in still water under ice need a hole kept open and air; drain what can freeze")
	return r
}

// stopsTooLong reports whether the plan's own hours risk more than moderately.
func (j *job) stopsTooLong() bool {
	pause := j.water.Schedule.LongestPause()
	if pause <= 0 || !j.out.Rest.Known {
		return false
	}
	m, _ := j.out.Rest.Value.Worst(j.water.Schedule.RunningMonths().Has)
	return still.GradeStop(units.Duration(pause)*units.Hour, m, j.out.Rest.Value).Grade >= still.HighRisk
}
