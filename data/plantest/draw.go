// Package plantest draws random plans that are valid, and holds plans that are
// not. Only test files import it.
//
// A drawn plan gives each key of the key table a fair chance, so that a test
// over many of them reaches every key; it keeps to the rules that the reader
// checks between keys. Numbers lie mostly where ponds lie and now and then
// anywhere in the range of the table.
package plantest

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"path"
	"sort"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// Case is one plan with the files that it names.
type Case struct {
	Text  string
	Files map[string]string
	Keys  map[string]string // TOML value of each concrete key
}

// Open opens a file of the case; it is a data.Opener. PlanFile is the plan.
func (c Case) Open(name string) (io.ReadCloser, error) {
	name = path.Base(strings.ReplaceAll(name, "\\", "/"))
	text, ok := c.Files[name]
	if name == plan.PlanFile {
		text, ok = c.Text, true
	}
	if !ok {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
	}
	return io.NopCloser(strings.NewReader(text)), nil
}

// Draw returns a valid plan. The same state of r gives the same plan.
func Draw(r *rand.Rand) Case {
	d := drawing{r: r, keys: map[string]string{}, files: map[string]string{}}
	d.pond()
	d.pumps()
	d.lines()
	d.site()
	d.run()
	d.mains()
	d.power()
	d.rest()
	return Case{Text: d.toml(), Files: d.files, Keys: d.keys}
}

// drawing is a plan that is being drawn.
type drawing struct {
	r     *rand.Rand
	keys  map[string]string
	files map[string]string
}

func (d *drawing) chance(p float64) bool { return d.r.Float64() < p }

func one[T any](d *drawing, of ...T) T { return of[d.r.IntN(len(of))] }

// set gives a key a TOML value.
func (d *drawing) set(key, toml string) { d.keys[key] = toml }

// text gives a key a quoted text.
func (d *drawing) text(key, s string) { d.set(key, quote(s)) }

// draw gives each key a random value of its row.
func (d *drawing) draw(keys ...string) {
	for _, key := range keys {
		d.set(key, d.value(key))
	}
}

// maybe draws each key with chance p.
func (d *drawing) maybe(p float64, keys ...string) {
	for _, key := range keys {
		if d.chance(p) {
			d.draw(key)
		}
	}
}

func quote(s string) string {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic("plantest: " + err.Error())
	}
	return strings.TrimSpace(b.String())
}

//go:embed usual.csv
var usualFile string

// usual holds the span in which most real values of a key lie.
var usual = func() map[string]span {
	all := map[string]span{}
	for _, s := range data.RowsOf[span]("usual.csv", usualFile) {
		all[s.Key] = s
	}
	return all
}()

type span struct {
	Key  string  `csv:"key"`
	Low  float64 `csv:"low"`
	High float64 `csv:"high"`
}

// value draws a value for a key in TOML.
func (d *drawing) value(key string) string {
	k, ok := plan.KeyNamed(key)
	if !ok {
		panic("plantest: no key " + key)
	}
	n := 1
	switch k.Shape {
	case plan.Monthly:
		n = one(d, 1, 12)
	case plan.Hourly:
		n = one(d, 1, 24)
	case plan.List:
		n = 1 + d.r.IntN(6)
	}
	if n == 1 {
		return d.single(k)
	}
	parts := make([]string, n)
	for i := range parts {
		parts[i] = d.single(k)
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

// single draws one value of k.
func (d *drawing) single(k plan.Key) string {
	switch k.Kind {
	case "text":
		return quote(one(d, "Heron Court", "Teich am Haus, groß", "a|b <i>&amp;</i>", `say "so"`, "池", "x=1;y,2", strings.Repeat("long ", 12)))
	case "choice":
		return quote(one(d, k.Choices...))
	case "bool":
		return strconv.FormatBool(d.chance(0.5))
	case "hours":
		from := d.r.IntN(24)
		return quote(fmt.Sprintf("%02d-%02d", from, (from+1+d.r.IntN(22))%24))
	case "months":
		from := d.r.IntN(12)
		return quote(plan.MonthNames[from] + "-" + plan.MonthNames[(from+d.r.IntN(11))%12])
	case "parts":
		return quote(units.Sprintf("%.2g m at %.4g L/h", d.r.Float64(), 500+4000*d.r.Float64()))
	case "fittings":
		return one(d, quote("4 x elbow 90, 1 x ball valve"), quote("tee"), `{ "elbow 45" = 2, "gate valve" = 1 }`, `["2 x elbow", "check valve"]`)
	}
	v := d.number(k)
	switch k.Kind {
	case "count":
		return strconv.Itoa(int(math.Round(v)))
	case "share":
		if v < 0 || d.chance(0.5) {
			return quote(strconv.FormatFloat(100*v, 'g', 12, 64) + " %")
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	case "number", "money", "degrees", "latitude", "longitude", "speed", "speed_or_off", "coefficient":
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return quote(strconv.FormatFloat(v, 'g', -1, 64) + " " + k.Unit)
}

// number draws a number within the range of k, in its unit, to 4 digits.
func (d *drawing) number(k plan.Key) float64 {
	lo, hi := bounds(k)
	if u, ok := usual[k.Path]; ok && d.chance(0.95) {
		lo, hi = u.Low, u.High
	}
	v := lo + (hi-lo)*d.r.Float64()
	if lo > 0 && hi/lo > 50 {
		v = lo * math.Pow(hi/lo, d.r.Float64())
	}
	if d.chance(0.03) {
		v = one(d, lo, hi)
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	if err != nil || rounded < lo || rounded > hi {
		return v
	}
	return rounded
}

func bounds(k plan.Key) (lo, hi float64) {
	lo, errLo := strconv.ParseFloat(k.Min, 64)
	hi, errHi := strconv.ParseFloat(k.Max, 64)
	if errLo != nil {
		lo = 0
	}
	if errHi != nil {
		hi = 1e6
	}
	if k.Kind == "speed_or_off" {
		lo = 0.1
	}
	return lo, hi
}

// toml writes the drawn keys as a plan file.
func (d *drawing) toml() string {
	bySection := map[string][]string{}
	for key := range d.keys {
		s := ""
		if i := strings.LastIndexByte(key, '.'); i >= 0 {
			s = key[:i]
		}
		bySection[s] = append(bySection[s], key)
	}
	var sections []string
	for s := range bySection {
		sections = append(sections, s)
	}
	for s := range bySection { // a list item may hold nothing but other tables
		if head, _, ok := strings.Cut(s, ".feed."); ok && bySection[head] == nil {
			bySection[head] = []string{}
			sections = append(sections, head)
		}
	}
	sort.Slice(sections, func(i, j int) bool { return natural(sections[i]) < natural(sections[j]) })
	var b strings.Builder
	for _, s := range sections {
		if s != "" {
			table := plan.Pattern(s)
			bare := strings.ReplaceAll(table, "[]", "")
			if strings.HasSuffix(table, "[]") {
				fmt.Fprintf(&b, "\n[[%s]]\n", bare)
			} else {
				fmt.Fprintf(&b, "\n[%s]\n", bare)
			}
		}
		sort.Strings(bySection[s])
		for _, key := range bySection[s] {
			fmt.Fprintf(&b, "%s = %s\n", key[strings.LastIndexByte(key, '.')+1:], d.keys[key])
		}
	}
	return b.String()
}

// natural pads the numbers of a path so that 10 sorts after 9.
func natural(path string) string {
	parts := strings.Split(path, ".")
	for i, p := range parts {
		if n, err := strconv.Atoi(p); err == nil {
			parts[i] = fmt.Sprintf("%06d", n)
		}
	}
	return strings.Join(parts, ".")
}
