package plan

import (
	"errors"
	"fmt"
	"reflect"
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

// origin returns where a value set by s comes from.
func (s Setting) origin() Origin {
	if s.Flag != "" {
		return Origin{Kind: FromFlag, Flag: s.Flag, Text: s.Text}
	}
	return Origin{Kind: FromSet, Text: s.Text}
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
	if err := p.applySettings(sets); err != nil {
		// What the whole lacks may follow from the faults; unknown names do not.
		names := slices.DeleteFunc(data.Faults(p.Check()), func(f *data.Error) bool { return f.Err == nil })
		return errors.Join(err, joinFaults(names))
	}
	return p.Check()
}

func (p *Plan) applySettings(sets []Setting) error {
	var faults []*data.Error
	for _, s := range sets {
		faults = append(faults, data.Faults(p.set(s))...)
	}
	p.applyDefaults()
	return joinFaults(faults)
}

// Set gives one key a value as --set does. The plan is unchanged where it
// returns an error, a joined *Error. Call Check when all is set.
func (p *Plan) Set(key, text string) error {
	if err := p.set(Setting{Key: key, Text: text}); err != nil {
		return err
	}
	p.applyDefaults()
	return nil
}

func (p *Plan) set(s Setting) error {
	fail := func(e data.Error) error { e.Key = s.shown(); return &e }
	k, ok := KeyNamed(s.Key)
	if !ok || strings.Contains(s.Key, "[]") {
		return fail(unknownSetting(s.Key))
	}
	if before, seen := p.Origins[s.Key]; seen && (before.Kind == FromFlag || before.Kind == FromSet) {
		return fail(data.Error{Message: "the same key is set by " + before.String() + " already", Found: s.Text})
	}
	scratch := reflect.New(fieldType(k.Path)).Elem()
	if bad := k.decode(scratch, written{form: quoted, text: s.Text}); len(bad) > 0 {
		faults := make([]*data.Error, len(bad))
		for i := range bad {
			faults[i] = &bad[i].Error
			faults[i].Key = s.shown()
		}
		return joinFaults(faults)
	}
	dst, err := p.field(s.Key)
	var gap *data.Error
	if errors.As(err, &gap) {
		return fail(*gap)
	} else if err != nil {
		return fail(unknownSetting(s.Key))
	}
	dst.Set(scratch)
	p.Origins[s.Key] = s.origin()
	p.clearInstead(s.Key)
	if k.Path == "pump[].present" {
		p.onlyPresent(s.Key)
	}
	return nil
}

// unknownSetting says what is wrong with a key that is not in the table.
func unknownSetting(key string) data.Error {
	pattern := Pattern(key)
	for _, k := range KeyTable() {
		if pattern == strings.ReplaceAll(k.Path, "[]", "") || pattern == k.Path {
			return data.Error{Message: "a list: say which item, counting from 1", Hint: fmt.Sprintf("did you mean %s?", k.First())}
		}
	}
	var all, named []string
	for _, k := range KeyTable() {
		all = append(all, k.First())
		if k.Name() == key || k.Flag == key {
			named = append(named, k.First())
		}
	}
	e := data.Error{Message: "no such key in a plan"}
	near := strings.Join(named, " or ")
	if near == "" {
		near = data.Nearest(key, all)
	}
	if near == "" {
		e.Hint = unknown(section(pattern), lastPart(pattern)).Hint
	} else {
		e.Hint = "did you mean " + near + "?"
	}
	return e
}

// onlyPresent takes the mark of the present pump off the pumps of the file
// once the command line gives it to another.
func (p *Plan) onlyPresent(key string) {
	if v, err := p.field(key); err != nil || !v.Bool() {
		return
	}
	for i := range p.Pumps {
		other := fmt.Sprintf("pump.%d.present", i+1)
		if o := p.Origins[other]; other != key && (o.Kind == FromFile || o.Kind == FromStarter) {
			p.Pumps[i].Present = false
			delete(p.Origins, other)
		}
	}
}
