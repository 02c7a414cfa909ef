package plan

import (
	"bytes"
	"reflect"
	"slices"
	"strings"

	"sunrill/data"
)

const mark = "\ufeff" // that the file is UTF-8

// Edit returns the text of a plan file with settings in it: the lines that they change
// and no others, comments, order and line ends as they were. What a setting takes the
// place of is kept as a comment. The result is read again and compared: a plan that
// cannot be changed so is an error, as is any fault of the settings.
func Edit(name string, raw []byte, sets []Setting) ([]byte, error) {
	want, _, err := ReadPlan(name, bytes.NewReader(raw), ReadOptions{Sets: sets})
	if err != nil {
		return nil, err
	}
	text, _, err := data.ReadText(name, bytes.NewReader(raw))
	if err != nil {
		return nil, err
	}
	bom, end := "", "\n"
	if bytes.HasPrefix(raw, []byte(mark)) {
		bom = mark
	}
	if bytes.Contains(raw, []byte("\r\n")) {
		end = "\r\n"
	}
	back := func(text string) []byte { return []byte(bom + strings.ReplaceAll(text, "\n", end)) }
	if !bytes.Equal(back(text), raw) {
		return nil, &data.Error{File: name, Message: "the file mixes line ends, or is not UTF-8",
			Allowed: "one kind of line end, in UTF-8", Hint: "save it as UTF-8 in a text editor"}
	}
	e := newEditor(name, []byte(text))
	for _, s := range sets {
		e.put(s)
	}
	e.dropOthers(&want)
	edited := back(e.text())
	got, _, err := ReadPlan(name, bytes.NewReader(edited), ReadOptions{})
	got.Origins, got.tables, want.Origins, want.tables = nil, nil, nil, nil // wherever they say it
	if err != nil || !reflect.DeepEqual(got, want) {
		e := &data.Error{File: name, Message: "the plan is written in a way that cannot be changed here", Allowed: "by hand"}
		for i, s := range sets {
			e.Hint += []string{"set ", ", "}[min(i, 1)] + s.Key + " to " + s.Text
		}
		return nil, e
	}
	return edited, nil
}

type editor struct {
	*planReader
	ends    map[string]int  // by table: where its last line ends
	lines   map[string]span // by key or item of a list: its lines
	changes []change
	added   []Setting // in tables that are not there
}

type span struct{ from, to int }

type change struct {
	span
	text string
}

func newEditor(file string, text []byte) *editor {
	e := &editor{planReader: newPlanReader(file, text), ends: map[string]int{}, lines: map[string]span{}}
	all, _ := e.parse()
	for _, st := range all {
		e.take(st)
		at, key := st.names[0].offset, e.at
		from, to := e.lineAt(at)
		if !st.header {
			_, to = e.lineAt(max(at, st.value.to-1))
			for _, n := range st.names {
				key = joinKey(key, n.text)
			}
		}
		e.lines[key] = span{from, to}
		if !e.skip {
			e.ends[e.at] = to
		}
	}
	if _, top := e.ends[""]; !top && len(all) > 0 {
		from, _ := e.lineAt(all[0].names[0].offset)
		e.ends[""] = from - 1 // before the first header
	}
	return e
}

// put gives a key its value: in its place, else in a line behind those of its table,
// else in a table at the end.
func (e *editor) put(s Setting) {
	k, _ := KeyNamed(s.Key)
	there, is := e.values[s.Key]
	end, has := e.ends[section(s.Key)]
	switch {
	case is:
		e.changes = append(e.changes, change{there, k.planText(s.Text)})
	case has:
		e.changes = append(e.changes, change{span{end, end}, "\n" + k.PlanLine(s.Text)})
	default:
		e.added = append(e.added, s)
	}
}

// dropOthers makes comments of what the plan does not hold any more: of keys that a
// setting takes the place of, and of the pumps of which another runs today.
func (e *editor) dropOthers(want *Plan) {
	kept := map[string]bool{}
	for key, o := range want.Origins {
		for at := key; o.Kind != FromDefault && at != ""; at = section(at) {
			kept[at] = true
		}
	}
	for key, lines := range e.lines {
		if _, given := e.plan.Origins[key]; key == "" || kept[key] || !given && !isIndex(lastPart(key)) {
			continue
		}
		for at := lines.from; at < lines.to; {
			e.changes = append(e.changes, change{span{at, at}, "# "})
			_, to := e.lineAt(at)
			at = to + 1
		}
	}
}

func (e *editor) text() string {
	slices.SortStableFunc(e.changes, func(a, b change) int { return a.from - b.from })
	var b strings.Builder
	text, at := string(e.source.text), 0
	for _, c := range e.changes {
		if c.from < 0 { // before everything
			b.WriteString(strings.TrimPrefix(c.text, "\n") + "\n")
		} else if c.from >= at { // else within another change
			b.WriteString(text[at:c.from] + c.text)
			at = c.to
		}
	}
	b.WriteString(text[at:])
	if e.added != nil && b.Len() > 0 && !strings.HasSuffix(b.String(), "\n") {
		b.WriteByte('\n')
	}
	return b.String() + inTables(e.added)
}
