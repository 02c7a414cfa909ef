package plan

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"sunrill/data"
	"sunrill/data/units"
)

// Key is one row of the key table.
type Key struct {
	Path    string `csv:"key"`                // "pond.volume"; [] marks a list of tables: "feed[].length"
	Kind    string `csv:"kind"`               // a units.Kind by name, or a row of data/kinds.csv
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

	kind     kind
	quantity units.Kind   // 0 where Kind is not one of package units
	lo, hi   float64      // range in base units
	holds    reflect.Type // of the field of Plan
}

// Shape is how many values a key takes.
type Shape string

// The shapes. Monthly and Hourly also take one value for all.
const (
	One     Shape = ""
	Monthly Shape = "monthly"
	Hourly  Shape = "hourly"
	List    Shape = "list"
)

// words are divided by |.
type words []string

// UnmarshalText divides them.
func (w *words) UnmarshalText(text []byte) error {
	if len(text) > 0 {
		*w = strings.Split(string(text), "|")
	}
	return nil
}

// kind is a row of data/kinds.csv, which says what its columns hold.
type kind struct {
	Name    string `csv:"kind"`
	Takes   string `csv:"takes,omitempty"`
	Example string `csv:"example,omitempty"`
	Parts   string `csv:"parts,omitempty"`
}

// KeyTable returns the rows of data/keys.csv in their order. The slice is
// shared: do not change it.
func KeyTable() []Key { return keyTable().rows }

type keyIndex struct {
	rows   []Key
	byPath map[string]*Key
	order  []string                  // of the tables, "" first
	inside map[string][]Key          // of each table
	tables map[string]reflect.Type   // "pond", "feed[]", "branch[].feed[]", ...
	names  map[reflect.Type][]string // what a plan calls the fields of a table, "" where it has none
}

var keyTable = sync.OnceValue(func() *keyIndex {
	ix := &keyIndex{data.Embedded[Key]("keys.csv"), map[string]*Key{}, nil, map[string][]Key{}, map[string]reflect.Type{},
		map[reflect.Type][]string{}}
	kinds := map[string]kind{}
	for _, row := range data.Embedded[kind]("kinds.csv") {
		kinds[row.Name] = row
	}
	for i := range ix.rows {
		k := &ix.rows[i]
		k.holds = ix.field(k.Path)
		if err := k.prepare(kinds); err != nil {
			panic("plan: keys.csv: " + k.Path + ": " + err.Error())
		}
		ix.byPath[k.Path] = k
		at := section(k.Path)
		if ix.inside[at] == nil {
			ix.order = append(ix.order, at)
		}
		ix.inside[at] = append(ix.inside[at], *k)
	}
	return ix
})

// field returns the type of the field of Plan that stands for a pattern.
func (ix *keyIndex) field(pattern string) reflect.Type {
	at := ix.table(section(pattern))
	name := strings.TrimSuffix(lastPart(pattern), "[]")
	for i, plain := 0, strings.ReplaceAll(name, "_", ""); i < at.NumField(); i++ {
		if f := at.Field(i); strings.EqualFold(f.Name, plain) || f.Tag.Get("key") == name {
			ix.names[at][i] = name
			return f.Type
		}
	}
	panic("plan: keys.csv: Plan has no field for " + pattern)
}

func (ix *keyIndex) table(pattern string) reflect.Type {
	t, known := ix.tables[pattern]
	if pattern == "" {
		t = reflect.TypeFor[Plan]()
	} else if !known {
		if t = ix.field(pattern); t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		ix.tables[pattern] = t
	}
	if ix.names[t] == nil {
		ix.names[t] = make([]string, t.NumField())
	}
	return t
}

// prepare turns kind and range into what the decoder needs.
func (k *Key) prepare(kinds map[string]kind) (err error) {
	var own, known bool
	k.kind, own = kinds[k.Kind]
	switch k.quantity, known = units.KindNamed(k.Kind); {
	case k.Kind == "choice":
		k.kind.Takes, k.kind.Example = strings.Join(k.Choices, ", "), strings.Join(k.Choices[:min(1, len(k.Choices))], "")
	case known && !own:
		k.kind = kind{Takes: k.quantity.Phrase() + " such as " + k.quantity.Example(), Example: k.quantity.Example()}
	case !own:
		return fmt.Errorf("kind %q", k.Kind)
	}
	unit := units.Unit{}
	base := func(v float64) float64 { return v }
	of := cmp.Or(k.quantity, map[string]units.Kind{"degrees": units.KindAngle, "latitude": units.KindAngle,
		"longitude": units.KindAngle, "storage": units.KindEnergy}[k.Kind])
	if of != 0 && of != units.KindShare {
		if unit, err = units.Lookup(of, k.Unit); err != nil {
			return err
		}
		base = unit.Base
	}
	lo, noLo := strconv.ParseFloat(cmp.Or(k.Min, "-Inf"), 64)
	hi, noHi := strconv.ParseFloat(cmp.Or(k.Max, "Inf"), 64)
	k.lo, k.hi = base(lo), base(hi)
	if k.quantity != 0 && k.Shape != List && (k.Example != "" || k.Takes(k.kind.Example) != nil) { // that of its kind may be out of range
		example := k.example()
		k.kind = kind{Takes: k.quantity.Phrase() + " such as " + example, Example: example}
	}
	return errors.Join(noLo, noHi)
}

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

func isIndex(part string) bool {
	return part != "" && strings.Trim(part, "0123456789") == ""
}

// KeyNamed returns the row of a key, concrete or pattern.
func KeyNamed(key string) (Key, bool) {
	if k := keyTable().byPath[Pattern(key)]; k != nil {
		return *k, true
	}
	return Key{}, false
}

// KeyForFlag returns the row that a flag without dashes is shorthand for.
func KeyForFlag(flag string) (Key, bool) {
	i := slices.IndexFunc(KeyTable(), func(k Key) bool { return flag != "" && k.Flag == flag })
	if i < 0 {
		return Key{}, false
	}
	return KeyTable()[i], true
}

// First returns the concrete key that a flag sets: the first item of each
// list, "feed.1.length".
func (k Key) First() string { return strings.ReplaceAll(k.Path, "[]", ".1") }

// Name returns the last part of the path, which stands before the = sign in a
// plan file.
func (k Key) Name() string { return lastPart(k.Path) }

// Allowed returns what the key takes in words: kind, form and range.
func (k Key) Allowed() string {
	s := k.kind.Takes
	if r := k.rangeText(); r != "" {
		s += ", " + r
	}
	switch k.Shape {
	case Monthly:
		s += "; one value or twelve from January"
	case Hourly:
		s += "; one value or 24 from midnight"
	case List:
		s += `; one or more values, as "` + k.Example + `"`
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

// field returns the settable field of p that a concrete key names, making the
// next item of a list where the key counts one beyond its end. An *Error says
// why a list has no such item; p is then as it was.
func (p *Plan) field(key string) (_ reflect.Value, err error) {
	before := *p
	defer func() {
		if err != nil {
			*p = before
		}
	}()
	v := reflect.ValueOf(p).Elem()
	parts := strings.Split(key, ".")
	for i := 0; i < len(parts); i++ {
		at := slices.Index(keyTable().names[v.Type()], parts[i])
		if at < 0 || parts[i] == "" {
			return reflect.Value{}, fmt.Errorf("no field %q", key)
		}
		if v = v.Field(at); i+1 == len(parts) || !isIndex(parts[i+1]) {
			continue
		}
		i++
		list, have := strings.Join(parts[:i], "."), v.Len()
		n, _ := strconv.Atoi(parts[i]) // of too many digits the largest number there is
		switch {
		case n == 0:
			return reflect.Value{}, &data.Error{Message: "items count from 1"}
		case n > have+1:
			return reflect.Value{}, &data.Error{Message: fmt.Sprintf("there is no item %s: %s has %d, so the next is %[2]s.%[4]d",
				parts[i], list, have, have+1)}
		case n > mostItems(list):
			return reflect.Value{}, data.TooMany("", 0, 0, "item", mostItems(list))
		case n > have:
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
		}
		v = v.Index(n - 1)
	}
	return v, nil
}

func mostItems(list string) int { return cmp.Or(map[string]int{"branch": 32}[list], 64) }

// holdsTables reports whether a field of type t holds a table or a list of them, not a value.
func holdsTables(t reflect.Type) bool {
	return keyTable().names[t] != nil || t.Kind() == reflect.Slice && keyTable().names[t.Elem()] != nil
}

// Fields calls visit for every value field of p with its concrete key; lists
// without items have none.
func (p *Plan) Fields(visit func(key string, v reflect.Value)) {
	p.walk(func(at string, table reflect.Value) {
		for i, name := range keyTable().names[table.Type()] {
			if f := table.Field(i); name != "" && !holdsTables(f.Type()) {
				visit(joinKey(at, name), f)
			}
		}
	})
}

// walk calls visit for every table of p and item of a list, the plan itself first, with
// its concrete key.
func (p *Plan) walk(visit func(at string, table reflect.Value)) {
	var walk func(at string, v reflect.Value)
	walk = func(at string, v reflect.Value) {
		visit(at, v)
		for i, name := range keyTable().names[v.Type()] {
			switch f := v.Field(i); {
			case name == "" || !holdsTables(f.Type()):
			case f.Kind() == reflect.Slice:
				for n := range f.Len() {
					walk(joinKey(at, name)+"."+strconv.Itoa(n+1), f.Index(n))
				}
			default:
				walk(joinKey(at, name), f)
			}
		}
	}
	walk("", reflect.ValueOf(p).Elem())
}
