package plan

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"sunrill/data"
	"sunrill/data/units"
)

// written is a value as it stands in a plan file or after --set key=.
type written struct {
	form   form
	text   string // what was written, quotes removed
	offset int    // where in the file
	from   int    // where it begins behind its key, and ends
	to     int
	items  []written
	pairs  []pair // of an inline table
}

// form is the TOML form of a value.
type form int

const (
	quoted form = iota // a string, or any text of a flag or --set
	plainNumber
	plainBool
	plainDate
	array
	inlineTable
)

// pair is one name and value of an inline table.
type pair struct {
	names []name
	value written
}

// name is one part of a dotted key.
type name struct {
	text   string
	offset int
}

// misfit is a fault in a value, before file and line are known.
type misfit struct {
	data.Error
	offset int
}

// misfits returns the one fault of a value.
func misfits(w written, message, allowed string) []misfit {
	return []misfit{{data.Error{Found: w.text, Message: message, Allowed: allowed}, w.offset}}
}

// decode writes what w says into dst, the field of key k, or leaves dst alone
// and returns every fault of w.
func (k Key) decode(dst reflect.Value, w written) []misfit {
	if dst.Kind() == reflect.Pointer {
		fresh := reflect.New(dst.Type().Elem())
		bad := k.decode(fresh.Elem(), w)
		if len(bad) == 0 {
			dst.Set(fresh)
		}
		return bad
	}
	switch {
	case k.Kind == "fittings":
		return store(dst, w, fittings)
	case k.Kind == "parts":
		return store(dst, w, parts)
	case k.Kind == "hours":
		return store(dst, w, hours)
	case k.Kind == "months":
		return store(dst, w, months)
	case k.Shape == One:
		return k.decodeOne(dst, w)
	}
	return k.decodeMany(dst, w)
}

// Takes returns nil where k takes the value text, else every fault of it as
// joined *Error values under the name of k.
func (k Key) Takes(text string) error {
	scratch := reflect.New(k.holds).Elem()
	var faults []*data.Error
	for _, bad := range k.decode(scratch, written{form: quoted, text: text}) {
		bad.Key = k.Name()
		faults = append(faults, &bad.Error)
	}
	return data.Joined(faults)
}

// store reads w with one of the readers of planwords.go.
func store[T any](dst reflect.Value, w written, read func(written) (T, []misfit)) []misfit {
	v, bad := read(w)
	if len(bad) == 0 {
		dst.Set(reflect.ValueOf(v))
	}
	return bad
}

// decodeMany fills an array of months or hours, or a list of any length.
func (k Key) decodeMany(dst reflect.Value, w written) []misfit {
	items := w.items
	if w.form != array {
		items = k.split(dst, w)
	}
	want := map[Shape]int{Monthly: 12, Hourly: 24}[k.Shape]
	switch {
	case len(items) == 0:
		return misfits(w, "the list is empty", "")
	case want > 0 && len(items) != 1 && len(items) != want:
		w.text = fmt.Sprintf("%d values", len(items))
		return misfits(w, fmt.Sprintf("one value or %d are needed", want), "")
	}
	fresh := reflect.New(dst.Type()).Elem()
	if want == 0 {
		fresh = reflect.MakeSlice(dst.Type(), len(items), len(items))
	}
	var bad []misfit
	for i, item := range items {
		bad = append(bad, k.decodeOne(fresh.Index(i), item)...)
	}
	if len(bad) > 0 {
		return bad
	}
	for i := len(items); i < fresh.Len(); i++ {
		fresh.Index(i).Set(fresh.Index(0))
	}
	dst.Set(fresh)
	return nil
}

// split takes a text of several values apart at semicolons, else at commas,
// unless it is one value as it stands ("1,5 m").
func (k Key) split(dst reflect.Value, w written) []written {
	one := reflect.New(dst.Type().Elem()).Elem()
	if w.form != quoted || len(k.decodeOne(one, w)) == 0 {
		return []written{w}
	}
	mark := ","
	if strings.Contains(w.text, ";") {
		mark = ";"
	}
	var items []written
	for _, part := range strings.Split(w.text, mark) {
		items = append(items, written{form: quoted, text: strings.TrimSpace(part), offset: w.offset})
	}
	return items
}

// decodeOne writes one value of k.
func (k Key) decodeOne(dst reflect.Value, w written) []misfit {
	problem := map[form]string{array: "one value is needed, not a list", inlineTable: "a value is needed, not a table",
		plainDate: "a date has no place here", plainBool: "true and false have no place here"}[w.form]
	if problem != "" && (w.form != plainBool || k.Kind != "bool") {
		return k.explain(w, problem)
	}
	switch k.Kind {
	case "text", "file", "choice":
		text, problem := k.word(w)
		if problem != "" {
			return k.explain(w, problem)
		}
		dst.SetString(text)
		return nil
	case "bool":
		yes, ok := map[string]bool{"true": true, "yes": true, "false": false, "no": false}[strings.ToLower(strings.TrimSpace(w.text))]
		if !ok {
			return k.explain(w, "neither true nor false")
		}
		dst.SetBool(yes)
		return nil
	case "controller":
		c, err := parseRating(w.text)
		if bad := k.check(w, float64(c.Current), err); bad != nil {
			return bad
		}
		dst.Set(reflect.ValueOf(c))
		return nil
	case "storage":
		s, err := parseStorage(w.text)
		if bad := k.check(w, float64(s.Energy)+float64(s.Charge), err); bad != nil {
			return bad
		}
		dst.Set(reflect.ValueOf(s))
		return nil
	}
	v, err := k.number(w.text)
	if bad := k.check(w, v, err); bad != nil {
		return bad
	}
	if dst.CanInt() {
		dst.SetInt(int64(v))
	} else {
		dst.SetFloat(v)
	}
	return nil
}

// number reads the kinds that are one number, in base units.
func (k Key) number(text string) (float64, error) {
	switch k.Kind {
	case "count":
		v, err := units.ParseNumber(text)
		if err == nil && v != math.Trunc(v) {
			err = errors.New("a whole number is needed")
		}
		return v, err
	case "number", "money":
		return units.ParseNumber(text)
	case "degrees":
		if v, err := units.ParseNumber(text); err == nil {
			return v * float64(units.Degree), nil
		}
		return units.Parse(units.KindAngle, text)
	case "speed", "speed_or_off":
		v, err := units.ParseNumber(text)
		if strings.ContainsRune(text, '%') {
			v, err = units.Parse(units.KindShare, text)
		}
		if err == nil && k.Kind == "speed_or_off" && v != 0 && v < 0.1 {
			err = errors.New("no pump runs that slowly")
		}
		return v, err
	case "coefficient":
		for _, tail := range []string{"/K", "/°C", "/C", "per K", "per °C"} {
			text = strings.TrimSuffix(strings.TrimSpace(text), tail)
		}
		if strings.Contains(text, "%") {
			return units.Parse(units.KindShare, text)
		}
		return units.ParseNumber(text)
	}
	return units.Parse(k.quantity, text)
}

// parseStorage reads an energy, or a charge where the text is one.
func parseStorage(text string) (Storage, error) {
	e, err := units.Parse(units.KindEnergy, text)
	if err == nil {
		return Storage{Energy: units.Energy(e)}, nil
	}
	if c, chargeErr := units.Parse(units.KindCharge, text); chargeErr == nil {
		return Storage{Charge: units.Charge(c)}, nil
	}
	return Storage{}, err
}

// chargerParts are the quantities of a controller.
var chargerParts = regexp.MustCompile(`^(.*?A)(?:\s+(.*?W))?(?:\s+(.*?V))?$`)

// parseRating reads a controller: a current, then a power and a voltage where there are any.
func parseRating(text string) (c ControllerRating, err error) {
	parts := chargerParts.FindStringSubmatch(strings.TrimSpace(text))
	if parts == nil {
		_, err = units.Parse(units.KindCurrent, text)
		return c, err
	}
	read := func(kind units.Kind, text string) float64 {
		v := 0.0
		if text != "" && err == nil {
			v, err = units.Parse(kind, text)
		}
		return v
	}
	c.Current = units.Current(read(units.KindCurrent, parts[1]))
	c.Power = units.Power(read(units.KindPower, parts[2]))
	c.Voltage = units.Voltage(read(units.KindVoltage, parts[3]))
	if c.Power < 0 || c.Voltage < 0 {
		err = errors.New("a controller has no watts or volts below 0")
	}
	return c, err
}

// check turns a parse error or a value out of range into a fault.
func (k Key) check(w written, v float64, err error) []misfit {
	slack := 1e-9 // so that "15 cm" is not below 0.15 m
	if k.Kind == "count" {
		slack = 0
	}
	switch {
	case err != nil:
		bad := k.explain(w, err.Error())
		var ue *units.Error
		if errors.As(err, &ue) {
			bad[0].Message = ue.Problem
		}
		if bare, is := units.ParseNumber(w.text); k.quantity == units.KindShare && is == nil && bare > k.hi {
			bad[0].Message = fmt.Sprintf("a bare share beyond 1 can be read two ways: write %s %% if per cent is meant; "+
				"%[1]s times the whole is too large here", w.text)
		}
		// A volume in litres and one in cubic metres differ by a thousand, and both may
		// pass as a pond.
		if with := w.text + " " + k.Unit; w.form == plainNumber && k.needsUnit() && k.quantity != units.KindVolume && k.Takes(with) == nil {
			bad[0].Hint = fmt.Sprintf("%s = %q", k.Name(), with)
		}
		return bad
	case v < k.lo-slack*math.Abs(k.lo):
		return k.explain(w, "too small")
	case v > k.hi+slack*math.Abs(k.hi):
		return k.explain(w, "too large")
	}
	return nil
}

// needsUnit reports whether a number of k means nothing without a unit.
func (k Key) needsUnit() bool {
	return k.quantity != 0 && k.quantity != units.KindShare || k.Kind == "storage" || k.Kind == "controller"
}

// word reads a text, path or choice; problem says why it cannot be one.
func (k Key) word(w written) (text, problem string) {
	const longest = 200
	text = strings.TrimSpace(w.text)
	switch {
	case w.form == plainNumber && k.Kind != "choice":
		return "", "text is needed, in quotes"
	case text == "":
		return "", "nothing is written"
	case k.Kind != "file" && utf8.RuneCountInString(text) > longest:
		return "", fmt.Sprintf("longer than %d letters", longest)
	case strings.ContainsFunc(text, unicode.IsControl):
		return "", "it holds a control character"
	case k.Kind != "choice":
		return text, ""
	}
	for _, c := range k.Choices {
		if string(data.PlainWord(c)) == string(data.PlainWord(text)) {
			return c, ""
		}
	}
	problem = "not one of the choices"
	if near := data.Nearest(text, k.Choices); near != "" {
		problem += fmt.Sprintf(" (did you mean %q?)", near)
	}
	return "", problem
}

// explain returns a fault that shows what k takes.
func (k Key) explain(w written, message string) []misfit {
	if w.form == array || w.form == inlineTable {
		w.text = ""
	}
	return misfits(w, message, k.Allowed())
}
