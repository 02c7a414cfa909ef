package document

import (
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// Unit is the unit of a number in a Document: what its key ends in, its
// symbol, and what a page shows in each system of units. CSV and JSON hold
// the number itself, whatever the system.
type Unit struct {
	Suffix string     // a key with this unit ends in it; "" where the key says it all
	Symbol string     // as CSV prints it in the column unit
	kind   units.Kind // that it is shown as; 0 where shown says how
	kindOf string     // type of the quantities that are told in it; "" where only bare numbers are
	size   float64    // of it in their base unit
	offset float64    // of the base unit
	shown  [3]display
}

// display is a unit to show a number in, for what is no Kind of its own.
type display struct {
	symbol string
	factor float64
}

// same returns a Unit that every system shows alike.
func same(suffix, symbol string) Unit { return scaled(suffix, symbol, symbol, 1) }

// scaled returns a Unit that every system shows alike, times factor.
func scaled(suffix, symbol, shown string, factor float64) Unit {
	d := display{shown, factor}
	return Unit{Suffix: suffix, Symbol: symbol, shown: [3]display{d, d, d}}
}

// told returns u as the unit that quantities of the type of size are told in.
func told[T ~float64](u Unit, size T) Unit {
	u.kindOf, u.size = reflect.TypeFor[T]().Name(), float64(size)
	return u
}

// of returns a quantity in base units as a number of u.
func (u Unit) of(v reflect.Value) float64 { return v.Float()/u.size - u.offset + 0 }

// kindred returns a Unit that is shown as quantities of kind k are; size is
// the unit in the kind's base unit.
func kindred[T ~float64](suffix, symbol string, k units.Kind, size T) Unit {
	return told(Unit{Suffix: suffix, Symbol: symbol, kind: k}, size)
}

// The units of Sunrill's pages. Flow is keyed in m3/h and shown in L/h, which
// is what pump boxes print.
var (
	Flow     = kindred("m3_per_h", "m3/h", units.KindFlow, units.CubicMetrePerHour)
	Volume   = kindred("m3", "m3", units.KindVolume, units.CubicMetre)
	Head     = kindred("m", "m", units.KindHead, units.Metre)
	Length   = kindred("m", "m", units.KindLength, units.Metre)
	Bore     = kindred("mm", "mm", units.KindBore, units.Millimetre)
	Velocity = kindred("m_per_s", "m/s", units.KindVelocity, units.MetrePerSecond)
	Area     = kindred("m2", "m2", units.KindArea, units.SquareMetre)
	Mass     = kindred("kg", "kg", units.KindMass, units.Kilogram)

	// Temperature is in degrees Celsius.
	Temperature = told(Unit{Suffix: "c", Symbol: "°C", kind: units.KindTemperature, offset: 273.15}, units.Temperature(1))

	Litres = told(Unit{Suffix: "l", Symbol: "L", shown: [3]display{{"L", 1},
		{"US gal", float64(units.Litre / units.USGallon)}, {"imp gal", float64(units.Litre / units.ImperialGallon)}}}, units.Litre)
	FlowPerDay = told(Unit{Suffix: "m3_per_day", Symbol: "m3/day", shown: [3]display{{"m³/day", 1},
		{"US gal/day", float64(units.CubicMetre / units.USGallon)}, {"imp gal/day", float64(units.CubicMetre / units.ImperialGallon)}}},
		units.CubicMetre)
	WhPerVolume = Unit{Suffix: "wh_per_m3", Symbol: "Wh/m3", shown: [3]display{{"Wh/m³", 1},
		{"Wh per 1000 US gal", float64(1000 * units.USGallon / units.CubicMetre)},
		{"Wh per 1000 imp gal", float64(1000 * units.ImperialGallon / units.CubicMetre)}}}

	// RiseRate is how fast water rises in a bed.
	RiseRate = told(Unit{Suffix: "m_per_h", Symbol: "m/h", shown: [3]display{{"m/h", 1},
		{"ft/h", float64(units.Metre / units.Foot)}, {"ft/h", float64(units.Metre / units.Foot)}}}, units.MetrePerHour)
	OpeningArea = told(Unit{Suffix: "cm2", Symbol: "cm2", shown: [3]display{{"cm²", 1}, {"in²", 1 / 6.4516}, {"in²", 1 / 6.4516}}},
		units.SquareCentimetre)

	Power           = told(same("w", "W"), units.Watt)
	WattHours       = told(same("wh", "Wh"), units.WattHour)
	KilowattHours   = told(same("kwh", "kWh"), units.KilowattHour)
	KWhPerDay       = told(same("kwh_per_day", "kWh/day"), units.EnergyPerDay(units.KilowattHour))
	KWhPerYear      = told(same("kwh_per_year", "kWh/year"), units.EnergyPerYear(units.KilowattHour))
	KWhPerM2Day     = scaled("kwh_per_m2_day", "kWh/m2/day", "kWh/m²/day", 1)
	WhPerWattDay    = same("wh_per_w_day", "Wh/W/day")
	WattsPerM2      = told(scaled("w_per_m2", "W/m2", "W/m²", 1), units.WattPerSquareMetre)
	Volts           = told(same("v", "V"), units.Volt)
	Amps            = told(same("a", "A"), units.Ampere)
	AmpHours        = told(same("ah", "Ah"), units.AmpereHour)
	VoltAmps        = told(same("va", "VA"), units.Watt)
	CopperArea      = told(scaled("mm2", "mm2", "mm²", 1), units.SquareMillimetre)
	Hours           = told(same("h", "h"), units.Hour)
	HoursPerYear    = same("hours_per_year", "h/year")
	Minutes         = told(same("min", "min"), units.Minute)
	Seconds         = told(same("s", "s"), units.Second)
	Days            = told(same("days", "days"), units.Day)
	Years           = told(same("years", "years"), units.Year)
	Degrees         = told(same("deg", "°"), units.Degree)
	TurnoversPerDay = same("turnovers_per_day", "/day")
	MgPerLitre      = Unit{Suffix: "mg_per_l", Symbol: "mg/L", kindOf: "Oxygen", size: 1, shown: same("", "mg/L").shown}

	// Fraction is a share: 0 to 1 in keys, per cent on a page.
	Fraction = told(scaled("fraction", "1", "%", 100), units.Share(1))
	// None is a number without a unit: a count, a loss coefficient.
	None = same("", "")
	// Word marks a column of text.
	Word = same("", "")
)

// Money returns the unit of sums in currency, such as "R" or "EUR", which may
// come from a user's file.
func Money(currency string) Unit {
	u := same("", Clean(currency))
	u.kindOf, u.size = "Money", 1
	return u
}

// money reports whether u is one of sums.
func (u Unit) money() bool { return u.kindOf == "Money" }

// MarshalText returns the symbol of u.
func (u Unit) MarshalText() ([]byte, error) { return []byte(u.Symbol), nil }

// Of returns v as a Quantity of three significant digits: a number in the unit that
// u's keys end in, a quantity that is told in it, or a known figure of either.
// Anything else is no number, which a page does not take.
func (u Unit) Of(v any) Quantity { return Quantity{Value: u.number(v), Unit: u} }

// Rough returns v as Of does, with two digits, for what nobody knows better.
func (u Unit) Rough(v any) Quantity { return Quantity{Value: u.number(v), Unit: u, Digits: 2} }

// Exact returns v as Of does, with all the digits that a reader gave.
func (u Unit) Exact(v any) Quantity { return Quantity{Value: u.number(v), Unit: u, Digits: 12} }

// number returns v in the unit that u's keys end in.
func (u Unit) number(v any) float64 {
	if m, is := v.(maybe); is {
		inner, known, _ := m.Figure()
		if !known {
			return math.NaN()
		}
		return u.number(inner)
	}
	r := reflect.ValueOf(v)
	switch {
	case r.CanInt():
		return float64(r.Int())
	case !r.CanFloat() || r.Type().PkgPath() != "" && r.Type().Name() != u.kindOf:
		return math.NaN()
	case r.Type().PkgPath() == "":
		return r.Float()
	}
	return u.of(r)
}

// OfKind returns a quantity given in the base unit of kind k, with all the
// digits that a reader gave.
func OfKind(k units.Kind, base float64) Quantity {
	return Quantity{Value: base, Unit: kindred("", k.Home().String(), k, 1.0), Digits: 8}
}

// ShownSymbol returns the symbol of u on a page in system.
func (u Unit) ShownSymbol(system units.System) string {
	if u.kind != 0 {
		return system.Unit(u.kind).String()
	}
	return u.shown[system].symbol
}

// Figure returns v, in the unit that u's keys end in, as a page in system
// shows it, without its unit.
func (u Unit) Figure(v float64, system units.System, digits int) string {
	switch {
	case u.money() && math.Abs(v) < 99.995:
		return units.Sprintf("%.2f", v)
	case u.money():
		return units.Sprintf("%.0f", v)
	}
	if u.offset != 0 && digits <= 0 {
		// Near a zero that is but a mark on the scale, three digits would be thousandths.
		return units.Sprintf("%.1f", u.shownIn(v, system))
	}
	shown := u.shownIn(v, system)
	if digits <= 0 && math.Abs(shown) < leastShown {
		return "0" // nobody measures it, and an exponent is no figure for people
	}
	return formatNumber(shown, digits)
}

// leastShown is the least figure that a page shows with its usual digits, in the unit
// shown.
const leastShown = 1e-6

// in returns q with its unit after a hard space; a currency is passed through clean.
func (q Quantity) in(system units.System, clean func(string) string) string {
	if q.Digits < 0 {
		return q.spoken(system, clean)
	}
	digits, symbol := q.Digits, q.Unit.ShownSymbol(system)
	if q.Digits >= allDigits && symbol != q.Unit.ShownSymbol(units.Metric) {
		digits = 0 // 9.2 m³ are not 2430.4 US gal
	}
	figure := q.Unit.Figure(q.Value, system, digits)
	if q.Digits >= allDigits {
		figure = trimZeros(figure)
	}
	switch {
	case symbol == "":
		return figure
	case q.Unit.money():
		return clean(symbol) + HardSpace + figure
	case symbol == "°":
		return figure + symbol
	}
	return figure + HardSpace + symbol
}

// allDigits and more stand for a figure as a person gave it.
const allDigits = 7

// trimZeros drops the zeros that end the decimals of a plain figure.
func trimZeros(figure string) string {
	if !strings.Contains(figure, ".") || strings.Contains(figure, "e") {
		return figure
	}
	return strings.TrimRight(strings.TrimRight(figure, "0"), ".")
}

// residue is smaller than any figure of a page: what reckoning leaves of a zero, which
// every format shows as 0.
const residue = 1e-12

// settled returns v, or 0 where it is but a residue.
func settled(v float64) float64 {
	if math.Abs(v) < residue {
		return 0
	}
	return v
}

// formatNumber returns v rounded to digits significant digits (3 where digits
// is 0) without an exponent, unless it is very small or very large. Digits of
// allDigits or more also drop trailing zeros, for figures as a person gave them.
func formatNumber(v float64, digits int) string {
	if digits <= 0 {
		digits = 3
	}
	if math.Abs(v) < residue {
		return "0"
	}
	s, power := units.Significant(v, digits)
	switch {
	case power < -6 || power >= 12:
		return strconv.FormatFloat(v, 'g', digits, 64)
	case digits >= allDigits:
		return trimZeros(s)
	}
	return s
}

// shownIn returns v, in the unit that u's keys end in, in the unit that a page
// in system shows it in.
func (u Unit) shownIn(v float64, system units.System) float64 {
	switch {
	case u.money():
		return v
	case u.kind != 0:
		return system.Unit(u.kind).From(v*u.size + u.offset)
	}
	return v * u.shown[system].factor
}

// machineValue returns the number of q for programs: in the unit that keys end in or,
// for a quantity without a key, which is held in base units, in the unit it is shown in.
func (q Quantity) machineValue(system units.System) float64 {
	if q.Unit.Suffix != "" || q.Unit.kind == 0 {
		return q.Value
	}
	const digits = 12 // beyond them is the noise of converting
	v, err := strconv.ParseFloat(strconv.FormatFloat(q.Unit.shownIn(q.Value, system), 'g', digits, 64), 64)
	if err != nil {
		return q.Value
	}
	return v
}

// FullPrecision returns v in the fewest digits that read back as v, in the form
// that encoding/json gives it.
func FullPrecision(v float64) string {
	text, _ := json.Marshal(settled(v)) // of a finite number, which never fails
	return string(text)
}
