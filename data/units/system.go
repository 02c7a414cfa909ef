package units

import "strings"

// System is a family of units to show results in.
type System int

// The systems. Imperial differs from US in its gallon and in the degree: the
// countries that use that gallon read Celsius.
const (
	Metric System = iota
	US
	Imperial
)

// String returns the name of s as the command line writes it.
func (s System) String() string {
	switch s {
	case Metric:
		return "metric"
	case US:
		return "us"
	case Imperial:
		return "imperial"
	}
	return "System(?)"
}

// Set reads the name of a system: metric, us or imperial.
func (s *System) Set(text string) error {
	for _, one := range []System{Metric, US, Imperial} {
		if strings.EqualFold(strings.TrimSpace(text), one.String()) {
			*s = one
			return nil
		}
	}
	return &Error{Found: text, Problem: "there is no such system of units", Allowed: "metric, us, imperial"}
}

// Type returns the word that stands for the value in help texts.
func (s System) Type() string { return "system" }

// UnmarshalText is Set for decoders.
func (s *System) UnmarshalText(text []byte) error { return s.Set(string(text)) }

// everyday names the unit that each system shows a kind in, where the systems
// differ or where people read another unit than String writes.
var everyday = map[Kind][3]string{
	KindLength:      {"m", "ft", "ft"},
	KindBore:        {"mm", "in", "in"},
	KindHead:        {"m", "ft", "ft"},
	KindArea:        {"m²", "ft²", "ft²"},
	KindVolume:      {"m³", "US gal", "imp gal"},
	KindFlow:        {"L/h", "US gal/h", "imp gal/h"},
	KindVelocity:    {"m/s", "ft/s", "ft/s"},
	KindMass:        {"kg", "lb", "lb"},
	KindFeedRate:    {"g/day", "oz/day", "oz/day"},
	KindTemperature: {"°C", "°F", "°C"},
}

// Unit returns the unit that s shows a quantity of kind k in. Electrical
// units, times, angles and shares are the same in every system.
func (s System) Unit(k Kind) Unit {
	symbol := traits[k].home
	if three, ok := everyday[k]; ok && s >= Metric && s <= Imperial {
		symbol = three[s]
	}
	return mustFind(k, symbol)
}
