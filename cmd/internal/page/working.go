package page

import (
	_ "embed"
	"fmt"
	"path"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// workingTable holds the steps of every working. Its head says what stands in it.
//
//go:embed working.csv
var workingTable string

// stepRow is one row of workingTable, a kind of step.
type stepRow struct {
	At      string `csv:"at"`
	Key     string `csv:"key"`
	What    string `csv:"name"`
	Formula string `csv:"formula"`
	Inputs  string `csv:"inputs"`
	Source  string `csv:"source"`
	When    string `csv:"when"`
}

func stepRows() []stepRow { return data.RowsOf[stepRow]("working.csv", workingTable) }

// figures are what the steps of a working are made of: numbers, texts and truths by
// their paths, such as pumps.2.clean.turnover_h, items of lists counted from 1.
type figures struct {
	at     map[string]any
	nodes  []string // paths that hold figures, each once, in order
	plan   map[string]reflect.Value
	money  document.Unit
	chosen string // number of the pump in use, as paths have it
	worked map[string]bool
	steps  []document.Step
}

// newFigures returns the figures of an object as JSON shows it, beside the values of
// its plan, the days of the months and gravity.
func newFigures(object any, p *plan.Plan) *figures {
	f := &figures{at: map[string]any{}, plan: map[string]reflect.Value{}, worked: map[string]bool{},
		money: document.Money(p.Mains.Currency)}
	if encoded, err := document.Object(object); err == nil { // else the page itself is not printed
		document.Leaves("", encoded, func(path string, v any) { f.set(path, "", v) })
	}
	p.Fields(func(key string, v reflect.Value) { f.plan["plan."+key] = reflect.Indirect(v) })
	for i, days := range data.MonthDays {
		f.set("days."+strconv.Itoa(i+1), "", days)
	}
	f.set("gravity", "m_per_s2", float64(units.StandardGravity))
	return f
}

// set adds figures below node, each after its key, quantities in the unit that it ends in.
func (f *figures) set(node string, keysAndValues ...any) {
	for i := 0; i < len(keysAndValues); i += 2 {
		at := join(node, keysAndValues[i].(string))
		v := reflect.ValueOf(keysAndValues[i+1])
		switch f.at[at] = keysAndValues[i+1]; {
		case !v.IsValid():
		case v.CanInt():
			f.at[at] = float64(v.Int())
		case v.CanFloat() && v.Type().PkgPath() != "":
			f.at[at], _ = document.InUnitOf(keyOf(at), v) // the keys are held by tests
		}
		if p := parent(at); !slices.Contains(f.nodes, p) {
			f.nodes = append(f.nodes, p)
		}
	}
}

func join(node, key string) string { return strings.Trim(node+"."+key, ".") }

func parent(at string) string { return at[:max(0, strings.LastIndexByte(at, '.'))] }

var item = regexp.MustCompile(`\.[0-9]+$`)

// keyOf returns the last key of a path, of an item that of its list.
func keyOf(at string) string {
	list := item.ReplaceAllString(at, "")
	return list[strings.LastIndexByte(list, '.')+1:]
}

// known returns the number, text or truth at a path, nil for none, and its unit. A
// value of the plan is asked for in the unit that ends its path.
func (f *figures) known(at string) (any, document.Unit) {
	unit := document.UnitOf(keyOf(at))
	if document.IsMoney(keyOf(at)) {
		unit = f.money
	}
	if v, is := f.at[at]; is || !strings.HasPrefix(at, "plan.") {
		return v, unit
	}
	key := at
	for !f.plan[key].IsValid() {
		end := strings.LastIndexByte(key, '_')
		if end < 0 {
			return nil, unit
		}
		key = key[:end]
	}
	switch v := f.plan[key]; v.Interface().(type) {
	case plan.Money:
		return v.Float(), f.money
	case string, bool:
		return v.Interface(), unit
	case int:
		return float64(v.Int()), unit
	default:
		x, err := document.InUnitOf(at, v)
		if err != nil {
			return nil, unit
		}
		return x, unit
	}
}

// place is where a row of the table is worked: a node, and what its stars stand for.
type place struct {
	*figures
	node  string
	stars []string
}

// path returns the whole path of one that a row gives: from the node where it begins
// with a point, from the node's parent where with two, @ for the pump in use.
func (p place) path(given string) string {
	switch {
	case strings.HasPrefix(given, ".."):
		return join(parent(p.node), given[2:])
	case strings.HasPrefix(given, "."):
		return join(p.node, given[1:])
	}
	for _, s := range p.stars {
		given = strings.Replace(given, "*", s, 1)
	}
	return strings.ReplaceAll(given, "@", p.chosen)
}

// work returns the steps that can be made of the figures.
func (f *figures) work() []document.Step {
	rows := stepRows()
	for len(rows) > 0 {
		n := slices.IndexFunc(rows, func(r stepRow) bool { return r.At != rows[0].At })
		if n < 0 {
			n = len(rows)
		}
		for _, pattern := range strings.Fields(rows[0].At) {
			for _, node := range slices.Clone(f.nodes) {
				if p, is := f.match(pattern, node); is {
					for _, r := range rows[:n] {
						p.step(r)
					}
				}
			}
		}
		rows = rows[n:]
	}
	return f.steps
}

// match reports whether node is one that pattern stands for, a point alone for the page
// itself.
func (f *figures) match(pattern, node string) (place, bool) {
	p := place{figures: f, node: node}
	parts, names := strings.Split(strings.TrimSuffix(pattern, "."), "."), strings.Split(node, ".")
	if len(parts) != len(names) {
		return p, false
	}
	for i, part := range parts {
		if is, _ := path.Match(part, names[i]); !is { // the table's patterns are held by a test
			return p, false
		}
		if strings.Contains(part, "*") {
			p.stars = append(p.stars, names[i])
		}
	}
	return p, true
}

// step works row r, unless that figure is worked, unknown or lacks an input. A figure
// of the page keeps its value, whatever the formula makes.
func (p place) step(r stepRow) {
	key := join(p.node, r.Key)
	shown, on := p.at[key]
	result, is := shown.(float64)
	if p.worked[key] || on && !is || !on && !strings.HasPrefix(r.When, "new") {
		return
	}
	inputs, n, complete := p.inputs(r.Inputs)
	symbols := map[string]float64{}
	for _, in := range inputs {
		symbols[in.Symbol] = in.Value
	}
	if !complete || !p.holds(r.When, symbols) {
		return
	}
	formula := spread(r.Formula, n)
	if _, right, _ := strings.Cut(formula, " = "); !on {
		var err error
		if result, err = Evaluate(right, symbols); err != nil {
			return
		}
		p.set(key, "", result)
	}
	p.worked[key] = true
	_, unit := p.known(key)
	p.steps = append(p.steps, document.Step{Key: key, What: r.What + p.name(), Formula: formula, Inputs: inputs, Result: result,
		Unit: unit, Source: r.Source})
}

// inputs returns the inputs of a row, how many items its lists have, and whether all
// of them are known. "V=pond.volume_m3 water in the pond; q#=.branch_#.flow_m3_per_h|0
// flow" has a list, and a value for where there is none.
func (p place) inputs(cell string) (list []document.Input, n int, complete bool) {
	for _, text := range strings.Split(cell, "; ") {
		symbol, rest, _ := strings.Cut(text, "=")
		from, what, _ := strings.Cut(rest, " ")
		from, instead, optional := strings.Cut(from, "|")
		for i := 1; ; i++ {
			numbered := strings.NewReplacer("#", strconv.Itoa(i))
			at := p.path(numbered.Replace(from))
			v, unit := p.known(at)
			x, is := v.(float64)
			if _, there := p.at[at]; !is && i > 1 && !there {
				n = i - 1
				break // the end of the list
			}
			if !is && optional {
				x, _ = strconv.ParseFloat(instead, 64) // held by a test
			} else if !is {
				return nil, 0, false
			}
			in := document.Input{Symbol: numbered.Replace(symbol), Value: x, Unit: unit, What: numbered.Replace(what)}
			if what == "" {
				in.What, _ = p.at[join(parent(at), "name")].(string)
			}
			list = append(list, in)
			if in.Symbol == symbol { // no list
				break
			}
		}
	}
	return list, n, true
}

// holds reports whether every condition holds: "new", for what stands on no page;
// a path that is true or known, not so after "!", or equals a text; and in parentheses,
// at the end, a formula that comes to more than 0.
func (p place) holds(when string, symbols map[string]float64) bool {
	words, positive, also := strings.Cut(when, "(")
	for _, word := range strings.Fields(strings.TrimPrefix(words, "new")) {
		not := strings.HasPrefix(word, "!")
		at, want, equal := strings.Cut(strings.TrimPrefix(word, "!"), "=")
		v, _ := p.known(p.path(at))
		if is := v != nil && v != false && v != "" && (!equal || v == want); is == not {
			return false
		}
	}
	v, err := Evaluate("("+positive, symbols)
	return !also || err == nil && v > 0
}

var repeated = regexp.MustCompile(`\{([^}]*)\}`)

// spread writes what stands in braces once for each of n items, "#" its number, with
// plus signs between them.
func spread(formula string, n int) string {
	return repeated.ReplaceAllStringFunc(formula, func(braces string) string {
		terms := make([]string, n)
		for i := range terms {
			terms[i] = strings.ReplaceAll(strings.Trim(braces, "{}"), "#", strconv.Itoa(i+1))
		}
		return strings.Join(terms, " + ")
	})
}

// name returns what tells the node from others of its kind: the name of pump or
// strategy, and what lies below it.
func (p place) name() string {
	for node := p.node; node != ""; node = parent(node) {
		for _, key := range []string{".name", ".strategy"} {
			if name, is := p.at[node+key].(string); is {
				return fmt.Sprintf(", %s%s", name, strings.NewReplacer(".", ", ", "_", " ").Replace(p.node[len(node):]))
			}
		}
	}
	return ""
}
