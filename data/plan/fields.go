package plan

import (
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
	var grown, before reflect.Value // the outermost list that was
	defer func() {
		if err != nil && grown.IsValid() {
			grown.Set(before)
		}
	}()
	v := reflect.ValueOf(p).Elem()
	parts := strings.Split(key, ".")
	for i := 0; i < len(parts); i++ {
		f, ok := tagged(v, parts[i])
		if !ok {
			return reflect.Value{}, fmt.Errorf("no field %q", key)
		}
		if v = f; i+1 == len(parts) || !isIndex(parts[i+1]) {
			continue
		}
		i++
		list := strings.Join(parts[:i], ".")
		n, fault := strconv.Atoi(parts[i])
		switch most := mostItems(list); {
		case parts[i] == "0":
			return reflect.Value{}, &data.Error{Message: "items count from 1"}
		case fault != nil || n < 1 || n > v.Len()+1:
			return reflect.Value{},
				&data.Error{Message: fmt.Sprintf("there is no item %s: %s has %d, so the next is %[2]s.%[4]d", parts[i], list, v.Len(),
					v.Len()+1)}
		case n > most:
			return reflect.Value{}, data.TooMany("", 0, 0, "item", most)
		}
		if n == v.Len()+1 {
			if !grown.IsValid() {
				grown, before = v, reflect.ValueOf(v.Interface())
			}
			v.Set(reflect.Append(v, reflect.Zero(v.Type().Elem())))
		}
		v = v.Index(n - 1)
	}
	return v, nil
}

// mostItems returns how many items a list of a plan may have.
func mostItems(list string) int {
	if list == "branch" {
		return 32
	}
	return 64
}

// tagged returns the field of struct v that a plan calls name.
func tagged(v reflect.Value, name string) (reflect.Value, bool) {
	i := slices.Index(keyTable().names[v.Type()], name)
	if i < 0 || name == "" {
		return reflect.Value{}, false
	}
	return v.Field(i), true
}

// isTable reports whether t holds keys of its own, not a value.
func isTable(t reflect.Type) bool { return keyTable().names[t] != nil }

// Fields calls visit for every value field of p with its concrete key; lists
// without items have none.
func (p *Plan) Fields(visit func(key string, v reflect.Value)) {
	p.walk(func(key string, v reflect.Value) {
		if !isTable(v.Type()) {
			visit(key, v)
		}
	})
}

// walk calls visit for every table of p, item of a list and value field, the plan itself
// first, with its concrete key.
func (p *Plan) walk(visit func(key string, v reflect.Value)) {
	walk(reflect.ValueOf(p).Elem(), "", visit)
}

func walk(v reflect.Value, at string, visit func(key string, v reflect.Value)) {
	visit(at, v)
	for i, name := range keyTable().names[v.Type()] {
		switch f := v.Field(i); {
		case name == "":
		case f.Kind() == reflect.Slice && isTable(f.Type().Elem()):
			for n := range f.Len() {
				walk(f.Index(n), joinKey(at, name)+"."+strconv.Itoa(n+1), visit)
			}
		default:
			walk(f, joinKey(at, name), visit)
		}
	}
}
