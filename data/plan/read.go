package plan

import (
	"fmt"
	"io"
	"reflect"
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
	rd := planReader{source: newSource(name, []byte(text)), counts: map[string]int{}, headers: map[string]int{}}
	rd.plan = Plan{File: name, Origins: map[string]Origin{}, tables: map[string]Origin{}}
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
	rd.marks.doubts(rd.fail)
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
	plan    Plan
	faults  []*data.Error
	at      string         // concrete key of the table being read
	skip    bool           // the table is not one of ours
	counts  map[string]int // items seen of each list, by concrete key of the list
	headers map[string]int // offset of each [header]
	marks   planMarks
	lost    bool // a part of the file is not understood, where what is missing may stand
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
	switch {
	case st.header:
		rd.at, rd.skip = "", false
		for i := range st.names {
			if rd.at, rd.skip = rd.enter(rd.at, st.names[i:], i == len(st.names)-1, st.item); rd.skip {
				return
			}
		}
	case !rd.skip:
		rd.pair(rd.at, pair{st.names, st.value}, st.comment)
	}
}

// enter follows the first of names to a table of the plan; last says that it ends a
// header, item that this is [[one of a list]]. It reports whether there is none.
func (rd *planReader) enter(at string, names []name, last, item bool) (next string, none bool) {
	n := names[0]
	next = joinKey(at, n.text)
	pattern := Pattern(next)
	switch {
	case isIndex(n.text):
		rd.fail(n.offset, data.Error{Key: dotted(names), Message: "items of a list are not numbered in a file",
			Hint: "write " + header(Pattern(at)+"[]") + " once for each"})
		return "", true
	case keyTable().tables[pattern+"[]"] != nil:
		next, ok := rd.openItem(next, n.offset, last, item)
		return next, !ok
	case keyTable().tables[pattern] == nil:
		rd.unknownTable(next, n)
		return "", true
	case last && item:
		rd.fail(n.offset, data.Error{Key: pattern, Message: "one table, not a list of them", Hint: "write [" + pattern + "]"})
	}
	if last {
		rd.once(next, n.offset)
	}
	return next, false
}

// openItem returns the key of a list item: the next for a [[header]], else
// the one being written; false where the list is too long, which is told once.
func (rd *planReader) openItem(list string, offset int, last, item bool) (string, bool) {
	if last || rd.counts[list] == 0 {
		if !last || !item {
			rd.fail(offset, data.Error{Key: Pattern(list), Message: "a list of tables",
				Hint: "write [[" + strings.ReplaceAll(Pattern(list), "[]", "") + "]]"})
		}
		rd.counts[list]++
	}
	at := list + "." + strconv.Itoa(rd.counts[list])
	if _, seen := rd.plan.tables[at]; !seen {
		if _, err := rd.plan.field(at); err != nil {
			if last && rd.counts[list] == mostItems(list)+1 {
				e := *data.Faults(err)[0]
				e.Key = Pattern(list)
				rd.fail(offset, e)
			}
			return "", false
		}
		rd.tableAt(at, offset)
	}
	return at, true
}

// once refuses a second [header] of the same table.
func (rd *planReader) once(table string, offset int) {
	if first, seen := rd.headers[table]; seen {
		line, _ := rd.place(first)
		rd.fail(offset, data.Error{Key: table, Message: fmt.Sprintf("given twice: the first is in line %d", line)})
		return
	}
	rd.headers[table] = offset
	rd.tableAt(table, offset)
}

// tableAt notes where a table stands.
func (rd *planReader) tableAt(table string, offset int) {
	line, column := rd.place(offset)
	rd.plan.tables[table] = Origin{Kind: FromFile, File: rd.file, Line: line, Column: column}
}

// pair reads a key with its value under the table at.
func (rd *planReader) pair(at string, p pair, comment string) {
	for i := range p.names[:len(p.names)-1] {
		var none bool
		if at, none = rd.enter(at, p.names[i:], false, false); none {
			return
		}
	}
	n := p.names[len(p.names)-1]
	key := joinKey(at, n.text)
	pattern := Pattern(key)
	table, list := keyTable().tables[pattern] != nil, keyTable().tables[pattern+"[]"] != nil
	k, known := KeyNamed(key)
	switch {
	case isIndex(n.text) || !known && !table && !list:
		rd.unknownKey(at, n)
	case known:
		rd.assign(k, key, p.value, n.offset, comment)
	case table && p.value.form == inlineTable:
		rd.once(key, n.offset)
		for _, inner := range p.value.pairs {
			rd.pair(key, inner, "")
		}
	case list && p.value.form == array && allTables(p.value.items):
		for _, item := range p.value.items {
			it, ok := rd.openItem(key, item.offset, true, true)
			if !ok {
				break
			}
			for _, inner := range item.pairs {
				rd.pair(it, inner, "")
			}
		}
	case table:
		rd.fail(n.offset, data.Error{Key: pattern, Message: "a table, not a value", Hint: "write [" + pattern + "] on a line of its own"})
	default:
		rd.fail(n.offset, data.Error{Key: pattern, Message: "a list of tables, not a value",
			Hint: "write [[" + pattern + "]] on a line of its own"})
	}
}

func allTables(items []written) bool {
	for _, it := range items {
		if it.form != inlineTable {
			return false
		}
	}
	return len(items) > 0
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
	parts := make([]string, len(names))
	for i, n := range names {
		parts[i] = n.text
	}
	return strings.Join(parts, ".")
}

// assign stores a value and where it came from.
func (rd *planReader) assign(k Key, key string, w written, keyOffset int, comment string) {
	if first, seen := rd.plan.Origins[key]; seen {
		rd.fail(keyOffset, data.Error{Key: Pattern(key), Message: fmt.Sprintf("given twice: the first is in line %d", first.Line)})
		return
	}
	line, column := rd.place(w.offset)
	origin := Origin{Kind: FromFile, File: rd.file, Line: line, Column: column, Text: w.text}
	if strings.HasPrefix(comment, starterMark) && k.Starter != "" && w.text == k.Starter {
		origin.Kind = FromStarter
	}
	rd.plan.Origins[key] = origin
	dst, err := rd.plan.field(key)
	if err != nil {
		panic("plan: " + key + ": " + err.Error()) // the table and Plan are tested to match
	}
	rd.marks.look(k, key, w)
	v, all := k.decode(w)
	for _, bad := range all {
		bad.Key = key
		rd.fail(bad.offset, bad.Error)
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

// Given reports whether anything was said of a key, or of any key of a
// section ("battery"), defaults apart.
func (p *Plan) Given(key string) bool {
	if o, ok := p.Origins[key]; ok {
		return o.Kind != FromDefault
	}
	for k, o := range p.Origins {
		if o.Kind != FromDefault && strings.HasPrefix(k, key+".") {
			return true
		}
	}
	return false
}
