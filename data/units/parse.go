package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Error is a quantity that could not be read.
type Error struct {
	Found   string // the text as it was typed
	Problem string // what is wrong, lower case, no full stop
	Allowed string // a right form and the units taken
}

// Error returns the text, the fault and the units taken on one line.
func (e *Error) Error() string {
	s := e.Problem
	if e.Found != "" {
		s = strconv.Quote(e.Found) + ": " + s
	}
	if e.Allowed != "" {
		s += "; allowed: " + e.Allowed
	}
	return s
}

func fault(k Kind, found, format string, args ...any) *Error {
	e := &Error{Found: found, Problem: fmt.Sprintf(format, args...)}
	switch {
	case k == KindShare:
		e.Allowed = "a share such as 80 % or 0.8"
	case k > 0:
		e.Allowed = k.Phrase() + " such as " + k.Example() + " (units: " + k.Allowed() + ")"
	}
	return e
}

// Parse returns the quantity of kind k that s spells, in the base unit of k
// (see the constants). It takes
//
//	2400 L/h   25mm   1/2 in   1 1/4 in   1-1/4"   2,5 m³/h   -4 °C   1e3 W
//
// and, for lengths and times, units of falling size in a row: 1 h 30 min,
// 5 ft 6 in. A decimal comma is taken unless it may divide thousands. A unit
// is needed, except after a plain 0, which is enough for all but temperature.
// A share is a bare number from -1 to 1 or any percentage. A minus is taken for
// lengths, heads, angles, temperatures and shares. Every result is finite and
// at most 1e15 base units.
// The error is an *Error.
func Parse(k Kind, s string) (float64, error) {
	if k <= 0 || k >= kindPressure {
		panic("units: Parse of no kind")
	}
	if len(s) > longest {
		return 0, fault(k, s[:longest], "the text is too long for a quantity")
	}
	text := strings.TrimSpace(ordinary.Replace(s))
	if text == "" {
		return 0, fault(k, s, "nothing is written")
	}
	var sum, last float64
	var negative bool
	for part := 0; ; part++ {
		v, rest, err := number(k, s, text, part == 0)
		if err != nil {
			return 0, err
		}
		if part == 0 {
			negative = math.Signbit(v)
		}
		rest = strings.TrimSpace(rest)
		if rest == "" {
			if part > 0 {
				return 0, fault(k, s, "the last number has no unit")
			}
			return bare(k, s, v)
		}
		u, rest, err := unitOf(k, s, rest)
		if err != nil {
			return 0, err
		}
		if part > 0 && u.factor >= last {
			return 0, fault(k, s, "the unit after %s must be a smaller one", u.symbol)
		}
		last = u.factor
		b := u.Base(v)
		if negative && part > 0 {
			b = -b
		}
		sum += b
		if text = strings.TrimSpace(rest); text == "" {
			return finish(k, s, sum)
		}
	}
}

// Largest is the size in base units above which a quantity is a slip of the
// keyboard: sums and powers of anything smaller stay finite.
const Largest = 1e15

// longest is the most bytes that a quantity or a heading with its unit can
// have: no honest one comes near, and trying splits of a long one is slow.
const longest = 200

// finish refuses what no computation should start from.
func finish(k Kind, s string, base float64) (float64, error) {
	switch {
	case !(math.Abs(base) <= Largest): // NaN and Inf too
		return 0, fault(k, s, "the number is too large")
	case k == KindTemperature && base < 0:
		return 0, fault(k, s, "the temperature is below absolute zero")
	case base < 0 && !traits[k].signed:
		return 0, fault(k, s, "%s cannot be negative", k.Phrase())
	}
	return base + 0, nil // -0 becomes 0
}

// bare decides on a number that no unit follows.
func bare(k Kind, s string, v float64) (float64, error) {
	written := strings.TrimSpace(s)
	switch {
	case !(math.Abs(v) <= Largest):
		return 0, fault(k, s, "the number is too large")
	case k == KindShare && math.Abs(v) <= 1:
		return v + 0, nil // -0 becomes 0
	case k == KindShare:
		return 0, fault(k, s, "a bare share beyond 1 can be read two ways: write %s %% (a share of %s) or %s %% (%s times the whole)",
			number12(v), number12(v/100), number12(v*100), number12(v))
	case k == KindTemperature:
		return 0, fault(k, s, "a temperature needs its unit: write %s °C or %s °F", written, written)
	case v == 0:
		return 0, nil
	}
	_, unit, _ := strings.Cut(traits[k].example, " ")
	if unit == "" {
		unit = traits[k].home
	}
	if k == KindVolume { // a pond in litres and one in cubic metres look alike
		unit = "L or " + written + " " + unit
	}
	return 0, fault(k, s, "the number has no unit: write for example %s %s", written, unit)
}

// unitOf reads the unit that rest opens with: all of rest, or for kinds that
// are written in several parts, the text before the next number.
func unitOf(k Kind, s, rest string) (Unit, string, error) {
	if u, ok := find(k, rest); ok {
		return u, "", nil
	}
	if k == KindTime || k == KindLength || k == KindHead || k == KindBore {
		for i, r := range rest {
			if i == 0 || !isDigit(r) && vulgar[r] == 0 {
				continue
			}
			if u, ok := find(k, rest[:i]); ok {
				return u, rest[i:], nil
			}
		}
	}
	return Unit{}, "", badUnit(k, s, rest)
}

// badUnit says what is wrong with a unit that kind k does not take.
func badUnit(k Kind, s, text string) error {
	if text == "" {
		return fault(k, s, "no unit is given")
	}
	what := text
	if found := strings.TrimSpace(s); found != "" {
		what = found
	}
	tail, of, gallon := bareGallon(text)
	if gallon && of == k {
		lead := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(ordinary.Replace(s)), text))
		return fault(k, s, "the gallon can be two sizes: write %s for US gallons or %s for imperial ones",
			strings.TrimSpace(lead+" US "+tail), strings.TrimSpace(lead+" imp "+tail))
	}
	if gallon {
		return fault(k, s, "%s is %s; %s is needed", what, traits[of].phrase, k.Phrase())
	}
	if k == KindTime && text[0] == ':' {
		return fault(k, s, "a stopwatch shows minutes:seconds, such as 1:05, with 00 to 59 seconds")
	}
	if k == KindTime && text == "m" {
		return fault(k, s, "m is a metre: write min or month")
	}
	if other, ok := kindOf(text); ok {
		return fault(k, s, "%s is %s; %s is needed", what, traits[other].phrase, k.Phrase())
	}
	if spaced := strings.TrimLeft(text, "0123456789"); spaced != text && (spaced == "" || spaced[0] == ' ') {
		return fault(k, s, "two numbers stand side by side; write thousands without a space")
	}
	return fault(k, s, "%q is not a unit of %s", text, k)
}
