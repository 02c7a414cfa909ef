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

// The quantities. A Duration is not time.Duration, whose whole nanoseconds end after 292
// years and cannot be a fraction of one. A Temperature in degrees Celsius or Fahrenheit is
// no multiple of a unit: use Celsius and InCelsius.
type (
	Length      = Quantity[length]     // a distance or a head of water [m]
	Area        = Quantity[area]       // a surface [m²]
	Volume      = Quantity[volume]     // a body of water or gravel [m³]
	Flow        = Quantity[flow]       // a volume of water a time [m³/s]
	Velocity    = Quantity[velocity]   // a speed of water [m/s]
	Mass        = Quantity[mass]       // an amount of fish or feed [kg]
	FeedRate    = Quantity[feedRate]   // food given over time [kg/s]
	Power       = Quantity[power]      // a rate of work [W]
	Energy      = Quantity[energy]     // work done or stored [J]
	Charge      = Quantity[charge]     // what a battery label counts [C]
	Voltage     = Quantity[voltage]    // an electric potential [V]
	Current     = Quantity[current]    // an electric current [A]
	Irradiance  = Quantity[irradiance] // sun on a plane [W/m²]
	Angle       float64                // a direction or slope [rad]
	Duration    = Quantity[duration]   // a stretch of time [s]
	Temperature float64                // a thermodynamic temperature [K]
	Share       = Quantity[share]      // a part of a whole [1], read from 0.8 or 80 %
)

// The units. Horsepower is the mechanical one of 550 foot-pounds a second. A Day has 24
// hours, a Year 365 days and a Month a twelfth of that year.
const (
	Metre      Length = 1
	Millimetre Length = 0.001
	Inch       Length = 0.0254
	Foot       Length = 0.3048

	SquareMetre      Area = 1
	SquareCentimetre Area = 1e-4
	SquareMillimetre Area = 1e-6
	SquareFoot       Area = 0.3048 * 0.3048

	CubicMetre     Volume = 1
	Litre          Volume = 1e-3
	USGallon       Volume = 3.785411784e-3
	ImperialGallon Volume = 4.54609e-3
	CubicFoot      Volume = 0.3048 * 0.3048 * 0.3048

	CubicMetrePerHour Flow = 1.0 / 3600
	LitrePerSecond    Flow = 1e-3
	LitrePerMinute    Flow = 1e-3 / 60
	LitrePerHour      Flow = 1e-3 / 3600
	USGallonPerMinute Flow = 3.785411784e-3 / 60
	USGallonPerHour   Flow = 3.785411784e-3 / 3600

	MetrePerSecond Velocity = 1
	MetrePerHour   Velocity = 1.0 / 3600

	Kilogram Mass = 1
	Gram     Mass = 1e-3

	Watt               Power      = 1
	Kilowatt           Power      = 1000
	Horsepower         Power      = 745.6998715822702
	WattHour           Energy     = 3600
	KilowattHour       Energy     = 3.6e6
	AmpereHour         Charge     = 3600
	Volt               Voltage    = 1
	Ampere             Current    = 1
	WattPerSquareMetre Irradiance = 1

	Degree Angle = 3.14159265358979323846264338327950288 / 180

	Second Duration = 1
	Minute Duration = 60
	Hour   Duration = 3600
	Day    Duration = 86400
	Year   Duration = 365 * 86400
	Month  Duration = 365 * 86400.0 / 12
)

// StandardGravity is the conventional acceleration of free fall [m/s²]
// (3rd CGPM, 1901). Every head in Sunrill uses it.
const StandardGravity = 9.80665

// Celsius returns the temperature of t degrees Celsius.
func Celsius(t float64) Temperature { return Temperature(t + 273.15) }

// InCelsius returns t in degrees Celsius.
func (t Temperature) InCelsius() float64 { return float64(t) - 273.15 }

// String returns t in degrees Celsius, to 12 digits.
func (t Temperature) String() string { return Format(KindTemperature, float64(t)) }

// String returns a in degrees, to 12 digits.
func (a Angle) String() string { return Format(KindAngle, float64(a)) }

// In returns a as a number of unit, to a billionth: beyond it is the noise of turning
// degrees into radians and back.
func (a Angle) In(unit Angle) float64 { return math.Round(float64(a/unit)*1e9) / 1e9 }

// Quantity is a number of the kind that K names, in the base unit of that kind.
type Quantity[K interface{ kind() Kind }] float64

// In returns q as a number of unit.
func (q Quantity[K]) In(unit Quantity[K]) float64 { return float64(q / unit) }

// String returns q in its customary unit, to 12 digits. There is no MarshalText:
// machines get bare numbers, with the unit in the key.
func (q Quantity[K]) String() string { return Format(q.Kind(), float64(q)) }

// Kind returns the kind of q.
func (q Quantity[K]) Kind() Kind {
	var k K
	return k.kind()
}

type (
	length     struct{}
	area       struct{}
	volume     struct{}
	flow       struct{}
	velocity   struct{}
	mass       struct{}
	feedRate   struct{}
	power      struct{}
	energy     struct{}
	charge     struct{}
	voltage    struct{}
	current    struct{}
	irradiance struct{}
	duration   struct{}
	share      struct{}
)

func (length) kind() Kind     { return KindLength }
func (area) kind() Kind       { return KindArea }
func (volume) kind() Kind     { return KindVolume }
func (flow) kind() Kind       { return KindFlow }
func (velocity) kind() Kind   { return KindVelocity }
func (mass) kind() Kind       { return KindMass }
func (feedRate) kind() Kind   { return KindFeedRate }
func (power) kind() Kind      { return KindPower }
func (energy) kind() Kind     { return KindEnergy }
func (charge) kind() Kind     { return KindCharge }
func (voltage) kind() Kind    { return KindVoltage }
func (current) kind() Kind    { return KindCurrent }
func (irradiance) kind() Kind { return KindIrradiance }
func (duration) kind() Kind   { return KindTime }
func (share) kind() Kind      { return KindShare }

// EnergyPerDay is the energy of a mean day, EnergyPerYear that of 365 days. They are
// types of their own, so that one is never added to, or printed as, the other.
type (
	EnergyPerDay  Energy
	EnergyPerYear Energy
)

// WattHours returns e [Wh a day].
func (e EnergyPerDay) WattHours() float64 { return Energy(e).In(WattHour) }

// KilowattHours returns e [kWh a day].
func (e EnergyPerDay) KilowattHours() float64 { return Energy(e).In(KilowattHour) }

// KilowattHours returns e [kWh a year].
func (e EnergyPerYear) KilowattHours() float64 { return Energy(e).In(KilowattHour) }
