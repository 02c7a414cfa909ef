package document

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// Warning is a doubt that did not stop the answer.
type Warning struct {
	Where   string // file, line and key that it is about, with ": " after them
	Message string // one sentence of Sunrill's own, with metric figures
}

// WarningTexts returns each warning on one line as a page in system shows it.
//
// The packages that reckon write a doubt as a sentence with metric figures: it
// is read and not counted with. So the figures of a page in other units are
// found by their form, one or two numbers and a metric unit, and rewritten with
// the digits they had, at least two. What is not Sunrill's own wording stays:
// texts in quotes, sizes of hose and pipe, which are names, and the names given.
func (d *Document) WarningTexts(system units.System) []string {
	texts := []string{}
	for _, w := range d.Warnings {
		if system != units.Metric {
			w.Message = inSystem(w.Message, system, d.Names)
		}
		texts = append(texts, w.Where+w.Message)
	}
	return texts
}

// metricFigure matches what stays as it is, or the parts of a figure: a mark
// of a difference, a number, another one, the unit and what follows it.
const metricFigure = `"[^"]*"|\b(?:hose|pipe) [0-9.]+ mm\b|` +
	`((?:±|\bby |\bwithin )?)(-?[0-9]+(?:\.[0-9]+)?)(?:( to | and | or )(-?[0-9]+(?:\.[0-9]+)?))?[ \x{a0}]` +
	`(m3/h|m³/h|L/h|m/s|mm|cm|m3|m³|m2|m²|kg|°C|C|L|m|t)($|[^0-9A-Za-z²³/])`

var plainFigure = regexp.MustCompile(metricFigure)

// metricUnits holds the kind of each unit in metricFigure and its size in the
// kind's base unit.
var metricUnits = map[string]struct {
	kind units.Kind
	size float64
}{
	"m3/h": {units.KindFlow, float64(units.CubicMetrePerHour)}, "m³/h": {units.KindFlow, float64(units.CubicMetrePerHour)},
	"L/h": {units.KindFlow, float64(units.LitrePerHour)},
	"m/s": {units.KindVelocity, float64(units.MetrePerSecond)},
	"mm":  {units.KindBore, float64(units.Millimetre)},
	"cm":  {units.KindBore, float64(units.Centimetre)},
	"m":   {units.KindLength, float64(units.Metre)},
	"m3":  {units.KindVolume, float64(units.CubicMetre)}, "m³": {units.KindVolume, float64(units.CubicMetre)},
	"L":  {units.KindVolume, float64(units.Litre)},
	"m2": {units.KindArea, float64(units.SquareMetre)}, "m²": {units.KindArea, float64(units.SquareMetre)},
	"kg": {units.KindMass, float64(units.Kilogram)},
	"t":  {units.KindMass, 1000 * float64(units.Kilogram)},
	"C":  {units.KindTemperature, 1}, "°C": {units.KindTemperature, 1},
}

// inSystem returns text with its metric figures in the units of system; names
// stay as they are.
func inSystem(text string, system units.System, names []string) string {
	var kept []string
	for _, name := range names {
		if name != "" {
			kept = append(kept, regexp.QuoteMeta(name))
		}
	}
	find := plainFigure
	if len(kept) > 0 {
		find = regexp.MustCompile(strings.Join(kept, "|") + "|" + metricFigure)
	}
	var b strings.Builder
	end := 0
	for _, at := range find.FindAllStringSubmatchIndex(text, -1) {
		part := func(i int) string {
			if at[2*i] < 0 {
				return ""
			}
			return text[at[2*i]:at[2*i+1]]
		}
		unit, metric := metricUnits[part(5)]
		if !metric || system.Unit(unit.kind) == units.Metric.Unit(unit.kind) {
			continue
		}
		b.WriteString(text[end:at[0]])
		end = at[1]
		mark := part(1)
		b.WriteString(mark + figureIn(part(2), unit.kind, unit.size, system, mark != ""))
		if part(4) != "" {
			b.WriteString(part(3) + figureIn(part(4), unit.kind, unit.size, system, mark != ""))
		}
		b.WriteString(" " + system.Unit(unit.kind).String() + part(6))
	}
	return b.String() + text[end:]
}

// figureIn returns a metric figure in the unit of system for its kind. A
// difference of temperature has no zero to shift.
func figureIn(figure string, k units.Kind, size float64, system units.System, difference bool) string {
	v, err := strconv.ParseFloat(figure, 64)
	if err != nil {
		return figure
	}
	to := system.Unit(k)
	if k != units.KindTemperature {
		return formatNumber(to.From(v*size), digitsOf(figure))
	}
	shown := to.From(v + 273.15)
	if difference {
		shown = to.From(v) - to.From(0)
	}
	_, decimals, _ := strings.Cut(figure, ".")
	power := math.Pow10(len(decimals))
	return strconv.FormatFloat(math.Round(shown*power)/power+0, 'f', len(decimals), 64)
}

// digitsOf returns how many significant digits to show for figure.
func digitsOf(figure string) int {
	digits := strings.TrimLeft(strings.ReplaceAll(strings.TrimLeft(figure, "-"), ".", ""), "0")
	return min(max(len(digits), 2), 4)
}
