package units

import (
	"cmp"
	_ "embed"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Unit is one unit of one kind of quantity: base = number × factor + offset.
// The zero value is no unit; Lookup and System.Unit make real ones.
type Unit struct {
	symbol string
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

type spelling struct {
	kind Kind
	text string
}

var (
	exact  = make(map[spelling]Unit, 512) // as written
	folded = make(map[spelling]Unit, 512) // without regard to capitals
	shown  = map[Kind][]string{KindVelocity: {"m/s", "m/h", "ft/s"}, KindFeedRate: {"g/day", "kg/day", "oz/day", "lb/day"}}
)

//go:embed units.csv
var unitsFile string

func init() {
	for _, r := range records(unitsFile) {
		kind, symbol, how, also := r[0], r[1], r[4], r[5]
		k := Kind(slices.IndexFunc(traits, func(t trait) bool { return t.name == kind }))
		size, noSize := strconv.ParseFloat(r[2], 64)
		zero, noZero := strconv.ParseFloat(cmp.Or(r[3], "0"), 64)
		if k < KindLength || noSize != nil || noZero != nil {
			panic("units: units.csv: " + symbol)
		}
		u := Unit{symbol, size, zero}
		for _, name := range append(strings.Split(also, ","), symbol) {
			name = squeeze(name)
			exact[spelling{k, name}] = u
			if how != "exact" {
				folded[spelling{k, strings.ToLower(name)}] = u
			}
		}
		if how != "hidden" {
			shown[k] = append(shown[k], symbol)
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
	before := ' '
	return strings.Map(func(r rune) rune {
		stop := r == '.' && unicode.IsLetter(before)
		if before = r; stop || strings.ContainsRune(" ^·⋅", r) {
			return -1
		}
		return r
	}, s)
}

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
	return Unit{a.symbol + "/" + t.symbol, a.factor / t.factor, 0}, true
}

// kindOf returns the kind of quantity that text is a unit of, if any.
func kindOf(text string) (Kind, bool) {
	key := squeeze(text)
	for k := range Kind(len(traits)) {
		// The units of a head are those of lengths and pressures.
		if _, ok := findSqueezed(k, key); ok && k != KindHead {
			return k, true
		}
	}
	return 0, false
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

func mustFind(k Kind, symbol string) Unit {
	u, ok := find(k, symbol)
	if !ok {
		panic("units: no unit " + symbol + " of " + k.String())
	}
	return u
}
