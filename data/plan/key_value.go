package plan

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
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

type form int

const (
	quoted form = iota // a string, or any text of a flag or --set
	plainNumber
	plainBool
	plainDate
	array
	inlineTable
)

type pair struct {
	names []name
	value written
}

type name struct {
	text   string
	offset int
}

// misfits returns the one fault of a value. Until it has its place in the file, Column is
// the offset.
func misfits(w written, message, allowed string) []*data.Error {
	return []*data.Error{{Found: w.text, Message: message, Allowed: allowed, Column: w.offset}}
}

// decode returns what w says as the field of key k holds it, or every fault of w.
func (k Key) decode(w written) (v reflect.Value, bad []*data.Error) {
	v = reflect.New(k.holds).Elem()
	into := v
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(k.holds.Elem()))
		into = v.Elem()
	}
	switch to := into.Addr().Interface().(type) {
	case *[]Fitting:
		return v, fittings(to, w, k.kind.Parts)
	case *[]Part:
		return v, listed(to, w, k.kind.Parts, addPart)
	case *Hours:
		return v, listed(to, w, k.kind.Parts, addHours)
	case *MonthSet:
		return v, listed(to, w, k.kind.Parts, addMonths)
	}
	if k.Shape == One {
		return v, k.decodeOne(into, w)
	}
	return v, k.decodeMany(into, w)
}

// Takes returns nil where k takes the value text, else every fault of it as
// joined *Error values under the name of k.
func (k Key) Takes(text string) error {
	_, faults := k.decode(written{text: text})
	for _, f := range faults {
		f.Key = k.Name()
	}
	return data.Joined(faults)
}

// decodeMany fills an array of months or hours, or a list of any length.
func (k Key) decodeMany(dst reflect.Value, w written) (bad []*data.Error) {
	items := w.items
	if w.form != array {
		items = k.split(reflect.New(dst.Type().Elem()).Elem(), w)
	}
	n := len(items)
	switch {
	case n == 0:
		return misfits(w, "the list is empty", "")
	case dst.Kind() == reflect.Slice:
		dst.Set(reflect.MakeSlice(dst.Type(), n, n))
	case n != 1 && n != dst.Len():
		w.text = fmt.Sprintf("%d values", n)
		return misfits(w, fmt.Sprintf("one value or %d are needed", dst.Len()), "")
	}
	for i := range dst.Len() {
		if i < n {
			bad = append(bad, k.decodeOne(dst.Index(i), items[i])...)
		} else {
			dst.Index(i).Set(dst.Index(0))
		}
	}
	return bad
}

// split takes a text of several values apart at semicolons, else at commas,
// unless it is one value as it stands ("1,5 m").
func (k Key) split(one reflect.Value, w written) (items []written) {
	if w.form != quoted || len(k.decodeOne(one, w)) == 0 {
		return []written{w}
	}
	mark := ","
	if strings.Contains(w.text, ";") {
		mark = ";"
	}
	for _, part := range strings.Split(w.text, mark) {
		items = append(items, written{text: strings.TrimSpace(part), offset: w.offset})
	}
	return items
}

func (k Key) decodeOne(dst reflect.Value, w written) []*data.Error {
	problem := map[form]string{array: "one value is needed, not a list", inlineTable: "a value is needed, not a table",
		plainDate: "a date has no place here", plainBool: "true and false have no place here"}[w.form]
	if problem != "" && (w.form != plainBool || k.Kind != "bool") {
		return k.explain(w, problem)
	}
	v, size, err := k.value(w)
	bad := k.check(w, size, err)
	if bad == nil {
		dst.Set(reflect.ValueOf(v).Convert(dst.Type()))
	}
	return bad
}

// value reads one value of k, in base units. size is what the range of k holds.
func (k Key) value(w written) (v any, size float64, err error) {
	switch k.Kind {
	case "text", "file", "choice":
		v, err = k.word(w)
		return v, 0, err
	case "bool":
		yes, ok := map[string]bool{"true": true, "yes": true, "false": false, "no": false}[strings.ToLower(strings.TrimSpace(w.text))]
		if !ok {
			err = errors.New("neither true nor false")
		}
		return yes, 0, err
	case "controller":
		c, err := parseRating(w.text)
		return c, float64(c.Current), err
	case "storage":
		s, err := parseStorage(w.text)
		return s, float64(s.Energy) + float64(s.Charge), err
	}
	size, err = k.number(w.text)
	return size, size, err
}

func (k Key) number(text string) (float64, error) {
	if k.quantity != 0 {
		return units.Parse(k.quantity, text)
	}
	if k.Kind == "coefficient" {
		for _, tail := range []string{"/K", "/°C", "/C", "per K", "per °C"} {
			text = strings.TrimSuffix(strings.TrimSpace(text), tail)
		}
	}
	v, err := units.ParseNumber(text)
	switch k.Kind {
	case "count":
		if err == nil && v != math.Trunc(v) {
			err = errors.New("a whole number is needed")
		}
	case "degrees", "latitude", "longitude":
		if v *= float64(units.Degree); err != nil {
			v, err = units.Parse(units.KindAngle, text)
		}
		if m := onMap.FindStringSubmatch(text); err != nil && m != nil && k.Kind != "degrees" {
			v, err = k.compass(m)
		}
	case "coefficient", "speed", "speed_or_off":
		if strings.Contains(text, "%") {
			v, err = units.Parse(units.KindShare, text)
		}
		if err == nil && k.Kind == "speed_or_off" && v != 0 && v < 0.1 {
			err = errors.New("no pump runs that slowly")
		}
	}
	return v, err
}

func parseStorage(text string) (Storage, error) {
	e, err := units.Parse(units.KindEnergy, text)
	if c, chargeErr := units.Parse(units.KindCharge, text); err != nil && chargeErr == nil {
		return Storage{Charge: units.Charge(c)}, nil
	}
	return Storage{Energy: units.Energy(e)}, err
}

var ratingParts = regexp.MustCompile(`^(.*?A)(?:\s+(.*?W))?(?:\s+(.*?V))?$`)

// parseRating reads a controller: a current, then a power and a voltage where there are any.
func parseRating(text string) (c ControllerRating, err error) {
	parts := ratingParts.FindStringSubmatch(strings.TrimSpace(text))
	if parts == nil {
		parts = []string{"", text}
	}
	var v [3]float64
	for i, part := range parts[1:] {
		if err == nil && (i == 0 || part != "") {
			v[i], err = units.Parse([]units.Kind{units.KindCurrent, units.KindPower, units.KindVoltage}[i], part)
		}
	}
	return ControllerRating{units.Current(v[0]), units.Power(v[1]), units.Voltage(v[2])}, err
}

// check turns a parse error or a value out of range into a fault.
func (k Key) check(w written, v float64, err error) []*data.Error {
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

func (k Key) word(w written) (string, error) {
	const longest = 200
	text := strings.TrimSpace(w.text)
	switch {
	case w.form == plainNumber && k.Kind != "choice":
		return "", errors.New("text is needed, in quotes")
	case text == "":
		return "", errors.New("nothing is written")
	case k.Kind != "file" && utf8.RuneCountInString(text) > longest:
		return "", fmt.Errorf("longer than %d letters", longest)
	case strings.ContainsFunc(text, unicode.IsControl):
		return "", errors.New("it holds a control character")
	case k.Kind != "choice":
		return text, nil
	}
	plain := string(data.PlainWord(text))
	if i := slices.IndexFunc(k.Choices, func(c string) bool { return string(data.PlainWord(c)) == plain }); i >= 0 {
		return k.Choices[i], nil
	}
	if near := data.Nearest(text, k.Choices); near != "" {
		return "", fmt.Errorf("not one of the choices (did you mean %q?)", near)
	}
	return "", errors.New("not one of the choices")
}

func (k Key) explain(w written, message string) []*data.Error {
	if w.form == array || w.form == inlineTable {
		w.text = ""
	}
	return misfits(w, message, k.Allowed())
}

// planMarks watches the decimal marks of a plan's quantities. In a plan that
// writes 0,8 m, the point of 3.000 L/h may mark thousands: a curve file with
// both is refused, and so is a plan.
type planMarks struct {
	comma  string        // the first figure with a comma that is a decimal mark
	points []*data.Error // of figures whose point may mark thousands, without their message
}

// look takes note of what w says for key k.
func (m *planMarks) look(k Key, key string, w written) {
	for _, item := range w.items {
		m.look(k, key, item)
	}
	if w.form != quoted || !k.needsUnit() {
		return
	}
	text := strings.TrimLeft(w.text, "+-± ")
	unit := strings.TrimLeft(text, "0123456789.,")
	figure := strings.TrimSuffix(text, unit)
	unit = " " + strings.TrimSpace(unit)
	whole, decimals, point := strings.Cut(figure, ".")
	switch doubtful := units.MaybeThousands(figure); {
	case !doubtful && strings.Contains(figure, ","):
		m.comma = cmp.Or(m.comma, figure)
	case doubtful && point:
		parted := whole + "," + decimals[:1] + strings.TrimRight(decimals[1:], "0")
		m.points = append(m.points, &data.Error{Key: key, Found: figure + unit, Column: w.offset,
			Allowed: whole + decimals + unit + ", or " + parted + unit})
	}
}
