package units

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
)

// Kind names a quantity that a person can type, so that a table of keys or
// columns can say what each one holds. The zero Kind is none of them.
type Kind int

// The kinds, each with the unit that Parse returns it in.
const (
	_               Kind = iota
	KindLength           // m
	KindBore             // m, a Length shown in mm or inches
	KindHead             // m, a Length that also takes pressures of water
	KindArea             // m²
	KindVolume           // m³
	KindFlow             // m³/s
	KindVelocity         // m/s
	KindMass             // kg
	KindFeedRate         // kg/s
	KindPower            // W
	KindEnergy           // J
	KindTemperature      // K
	KindCharge           // C
	KindVoltage          // V
	KindCurrent          // A
	KindIrradiance       // W/m²
	KindAngle            // rad
	KindTime             // s
	KindShare            // 1
	kindPressure         // m of water; only inside KindHead
)

//go:embed kinds.csv
var kindsFile string

type trait struct {
	name, phrase, example string
	signed                bool
	home                  string
	shown                 [3]string // by System
}

var traits = func() []trait {
	all := []trait{{}}
	for _, r := range records(kindsFile) {
		all = append(all, trait{r[0], r[1], r[2], r[3] == "yes", r[4], [3]string(r[5:])})
	}
	return all
}()

// records returns the rows of an embedded table. One that cannot be read is a fault of the
// program, and panics.
func records(file string) [][]string {
	in := csv.NewReader(strings.NewReader(file))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		panic("units: " + err.Error())
	}
	return rows[1:]
}

// String returns the name of k as key tables write it, such as "feed rate".
func (k Kind) String() string {
	if k <= 0 || int(k) >= len(traits) {
		return "Kind(" + strconv.Itoa(int(k)) + ")"
	}
	return traits[k].name
}

// KindNamed returns the kind with that name, and whether there is one.
func KindNamed(name string) (Kind, bool) {
	k := max(0, slices.IndexFunc(traits[:kindPressure], func(t trait) bool { return t.name == name }))
	return Kind(k), k > 0
}

// Kinds returns every kind that Parse takes.
func Kinds() (all []Kind) {
	for k := KindLength; k < kindPressure; k++ {
		all = append(all, k)
	}
	return all
}

// Example returns a right form of a quantity of kind k, such as "2400 L/h".
func (k Kind) Example() string { return traits[k].example }

// Phrase returns the name of k with its article, such as "a flow".
func (k Kind) Phrase() string { return traits[k].phrase }

// families returns the kinds whose units k takes.
func (k Kind) families() []Kind {
	switch k {
	case KindBore:
		return []Kind{KindLength}
	case KindHead:
		return []Kind{KindLength, kindPressure}
	}
	return []Kind{k}
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
