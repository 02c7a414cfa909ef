package plan

import (
	"bytes"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"sunrill/data"
)

// Edit returns the text of a plan file with settings in it: the lines that they change
// and no others, comments, order and line ends as they were. What a setting takes the
// place of is kept as a comment. The result is read again and compared: a plan that
// cannot be changed so is an error, as is any fault of the settings.
func Edit(name string, raw []byte, sets []Setting) ([]byte, error) {
	want, _, err := ReadPlan(name, bytes.NewReader(raw), ReadOptions{Sets: sets})
	if err != nil {
		return nil, err
	}
	text, back, err := unix(name, raw)
	if err != nil {
		return nil, err
	}
	e := newEditor(name, text)
	for _, s := range sets {
		e.put(s)
	}
	e.dropOthers(&want)
	edited := back(e.text())
	got, _, err := ReadPlan(name, bytes.NewReader(edited), ReadOptions{})
	if err != nil || !samePlan(got, want) {
		return nil, &data.Error{File: name, Message: "the plan is written in a way that cannot be changed here", Allowed: "by hand",
			Hint: "set " + described(sets)}
	}
	return edited, nil
}

func described(sets []Setting) string {
	var all []string
	for _, s := range sets {
		all = append(all, s.Key+" to "+s.Text)
	}
	return strings.Join(all, ", ")
}

// samePlan reports whether two plans say the same, wherever they say it.
func samePlan(a, b Plan) bool {
	a.Origins, a.tables, b.Origins, b.tables = nil, nil, nil, nil
	return reflect.DeepEqual(a, b)
}

// unix returns raw as the reader has it, and what turns it back.
func unix(name string, raw []byte) (text []byte, back func([]byte) []byte, err error) {
	bom := []byte("\xef\xbb\xbf")
	inner, marked := bytes.CutPrefix(raw, bom)
	text = bytes.ReplaceAll(inner, []byte("\r\n"), []byte("\n"))
	windows := len(text) < len(inner)
	back = func(t []byte) []byte {
		if windows {
			t = bytes.ReplaceAll(t, []byte("\n"), []byte("\r\n"))
		}
		if marked {
			t = append(slices.Clone(bom), t...)
		}
		return t
	}
	read, _, err := data.ReadText(name, bytes.NewReader(raw))
	if err == nil && (read != string(text) || !bytes.Equal(back(text), raw)) {
		err = &data.Error{File: name, Message: "the file mixes line ends, or is not UTF-8", Allowed: "one kind of line end, in UTF-8",
			Hint: "save it as UTF-8 in a text editor"}
	}
	return text, back, err
}

// editor changes the text of a plan.
type editor struct {
	*planReader
	ends    map[string]int  // by table: where its last line ends
	values  map[string]span // by key
	lines   map[string]span // by key or item of a list: its lines
	changes []change
	added   map[string][]string // lines of tables that are not there, by table
	order   []string            // of added
}

type span struct{ from, to int }

// change puts text in the place of a span.
type change struct {
	span
	text string
}

func newEditor(file string, text []byte) *editor {
	e := &editor{planReader: &planReader{source: newSource(file, text), counts: map[string]int{}, headers: map[string]int{}},
		ends: map[string]int{}, values: map[string]span{}, lines: map[string]span{}, added: map[string][]string{}}
	e.plan = Plan{Origins: map[string]Origin{}, tables: map[string]Origin{}}
	all, _ := e.parse()
	for _, st := range all {
		e.take(st)
		at := st.names[0].offset
		from, to := e.lineAt(at)
		if st.header {
			e.lines[e.at] = span{from, to}
		} else {
			_, to = e.lineAt(max(at, st.value.to-1))
			e.note(e.at, pair{st.names, st.value}, span{from, to})
		}
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

// note keeps where a value stands, and those of a table within its line.
func (e *editor) note(at string, p pair, lines span) {
	key := at
	for _, n := range p.names {
		key = joinKey(key, n.text)
	}
	e.values[key] = span{p.value.from, p.value.to}
	if lines.to > 0 {
		e.lines[key] = lines
	}
	for _, inner := range p.value.pairs {
		e.note(key, inner, span{})
	}
}

// put gives a key its value: in its place, else in a line behind those of its table,
// else in a table at the end.
func (e *editor) put(s Setting) {
	value, at := tomlOf(s), section(s.Key)
	if there, is := e.values[s.Key]; is {
		e.changes = append(e.changes, change{there, value})
		return
	}
	line := lastPart(s.Key) + " = " + value
	if end, is := e.ends[at]; is {
		e.changes = append(e.changes, change{span{end, end}, "\n" + line})
		return
	}
	if e.added[at] == nil {
		e.order = append(e.order, at)
	}
	e.added[at] = append(e.added[at], line)
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

// text returns the plan with every change in it.
func (e *editor) text() []byte {
	slices.SortStableFunc(e.changes, func(a, b change) int { return a.from - b.from })
	var out bytes.Buffer
	at := 0
	for _, c := range e.changes {
		if c.from < 0 { // before everything
			out.WriteString(strings.TrimPrefix(c.text, "\n") + "\n")
			continue
		}
		if c.from < at {
			continue // within another change
		}
		out.Write(e.source.text[at:c.from])
		out.WriteString(c.text)
		at = c.to
	}
	out.Write(e.source.text[at:])
	for _, table := range e.order {
		if b := out.Bytes(); len(b) > 0 && b[len(b)-1] != '\n' {
			out.WriteByte('\n')
		}
		head := header(Pattern(table))
		fmt.Fprintf(&out, "\n%s\n%s\n", head, strings.Join(e.added[table], "\n"))
	}
	return out.Bytes()
}

// plainValue matches what TOML takes without quotes.
var plainValue = regexp.MustCompile(`^(-?(0|[1-9][0-9]{0,14})(\.[0-9]{1,15})?|true|false)$`)

// tomlOf returns the value of a setting as a plan has it.
func tomlOf(s Setting) string {
	k, _ := KeyNamed(s.Key)
	if plainValue.MatchString(s.Text) && !slices.Contains([]string{"text", "choice", "file"}, k.Kind) {
		return s.Text
	}
	var b strings.Builder
	for _, r := range s.Text {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	return `"` + b.String() + `"`
}
