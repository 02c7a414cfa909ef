package units

import (
	"math"
	"strings"
	"unicode"
)

// Unit is one unit of one kind of quantity: base = number × factor + offset.
// The zero value is no unit; Lookup and System.Unit make real ones.
type Unit struct {
	symbol string
	kind   Kind
	factor float64
	offset float64
}

// String returns the symbol of u, such as "m³/h".
func (u Unit) String() string { return u.symbol }

// Base returns v of unit u in the base unit of its kind. A unit that is a whole
// part of the base divides, which rounds once: 70 % is 0.7, not
// 0.7000000000000001.
func (u Unit) Base(v float64) float64 {
	if n := math.Round(1 / u.factor); u.factor < 1 && 1/n == u.factor {
		return v/n + u.offset
	}
	return v*u.factor + u.offset
}

// From returns a quantity given in the base unit as a number of u.
func (u Unit) From(base float64) float64 { return (base - u.offset) / u.factor }

// pascalH2O is the head of water that one pascal holds up.
const pascalH2O = Metre / (1000 * StandardGravity)

// entry is a line of the unit table: the unit, whether error messages list it,
// and its other spellings. Capitals matter only in an exact entry, where a
// prefix turns on them (mJ, MJ).
type entry struct {
	unit  Unit
	shown bool
	exact bool
	names string // separated by commas
}

func row[T ~float64](k Kind, symbol string, size T, names string) entry {
	return entry{unit: Unit{symbol, k, float64(size), 0}, shown: true, names: names}
}

func hidden(e entry) entry    { e.shown = false; return e }
func exactCase(e entry) entry { e.exact = true; return e }

// table holds every unit. The one-word flows take the gallon's country in any place.
var table = []entry{
	row(KindLength, "m", Metre, "metre,metres,meter,meters,mtr,mtrs"),
	row(KindLength, "cm", Centimetre, "centimetre,centimetres,centimeter,centimeters"),
	row(KindLength, "mm", Millimetre, "millimetre,millimetres,millimeter,millimeters"),
	hidden(row(KindLength, "km", 1000*Metre, "kilometre,kilometres,kilometer,kilometers")),
	row(KindLength, "ft", Foot, "foot,feet,'"),
	row(KindLength, "in", Inch, "inch,inches,\",''"),
	hidden(row(KindLength, "yd", 3*Foot, "yard,yards")),
	row(kindPressure, "kPa", 1000*pascalH2O, "kilopascal,kilopascals"),
	row(kindPressure, "bar", 1e5*pascalH2O, "bars"),
	row(kindPressure, "psi", 6894.757293168361*pascalH2O, "lbf/in2"),
	exactCase(hidden(row(kindPressure, "mbar", 100*pascalH2O, "hPa"))),
	hidden(row(kindPressure, "mH2O", Metre, "mWC,mWG,mWS,mofwater,metresofwater,metersofwater,mCE,mCA")),
	hidden(row(kindPressure, "cmH2O", Centimetre, "cmWC")),
	hidden(row(kindPressure, "mmH2O", Millimetre, "mmWC,mmWS")),
	hidden(row(kindPressure, "ftH2O", Foot, "ftWC,ftofwater,feetofwater,ftofhead,feetofhead")),
	hidden(row(kindPressure, "inH2O", Inch, "inWC,inofwater,inchesofwater")),
	row(KindArea, "m²", SquareMetre, "sqm,squaremetre,squaremetres,squaremeter,squaremeters"),
	row(KindArea, "cm²", SquareCentimetre, "sqcm"),
	row(KindArea, "mm²", SquareMillimetre, "sqmm"),
	row(KindArea, "ft²", SquareFoot, "sqft,squarefoot,squarefeet"),
	row(KindArea, "in²", Area(Inch*Inch), "sqin,squareinch,squareinches"),
	row(KindMass, "kg", Kilogram, "kilogram,kilograms,kilo,kilos"),
	row(KindMass, "g", Gram, "gram,grams,gramme,grammes"),
	row(KindMass, "lb", Kilogram*0.45359237, "lbs,pound,pounds"),
	row(KindMass, "oz", Kilogram*0.45359237/16, "ounce,ounces"),
	row(KindPower, "W", Watt, "watt,watts"),
	row(KindPower, "kW", Kilowatt, "kilowatt,kilowatts"),
	row(KindPower, "hp", Horsepower, "horsepower"),
	row(KindEnergy, "Wh", WattHour, "watthour,watthours,watt-hour,watt-hours"),
	row(KindEnergy, "kWh", KilowattHour, "kilowatthour,kilowatthours,kilowatt-hour,kilowatt-hours"),
	row(KindEnergy, "J", Energy(1), "joule,joules"),
	hidden(row(KindEnergy, "kJ", Energy(1000), "kilojoule,kilojoules")),
	exactCase(row(KindEnergy, "MJ", Megajoule, "megajoule,megajoules")),
	row(KindCharge, "Ah", AmpereHour, "amphour,amphours,amp-hour,amp-hours,amperehour,amperehours,ampere-hour,ampere-hours"),
	exactCase(row(KindCharge, "mAh", MilliampereHour, "mah,mAH")),
	hidden(row(KindCharge, "C", Charge(1), "coulomb,coulombs")),
	row(KindVoltage, "V", Volt, "volt,volts"),
	exactCase(row(KindVoltage, "mV", Millivolt, "mv,millivolt,millivolts")),
	row(KindVoltage, "kV", 1000*Volt, "kilovolt,kilovolts"),
	row(KindCurrent, "A", Ampere, "amp,amps,ampere,amperes"),
	exactCase(row(KindCurrent, "mA", Milliampere, "ma,milliamp,milliamps,milliampere,milliamperes")),
	row(KindIrradiance, "W/m²", WattPerSquareMetre, "wm-2,w/sqm"),
	row(KindIrradiance, "kW/m²", 1000*WattPerSquareMetre, "kwm-2"),
	row(KindAngle, "°", Degree, "deg,degs,degree,degrees"),
	row(KindAngle, "rad", Angle(1), "radian,radians"),
	row(KindShare, "%", 0.01, "percent,pct,percentage"),
	{unit: Unit{"°C", KindTemperature, 1, 273.15}, shown: true, names: "C,degC,celsius,degreescelsius,degreecelsius,degreesC"},
	{unit: Unit{"°F", KindTemperature, 5.0 / 9, 273.15 - 32*5.0/9}, shown: true,
		names: "F,degF,fahrenheit,degreesfahrenheit,degreefahrenheit,degreesF"},
	{unit: Unit{"K", KindTemperature, 1, 0}, shown: true, names: "kelvin,kelvins,degK"},
	row(KindVolume, "m³", CubicMetre, "cubicmetre,cubicmetres,cubicmeter,cubicmeters,cum,cbm"),
	row(KindVolume, "L", Litre, "litre,litres,liter,liters,ltr,ltrs,dm3"),
	hidden(row(KindVolume, "mL", Litre/1000, "millilitre,millilitres,milliliter,milliliters,cm3,cc")),
	row(KindVolume, "US gal", USGallon, "galUS,gal(US),USgallon,USgallons,gallonUS,gallonsUS,gallons(US),gallon(US),USgals"),
	row(KindVolume, "imp gal", ImperialGallon,
		"galimp,gal(imp),impgallon,impgallons,imperialgallon,imperialgallons,imperialgal,"+
			"UKgal,UKgallon,UKgallons,galUK,gal(UK),gallons(UK),gallons(imperial),impgals"),
	hidden(row(KindVolume, "ft³", CubicFoot, "cuft,cubicfoot,cubicfeet")),
	row(KindTime, "s", Second, "sec,secs,second,seconds"),
	row(KindTime, "min", Minute, "mins,minute,minutes"),
	row(KindTime, "h", Hour, "hr,hrs,hour,hours"),
	row(KindTime, "day", Day, "d,days"),
	row(KindTime, "week", 7*Day, "wk,weeks"),
	row(KindTime, "month", Month, "months"),
	row(KindTime, "year", Year, "yr,yrs,years"),
	row(KindFlow, "L/h", LitrePerHour, "lph"),
	row(KindFlow, "L/min", LitrePerMinute, "lpm"),
	row(KindFlow, "L/s", LitrePerSecond, "lps"),
	row(KindFlow, "m³/h", CubicMetrePerHour, "cmh"),
	row(KindFlow, "US gal/h", USGallonPerHour, "USgph,gphUS,gph(US),gal/hUS,gal/h(US)"),
	row(KindFlow, "US gal/min", USGallonPerMinute, "USgpm,gpmUS,gpm(US),gal/minUS,gal/min(US)"),
	row(KindFlow, "imp gal/h", Flow(ImperialGallon/3600), "impgph,UKgph,gphUK,gphimp,gph(UK),gph(imp),imperialgph"),
	row(KindFlow, "imp gal/min", Flow(ImperialGallon/60), "impgpm,UKgpm,gpmUK,gpmimp,gpm(UK),gpm(imp),imperialgpm"),
}

// bareGallon returns what stands after the country in the unit that text
// spells without one, such as "gal/h" for gph, and the kind it is of. Such a
// unit has two sizes.
func bareGallon(text string) (tail string, k Kind, ok bool) {
	key := strings.ToLower(squeeze(text))
	switch key {
	case "gph":
		key = "gal/h"
	case "gpm":
		key = "gal/min"
	case "gpd":
		key = "gal/day"
	}
	amount, time, rate := strings.Cut(key, "/")
	if amount != "gal" && amount != "gals" && amount != "gallon" && amount != "gallons" {
		return "", 0, false
	}
	if !rate {
		return "gal", KindVolume, true
	}
	t, ok := findSqueezed(KindTime, time)
	return "gal/" + t.symbol, KindFlow, ok
}

// spelling is how a unit of a kind is written.
type spelling struct {
	kind Kind
	text string
}

var (
	exact  = map[spelling]Unit{} // as written
	folded = map[spelling]Unit{} // without regard to capitals
	shown  = map[Kind][]string{KindVelocity: {"m/s", "m/h", "ft/s"}, KindFeedRate: {"g/day", "kg/day", "oz/day", "lb/day"}}
)

func init() {
	for _, e := range table {
		k := e.unit.kind
		for _, name := range append(strings.Split(e.names, ","), e.unit.symbol) {
			name = squeeze(name)
			exact[spelling{k, name}] = e.unit
			if !e.exact {
				folded[spelling{k, strings.ToLower(name)}] = e.unit
			}
		}
		if e.shown {
			shown[k] = append(shown[k], e.unit.symbol)
		}
	}
}

// ordinary maps the typographic marks that people and programs write to the
// plain ones that the table holds.
var ordinary = strings.NewReplacer(
	"\u00a0", " ", "\u202f", " ", "\u2009", " ", "\u2007", " ", "\u2002", " ", "\u2003", " ", "\u200a", " ", "\t", " ",
	"²", "2", "³", "3", "¹", "1", "⁻", "-", "−", "-", "‐", "-", "‑", "-",
	"º", "°", "˚", "°", "℃", "°C", "℉", "°F", "ℓ", "l", "⁄", "/", "∕", "/", "÷", "/",
	"″", `"`, "”", `"`, "“", `"`, "′", "'", "’", "'", "％", "%",
)

// squeeze brings a unit's spelling to the form in the index: plain marks, no
// spaces, no carets, no full stop after a letter, "per" as a slash.
func squeeze(s string) string {
	s = ordinary.Replace(strings.TrimSpace(s))
	for _, per := range []string{" per ", " Per ", " PER "} {
		s = strings.ReplaceAll(s, per, "/")
	}
	var b strings.Builder
	var last rune
	for _, r := range s {
		switch {
		case r == ' ' || r == '^' || r == '·' || r == '⋅' || r == '.' && unicode.IsLetter(last):
		default:
			b.WriteRune(r)
		}
		last = r
	}
	return b.String()
}

// find returns the unit of kind k that text spells.
func find(k Kind, text string) (Unit, bool) { return findSqueezed(k, squeeze(text)) }

func findSqueezed(k Kind, key string) (Unit, bool) {
	for _, f := range k.families() {
		if u, ok := exact[spelling{f, key}]; ok {
			return u, true
		}
	}
	low := strings.ToLower(key)
	for _, f := range k.families() {
		if u, ok := folded[spelling{f, low}]; ok {
			return u, true
		}
	}
	return findRate(k, key)
}

// amountOf is the kind that a rate is an amount of over time.
var amountOf = map[Kind]Kind{KindFlow: KindVolume, KindVelocity: KindLength, KindFeedRate: KindMass}

// findRate makes a unit of an amount over a time: L/h, L h-1.
func findRate(k Kind, key string) (Unit, bool) {
	amount, ok := amountOf[k]
	if !ok {
		return Unit{}, false
	}
	over, under, slash := strings.Cut(key, "/")
	if !slash {
		for _, t := range []string{"min", "day", "s", "h", "d"} {
			if over, slash = strings.CutSuffix(key, t+"-1"); slash {
				under = t
				break
			}
		}
	}
	a, ok1 := findSqueezed(amount, over)
	t, ok2 := findSqueezed(KindTime, under)
	if !slash || !ok1 || !ok2 {
		return Unit{}, false
	}
	return Unit{a.symbol + "/" + t.symbol, k, a.factor / t.factor, 0}, true
}

// kindOf returns the kind of quantity that text is a unit of, if any.
func kindOf(text string) (Kind, bool) {
	key := squeeze(text)
	for _, k := range kindOrder {
		if _, ok := findSqueezed(k, key); ok {
			return k, true
		}
	}
	return 0, false
}

// kindOrder settles "C" and "m" for messages: a coulomb is rarer than a degree.
var kindOrder = []Kind{
	KindLength, KindArea, KindVolume, KindFlow, KindVelocity, KindMass, KindFeedRate, KindPower, KindEnergy, KindTemperature,
	KindCharge, KindVoltage, KindCurrent, KindIrradiance, KindAngle, KindTime, KindShare, kindPressure,
}

// Allowed returns the units that kind k takes, as error messages list them.
func (k Kind) Allowed() string {
	var list []string
	for _, f := range k.families() {
		list = append(list, shown[f]...)
	}
	s := strings.Join(list, ", ")
	if k == KindHead {
		s += " of water"
	}
	return s
}

// Lookup returns the unit of kind k that text spells, such as the "L/h" in the
// heading "flow (L/h)". It takes the spellings that Parse takes, underscores
// for spaces, and "per" for the slash (l_per_h). The error is an *Error that
// names both readings of a bare gallon, or the kind that text belongs to.
func Lookup(k Kind, text string) (Unit, error) {
	if len(text) > longest {
		return Unit{}, fault(k, text[:longest], "the text is too long for a unit")
	}
	text = strings.ReplaceAll(text, "_", " ")
	if u, ok := find(k, text); ok {
		return u, nil
	}
	return Unit{}, badUnit(k, "", strings.TrimSpace(text))
}

// mustFind returns a unit that is named in this package.
func mustFind(k Kind, symbol string) Unit {
	u, ok := find(k, symbol)
	if !ok {
		panic("units: no unit " + symbol + " of " + k.String())
	}
	return u
}
