package plan

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"sunrill/data"
)

// maxPlanBytes is far beyond any plan that a person writes.
const maxPlanBytes = 1 << 20

// starterMark opens the comment of a line that is still as the starter file
// has it; a person who has checked the value deletes the mark.
const starterMark = "#?"

// ReadOptions says what ReadPlan does beside reading.
type ReadOptions struct {
	Sets []Setting // applied after the file and before defaults and checks
	Need Need      // what the plan has to be enough for
}

// NewPlan returns a plan that holds nothing but the constant defaults.
func NewPlan() Plan {
	p := Plan{Origins: map[string]Origin{}, tables: map[string]Origin{}}
	p.applyDefaults()
	return p
}

// ReadPlan reads a plan file. name is what errors call it. Every fault is in
// the error at once, joined *Error values in the order of their lines: bad
// form, unknown keys, bad values, values that contradict each other, and what
// is missing for opt.Need. Warnings are doubts that did not stop it.
//
// The paths in the plan stay as written; LoadPlan opens them.
func ReadPlan(name string, r io.Reader, opt ReadOptions) (Plan, []data.Warning, error) {
	text, warnings, err := data.ReadText(name, r)
	if err != nil {
		return Plan{}, nil, err
	}
	if len(text) > maxPlanBytes {
		return Plan{}, nil, &data.Error{File: name, Message: "larger than any plan", Allowed: "at most 1 MiB"}
	}
	rd := newPlanReader(name, []byte(text))
	all, faults := rd.parse()
	if len(all) == 0 && len(faults) > 0 {
		faults = faults[:1]
		faults[0].Hint = "nothing in this file reads like a plan: is it another file, such as a curve? " +
			"A plan names its curve with curve = \"pump.csv\" under [[pump]]"
	}
	rd.faults, rd.lost = faults, len(faults) > 0
	for _, st := range all {
		rd.take(st)
	}
	for _, p := range rd.marks.points {
		if rd.marks.comma != "" {
			p.Message = "the plan writes " + rd.marks.comma + " with a comma, so this point may mark thousands"
			rd.fail(p.Column, *p)
		}
	}
	var broken []string
	for _, f := range rd.faults {
		broken = append(broken, f.Key)
	}
	var list data.FaultList
	for _, f := range append(rd.faults, rd.plan.complete(opt, broken, rd.lost)...) {
		list.Add(f)
	}
	if !list.Empty() {
		return Plan{}, nil, list.Err()
	}
	return rd.plan, append(warnings, rd.plan.warnings()...), nil
}

// planReader gives the statements of a plan file their meaning.
type planReader struct {
	*source
	plan   Plan
	faults []*data.Error
	at     string          // concrete key of the table being read
	skip   bool            // the table is not one of ours
	counts map[string]int  // items seen of each list, by concrete key of the list
	values map[string]span // where the value of each concrete key stands
	marks  planMarks
	lost   bool // a part of the file is not understood, where what is missing may stand
}

func newPlanReader(file string, text []byte) *planReader {
	lines := []int{0}
	for i, b := range text {
		if b == '\n' {
			lines = append(lines, i+1)
		}
	}
	return &planReader{source: &source{file, text, lines}, counts: map[string]int{}, values: map[string]span{},
		plan: Plan{File: file, Origins: map[string]Origin{}, tables: map[string]Origin{}}}
}

// fail adds a fault. Those that are only counted need no place, which takes long
// to find in a long line.
func (rd *planReader) fail(offset int, e data.Error) {
	fault := &e
	if !rd.tooManyFaults() {
		fault = rd.fault(offset, e)
	}
	rd.faults = append(rd.faults, fault)
}

// tooManyFaults reports whether a fault more would only be counted.
func (rd *planReader) tooManyFaults() bool { return len(rd.faults) >= data.MaxFaults }

// take reads one statement.
func (rd *planReader) take(st statement) {
	if st.header {
		var ours bool
		rd.at, ours = rd.follow("", st.names, true, st.item)
		rd.skip = !ours
	} else if !rd.skip {
		rd.pair(rd.at, st.pair)
	}
}

// follow follows names to a table of the plan; head says that they are a header, item
// that it is [[one of a list]]. It reports whether there is one.
func (rd *planReader) follow(at string, names []name, head, item bool) (_ string, ours bool) {
	for i, n := range names {
		table, pattern, last := joinKey(at, n.text), Pattern(joinKey(at, n.text)), head && i == len(names)-1
		switch {
		case isIndex(n.text):
			rd.fail(n.offset, data.Error{Key: dotted(names[i:]), Message: "items of a list are not numbered in a file",
				Hint: "write " + header(Pattern(at)+"[]") + " once for each"})
			return "", false
		case keyTable().tables[pattern+"[]"] != nil:
			if at, ours = rd.openItem(table, n.offset, last, item); !ours {
				return "", false
			}
			continue
		case keyTable().tables[pattern] == nil:
			rd.unknown(at, n, true)
			return "", false
		case last && item:
			rd.fail(n.offset, data.Error{Key: pattern, Message: "one table, not a list of them", Hint: "write " + header(pattern)})
		}
		if at = table; last {
			rd.open(at, n.offset)
		}
	}
	return at, true
}

// openItem returns the key of a list item: the next for a [[header]], else
// the one being written; false where the list is too long, which is told once.
func (rd *planReader) openItem(list string, offset int, last, item bool) (string, bool) {
	if last || rd.counts[list] == 0 {
		if !last || !item {
			rd.fail(offset, data.Error{Key: Pattern(list), Message: "a list of tables", Hint: "write " + header(Pattern(list)+"[]")})
		}
		rd.counts[list]++
	}
	at := list + "." + strconv.Itoa(rd.counts[list])
	if _, seen := rd.plan.tables[at]; seen {
		return at, true
	}
	_, err := rd.plan.field(at)
	if err == nil {
		rd.open(at, offset)
	} else if last && rd.counts[list] == mostItems(list)+1 {
		e := *data.Faults(err)[0]
		e.Key = Pattern(list)
		rd.fail(offset, e)
	}
	return at, err == nil
}

// open notes where a table stands, and refuses a second header of it.
func (rd *planReader) open(table string, offset int) {
	if first, seen := rd.plan.tables[table]; seen {
		rd.twice(table, first, offset)
	} else {
		rd.plan.tables[table] = rd.origin(offset)
	}
}

func (rd *planReader) twice(key string, first Origin, offset int) {
	rd.fail(offset, data.Error{Key: Pattern(key), Message: fmt.Sprintf("given twice: the first is in line %d", first.Line)})
}

func (rd *planReader) origin(offset int) Origin {
	line, column := rd.place(offset)
	return Origin{Kind: FromFile, File: rd.file, Line: line, Column: column}
}

// pair reads a key with its value under the table at.
func (rd *planReader) pair(at string, p pair) {
	at, ours := rd.follow(at, p.names[:len(p.names)-1], false, false)
	if !ours {
		return
	}
	n, v := p.names[len(p.names)-1], p.value
	key := joinKey(at, n.text)
	pattern := Pattern(key)
	k, known := KeyNamed(key)
	table, list := keyTable().tables[pattern] != nil, keyTable().tables[pattern+"[]"] != nil
	values := slices.ContainsFunc(v.items, func(w written) bool { return w.form != inlineTable })
	what := "a table"
	if list {
		what, pattern = "a list of tables", pattern+"[]"
	}
	switch {
	case isIndex(n.text) || !known && !table && !list:
		rd.unknown(at, n, false)
	case known:
		rd.assign(k, key, v, n.offset)
	case table && v.form == inlineTable:
		rd.open(key, n.offset)
		rd.pairs(key, v.pairs)
	case list && v.form == array && len(v.items) > 0 && !values:
		for _, item := range v.items {
			it, fits := rd.openItem(key, item.offset, true, true)
			if !fits {
				break
			}
			rd.pairs(it, item.pairs)
		}
	default:
		rd.fail(n.offset, data.Error{Key: Pattern(key), Message: what + ", not a value",
			Hint: "write " + header(pattern) + " on a line of its own"})
	}
}

func (rd *planReader) pairs(at string, all []pair) {
	for _, p := range all {
		rd.pair(at, p)
	}
}

// joinKey appends a name to a concrete key; a name that is not one of ours
// anyway is quoted so that its dots do not divide it.
func joinKey(at, text string) string {
	if text == "" || strings.ContainsAny(text, ".[]\"") {
		text = strconv.Quote(strings.NewReplacer(".", "_", "[", "_", "]", "_").Replace(text))
	}
	if at == "" {
		return text
	}
	return at + "." + text
}

func dotted(names []name) string {
	var parts []string
	for _, n := range names {
		parts = append(parts, n.text)
	}
	return strings.Join(parts, ".")
}

// assign stores a value and where it came from.
func (rd *planReader) assign(k Key, key string, w written, keyOffset int) {
	if first, seen := rd.plan.Origins[key]; seen {
		rd.twice(key, first, keyOffset)
		return
	}
	origin := rd.origin(w.offset)
	origin.Text = w.text
	if k.Starter != "" && w.text == k.Starter {
		_, end := rd.lineAt(w.to)
		if behind := bytes.TrimSpace(rd.text[min(w.to, end):end]); bytes.HasPrefix(behind, []byte(starterMark)) {
			origin.Kind = FromStarter
		}
	}
	rd.plan.Origins[key], rd.values[key] = origin, span{w.from, w.to}
	dst, err := rd.plan.field(key)
	if err != nil {
		panic("plan: " + key + ": " + err.Error()) // the table and Plan are tested to match
	}
	rd.marks.look(k, key, w)
	v, all := k.decode(w)
	for _, bad := range all {
		bad.Key = key
		rd.fail(bad.Column, *bad)
	}
	if all == nil {
		dst.Set(v)
	}
}

// applyDefaults fills in every constant default that nothing was given for.
func (p *Plan) applyDefaults() {
	p.Fields(func(key string, v reflect.Value) {
		k, ok := KeyNamed(key)
		if _, given := p.Origins[key]; !ok || given || k.Default == "" {
			return
		}
		constant, bad := k.decode(written{text: k.Default})
		if bad != nil {
			panic("plan: keys.csv: default of " + k.Path + ": " + bad[0].Message)
		}
		v.Set(constant)
		p.Origins[key] = Origin{Kind: FromDefault, Text: k.Default}
	})
}

// Given reports whether anything was said of a key, of any key of a section
// ("battery"), or of an item of a list, defaults apart.
func (p *Plan) Given(key string) bool {
	if o, ok := p.Origins[key]; ok {
		return o.Kind != FromDefault
	}
	for k, o := range p.Origins {
		if o.Kind != FromDefault && strings.HasPrefix(k, key+".") {
			return true
		}
	}
	_, item := p.tables[key+".1"]
	return item
}

// HasInverter reports whether the plan has one: as inverter.fitted says, else where it says
// anything of it.
func (p *Plan) HasInverter() bool {
	if p.Inverter.Fitted != nil {
		return *p.Inverter.Fitted
	}
	return p.Given("inverter")
}
