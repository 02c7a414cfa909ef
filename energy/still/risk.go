package still

import (
	"time"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// Grade is how much a stop risks. There is no grade for none.
type Grade int

// The grades.
const (
	SlightRisk Grade = iota + 1
	ModerateRisk
	HighRisk
	SevereRisk
)

// String returns the grade in a word.
func (g Grade) String() string {
	return [...]string{"not graded", "slight", "moderate", "high", "severe"}[g]
}

// Risk is a graded stop with its reasons, the weightiest first.
type Risk struct {
	Grade   Grade
	Reasons []units.Text
}

// Figure returns the grade with its reasons beside it.
func (r Risk) Figure() figure.Maybe[Grade] {
	why := units.Text("")
	for i, reason := range r.Reasons {
		if i > 0 {
			why += "; "
		}
		why += reason
	}
	return figure.Maybe[Grade]{Value: r.Grade, Known: true, Why: why}
}

// GradeStop returns what a stop of some length that begins in month m risks, and why.
func GradeStop(stop units.Duration, m StandingMonth, t StandingTimes) Risk {
	hours := stop.In(units.Hour)
	if hours <= 0 {
		return Risk{SlightRisk, []units.Text{"no stop is planned; a failed part can still stop the water"}}
	}
	r := Risk{Grade: m.GradeOf(stop)}
	say := func(format string, args ...any) { r.Reasons = append(r.Reasons, units.Say(format, args...)) }
	five, half := m.Dusk.Five, m.Dusk.FiveHalf
	switch {
	case five.Known && half.Known:
		say("%.1f h still in %v; the oxygen is down to 5 mg/L after %.1f h in one case of ten, after %.1f h in one of two",
			hours, m.Month, five.Value.In(units.Hour), half.Value.In(units.Hour))
	case five.Known:
		say("%.1f h still in %v; the oxygen is down to 5 mg/L after %.1f h in one case of ten", hours, m.Month, five.Value.In(units.Hour))
	default:
		say("%.1f h still in %v; %s", hours, m.Month, five.Why)
	}
	if t.PoreWater.Known && hours > stillBed/2 {
		say("the bed's own water may be without oxygen; the restart pushes {%.0f L} of it, %.1f %% of the pond, into the pond",
			t.PoreWater.Value.In(units.Litre), t.PoreShare.Value*100)
	}
	return r
}

// GradeYear returns what the longest stops [h] that begin in each month risk, the worst of
// the months that in holds.
func GradeYear(hours [12]float64, in func(time.Month) bool, t StandingTimes) Risk {
	longest := func(m StandingMonth) units.Duration { return units.Duration(hours[max(1, m.Month)-1]) * units.Hour }
	worst, _ := t.Worst(in)
	grade := worst.GradeOf(longest(worst))
	for _, m := range t.Months {
		if !in(m.Month) {
			continue
		}
		if g := m.GradeOf(longest(m)); g > grade || longest(worst) == 0 && longest(m) > 0 {
			worst, grade = m, g
		}
	}
	return GradeStop(longest(worst), worst, t)
}

// Lacks returns the month whose pause [h], from dusk, goes the most beyond what the one draw of
// ten has air for, and that pause; 0 where none does.
func (t StandingTimes) Lacks(pause func(time.Month) float64) (worst StandingMonth, longest units.Duration) {
	over := units.Duration(0)
	for _, m := range t.Months {
		stop := units.Duration(pause(m.Month)) * units.Hour
		if five := m.Dusk.Five; five.Known && stop-five.Value > over {
			worst, longest, over = m, stop, stop-five.Value
		}
	}
	return worst, longest
}

// StopAdvice returns what to do about a stop, in the order it should be done:
// keep the water moving slowly, then air, and savings only after both.
func StopAdvice(canSlow, hasAir bool) []string {
	var a []string
	if canSlow {
		a = append(a, "run slowly through the night before stopping at all: a slow flow keeps bed and pond supplied")
	} else {
		a = append(a, "this pump cannot be slowed: a smaller pump through the night is safer than a stop")
	}
	if hasAir {
		a = append(a, "run the air pump through every hour of a stop, and an hour past the restart")
	} else {
		a = append(a, "if the water must stop, give the pond an air pump first")
	}
	return append(a,
		"restart in daylight with air on: the first water from the bed is poor in oxygen",
		"count the saving only after these are settled")
}
