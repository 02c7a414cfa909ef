package document

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"time"

	"sunrill/data/units"
)

// endings are the units that keys end in: those of JSON, of columns and of CSV.
var endings = []Unit{Flow, FlowPerDay, Volume, Litres, Head, Bore, Velocity, RiseRate, Area, OpeningArea, CopperArea, Mass, Temperature,
	Power, VoltAmps, WattHours, KilowattHours, KWhPerDay, KWhPerYear, Volts, Amps, AmpHours, WattsPerM2, Hours, Minutes, Seconds, Days,
	Years, Degrees, Fraction, WhPerVolume, KWhPerM2Day, WhPerWattDay, HoursPerYear, TurnoversPerDay, MgPerLitre,
	told(same("m3_per_year", "m3/year"), units.CubicMetre), told(same("l_per_day", "L/day"), units.Litre),
	told(same("seconds", "s"), units.Second),
}

// Endings of bare numbers and, after an equals sign, their symbol; of sums in the
// currency of the plan.
const (
	bareEndings = `kwh_per_m2_year=kWh/m2/year wh_per_w_year=Wh/W/year kg_per_year=kg/year k=K s2_per_m5=s2/m5
		fraction_per_month=1/month ratio factor chance array_to_load flow_over_flow nights_with_stop_per_year
		critical availability_99 availability_95 years_in_ten
		rad=rad m2_per_s=m2/s pa_s=Pa·s kg_per_m3=kg/m3 m_per_s2=m/s2 per_k=1/K per_h=1/h wh_per_w=Wh/W wh_per_m2=Wh/m2 ohm=ohm atm=atm
		g_per_h=g/h mg_per_l_h=mg/L/h mg_per_m2_h=mg/m2/h mg_per_kg_h=mg/kg/h recovery=1/year`
	moneyEndings = `price cost_per_year cost_per_kwh saving_per_year saves_per_year`
)

func init() {
	for field := range strings.FieldsSeq(bareEndings) {
		suffix, symbol, _ := strings.Cut(field, "=")
		endings = append(endings, same(suffix, symbol))
	}
	for suffix := range strings.FieldsSeq(moneyEndings) {
		sum := same(suffix, "")
		sum.kindOf, sum.size = "Money", 1
		endings = append(endings, sum)
	}
	for _, u := range endings {
		unitOf[u.Suffix] = u
	}
}

// unitOf holds endings by themselves.
var unitOf = map[string]Unit{}

// endingOf returns the unit of the longest ending that key has.
func endingOf(key string) (u Unit, is bool) {
	for more := true; more && !is; _, key, more = strings.Cut(key, "_") {
		u, is = unitOf[key]
	}
	return u, is
}

// UnitOf returns the unit that a key ends in, None where it names none.
func UnitOf(key string) Unit {
	if u, is := endingOf(key); is {
		return u
	}
	return None
}

// IsMoney reports whether key ends as sums in the currency of the plan do.
func IsMoney(key string) bool { return UnitOf(key).money() }

// InUnitOf returns v in the unit that key ends in. A bare number is in it already. What is
// next to nothing is 0.
func InUnitOf(key string, v reflect.Value) (float64, error) {
	u, is := endingOf(key)
	switch bare := v.Type().PkgPath() == ""; {
	case !is:
		return 0, fmt.Errorf("document: the key %s of %v ends in no unit", key, v)
	case bare:
		return settled(v.Float()), nil
	case u.kindOf != v.Type().Name():
		return 0, fmt.Errorf("document: the key %s is not for %v", key, v)
	}
	return settled(u.of(v)), nil
}

// Object returns v as JSON shows it, a struct whose fields carry json tags: under
// each key its figure in the unit that the key ends in, what is unknown as null with
// the reason under key_why. The option inline puts the fields of a struct in its
// place, their keys after the tag's. A pair is two figures, low_key and high_key.
func Object(v any) (any, error) {
	out, _, err := value("", reflect.ValueOf(v))
	return out, err
}

// Leaves calls found with what stands in an object, as Object returns it, and its path from
// path on, such as pumps.2.clean.turnover_h: items of lists count from 1.
func Leaves(path string, v any, found func(path string, v any)) {
	at := func(key string) string { return strings.TrimPrefix(path+"."+key, ".") }
	switch v := v.(type) {
	case Ordered:
		for _, m := range v {
			Leaves(at(m.Key), m.Value, found)
		}
	case []any:
		for i, one := range v {
			Leaves(at(strconv.Itoa(i+1)), one, found)
		}
	default:
		found(path, v)
	}
}

// maybe is a figure that may be unknown.
type maybe interface {
	Figure() (v any, known bool, why units.Text)
}

// value returns what JSON prints of v under key, and why it is not known, or is what it is.
func value(key string, v reflect.Value) (out any, why units.Text, err error) {
	if !v.IsValid() {
		return nil, "", nil
	}
	if m, is := v.Interface().(maybe); is {
		inner, known, why := m.Figure()
		out, deeper, err := value(key, reflect.ValueOf(inner))
		if !known {
			out = nil
		}
		return out, cmp.Or(why, deeper), err
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		return value(key, v.Elem())
	case reflect.Struct:
		out, err = members(nil, "", v)
		return out, "", err
	case reflect.Slice, reflect.Array:
		list := make([]any, v.Len())
		for i := 0; i < len(list) && err == nil; i++ {
			list[i], _, err = value(key, v.Index(i))
		}
		return list, "", err
	case reflect.Float64:
		x, err := InUnitOf(key, v)
		if math.IsInf(x, 0) || math.IsNaN(x) {
			err = cmp.Or(err, fmt.Errorf("document: %s is no finite number", key))
		}
		return x, "", err
	case reflect.Int:
		if s, is := v.Interface().(fmt.Stringer); is && v.Type() != reflect.TypeFor[time.Month]() {
			return s.String(), "", nil
		}
	case reflect.String:
		if t, is := v.Interface().(units.Text); is {
			return t, "", nil
		}
		return v.String(), "", nil
	}
	return v.Interface(), "", nil
}

// members appends what the fields of v hold, prefix before their keys.
func members(out Ordered, prefix string, v reflect.Value) (Ordered, error) {
	if !v.IsValid() { // embedded, and not there
		return out, nil
	}
	for i := range v.NumField() {
		f, inner := v.Type().Field(i), v.Field(i)
		tag := f.Tag.Get("json")
		key, option, _ := strings.Cut(tag, ",")
		var err error
		switch key = prefix + key; {
		case f.Anonymous && tag == "":
			out, err = members(out, prefix, reflect.Indirect(inner))
		case tag == "" || tag == "-" || option == "omitempty" && inner.IsZero():
		case option == "inline":
			out, err = inline(out, key, inner)
		case inner.Kind() == reflect.Array && inner.Len() == 2:
			for end, name := range []string{"low_", "high_"} {
				if out, err = add(out, name+key, inner.Index(end)); err != nil {
					break
				}
			}
		default:
			out, err = add(out, key, inner)
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// inline appends the fields of a struct, each unknown where the struct is.
func inline(out Ordered, prefix string, v reflect.Value) (Ordered, error) {
	m, is := v.Interface().(maybe)
	if !is {
		return members(out, prefix, v)
	}
	inner, known, why := m.Figure()
	from := len(out)
	out, err := members(out, prefix, reflect.ValueOf(inner))
	if known || err != nil {
		return out, err
	}
	keys := out[from:]
	out = out[:from:from]
	for _, m := range keys {
		if !strings.HasSuffix(m.Key, "_why") {
			out = append(out, Member{m.Key, nil}, Member{m.Key + "_why", why})
		}
	}
	return out, nil
}

// add appends v under key, or null and the reason.
func add(out Ordered, key string, v reflect.Value) (Ordered, error) {
	x, why, err := value(key, v)
	out = append(out, Member{key, x})
	if why != "" {
		out = append(out, Member{key + "_why", why})
	}
	return out, err
}

// TableOf returns rows, structs with json tags, as a table: under each column the
// figure of its key, or of From where that is a path to it, in the unit that the
// key ends in.
func TableOf[T any](key string, rows []T, columns []Column) Table {
	t := Table{Key: key, Columns: columns}
	for j, c := range columns {
		if c.Unit == (Unit{}) {
			columns[j].Unit = UnitOf(c.Key)
		}
	}
	for _, row := range rows {
		object, _ := Object(row) // what fails has no figure for any column
		cells := make([]Cell, len(columns))
		for j, c := range columns {
			cells[j] = cellAt(object, cmp.Or(c.From, c.Key))
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// cellAt returns the figure of an object at a path of keys as a cell, one that no
// page takes where there is none.
func cellAt(object any, path string) Cell {
	key, rest, deeper := strings.Cut(path, ".")
	all, _ := object.(Ordered)
	why := units.Text("")
	for i, m := range all {
		if m.Key != key {
			continue
		}
		if i+1 < len(all) && all[i+1].Key == key+"_why" {
			why, _ = all[i+1].Value.(units.Text)
		}
		if number, is := m.Value.(int); is && key == "month" {
			m.Value = time.Month(number)
		}
		switch x := m.Value.(type) {
		case nil:
			return Unknown(why)
		case float64:
			return Number(x)
		case int:
			return Number(float64(x))
		case time.Month:
			return Text(x.String()[:3])
		case units.Text:
			return Text(x)
		case string:
			return Text(x)
		case bool:
			return Text(map[bool]string{true: "yes", false: "no"}[x])
		}
		if deeper {
			return cellAt(m.Value, rest)
		}
	}
	return Number(math.NaN())
}

// Encoded returns v as JSON, <, > and & as they are.
func Encoded(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(v)
	return bytes.TrimSpace(b.Bytes()), err
}

// Ordered is a JSON object whose members keep their order.
type Ordered []Member

// Member is one key of an object with its value.
type Member struct {
	Key   string
	Value any
}

// MarshalJSON prints the members in order.
func (o Ordered) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		value, err := Encoded(m.Value)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "%q:%s", m.Key, value)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}
