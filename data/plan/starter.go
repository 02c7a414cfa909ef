package plan

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"sunrill/data/units"
)

// StarterValue is a value of a new plan file.
type StarterValue struct {
	Key     string // of the first item of a list: "feed.1.length"
	Text    string
	Example bool // nobody chose it, so that it carries the mark where it is the starter's
}

// StarterValues returns the starter values of the key table, in its order. A
// plan of them runs as it is.
func StarterValues() []StarterValue {
	var all []StarterValue
	for _, k := range KeyTable() {
		if k.Starter != "" {
			all = append(all, StarterValue{Key: k.First(), Text: k.Starter, Example: true})
		}
	}
	return all
}

const starterTop = `# The plan of your pond. "sunrill plan" makes a page of it.
#
# A line marked #? holds an example that is not yet yours: change the value and
# delete the mark. Until then the page lists it first.
# A line that opens with # and a name, as #volume_error = ..., is not in use:
# take the # away to use it. Where the heading above it has a # too, take that
# away as well.
# "sunrill help units" says how to write quantities, "sunrill tables" lists the
# pipes, fittings and places by name.
`

// StarterPlan returns the text of a new plan file: every key of the table under
// its heading with help, form, range and default, in use where given names it
// and commented out elsewhere. Examples carry the mark by which ReadPlan knows
// that they are not yet the reader's own.
func StarterPlan(given []StarterValue) string {
	values := map[string]StarterValue{}
	used := map[string]bool{}
	for _, s := range given {
		values[Pattern(s.Key)] = s
		used[section(Pattern(s.Key))] = true
	}
	var b strings.Builder
	b.WriteString(starterTop)
	for _, at := range starterSections() {
		if at != "" {
			b.WriteString("\n\n")
			if strings.HasSuffix(at, "[]") && !used[at] {
				b.WriteByte('#')
			}
			b.WriteString(header(at) + "\n")
		}
		for _, k := range KeyTable() {
			if section(k.Path) == at {
				v, inUse := values[k.Path]
				k.writeStarter(&b, v, inUse)
			}
		}
	}
	return b.String()
}

const answeredTop = `# The plan of your pond, as you answered. "sunrill plan" makes a page of it.
# "sunrill help units" says how to write quantities.
`

const answeredRest = `
# What else a plan may hold, by its tables; "sunrill help keys" says what each takes
# and what stands in for it:
`

// AnsweredPlan returns the text of a plan file that holds the values given, of items
// of a list in the order of their numbers, and in one comment what else it may hold.
func AnsweredPlan(given []StarterValue) string {
	var b, rest strings.Builder
	b.WriteString(answeredTop)
	rest.WriteString(answeredRest)
	for _, at := range starterSections() {
		for n, left := 1, true; left; n++ {
			left = false
			item, lines := strings.ReplaceAll(at, "[]", "."+strconv.Itoa(n)), ""
			for _, v := range given {
				k, _ := KeyNamed(v.Key)
				left = left || at != "" && strings.HasSuffix(at, "[]") && section(v.Key) == strings.ReplaceAll(at, "[]",
					"."+strconv.Itoa(n+1))
				if section(v.Key) == item {
					lines += k.PlanLine(v.Text) + "\n"
				}
			}
			if lines != "" && at != "" {
				lines = "\n" + header(at) + "\n" + lines
			}
			b.WriteString(lines)
		}
		var names []string
		for _, k := range KeyTable() {
			used := slices.ContainsFunc(given, func(v StarterValue) bool { return Pattern(v.Key) == k.Path })
			if section(k.Path) == at && !used {
				names = append(names, k.Name())
			}
		}
		if len(names) > 0 && at != "" {
			rest.WriteString(commented(header(at) + " " + strings.Join(names, ", ")))
		}
	}
	return b.String() + rest.String()
}

// starterSections returns the tables of a plan file by their first key, so that
// none is opened twice.
func starterSections() []string {
	var all []string
	seen := map[string]bool{}
	for _, k := range KeyTable() {
		if s := section(k.Path); !seen[s] {
			seen[s] = true
			all = append(all, s)
		}
	}
	return all
}

// writeStarter writes the comment and the line of one key.
func (k Key) writeStarter(b *strings.Builder, v StarterValue, inUse bool) {
	about := k.Help + " Takes " + k.Allowed() + "."
	if rule := k.Default + k.Rule; rule != "" {
		about += " Default: " + rule + "."
	}
	b.WriteString("\n" + commented(about))
	switch {
	case !inUse:
		b.WriteString("#" + k.PlanLine(k.example()) + "\n")
	case v.Example && v.Text == k.Starter:
		b.WriteString(k.PlanLine(v.Text) + "  " + starterMark + " an example, not yet yours\n")
	default:
		b.WriteString(k.PlanLine(v.Text) + "\n")
	}
}

// PlanLine returns the line that gives k the value text in a plan file.
func (k Key) PlanLine(text string) string { return k.Name() + " = " + k.planText(text) }

// commented returns s as comment lines that fit a terminal.
func commented(s string) string {
	const width = 78
	return strings.Join(units.Wrapped("# ", "# ", s, width, utf8.RuneCountInString), "\n") + "\n"
}

var bareValue = regexp.MustCompile(`^(?:-?(?:0|[1-9]\d*)(?:\.\d+)?|true|false)$`)

// planText returns a value as TOML writes it: bare where its kind is a plain
// number or true and false, else in quotes.
func (k Key) planText(text string) string {
	switch k.Kind {
	case "number", "count", "money", "degrees", "bool", "speed", "speed_or_off", "coefficient":
		if bareValue.MatchString(text) {
			return text
		}
	}
	text = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return -1 // not allowed in a TOML string, and nothing that a person types
		}
		return r
	}, text)
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

// example returns a value that k takes, for the lines not in use.
func (k Key) example() string {
	tries := []string{k.Example, k.Starter, k.Default, keyKinds[k.Kind][1]}
	if k.Kind == "choice" {
		tries = append(tries, k.Choices[0])
	}
	if k.quantity != 0 {
		tries = append(tries, k.quantity.Example(), strings.TrimSpace(k.Max+" "+k.Unit))
	}
	for _, text := range tries {
		if text != "" && k.Takes(text) == nil {
			return text
		}
	}
	return k.Min
}
