// Package units holds the physical quantities that people type and Sunrill
// computes with.
//
// Every quantity is a named float64 in one base unit, SI wherever SI has one.
// Constants are units: multiply by one to make a quantity, call In to read it.
//
//	lift := 0.9 * units.Metre
//	flow := units.Flow(2400) * units.LitrePerHour
//	flow.In(units.CubicMetrePerHour) // 2.4
//
// The zero value of each type is the quantity zero, except Temperature, whose
// zero is absolute zero; use Celsius to make one.
//
// # Glossary
//
// The field's usual symbols, as they stand in formulas and docstrings.
//
//	Q    flow                          m³/s
//	H    head of water                 m
//	h    head loss                     m
//	V    velocity; volume in a pond    m/s; m³
//	D    inside diameter (bore)        m
//	eps  absolute roughness            m
//	Re   Reynolds number               1
//	f    Darcy friction factor         1
//	K    minor loss coefficient        1
//	rho  density                       kg/m³
//	mu   dynamic viscosity             Pa s
//	G    global horizontal irradiance  W/m²
//	KT   clearness index               1
//	H0   extraterrestrial irradiation on a horizontal plane   kWh/m² a day
//
// Sources of conversion factors: the international yard and pound agreement of
// 1959 (inch 25.4 mm, foot 0.3048 m, pound 0.45359237 kg, hence psi), the
// US gallon of 231 cubic inches and the imperial gallon of 4.54609 litres, as
// in NIST Special Publication 811. Pressures of water are turned into head at
// the conventional 1000 kg/m³ and 9.80665 m/s².
package units

import "math"

// Length is a distance or a head of water [m].
type Length float64

// Units of Length. Pressures name the head of water that they hold up.
const (
	Metre         Length = 1
	Centimetre    Length = 0.01
	Millimetre    Length = 0.001
	Kilometre     Length = 1000
	Inch          Length = 0.0254
	Foot          Length = 0.3048
	Yard          Length = 0.9144
	KilopascalH2O Length = 1000 / (1000 * StandardGravity)
	BarH2O        Length = 1e5 / (1000 * StandardGravity)
	PSIH2O        Length = 6894.757293168361 / (1000 * StandardGravity)
)

// StandardGravity is the conventional acceleration of free fall [m/s²]
// (3rd CGPM, 1901). Every head in Sunrill uses it.
const StandardGravity = 9.80665

// Area is a surface [m²].
type Area float64

// Units of Area.
const (
	SquareMetre      Area = 1
	SquareCentimetre Area = 1e-4
	SquareMillimetre Area = 1e-6
	SquareFoot       Area = 0.3048 * 0.3048
	SquareInch       Area = 0.0254 * 0.0254
)

// Volume is a body of water or gravel [m³].
type Volume float64

// Units of Volume.
const (
	CubicMetre     Volume = 1
	Litre          Volume = 1e-3
	Millilitre     Volume = 1e-6
	USGallon       Volume = 3.785411784e-3
	ImperialGallon Volume = 4.54609e-3
	CubicFoot      Volume = 0.3048 * 0.3048 * 0.3048
)

// Flow is a volume of water a time [m³/s].
type Flow float64

// Units of Flow.
const (
	CubicMetrePerHour       Flow = 1.0 / 3600
	LitrePerSecond          Flow = 1e-3
	LitrePerMinute          Flow = 1e-3 / 60
	LitrePerHour            Flow = 1e-3 / 3600
	USGallonPerMinute       Flow = 3.785411784e-3 / 60
	USGallonPerHour         Flow = 3.785411784e-3 / 3600
	ImperialGallonPerMinute Flow = 4.54609e-3 / 60
	ImperialGallonPerHour   Flow = 4.54609e-3 / 3600
)

// Velocity is a speed of water [m/s].
type Velocity float64

// Units of Velocity.
const (
	MetrePerSecond Velocity = 1
	MetrePerHour   Velocity = 1.0 / 3600
)

// Mass is an amount of fish or feed [kg].
type Mass float64

// Units of Mass.
const (
	Kilogram Mass = 1
	Gram     Mass = 1e-3
	Pound    Mass = 0.45359237
	Ounce    Mass = 0.45359237 / 16
)

// FeedRate is food given over time [kg/s].
type FeedRate float64

// GramPerDay is the unit of FeedRate.
const GramPerDay FeedRate = 1e-3 / 86400

// Power is a rate of work [W].
type Power float64

// Units of Power. Horsepower is the mechanical one of 550 foot-pounds a second.
const (
	Watt       Power = 1
	Kilowatt   Power = 1000
	Horsepower Power = 745.6998715822702
)

// Energy is work done or stored [J].
type Energy float64

// Units of Energy.
const (
	Joule        Energy = 1
	WattHour     Energy = 3600
	KilowattHour Energy = 3.6e6
	Megajoule    Energy = 1e6
)

// Charge is what a battery label counts [C].
type Charge float64

// Units of Charge.
const (
	Coulomb         Charge = 1
	AmpereHour      Charge = 3600
	MilliampereHour Charge = 3.6
)

// Voltage is an electric potential [V].
type Voltage float64

// Units of Voltage.
const (
	Volt      Voltage = 1
	Millivolt Voltage = 1e-3
	Kilovolt  Voltage = 1e3
)

// Current is an electric current [A].
type Current float64

// Units of Current.
const (
	Ampere      Current = 1
	Milliampere Current = 1e-3
)

// Irradiance is sun on a plane [W/m²].
type Irradiance float64

// Units of Irradiance.
const (
	WattPerSquareMetre     Irradiance = 1
	KilowattPerSquareMetre Irradiance = 1000
)

// Angle is a direction or slope [rad].
type Angle float64

// Units of Angle.
const (
	Radian Angle = 1
	Degree Angle = 3.14159265358979323846264338327950288 / 180
)

// Duration is a stretch of time [s]. It is not time.Duration, whose whole
// nanoseconds end after 292 years and cannot be a fraction of one.
type Duration float64

// Units of Duration. A Day has 24 hours, a Week seven days, a Year 365 days
// and a Month a twelfth of that year.
const (
	Second Duration = 1
	Minute Duration = 60
	Hour   Duration = 3600
	Day    Duration = 86400
	Week   Duration = 7 * 86400
	Year   Duration = 365 * 86400
	Month  Duration = 365 * 86400.0 / 12
)

// Temperature is a thermodynamic temperature [K]. Degrees Celsius and
// Fahrenheit are not multiples of it: use Celsius and InCelsius.
type Temperature float64

// Share is a part of a whole [1], read from 0.8 or 80 %.
type Share float64

// Celsius returns the temperature of t degrees Celsius.
func Celsius(t float64) Temperature { return Temperature(t + 273.15) }

// InCelsius returns t in degrees Celsius.
func (t Temperature) InCelsius() float64 { return float64(t) - 273.15 }

// InFahrenheit returns t in degrees Fahrenheit.
func (t Temperature) InFahrenheit() float64 { return t.InCelsius()*1.8 + 32 }

// In returns l as a number of unit.
func (l Length) In(unit Length) float64 { return float64(l / unit) }

// In returns a as a number of unit.
func (a Area) In(unit Area) float64 { return float64(a / unit) }

// In returns v as a number of unit.
func (v Volume) In(unit Volume) float64 { return float64(v / unit) }

// In returns q as a number of unit.
func (q Flow) In(unit Flow) float64 { return float64(q / unit) }

// In returns v as a number of unit.
func (v Velocity) In(unit Velocity) float64 { return float64(v / unit) }

// In returns m as a number of unit.
func (m Mass) In(unit Mass) float64 { return float64(m / unit) }

// In returns p as a number of unit.
func (p Power) In(unit Power) float64 { return float64(p / unit) }

// In returns e as a number of unit.
func (e Energy) In(unit Energy) float64 { return float64(e / unit) }

// In returns c as a number of unit.
func (c Charge) In(unit Charge) float64 { return float64(c / unit) }

// In returns v as a number of unit.
func (v Voltage) In(unit Voltage) float64 { return float64(v / unit) }

// In returns i as a number of unit.
func (i Current) In(unit Current) float64 { return float64(i / unit) }

// In returns a as a number of unit, to a billionth: beyond it is the noise of turning
// degrees into radians and back.
func (a Angle) In(unit Angle) float64 { return math.Round(float64(a/unit)*1e9) / 1e9 }

// In returns d as a number of unit.
func (d Duration) In(unit Duration) float64 { return float64(d / unit) }

// In returns f as a number of unit.
func (f FeedRate) In(unit FeedRate) float64 { return float64(f / unit) }
