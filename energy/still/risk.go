package still

import (
	"math"
	"strings"

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

// GradeStop returns what a stop of some length risks in pond p, whose rest
// times are t. The bounds are a stated rule, not measurement: up to the early
// low end slight, up to the late one moderate, up to the geometric middle
// between that and fish alone high, beyond it severe. Without fish it ends at
// high. A heavily stocked pond stands one grade higher; a medium one is never
// slight once the water stops for an hour or more.
func GradeStop(stop units.Duration, p PondAtRest, t RestTime) Risk {
	hours := stop.In(units.Hour)
	if hours <= 0 {
		return Risk{SlightRisk, []units.Text{"no stop is planned; a failed part can still stop the water"}}
	}
	r := Risk{Grade: SlightRisk}
	say := func(format string, args ...any) { r.Reasons = append(r.Reasons, units.Say(format, args...)) }
	month := ""
	if p.Month != "" {
		month = " in " + p.Month
	}
	if t.LowEarly.Known {
		early, late := t.LowEarly.Value.In(units.Hour), t.LowLate.Value.In(units.Hour)
		switch {
		case t.High.Known && hours > math.Sqrt(late*t.High.Value.In(units.Hour)):
			r.Grade = SevereRisk
		case hours > late:
			r.Grade = HighRisk
		case hours > early:
			r.Grade = ModerateRisk
		}
		least := float64(p.Rates.Least)
		say("%.1f h still%s; oxygen may fall to %.3g mg/L in %.1f to %.1f h at {%.0f C}", hours, month, least, early, late, t.Water.InCelsius())
	} else {
		say("%.1f h still%s; how long the oxygen lasts is not known: %s", hours, month, t.LowEarly.Why)
		r.Grade = ModerateRisk
	}
	if t.High.Known {
		say("with fish alone drawing on it, which is the kind end, it would take %.0f h", t.High.Value.In(units.Hour))
	}
	switch {
	case p.Stocking == "heavy":
		r.Grade = min(SevereRisk, r.Grade+1)
		say("heavy stocking")
	case p.Stocking == "medium" && hours >= 1:
		r.Grade = max(ModerateRisk, r.Grade)
		say("medium stocking")
	case p.Stocking != "":
		say("%s stocking", strings.Replace(p.Stocking, "none", "no", 1))
	}
	if t.BedEarly.Known && hours > t.BedEarly.Value.In(units.Hour) {
		say("the bed's own water may be without oxygen after %.1f to %.1f h; "+
			"the restart pushes {%.0f L} of it, %.1f %% of the pond, into the pond",
			t.BedEarly.Value.In(units.Hour), t.BedLate.Value.In(units.Hour), t.PoreWater.Value.In(units.Litre), t.PoreShare.Value*100)
	}
	return r
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

// StopCautions returns the lines that go with every figure about a stop.
func StopCautions() []string {
	return []string{
		"Modelled from averages: a warm still night or a failed part can kill sooner.",
		"Watch the fish at dawn: gasping at the surface means air and water now.",
	}
}
