package plan

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
	"strings"
	"time"

	"sunrill/data/units"
)

// Money is an amount in the plan's currency.
type Money float64

// Storage is the nominal size of a battery as its label gives it: energy, or
// charge that becomes energy at a voltage. One of the two is zero.
type Storage struct {
	Energy units.Energy
	Charge units.Charge
}

// At returns the energy of s at voltage v [J].
func (s Storage) At(v units.Voltage) units.Energy {
	return s.Energy + units.Energy(float64(s.Charge)*float64(v))
}

// String returns s in Wh or Ah.
func (s Storage) String() string {
	if s.Charge != 0 {
		return units.Sprintf("%.6g Ah", s.Charge.In(units.AmpereHour))
	}
	return units.Sprintf("%.6g Wh", s.Energy.In(units.WattHour))
}

// ControllerRating is a charge controller as its label gives it. What is 0 is not given.
type ControllerRating struct {
	Current units.Current // towards the battery
	Power   units.Power   // rated output
	Voltage units.Voltage // largest open-circuit voltage of the panel
}

// String returns c as it is written in a plan.
func (c ControllerRating) String() string {
	text := units.Sprintf("%.6g A", float64(c.Current))
	if c.Power > 0 {
		text += units.Sprintf(" %.6g W", float64(c.Power))
	}
	if c.Voltage > 0 {
		text += units.Sprintf(" %.6g V", float64(c.Voltage))
	}
	return text
}

// Hours are the half hours of the clock that a band holds: half hour i runs
// from i/2 to (i+1)/2 o'clock.
type Hours [48]bool

// AllDay returns the whole day.
func AllDay() Hours { return Hours(slices.Repeat([]bool{true}, 48)) }

// String returns h as bands, "22-06" or "00:30-07, 17-21"; "all" and "none"
// for the whole and the empty day.
func (h Hours) String() string {
	clock := func(half int) string { return fmt.Sprintf("%02d%s", half/2, [2]string{"", ":30"}[half%2]) }
	return bands(h[:], func(first, last int) string { return clock(first) + "-" + clock((last+1)%48) })
}

// MonthSet is a choice of months, a bit for each, January the lowest.
type MonthSet uint16

// AllYear holds the twelve months.
const AllYear MonthSet = 1<<12 - 1

// Has reports whether month is in m.
func (m MonthSet) Has(month time.Month) bool { return m>>(month-1)&1 == 1 }

// Count returns how many months are in m.
func (m MonthSet) Count() int { return bits.OnesCount16(uint16(m)) }

// MonthNames are the short English names that plans and pages use.
var MonthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// MonthList returns the names of months, 0 to 11, one after another.
func MonthList(months []int) string {
	names := make([]string, len(months))
	for i, m := range months {
		names[i] = MonthNames[m]
	}
	return strings.Join(names, ", ")
}

// String returns m as "Jun-Aug" or "Jan, Mar-May"; "all" and "none" for the
// whole and the empty year.
func (m MonthSet) String() string {
	var set [12]bool
	for i := range set {
		set[i] = m>>i&1 == 1
	}
	return bands(set[:], func(from, to int) string {
		if from == to {
			return MonthNames[from]
		}
		return MonthNames[from] + "-" + MonthNames[to]
	})
}

// bands writes the runs of a set that closes on itself (after 23:30 comes 0, after
// December January), each by show.
func bands(set []bool, show func(first, last int) string) string {
	if !slices.Contains(set, false) {
		return "all"
	}
	var out []string
	for i, n := 0, len(set); i < n; i++ {
		last := i
		for set[i] && !set[(i+n-1)%n] && set[(last+1)%n] {
			last = (last + 1) % n
		}
		if set[i] && !set[(i+n-1)%n] {
			out = append(out, show(i, last))
		}
	}
	return cmp.Or(strings.Join(out, ", "), "none")
}

// OriginKind says how a value came into a plan.
type OriginKind int

// Ways of a value into a plan.
const (
	FromFile    OriginKind = iota // given in the plan file
	FromCommand                   // given on the command line, by --set where it has no Flag
	FromDefault                   // the table's constant, not given by anybody
	FromStarter                   // still as the starter file has it
)

// Origin is where the value of one key came from.
type Origin struct {
	Kind   OriginKind
	File   string // for FromFile and FromStarter
	Line   int
	Column int    // of the value
	Flag   string // for FromCommand, without dashes
	Text   string // the value as it was written
}

// String returns the origin in words, as "pond.toml:12:10" or "--set".
func (o Origin) String() string {
	switch o.Kind {
	case FromCommand:
		return "--" + cmp.Or(o.Flag, "set")
	case FromDefault:
		return "default"
	}
	return fmt.Sprintf("%s:%d:%d", o.File, o.Line, o.Column)
}
