package units

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Text is a sentence whose figures keep their unit until it is shown. Each stands in
// braces with its metric unit: "the lift of {2.5 m} is not below {1.2 to 1.4 m}", or
// "{±5 C}" for a difference.
type Text string

// unmarked stands for a brace in a name, which marks no figure.
const unmarked = "\x01"

// Say returns a Text of a format as Sprintf takes it. Texts among args keep their
// figures, and what comes from outside has none.
func Say(format string, args ...any) Text {
	args = slices.Clone(args)
	for i, a := range args {
		switch a := a.(type) {
		case Text:
			args[i] = string(a)
		case string:
			args[i] = strings.ReplaceAll(a, "{", unmarked)
		}
	}
	return Text(Sprintf(format, args...))
}

// String returns t in metric units.
func (t Text) String() string { return t.In(Metric) }

// MarshalText returns t as String does.
func (t Text) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

var (
	marked = regexp.MustCompile(`\{([^{}]*[0-9])[ \x{a0}]([^{} 0-9][^{} ]*)\}`)
	plain  = regexp.MustCompile(`-?[0-9]+(?:\.[0-9]+)?`)
)

// kindsInText are the kinds of the units of figures in texts.
var kindsInText = map[string]Kind{"m3/h": KindFlow, "m³/h": KindFlow, "L/h": KindFlow, "m/s": KindVelocity, "mm": KindBore,
	"cm": KindBore, "m": KindLength,
	"m3": KindVolume, "m³": KindVolume, "L": KindVolume, "m2": KindArea, "m²": KindArea, "kg": KindMass, "t": KindMass,
	"C": KindTemperature, "°C": KindTemperature}

// In returns t as a page in system shows it: figures with the digits that they have,
// two at least.
func (t Text) In(system System) string {
	text := marked.ReplaceAllStringFunc(string(t), func(braces string) string {
		parts := marked.FindStringSubmatch(braces)
		kind, known := kindsInText[parts[2]]
		if system == Metric || !known || system.Unit(kind) == Metric.Unit(kind) {
			return braces[1 : len(braces)-1]
		}
		to := system.Unit(kind)
		numbers := plain.ReplaceAllStringFunc(parts[1], func(number string) string {
			v, _ := strconv.ParseFloat(number, 64) // plain matches nothing else
			if kind == KindTemperature {
				return degrees(number, v, to, strings.HasPrefix(parts[1], "±"))
			}
			size := 1000.0 // kg in a tonne, which nobody types
			if from, is := find(kind, parts[2]); is {
				size = from.Base(1)
			}
			digits := strings.TrimLeft(strings.ReplaceAll(strings.TrimLeft(number, "-"), ".", ""), "0")
			shown, _ := Significant(to.From(v*size), min(max(len(digits), 2), 4))
			return shown
		})
		return numbers + " " + to.String()
	})
	return strings.ReplaceAll(text, unmarked, "{")
}

// degrees returns a temperature of v °C, or a difference, with the decimals of number.
func degrees(number string, v float64, to Unit, difference bool) string {
	shown := to.From(float64(Celsius(v)))
	if difference {
		shown = to.From(v) - to.From(0)
	}
	_, decimals, _ := strings.Cut(number, ".")
	power := math.Pow10(len(decimals))
	return strconv.FormatFloat(math.Round(shown*power)/power+0, 'f', len(decimals), 64)
}

// Significant returns v with so many digits, without an exponent, and the power of ten
// of the first of them.
func Significant(v float64, digits int) (text string, power int) {
	text = strconv.FormatFloat(v, 'e', digits-1, 64)
	rounded, _ := strconv.ParseFloat(text, 64)
	_, exponent, _ := strings.Cut(text, "e")
	power, _ = strconv.Atoi(exponent) // the exponent that FormatFloat just wrote
	return strconv.FormatFloat(rounded, 'f', max(0, digits-1-power), 64), power
}

// Wrapped returns s after first, its further lines after rest, broken at plain spaces to
// so many columns as columns counts them. A word that is wider has a line of its own.
func Wrapped(first, rest, s string, width int, columns func(string) int) []string {
	var lines []string
	line, used, start := first, columns(first), true
	for _, word := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }) {
		n := columns(word)
		switch {
		case start:
			line, used = line+word, used+n
		case used+1+n > width:
			lines = append(lines, strings.TrimRight(line, " "))
			line, used = rest+word, columns(rest)+n
		default:
			line, used = line+" "+word, used+1+n
		}
		start = false
	}
	return append(lines, strings.TrimRight(line, " "))
}
