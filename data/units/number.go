package units

import (
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// number12 prints v to the 12 digits that String promises.
func number12(v float64) string { return Sprintf("%g", v) }

// Sprintf is fmt.Sprintf for sentences: zero has no sign, and %g prints 12 digits
// where no fewer are asked for, without an exponent from 1e-6 to below 1e12.
func Sprintf(format string, args ...any) string { return fmt.Sprintf(format, figures(args)...) }

// Errorf is fmt.Errorf with numbers as Sprintf prints them.
func Errorf(format string, args ...any) error { return fmt.Errorf(format, figures(args)...) }

func figures(args []any) []any {
	out := slices.Clone(args)
	for i, a := range args {
		if v := reflect.ValueOf(a); v.Kind() == reflect.Float64 {
			out[i] = figure{v.Float(), a}
		}
	}
	return out
}

// figure is a number in a sentence, with the quantity it was given as.
type figure struct {
	value float64
	as    any
}

// Format prints f.
func (f figure) Format(s fmt.State, verb rune) {
	layout := fmt.FormatString(s, verb)
	if verb != 'g' && verb != 'f' {
		_, _ = fmt.Fprintf(s, layout, f.as) // fmt keeps what it is given
		return
	}
	if _, set := s.Precision(); verb == 'g' && !set {
		layout = strings.TrimSuffix(layout, "g") + ".12g"
	}
	text := fmt.Sprintf(layout, f.value)
	if strings.Contains(text, "e") {
		if rounded, _ := strconv.ParseFloat(text, 64); 1e-6 <= math.Abs(rounded) && math.Abs(rounded) < 1e12 {
			text = strconv.FormatFloat(rounded, 'f', -1, 64)
		}
	}
	if strings.Trim(text, "-0.") == "" {
		text = fmt.Sprintf(layout, 0.0)
	}
	_, _ = io.WriteString(s, text)
}

func isDigit(r rune) bool { return '0' <= r && r <= '9' }

var vulgar = map[rune]float64{
	'½': 1. / 2, '¼': 1. / 4, '¾': 3. / 4, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8, '⅓': 1. / 3, '⅔': 2. / 3,
}

var (
	mixedForm  = regexp.MustCompile(`^(?:(\d+)(?:-| +))?(\d+)/([\d.,]*)`) // 1 1/4, 1-1/4, 3/4
	vulgarForm = regexp.MustCompile(`^(\d*) *([½¼¾⅛⅜⅝⅞⅓⅔])`)
)

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
	part := func(digits string) float64 {
		v, _ := strconv.ParseFloat("0"+digits, 64) // a number too large is infinite, which is told later
		return v
	}
	if m := vulgarForm.FindStringSubmatch(text); m != nil {
		sigil, _ := utf8.DecodeRuneInString(m[2])
		return sign * (part(m[1]) + vulgar[sigil]), text[len(m[0]):], nil
	}
	if m := mixedForm.FindStringSubmatch(text); m != nil {
		over, under := part(m[2]), part(m[3])
		if !whole(m[3]) || under == 0 || m[1] != "" && over >= under {
			return 0, "", fault(k, s, "the fraction cannot be read")
		}
		return sign * (part(m[1]) + over/under), text[len(m[0]):], nil
	}
	digits := decimalForm.FindString(text)
	if digits == "" {
		return 0, "", fault(k, s, "it does not begin with a number")
	}
	if v, err = decimal(digits); err != nil {
		return 0, "", fault(k, s, "%s", err)
	}
	return sign * v, text[len(digits):], nil
}

// decimalForm is digits with point or comma, and an exponent.
var decimalForm = regexp.MustCompile(`^[.,]*\d[\d.,]*(?:[eE][-+]?\d+)?`)

func whole(s string) bool { return s != "" && strings.Trim(s, "0123456789") == "" }

// ParseNumber reads a plain number without a unit: digits with a point or a
// decimal comma, a sign, an exponent. The error is an *Error.
func ParseNumber(s string) (float64, error) {
	if strings.Trim(s, "-.0123456789") == "" { // as nearly all of a file are
		if v, err := strconv.ParseFloat(s, 64); err == nil {
			return v + 0, nil // -0 becomes 0
		}
	}
	text := strings.TrimSpace(ordinary.Replace(s))
	sign := 1.0
	body := text
	if body != "" && (body[0] == '-' || body[0] == '+') {
		if body[0] == '-' {
			sign = -1
		}
		body = body[1:]
	}
	e := &Error{Found: s, Problem: "it is not a number", Allowed: "a plain number such as 0.5"}
	digits := decimalForm.FindString(body)
	if digits != "" && digits == body {
		v, err := decimal(digits)
		if err == nil {
			return sign*v + 0, nil // -0 becomes 0
		}
		e.Problem = err.Error()
	} else if _, unit := kindOf(body[len(digits):]); unit && digits != "" {
		e.Problem = "a plain number is needed, without a unit"
	}
	return 0, e
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

// ParseStopwatch reads minutes:seconds as a stopwatch shows them, 0:22 or 1:05.4,
// and reports whether text is such a time. A colon elsewhere may be hours and
// minutes, so that Parse takes none.
func ParseStopwatch(text string) (Duration, bool) {
	minutes, seconds, _ := strings.Cut(strings.TrimSpace(text), ":")
	m, err := strconv.ParseUint(minutes, 10, 8)
	if err != nil || len(seconds) < 2 || !isDigit(rune(seconds[0])) || !isDigit(rune(seconds[1])) {
		return 0, false
	}
	s, err := ParseNumber(seconds)
	return Duration(m)*Minute + Duration(s), err == nil && s < 60
}
