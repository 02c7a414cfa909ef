package plan

import (
	"fmt"
	"reflect"
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

// tagged returns the field of struct v with a key tag.
func tagged(v reflect.Value, name string) (reflect.Value, bool) {
	if v.Kind() != reflect.Struct {
		return reflect.Value{}, false
	}
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("key") == name {
			return v.Field(i), true
		}
	}
	return reflect.Value{}, false
}

// fieldType returns the type of the field of a pattern that is in the table.
func fieldType(pattern string) reflect.Type {
	v := reflect.ValueOf(Plan{})
	for _, part := range strings.Split(pattern, ".") {
		name, list := strings.CutSuffix(part, "[]")
		if v, _ = tagged(v, name); list {
			v = reflect.Zero(v.Type().Elem())
		}
	}
	return v.Type()
}

// isTable reports whether t holds keys of its own, not a value.
func isTable(t reflect.Type) bool {
	return t.Kind() == reflect.Struct && t.NumField() > 0 && t.Field(0).Tag.Get("key") != ""
}

// Fields calls visit for every value field of p with its concrete key; lists
// without items have none.
func (p *Plan) Fields(visit func(key string, v reflect.Value)) {
	p.walkTables(func(at string, table reflect.Value) {
		for i := range table.NumField() {
			f := table.Field(i)
			name := table.Type().Field(i).Tag.Get("key")
			if name != "" && !isTable(f.Type()) && (f.Kind() != reflect.Slice || !isTable(f.Type().Elem())) {
				visit(joinKey(at, name), f)
			}
		}
	})
}

// walkTables calls visit for every table of p and item of a list, the plan itself
// first, with its concrete key.
func (p *Plan) walkTables(visit func(at string, table reflect.Value)) {
	walkTable(reflect.ValueOf(p).Elem(), "", visit)
}

func walkTable(v reflect.Value, at string, visit func(at string, table reflect.Value)) {
	visit(at, v)
	for i := range v.NumField() {
		name, f := v.Type().Field(i).Tag.Get("key"), v.Field(i)
		switch {
		case name == "":
		case isTable(f.Type()):
			walkTable(f, joinKey(at, name), visit)
		case f.Kind() == reflect.Slice && isTable(f.Type().Elem()):
			for n := range f.Len() {
				walkTable(f.Index(n), fmt.Sprintf("%s.%d", joinKey(at, name), n+1), visit)
			}
		}
	}
}
