package plan

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"sunrill/data/units"
)

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

// StarterPlan returns the text of a new plan file: every key of the table under its heading
// with help, form, range and default, in use where the table has a starter value and
// commented out elsewhere. A plan of them runs as it is. Their mark tells ReadPlan that they
// are not yet the reader's own.
func StarterPlan() string {
	var b strings.Builder
	b.WriteString(starterTop)
	for _, at := range keyTable().order {
		keys := keyTable().inside[at]
		if at != "" {
			b.WriteString("\n\n")
			if strings.HasSuffix(at, "[]") && !slices.ContainsFunc(keys, func(k Key) bool { return k.Starter != "" }) {
				b.WriteByte('#')
			}
			b.WriteString(header(at) + "\n")
		}
		for _, k := range keys {
			about := k.Help + " Takes " + k.Allowed() + "."
			if rule := k.Default + k.Rule; rule != "" {
				about += " Default: " + rule + "."
			}
			line := "#" + k.PlanLine(k.example())
			if k.Starter != "" {
				line = k.PlanLine(k.Starter) + "  " + starterMark + " an example, not yet yours"
			}
			b.WriteString("\n" + commented(about) + line + "\n")
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
func AnsweredPlan(given []Setting) string {
	rest := ""
	for _, at := range keyTable().order[1:] {
		others := slices.DeleteFunc(slices.Clone(keyTable().inside[at]), func(k Key) bool {
			return slices.ContainsFunc(given, func(v Setting) bool { return Pattern(v.Key) == k.Path })
		})
		if len(others) > 0 {
			rest += commented(header(at) + " " + strings.Join(namesOf(others), ", "))
		}
	}
	return answeredTop + inTables(given) + answeredRest + rest
}

// inTables returns the lines of values under the headers of their tables, in the order of
// the key table and of the items of a list.
func inTables(given []Setting) (text string) {
	given = slices.Clone(given)
	slices.SortStableFunc(given, func(a, b Setting) int {
		a.Key, b.Key = section(a.Key), section(b.Key)
		order := keyTable().order
		return cmp.Or(slices.Index(order, Pattern(a.Key))-slices.Index(order, Pattern(b.Key)), len(a.Key)-len(b.Key),
			strings.Compare(a.Key, b.Key))
	})
	at := ""
	for _, v := range given {
		if section(v.Key) != at {
			at = section(v.Key)
			text += "\n" + header(Pattern(at)) + "\n"
		}
		k, _ := KeyNamed(v.Key)
		text += k.PlanLine(v.Text) + "\n"
	}
	return text
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
	case "number", "count", "money", "degrees", "latitude", "longitude", "bool", "speed", "speed_or_off", "coefficient":
		if bareValue.MatchString(text) {
			return text
		}
	}
	// Control characters are nothing that a person types, and TOML takes few of them.
	return strconv.QuoteToGraphic(strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, text))
}

// example returns a value that k takes, for the lines not in use.
func (k Key) example() string {
	for _, text := range []string{k.Example, k.Starter, k.Default, k.kind.Example} {
		if text != "" && k.Takes(text) == nil {
			return text
		}
	}
	if k.quantity != 0 {
		return strings.TrimSpace(k.Max + " " + k.Unit)
	}
	return k.Min
}
