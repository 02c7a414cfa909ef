package plan

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
	"sync"

	"sunrill/data"
	"sunrill/data/units"
)

// Need is what a plan must hold to be answered; needs are added with |.
type Need int

// The needs. NeedPond includes NeedDuty.
const (
	NeedDuty  Need = 1 << iota // where a pump meets its line
	needPond                   // how often the pond turns over
	NeedSite                   // sun and temperature
	NeedLoad                   // watts at a battery
	NeedPanel                  // one panel
	NeedStore                  // one battery
	NeedPond  = NeedDuty | needPond
)

// needWords are the rules of the table that say what a need asks for.
var needWords = map[string]Need{"duty": NeedDuty, "pond": needPond, "site": NeedSite, "load": NeedLoad,
	"panel": NeedPanel, "store": NeedStore}

// rule is a row of data/rules.csv, which says what its columns hold.
type rule struct {
	Table   string `csv:"table,omitempty"`
	Key     string `csv:"key,omitempty"`
	Rule    string `csv:"rule"`
	Other   string `csv:"other,omitempty"`
	Message string `csv:"message,omitempty"`
	Allowed string `csv:"allowed,omitempty"`
}

var rules = sync.OnceValue(func() []rule { return data.Embedded[rule]("rules.csv") })

// others returns the concrete keys of the others, in the table at.
func (r rule) others(at string) []string {
	all := strings.Split(r.Other, "|")
	for i, name := range all {
		if !strings.Contains(name, ".") { // else it names its table itself
			all[i] = joinKey(at, name)
		}
	}
	return all
}

// rules calls visit for each rule and each table of p that it is about, with the
// table's concrete key.
func (p *Plan) rules(visit func(r rule, at string)) {
	p.walk(func(at string, _ reflect.Value) {
		pattern := Pattern(at)
		for _, r := range rules() {
			if outer, is := strings.CutSuffix(pattern, r.Table); is && (outer == "" || r.Table != "" && outer[len(outer)-1] == '.') {
				visit(r, at)
			}
		}
	})
}

// Missing returns an error for each thing that need asks for and p does not
// say, each with what to give; nil where p says enough.
func (p *Plan) Missing(need Need) []*data.Error {
	var faults []*data.Error
	p.rules(func(r rule, at string) {
		if needWords[r.Rule]&need != 0 && !slices.ContainsFunc(r.others(at), p.Given) {
			faults = append(faults, &data.Error{File: p.File, Key: joinKey(at, r.Key), Message: r.Message, Hint: r.Allowed})
		}
	})
	return faults
}

// hold adds the fault of a rule that the table at breaks.
func (c *checker) hold(r rule, at string) {
	p, key, others := c.plan, joinKey(at, r.Key), r.others(at)
	said := func() bool { return slices.ContainsFunc(others, p.Given) }
	switch r.Rule {
	case "or":
		if p.Given(key) && said() {
			c.at(others[0], cmp.Or(r.Message, r.Key+" and "+r.Other+" are two ways to say the same: give one"), r.Allowed)
		}
	case "has", "needs":
		if r.Rule == "has" {
			key = at
		}
		if key != at && !p.Given(key) || said() {
			return
		}
		hint := ""
		k, _ := KeyNamed(others[0])
		_, inFile := p.tables[at]
		if (!inFile || p.Origins[key].Kind == FromCommand) && k.Flag != "" && k.First() == others[0] {
			hint = "give --" + k.Flag
		}
		c.add(key, data.Error{Message: r.Message, Allowed: r.Allowed, Hint: hint})
	case "doubt", "idle": // warnings
	default:
		if limit, broken := p.broken(r, key, others); broken {
			k, _ := KeyNamed(others[0])
			c.at(key, r.Message, strings.ReplaceAll(r.Allowed, "%v", units.Format(k.quantity, limit)))
		}
	}
}

// breaks tells for the rules of how a number stands to another when it is broken.
var breaks = map[string]func(a, b float64) bool{
	"most":  func(a, b float64) bool { return a > b },
	"least": func(a, b float64) bool { return a < b },
	"above": func(a, b float64) bool { return a <= b },
	"below": func(a, b float64) bool { return a >= b && b > 0 },
	"doubt": func(a, b float64) bool { return a < b },
}

// broken reports whether the numbers of p break such a rule.
func (p *Plan) broken(r rule, key string, others []string) (limit float64, broken bool) {
	if breaks[r.Rule] == nil {
		return 0, false
	}
	a, is := p.number([]string{key})
	b, are := p.number(others)
	return b, is && are && breaks[r.Rule](a, b)
}

// number returns the number, in base units, of the first of keys that the plan has, the
// largest of a list.
func (p *Plan) number(keys []string) (largest float64, known bool) {
	for _, key := range keys {
		v, err := p.field(key)
		if v = reflect.Indirect(v); err != nil || !v.IsValid() {
			continue
		}
		if v.CanFloat() {
			return v.Float(), true
		}
		for i := 0; v.Kind() == reflect.Slice && i < v.Len(); i++ {
			largest, known = max(largest, v.Index(i).Float()), true
		}
		if known {
			break
		}
	}
	return largest, known
}

// clearInstead drops what the command line's value of a key takes the place of.
func (p *Plan) clearInstead(key string) {
	at, name := section(key), lastPart(key)
	p.rules(func(r rule, table string) {
		switch {
		case table != at || r.Rule != "or" && r.Rule != "clears":
		case r.Key == name:
			for _, other := range r.others(at) {
				p.clear(other)
			}
		case r.Other == name && r.Rule == "or":
			p.clear(joinKey(at, r.Key))
		}
	})
}

// clear takes back a key, or the items of a list, unless the command line gave it.
func (p *Plan) clear(key string) {
	var given []string
	for other, o := range p.Origins {
		if other == key || strings.HasPrefix(other, key+".") {
			if o.Kind == FromCommand {
				return
			}
			given = append(given, other)
		}
	}
	v, err := p.field(key)
	if err != nil || given == nil {
		return
	}
	v.SetZero()
	for _, other := range given {
		if delete(p.Origins, other); other != key {
			delete(p.tables, section(other))
		}
	}
}
