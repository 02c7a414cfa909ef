package plantest

import (
	"encoding/json"
	"fmt"
	"sort"
	"strings"

	"sunrill/data/plan"
)

// Settings returns the keys of the plan as --set would give them, list items
// in their order.
func (c Case) Settings() []plan.Setting {
	var sets []plan.Setting
	for key, toml := range c.Keys {
		sets = append(sets, plan.Setting{Key: key, Text: plain(toml)})
	}
	sort.Slice(sets, func(i, j int) bool { return natural(sets[i].Key) < natural(sets[j].Key) })
	return sets
}

// plain takes the TOML quotes off a drawn value.
func plain(toml string) string {
	switch toml[0] {
	case '"':
		return unquote(toml)
	case '[':
		var items []any
		must(json.Unmarshal([]byte(toml), &items))
		parts := make([]string, len(items))
		for i, it := range items {
			parts[i] = fmt.Sprint(it)
		}
		return strings.Join(parts, "; ")
	case '{':
		var parts []string
		for _, pair := range strings.Split(strings.Trim(toml, "{} "), ", ") {
			name, count, _ := strings.Cut(pair, " = ")
			parts = append(parts, count+" x "+unquote(name))
		}
		return strings.Join(parts, ", ")
	}
	return toml
}

func unquote(s string) string {
	var text string
	must(json.Unmarshal([]byte(s), &text))
	return text
}

func must(err error) {
	if err != nil {
		panic("plantest: " + err.Error())
	}
}
