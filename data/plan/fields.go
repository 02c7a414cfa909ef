package plan

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"sunrill/data"
)

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
