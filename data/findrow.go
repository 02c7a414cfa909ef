package data

import (
	"regexp"
	"slices"
	"strings"
	"unicode"
)

// rowOf returns the row whose name is word, whatever its capitals. The error is an
// *Error of the plan key that holds the word; it lists the names there are, and
// what says what they name.
func rowOf[T any](key, what, word string, rows []T, name func(T) string) (T, error) {
	names := make([]string, len(rows))
	for i, row := range rows {
		if names[i] = name(row); strings.EqualFold(names[i], strings.TrimSpace(word)) {
			return row, nil
		}
	}
	e := &Error{Key: key, Message: "there is no such " + what, Found: word, Allowed: strings.Join(names, ", ")}
	if near := Nearest(word, names); near != "" {
		e.Hint = "perhaps " + near
	}
	var none T
	return none, e
}

// findRow returns the index of the row that name means: one whose names have
// the same words and numbers in any order, whatever the capitals, spaces and
// inch marks. The error is an *Error that suggests near names; kind says what
// is looked for, such as "pipe".
func findRow(kind, name string, rows int, names func(i int) []string) (int, error) {
	want := nameWords(name)
	var within, spellings []string
	all := map[string]string{} // the row's own name by each of its names
	for i := range rows {
		for _, n := range names(i) {
			have := nameWords(n)
			if slices.Equal(have, want) && len(want) > 0 {
				return i, nil
			}
			all[n] = names(i)[0]
			spellings = append(spellings, n)
			if len(want) > 0 && holdsAll(have, want) && !slices.Contains(within, names(i)[0]) {
				within = append(within, names(i)[0])
			}
		}
	}
	e := &Error{Key: kind, Found: name, Message: "there is no such " + kind, Allowed: "a row of the table of " + kind + "s"}
	if near := Nearest(name, spellings); len(within) == 0 && near != "" {
		within = []string{all[near]}
	}
	if len(within) > 6 {
		within = append(within[:6:6], "…")
	}
	if len(within) > 0 {
		e.Allowed += ", perhaps " + strings.Join(within, ", ")
	}
	switch plural := kind + "s"; {
	case kind == "table":
		e.Hint = `"sunrill tables" lists them`
	case slices.ContainsFunc(catalogue, func(t Table) bool { return t.Name == plural }):
		e.Hint = `"sunrill tables ` + plural + `" shows all rows`
	}
	return 0, e
}

func holdsAll(have, want []string) bool {
	for _, w := range want {
		if !slices.Contains(have, w) {
			return false
		}
	}
	return true
}

var (
	mixedInch = regexp.MustCompile(`(\d)[ -]+(\d+/\d+)`)
	joined    = regexp.MustCompile(`\b(sdr|pn|sch) ([\d.]+)`)
	words     = regexp.MustCompile(`\d+-\d+/\d+|\d+/\d+|[\d.]+|\pL+`)

	plainName = strings.NewReplacer("½", " 1/2 ", "¼", " 1/4 ", "¾", " 3/4 ", `"`, " in ", "″", " in ", "”", " in ",
		"⁄", "/", "°", " ", "_", " ", "pvc-u", "pvcu", "upvc", "pvcu")

	// sameWord brings other spellings to the one of the tables; "" drops a word.
	sameWord = map[string]string{
		"inch": "in", "inches": "in", "mm": "", "schedule": "sch", "hdpe": "pe", "mdpe": "pe", "ldpe": "pe", "pehd": "pe", "polyethylene": "pe",
		"corrugated": "ribbed", "garden": "", "pipe": "", "deg": "", "degree": "", "degrees": "", "valves": "valve", "elbows": "elbow",
		"bends": "bend", "tees": "tee", "tables": "table",
	}
)

// nameWords returns the words and numbers of a name in one spelling, sorted.
func nameWords(s string) []string {
	s = plainName.Replace(strings.ToLower(s))
	s = splitWords(mixedInch.ReplaceAllString(strings.Join(strings.Fields(s), " "), "$1-$2"))
	var list []string
	for _, w := range strings.Fields(s) {
		if same, ok := sameWord[w]; ok {
			w = same
		}
		if w != "" {
			list = append(list, w)
		}
	}
	list = strings.Fields(joined.ReplaceAllString(strings.Join(list, " "), "$1$2"))
	slices.Sort(list)
	return list
}

// splitWords puts a space between words and numbers that touch.
func splitWords(s string) string {
	return strings.Join(words.FindAllString(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("/.-", r) {
			return r
		}
		return ' '
	}, s), -1), " ")
}
