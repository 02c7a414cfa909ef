package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// System is the set of units that a page is shown in. CSV and JSON do not
// depend on it.
type System int

// The systems of --units.
const (
	Metric System = iota
	US
	Imperial
)

// Systems are the words that --units takes, in the order of the constants.
var Systems = []string{"metric", "us", "imperial"}

// Unit is the unit of a number in a Document: what its key ends in, its
// symbol, and what a page shows in each system.
type Unit struct {
	Suffix string // a key with this unit ends in it; "" where the key says it all
	Symbol string // as CSV prints it in the column unit
	shown  [3]display
	money  bool
}

// display is a unit to show a number in: shown = (number - offset) * factor.
type display struct {
	symbol         string
	factor, offset float64
}

// same returns a Unit that every system shows alike.
func same(suffix, symbol string) Unit {
	d := display{symbol: symbol, factor: 1}
	return Unit{Suffix: suffix, Symbol: symbol, shown: [3]display{d, d, d}}
}

// shownAs returns a Unit with a display for each system.
func shownAs(suffix, symbol string, metric, us, imperial display) Unit {
	return Unit{Suffix: suffix, Symbol: symbol, shown: [3]display{metric, us, imperial}}
}

var (
	metre      = display{"m", 1, 0}
	foot       = display{"ft", float64(units.Metre / units.Foot), 0}
	millimetre = display{"mm", 1, 0}
	inch       = display{"in", float64(units.Millimetre / units.Inch), 0}
	celsius    = display{"°C", 1, 0}
)

// The units of Sunrill's pages. Flow is keyed in m3/h and shown in L/h, which
// is what pump boxes print.
var (
	Flow = shownAs("m3_per_h", "m3/h",
		display{"L/h", float64(units.CubicMetrePerHour / units.LitrePerHour), 0},
		display{"US gal/h", float64(units.CubicMetrePerHour / units.USGallonPerHour), 0},
		display{"imp gal/h", float64(units.CubicMetrePerHour / units.ImperialGallonPerHour), 0})
	FlowPerDay = shownAs("m3_per_day", "m3/day",
		display{"m3/day", 1, 0},
		display{"US gal/day", float64(units.CubicMetre / units.USGallon), 0},
		display{"imp gal/day", float64(units.CubicMetre / units.ImperialGallon), 0})
	Volume = shownAs("m3", "m3",
		display{"m3", 1, 0},
		display{"US gal", float64(units.CubicMetre / units.USGallon), 0},
		display{"imp gal", float64(units.CubicMetre / units.ImperialGallon), 0})
	Litres = shownAs("l", "L",
		display{"L", 1, 0},
		display{"US gal", float64(units.Litre / units.USGallon), 0},
		display{"imp gal", float64(units.Litre / units.ImperialGallon), 0})
	Head     = shownAs("m", "m", metre, foot, foot)
	Length   = Head
	Bore     = shownAs("mm", "mm", millimetre, inch, inch)
	Velocity = shownAs("m_per_s", "m/s", display{"m/s", 1, 0},
		display{"ft/s", float64(units.MetrePerSecond / units.FootPerSecond), 0},
		display{"ft/s", float64(units.MetrePerSecond / units.FootPerSecond), 0})
	Area = shownAs("m2", "m2", display{"m2", 1, 0},
		display{"ft2", float64(units.SquareMetre / units.SquareFoot), 0},
		display{"ft2", float64(units.SquareMetre / units.SquareFoot), 0})
	Temperature = shownAs("c", "°C", celsius, display{"°F", 1.8, -32 / 1.8}, celsius)
	WhPerVolume = shownAs("wh_per_m3", "Wh/m3", display{"Wh/m3", 1, 0},
		display{"Wh per 1000 US gal", float64(1000 * units.USGallon / units.CubicMetre), 0},
		display{"Wh per 1000 imp gal", float64(1000 * units.ImperialGallon / units.CubicMetre), 0})

	Power           = same("w", "W")
	WattHours       = same("wh", "Wh")
	KilowattHours   = same("kwh", "kWh")
	KWhPerDay       = same("kwh_per_day", "kWh/day")
	KWhPerYear      = same("kwh_per_year", "kWh/year")
	KWhPerM2Day     = same("kwh_per_m2_day", "kWh/m2/day")
	WhPerWattDay    = same("wh_per_w_day", "Wh/W/day")
	WattsPerM2      = same("w_per_m2", "W/m2")
	Volts           = same("v", "V")
	Amps            = same("a", "A")
	AmpHours        = same("ah", "Ah")
	CopperArea      = same("mm2", "mm2")
	Hours           = same("h", "h")
	HoursPerYear    = same("hours_per_year", "h/year")
	Minutes         = same("min", "min")
	Days            = same("days", "days")
	Years           = same("years", "years")
	Degrees         = same("deg", "°")
	TurnoversPerDay = same("turnovers_per_day", "/day")
	MgPerLitre      = same("mg_per_l", "mg/L")
	Kilograms       = same("kg", "kg")
	Grams           = same("g", "g")

	// Fraction is a share: 0 to 1 in keys, per cent on a page.
	Fraction = shownAs("fraction", "1", display{"%", 100, 0}, display{"%", 100, 0}, display{"%", 100, 0})
	// None is a number without a unit: a count, a loss coefficient.
	None = same("", "")
	// Word marks a column of text.
	Word = same("", "")
)

// Money returns the unit of sums in currency, such as "R" or "EUR".
func Money(currency string) Unit {
	u := same("", currency)
	u.money = true
	return u
}

// Of returns v, in the unit that u's keys end in, as a Quantity of three
// significant digits.
func (u Unit) Of(v float64) Quantity { return Quantity{Value: v, Unit: u} }

// Exact returns v as a Quantity with all the digits that a reader gave.
func (u Unit) Exact(v float64) Quantity { return Quantity{Value: v, Unit: u, Digits: 12} }

// ShownSymbol returns the symbol of u on a page in system.
func (u Unit) ShownSymbol(system System) string { return u.shown[system].symbol }

// Figure returns v, in the unit that u's keys end in, as a page in system
// shows it, without its unit.
func (u Unit) Figure(v float64, system System, digits int) string {
	d := u.shown[system]
	shown := (v - d.offset) * d.factor
	if u.money {
		return formatMoney(shown)
	}
	return formatNumber(shown, digits)
}

// in returns q with its unit.
func (q Quantity) in(system System) string {
	figure, symbol := q.Unit.Figure(q.Value, system, q.Digits), q.Unit.ShownSymbol(system)
	switch {
	case symbol == "":
		return figure
	case q.Unit.money:
		return symbol + " " + figure
	case symbol == "°":
		return figure + symbol
	}
	return figure + " " + symbol
}

// formatNumber returns v rounded to digits significant digits (3 where digits
// is 0) without an exponent, unless it is very small or very large. Digits of
// 7 or more also drop trailing zeros, for figures as a person gave them.
func formatNumber(v float64, digits int) string {
	if digits <= 0 {
		digits = 3
	}
	if v == 0 {
		return "0"
	}
	scientific := strconv.FormatFloat(v, 'e', digits-1, 64)
	_, exponent, _ := strings.Cut(scientific, "e")
	size, _ := strconv.Atoi(exponent) // the exponent that FormatFloat just wrote
	rounded, _ := strconv.ParseFloat(scientific, 64)
	if size < -6 || size >= 12 {
		return strconv.FormatFloat(rounded, 'g', digits, 64)
	}
	decimals := max(0, digits-1-size)
	s := strconv.FormatFloat(rounded, 'f', decimals, 64)
	if digits >= 7 && strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// formatMoney returns v with cents below 100 and whole above.
func formatMoney(v float64) string {
	if math.Abs(v) < 99.995 {
		return fmt.Sprintf("%.2f", v)
	}
	return fmt.Sprintf("%.0f", v)
}
