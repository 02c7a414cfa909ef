package units

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Error is a quantity that could not be read.
type Error struct {
	Kind    Kind
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
	e := &Error{Kind: k, Found: found, Problem: fmt.Sprintf(format, args...)}
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
// A share is a bare number from 0 to 1 or any percentage. A minus is taken for
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
	case k == KindShare && v >= 0 && v <= 1:
		return v + 0, nil // -0 becomes 0
	case k == KindShare && v > 1:
		return 0, fault(k, s, "a bare share above 1 can be read two ways: write %s %% (a share of %s) or %s %% (%s times the whole)",
			number12(v), number12(v/100), number12(v*100), number12(v))
	case k == KindShare:
		return 0, fault(k, s, "a bare share must lie from 0 to 1")
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

// number12 prints v to the 12 digits that String promises.
func number12(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

// vulgar are the fractions that have a sign of their own.
var vulgar = map[rune]float64{
	'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8, '⅓': 1. / 3, '⅔': 2. / 3,
}

// number reads the number that text opens with and returns what follows it.
// The first number of a quantity may have a sign.
func number(k Kind, s, text string, first bool) (v float64, rest string, err error) {
	sign := 1.0
	if first && (text[0] == '-' || text[0] == '+') {
		if text[0] == '-' {
			sign = -1
		}
		text = strings.TrimLeft(text[1:], " ")
	}
	digits, rest := scanDecimal(text)
	if digits == "" {
		for r, part := range vulgar {
			if after, ok := strings.CutPrefix(text, string(r)); ok {
				return sign * part, after, nil
			}
		}
		return 0, "", fault(k, s, "it does not begin with a number")
	}
	if whole(digits) {
		if v, rest, ok, bad := fraction(digits, rest); ok {
			if bad {
				return 0, "", fault(k, s, "the fraction cannot be read")
			}
			return sign * v, rest, nil
		}
	}
	v, err = decimal(digits)
	if err != nil {
		return 0, "", fault(k, s, "%s", err)
	}
	return sign * v, rest, nil
}

// scanDecimal splits off digits with point or comma and an exponent.
func scanDecimal(text string) (digits, rest string) {
	i := 0
	seen := false
	for i < len(text) && (isDigit(rune(text[i])) || text[i] == '.' || text[i] == ',') {
		seen = seen || isDigit(rune(text[i]))
		i++
	}
	if !seen {
		return "", text
	}
	if i < len(text) && (text[i] == 'e' || text[i] == 'E') {
		j := i + 1
		if j < len(text) && (text[j] == '-' || text[j] == '+') {
			j++
		}
		if j < len(text) && isDigit(rune(text[j])) {
			for j < len(text) && isDigit(rune(text[j])) {
				j++
			}
			i = j
		}
	}
	return text[:i], text[i:]
}

func whole(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// fraction reads what may follow a whole number: "/2", " 1/4", "-1/4", "½".
// It reports whether there was a fraction and whether that was a bad one.
func fraction(digits, rest string) (v float64, after string, ok, bad bool) {
	n, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, "", false, false
	}
	trimmed := strings.TrimLeft(rest, " ")
	for r, part := range vulgar {
		if after, ok := strings.CutPrefix(trimmed, string(r)); ok {
			return n + part, after, true, false
		}
	}
	if strings.HasPrefix(rest, "/") {
		d, after := scanDecimal(rest[1:])
		den, err := strconv.ParseFloat(d, 64)
		return n / den, after, true, !whole(d) || err != nil || den == 0
	}
	lead, hyphen := strings.CutPrefix(rest, "-")
	if !hyphen && trimmed == rest {
		return 0, "", false, false
	}
	if !hyphen {
		lead = trimmed
	}
	num, after := scanDecimal(lead)
	if !whole(num) || !strings.HasPrefix(after, "/") {
		return 0, "", false, false
	}
	d, after := scanDecimal(after[1:])
	a, err1 := strconv.ParseFloat(num, 64)
	den, err2 := strconv.ParseFloat(d, 64)
	return n + a/den, after, true, !whole(d) || errors.Join(err1, err2) != nil || a >= den
}

// ParseNumber reads a plain number without a unit: digits with a point or a
// decimal comma, a sign, an exponent. The error is an *Error.
func ParseNumber(s string) (float64, error) {
	text := strings.TrimSpace(ordinary.Replace(s))
	sign := 1.0
	body := text
	if body != "" && (body[0] == '-' || body[0] == '+') {
		if body[0] == '-' {
			sign = -1
		}
		body = body[1:]
	}
	digits, rest := scanDecimal(body)
	if digits == "" || rest != "" {
		e := &Error{Found: s, Problem: "it is not a number", Allowed: "a plain number such as 0.5"}
		if digits != "" {
			if _, unit := kindOf(rest); unit {
				e.Problem = "a plain number is needed, without a unit"
			}
		}
		return 0, e
	}
	v, err := decimal(digits)
	if err != nil {
		return 0, &Error{Found: s, Problem: err.Error(), Allowed: "a plain number such as 0.5"}
	}
	return sign * v, nil
}

// decimal turns digits with at most one point or one comma into a number and
// refuses a comma that may divide thousands.
func decimal(s string) (float64, error) {
	mantissa, _, _ := strings.Cut(strings.ToLower(s), "e")
	points, commas := strings.Count(mantissa, "."), strings.Count(mantissa, ",")
	switch {
	case points+commas > 1:
		return 0, errors.New("write the number without thousands marks and with one decimal mark")
	case commas == 1:
		before, after, _ := strings.Cut(mantissa, ",")
		if MaybeThousands(mantissa) {
			return 0, fmt.Errorf("the comma can be read two ways: write %s%s if it divides thousands or %s.%s if it is the decimal mark",
				before, after, before, after)
		}
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, errors.New("the number is too large")
	}
	return v, nil
}

// MaybeThousands reports whether the one comma or point in s has one to three
// digits before it, not starting with 0, and three after it, as in 1,500.
func MaybeThousands(s string) bool {
	i := strings.IndexAny(s, ",.")
	if i < 1 || i > 3 || s[0] == '0' {
		return false
	}
	return len(s) == i+4 && whole(s[:i]) && whole(s[i+1:])
}
