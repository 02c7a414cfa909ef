package document

import (
	"math"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// Digits of a figure as people say it: in brief, so close that it tells two figures apart
// that are alike in brief, and in brief but never longer than it is.
const (
	brief  = -1
	closer = -2
	sooner = -3
)

// Brief returns v as people say it: with two digits, a time in hours and minutes or
// halves, money with three digits, a share that is next to nothing in words.
func (u Unit) Brief(v any) Quantity { return Quantity{Value: u.number(v), Unit: u, Digits: brief} }

// Close returns v with three digits at most, a time to the minute.
func (u Unit) Close(v any) Quantity { return Quantity{Value: u.number(v), Unit: u, Digits: closer} }

// AtLeast returns a time in brief that is no longer than v: what it leaves is to be acted in.
func (u Unit) AtLeast(v any) Quantity { return Quantity{Value: u.number(v), Unit: u, Digits: sooner} }

// BriefBeside returns v as Brief does, but closer where it would read as other does,
// which it is held against.
func (u Unit) BriefBeside(v, other any) Quantity {
	q, beside := u.Brief(v), u.Brief(other)
	if q.Value != beside.Value && q.in(units.Metric, Clean) == beside.in(units.Metric, Clean) {
		return u.Close(v)
	}
	return q
}

// spoken returns q as people say it, with its unit.
func (q Quantity) spoken(system units.System, clean func(string) string) string {
	const least = 0.005    // of a share: less is next to nothing
	digits := 1 - q.Digits // 2 or 3
	switch {
	case q.Unit.money():
		return strings.TrimPrefix(clean(q.Unit.Symbol)+HardSpace+spokenMoney(q.Value), HardSpace)
	case q.Unit == Hours && q.Digits == sooner:
		step := 0.5
		if q.Value < 2 {
			step = 1.0 / 12
		}
		return spokenHours(max(math.Floor(q.Value/step)*step, min(q.Value, step)), false)
	case q.Unit == Hours:
		return spokenHours(q.Value, q.Digits == closer)
	case q.Unit == Years && q.Value < 1:
		return strconv.Itoa(int(math.Ceil(12*q.Value))) + HardSpace + "months"
	case q.Unit == Fraction && q.Value < least && q.Digits == brief:
		return "hardly any"
	}
	// Whole figures without the zeros that two digits give to a small one: 4 years.
	figure := trimZeros(q.Unit.Figure(q.Value, system, digits))
	return strings.TrimSuffix(figure+HardSpace+q.Unit.ShownSymbol(system), HardSpace)
}

// spokenMoney returns a sum with three digits, without cents from 10 on.
func spokenMoney(v float64) string {
	switch size := math.Abs(v); {
	case size < 9.995:
		return units.Sprintf("%.2f", v)
	case size < 99.5:
		return units.Sprintf("%.0f", v)
	}
	s := formatNumber(v, 3)
	if digits := len(strings.TrimPrefix(s, "-")); digits > 4 && !strings.ContainsAny(s, "e.") {
		for at := len(s) - 3; at > len(s)-digits; at -= 3 {
			s = s[:at] + HardSpace + s[at:]
		}
	}
	return s
}

// spokenHours returns a time of h hours as people say it: in seconds below a minute, in minutes, in hours and
// minutes, in halves of an hour where that is near enough, in whole hours from ten on,
// in days from two on. To the minute says what would read alike.
func spokenHours(h float64, toTheMinute bool) string {
	const (
		near      = 0.05 // how far a half may lie off; a rule of our own
		wholeFrom = 10
		daysFrom  = 48
	)
	minutes := math.Round(60 * h)
	if step := 5.0; !toTheMinute && minutes >= 2*step {
		minutes = math.Round(60*h/step) * step
	}
	half := math.Round(2*h) / 2
	switch {
	case h > 0 && 60*h < 1:
		return strconv.Itoa(int(3600*h)) + HardSpace + "s"
	case h >= daysFrom:
		return halves(math.Round(h/12)/2) + HardSpace + "days"
	case toTheMinute:
	case h >= wholeFrom-0.25:
		return formatNumber(math.Round(h), 2) + HardSpace + "h"
	case h > 0.9 && math.Abs(half-h) <= near*h:
		return halves(half) + HardSpace + "h"
	}
	whole, rest := int(minutes)/60, int(minutes)%60
	var parts []string
	if whole > 0 {
		parts = []string{strconv.Itoa(whole), "h"}
	}
	if rest > 0 || whole == 0 {
		parts = append(parts, strconv.Itoa(rest), "min")
	}
	return strings.Join(parts, HardSpace)
}

// halves returns a number of halves, above ten as a whole one of two digits.
func halves(v float64) string {
	switch whole := math.Floor(v); {
	case v >= 10:
		return formatNumber(math.Round(v), 2)
	case v == whole:
		return strconv.Itoa(int(whole))
	default:
		return strings.TrimPrefix(strconv.Itoa(int(whole))+"½", "0")
	}
}
