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

// mustFind returns a unit that is named in this package.
func mustFind(k Kind, symbol string) Unit {
	u, ok := find(k, symbol)
	if !ok {
		panic("units: no unit " + symbol + " of " + k.String())
	}
	return u
}

// Home returns the unit that Format and String print a quantity of kind k in.
func (k Kind) Home() Unit { return mustFind(k, traits[k].home) }

// Format returns a quantity given in the base unit of k as text in its
// customary unit, to 12 digits. Parse reads it back to within 1e-11.
func Format(k Kind, base float64) string {
	u := k.Home()
	if u.symbol == "°" {
		return number12(u.From(base)) + "°"
	}
	return number12(u.From(base)) + " " + u.symbol
}

// Share is a part of a whole [1], read from 0.8 or 80 %.
type Share float64

// ParseShare reads a share: a bare number from 0 to 1, or a percentage of any
// size. A bare number above 1 is refused with both readings.
func ParseShare(s string) (Share, error) { return read[Share](KindShare, s) }

// String returns the share in per cent, to 12 digits.
func (s Share) String() string { return Format(KindShare, float64(s)) }

// Set reads text into s by the rules of [Parse].
func (s *Share) Set(text string) error { return set(s, KindShare, text) }

// Type returns the word that stands for the value in help texts.
func (s Share) Type() string { return KindShare.String() }

// UnmarshalText is Set for decoders.
func (s *Share) UnmarshalText(text []byte) error { return s.Set(string(text)) }
