package plan

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"sunrill/data"
	"sunrill/data/units"
)

// Key is one row of the key table.
type Key struct {
	Path    string `csv:"key"`                // "pond.volume"; [] marks a list of tables: "feed[].length"
	Kind    string `csv:"kind"`               // a units.Kind by name, or one of keyKinds
	Shape   Shape  `csv:"shape,omitempty"`    // how many values
	Unit    string `csv:"unit,omitempty"`     // unit of the range and of what is shown; "" where there is none
	Min     string `csv:"min,omitempty"`      // least value in Unit; "" for no bound
	Max     string `csv:"max,omitempty"`      // greatest value in Unit; "" for no bound
	Choices words  `csv:"choices,omitempty"`  // for the kind choice
	Default string `csv:"default,omitempty"`  // constant default as a plan would write it, without quotes
	Rule    string `csv:"rule,omitempty"`     // what decides the value where it is not given and no constant does
	Source  string `csv:"source,omitempty"`   // where default or rule comes from
	Flag    string `csv:"flag,omitempty"`     // shorthand flag without dashes
	Takers  words  `csv:"commands,omitempty"` // commands that take the flag
	Needed  bool   `csv:"needed,omitempty"`   // an answer about water, or the list item, cannot do without
	Starter string `csv:"starter,omitempty"`  // what a new plan file says; "" where it only comments the key
	Example string `csv:"example,omitempty"`  // shown there, where neither default nor kind has one
	Group   string `csv:"group"`              // heading that the key stands under
	Help    string `csv:"help"`               // one sentence

	quantity units.Kind // 0 where Kind is not one of package units
	lo, hi   float64    // range in base units
}

// Shape is how many values a key takes.
type Shape int

// The shapes. Monthly and Hourly also take one value for all.
const (
	One Shape = iota
	Monthly
	Hourly
	List
)

// UnmarshalText reads the word of a shape.
func (s *Shape) UnmarshalText(text []byte) error {
	for i, word := range []string{"", "monthly", "hourly", "list"} {
		if word == string(text) {
			*s = Shape(i)
			return nil
		}
	}
	return errors.New("no such shape")
}

// words are divided by |.
type words []string

// UnmarshalText divides them.
func (w *words) UnmarshalText(text []byte) error {
	if len(text) > 0 {
		*w = strings.Split(string(text), "|")
	}
	return nil
}

// keyKinds are the kinds of value beside those of package units: what they take, and
// an example.
var keyKinds = map[string][2]string{
	"text":         {"text", "a name"},
	"file":         {"the path of a file", "file.csv"},
	"choice":       {"one of the words", ""},
	"bool":         {"true or false", "true"},
	"number":       {"a plain number", "1"},
	"count":        {"a whole number", "2"},
	"money":        {"an amount of money as a plain number", "100"},
	"degrees":      {"degrees as a plain number", "30"},
	"speed":        {"a share of the curve's speed such as 0.8 or 80 %", "0.8"},
	"speed_or_off": {"a share of the curve's speed such as 0.8 or 80 %, 0.1 or more, or 0 for off", "0.6"},
	"coefficient":  {"a share a degree such as -0.4 %/K or -0.004", "-0.004"},
	"hours":        {"clock hours such as 22-06", "22-06"},
	"months":       {"months such as May-Sep", "May-Sep"},
	"fittings":     {"fittings with their number such as 4 x elbow, 1 x ball valve", "2 x elbow 90, 1 x ball valve"},
	"parts":        {"the head at a flow such as 0.4 m at 3000 L/h", "0.4 m at 3000 L/h"},
	"controller":   {"amperes, and where known watts and volts, such as 30 A 440 W 100 V", "30 A"},
	"storage":      {"an energy such as 600 Wh or a charge such as 110 Ah", "600 Wh"},
}

// KeyTable returns the rows of data/keys.csv in their order. The slice is
// shared: do not change it.
func KeyTable() []Key { return keyTable().rows }

type keyIndex struct {
	rows     []Key
	byPath   map[string]Key
	byFlag   map[string]Key
	sections map[string]bool // "pond", "feed[]", "branch[].feed[]", ...
}

var keyTable = sync.OnceValue(func() keyIndex {
	ix := keyIndex{rows: data.Embedded[Key]("keys.csv"), byPath: map[string]Key{}, byFlag: map[string]Key{}, sections: map[string]bool{}}
	for i := range ix.rows {
		k := &ix.rows[i]
		if err := k.prepare(); err != nil {
			panic("plan: keys.csv: " + k.Path + ": " + err.Error())
		}
		ix.byPath[k.Path] = *k
		if k.Flag != "" {
			ix.byFlag[k.Flag] = *k
		}
		for s := section(k.Path); s != ""; s = section(s) {
			ix.sections[s] = true
		}
	}
	return ix
})

// prepare turns kind and range into what the decoder needs.
func (k *Key) prepare() error {
	if _, own := keyKinds[k.Kind]; !own {
		var known bool
		if k.quantity, known = units.KindNamed(k.Kind); !known {
			return fmt.Errorf("kind %q", k.Kind)
		}
	}
	base := func(v float64) float64 { return v }
	switch {
	case k.Kind == "degrees":
		base = func(v float64) float64 { return v * float64(units.Degree) }
	case k.Kind == "storage":
		base = func(v float64) float64 { return v * float64(units.WattHour) }
	case k.quantity != 0 && k.quantity != units.KindShare:
		u, err := units.Lookup(k.quantity, k.Unit)
		if err != nil {
			return err
		}
		base = u.Base
	}
	var err error
	bound := func(text string, open float64) float64 {
		v := open
		if text != "" && err == nil {
			v, err = strconv.ParseFloat(text, 64)
		}
		return base(v)
	}
	k.lo, k.hi = bound(k.Min, math.Inf(-1)), bound(k.Max, math.Inf(1))
	return err
}

// section returns the path of the table that holds path, "" at the top.
func section(path string) string {
	i := strings.LastIndexByte(path, '.')
	if i < 0 {
		return ""
	}
	return path[:i]
}

// Pattern returns the row's path of a concrete key: "feed[].length" of
// "feed.1.length". A path that is already a pattern comes back as it is.
func Pattern(key string) string {
	parts := strings.Split(key, ".")
	out := parts[:0:0]
	for _, p := range parts {
		if n := len(out); n > 0 && isIndex(p) {
			out[n-1] += "[]"
			continue
		}
		out = append(out, p)
	}
	return strings.Join(out, ".")
}

// isIndex reports whether a part of a key counts a list item.
func isIndex(part string) bool {
	return part != "" && strings.Trim(part, "0123456789") == ""
}

// KeyNamed returns the row of a key, concrete or pattern.
func KeyNamed(key string) (Key, bool) {
	k, ok := keyTable().byPath[Pattern(key)]
	return k, ok
}

// KeyForFlag returns the row that a flag without dashes is shorthand for.
func KeyForFlag(flag string) (Key, bool) {
	k, ok := keyTable().byFlag[flag]
	return k, ok
}

// First returns the concrete key that a flag sets: the first item of each
// list, "feed.1.length".
func (k Key) First() string { return strings.ReplaceAll(k.Path, "[]", ".1") }

// Name returns the last part of the path, which stands before the = sign in a
// plan file.
func (k Key) Name() string { return strings.TrimPrefix(k.Path[len(section(k.Path)):], ".") }

// Allowed returns what the key takes in words: kind, form and range.
func (k Key) Allowed() string {
	var s string
	switch {
	case k.Kind == "choice":
		s = strings.Join(k.Choices, ", ")
	case k.quantity == units.KindShare:
		s = "a share such as 80 % or 0.8"
	case k.quantity != 0:
		s = k.quantity.Phrase() + " such as " + k.quantity.Example()
	default:
		s = keyKinds[k.Kind][0]
	}
	if r := k.rangeText(); r != "" {
		s += ", " + r
	}
	switch k.Shape {
	case Monthly:
		s += "; one value or twelve from January"
	case Hourly:
		s += "; one value or 24 from midnight"
	case List:
		s += "; one or more values"
	}
	return s
}

// rangeText returns the range in the table's own unit.
func (k Key) rangeText() string {
	unit := ""
	if k.needsUnit() {
		unit = " " + k.Unit
	}
	switch {
	case k.Min == "" && k.Max == "":
		return ""
	case k.Max == "":
		return "at least " + k.Min + unit
	case k.Min == "":
		return "at most " + k.Max + unit
	}
	return "from " + k.Min + " to " + k.Max + unit
}
