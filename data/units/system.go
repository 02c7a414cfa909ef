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

var systemNames = [...]string{"metric", "us", "imperial"}

// String returns the name of s as the command line writes it.
func (s System) String() string { return systemNames[s] }

// Type returns the names as help shows them.
func (System) Type() string { return strings.Join(systemNames[:], "|") }

// Set reads the name of a system: metric, us or imperial.
func (s *System) Set(text string) error {
	for i, name := range systemNames {
		if strings.EqualFold(strings.TrimSpace(text), name) {
			*s = System(i)
			return nil
		}
	}
	return &Error{Found: text, Problem: "there is no such system of units", Allowed: strings.Join(systemNames[:], ", ")}
}

// Unit returns the unit that s shows a quantity of kind k in.
func (s System) Unit(k Kind) Unit { return mustFind(k, traits[k].shown[s]) }
