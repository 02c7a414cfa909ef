package plan

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"sunrill/data"
)

// Setting is one key that the command line gives.
type Setting struct {
	Key  string // concrete: "feed.1.length"
	Text string // the value without TOML quotes
	Flag string // the flag it came by, without dashes; "" for --set
}

// ParseSetting reads the argument of --set. The value is all after the first
// equals sign.
func ParseSetting(arg string) (Setting, error) {
	key, text, ok := strings.Cut(arg, "=")
	key = strings.TrimSpace(key)
	if !ok || key == "" {
		return Setting{}, &data.Error{Key: "--set", Found: arg, Message: "a key and its value are needed",
			Allowed: "key=value, such as lift.static_head=0.9m"}
	}
	return Setting{Key: key, Text: text}, nil
}

// FlagSetting returns the setting that a flag is shorthand for: the key of its
// row, in the first item of a list. It panics where no row has that flag.
func FlagSetting(flag, text string) Setting {
	k, ok := KeyForFlag(flag)
	if !ok {
		panic("plan: no key has the flag --" + flag)
	}
	return Setting{Key: k.First(), Text: text, Flag: flag}
}

// shown returns the name of s in a message.
func (s Setting) shown() string {
	if s.Flag != "" {
		return "--" + s.Flag
	}
	return "--set " + s.Key
}

// Apply sets what the command line gives, fills in the defaults of new list
// items and checks the whole. Every fault is in the error.
func (p *Plan) Apply(sets []Setting) error {
	return data.Joined(p.complete(ReadOptions{Sets: sets}, nil, false))
}

// complete applies settings and defaults, and returns what is wrong with them and
// with p as a whole. What may only follow from a key that is broken, or that stands in
// the same table, or from a part of the plan that is lost, is left out: but for a name
// that a built-in table does not have, which is a fault with a cause.
func (p *Plan) complete(opt ReadOptions, broken []string, lost bool) (faults []*data.Error) {
	for _, s := range opt.Sets {
		if bad := p.set(s); bad != nil {
			faults, broken = append(faults, bad...), append(broken, s.Key)
		}
	}
	p.applyDefaults()
	near := map[string]bool{}
	for _, key := range broken {
		for at := Pattern(key); at != ""; at = section(at) {
			near[at], near[strings.TrimSuffix(at, "[]")] = true, true
		}
	}
	follows := func(key string) bool { return lost || near[Pattern(key)] || near[section(Pattern(key))] }
	faults = append(faults, p.check(follows)...)
	for _, f := range p.Missing(opt.Need) {
		if !follows(f.Key) {
			faults = append(faults, f)
		}
	}
	return faults
}

// Set gives one key a value as --set does. The plan is unchanged where it
// returns an error, a joined *Error. Call Check when all is set.
func (p *Plan) Set(key, text string) error {
	if bad := p.set(Setting{Key: key, Text: text}); bad != nil {
		return data.Joined(bad)
	}
	p.applyDefaults()
	return nil
}

func (p *Plan) set(s Setting) []*data.Error {
	fail := func(e data.Error) []*data.Error { e.Key = s.shown(); return []*data.Error{&e} }
	k, ok := KeyNamed(s.Key)
	if !ok || strings.Contains(s.Key, "[]") {
		return fail(unknownSetting(s.Key))
	}
	if before := p.Origins[s.Key]; before.Kind == FromCommand {
		return fail(data.Error{Message: "the same key is set by " + before.String() + " already", Found: s.Text})
	}
	v, faults := k.decode(written{text: s.Text})
	for _, f := range faults {
		f.Key = s.shown()
	}
	if faults != nil {
		return faults
	}
	dst, err := p.field(s.Key)
	if err != nil {
		return fail(*data.Faults(err)[0])
	}
	dst.Set(v)
	p.Origins[s.Key] = Origin{Kind: FromCommand, Flag: s.Flag, Text: s.Text}
	p.clearInstead(s.Key)
	for i := range p.Pumps {
		if other := fmt.Sprintf("pump.%d.present", i+1); k.Path == "pump[].present" && v.Bool() && other != s.Key {
			p.clear(other)
		}
	}
	return nil
}

// unknownSetting says what is wrong with a key that is not in the table.
func unknownSetting(key string) data.Error {
	var all []string
	for _, k := range KeyTable() {
		if all = append(all, k.First()); Pattern(key) == strings.ReplaceAll(k.Path, "[]", "") || key == k.Path {
			return data.Error{Message: "a list: say which item, counting from 1", Hint: "did you mean " + k.First() + "?"}
		}
	}
	e := unknownKey(section(Pattern(key)), lastPart(Pattern(key)))
	if near := data.Nearest(key, all); near != "" {
		e.Hint = "did you mean " + near + "?"
	}
	return data.Error{Message: e.Message, Hint: e.Hint}
}

const listKeys = "sunrill help keys lists them"

// unknown says that the table at has no such table or key.
func (rd *planReader) unknown(at string, n name, table bool) {
	var e data.Error
	switch rd.lost = rd.lost || table; {
	case rd.tooManyFaults(): // and the nearest word takes long to find
	case table:
		e = unknownTable(Pattern(at), n.text)
	default:
		e = unknownKey(Pattern(at), n.text)
	}
	rd.fail(n.offset, e)
}

// unknownTable returns the fault of a table that table does not have.
func unknownTable(table, found string) data.Error {
	e := data.Error{Key: joinKey(table, found), Message: "no such table in a plan", Found: found, Hint: listKeys}
	tables := map[string]string{}
	for path := range keyTable().tables {
		if section(path) == table {
			tables[strings.TrimSuffix(lastPart(path), "[]")] = path
		}
	}
	if near := data.Nearest(found, slices.Sorted(maps.Keys(tables))); near != "" {
		e.Hint = "did you mean " + header(tables[near]) + "?"
	}
	return e
}

// header returns a table as it is written in a file: [pond], [[branch.feed]].
func header(table string) string {
	bare := strings.ReplaceAll(table, "[]", "")
	if strings.HasSuffix(table, "[]") {
		return "[[" + bare + "]]"
	}
	return "[" + bare + "]"
}

func lastPart(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// unknownKey returns the fault of a name that table (a pattern, "" at the top)
// does not have: which key is nearest, there or elsewhere.
func unknownKey(table, found string) data.Error {
	e := data.Error{Key: strings.TrimPrefix(table+"."+found, "."), Message: "no such key in a plan", Hint: listKeys}
	here, all := namesOf(keyTable().inside[table]), namesOf(KeyTable())
	near := data.Nearest(found, here)
	if k, is := KeyForFlag(found); is && slices.Contains(here, k.Name()) {
		near = k.Name() // --lat is site.latitude
	}
	if near == "" {
		e.Allowed = strings.Join(here, ", ")
		if i := slices.Index(all, data.Nearest(found, all)); i >= 0 {
			near = all[i] + ", before the first [table]"
			if at := section(KeyTable()[i].Path); at != "" {
				near = all[i] + ", in " + header(at)
			}
		}
	}
	if near != "" {
		e.Hint = "did you mean " + near + "?"
	}
	return e
}

func namesOf(keys []Key) (all []string) {
	for _, k := range keys {
		all = append(all, k.Name())
	}
	return all
}
