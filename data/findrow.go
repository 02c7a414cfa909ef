package data

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
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

// findRow returns the row that name means: one whose names have
// the same words and numbers in any order, whatever the capitals, spaces and
// inch marks. The error is an *Error that suggests near names; kind says what
// is looked for, such as "pipe".
func findRow[T any](kind, name string, rows []T, names func(T) []string) (T, error) {
	var want []string
	if w, known := wordsOfRow.Load(name); known {
		want = w.([]string)
	} else {
		want = nameWords(name)
	}
	means := func(n string) bool { return slices.Equal(rowWords(n), want) }
	if i := slices.IndexFunc(rows, func(row T) bool { return slices.ContainsFunc(names(row), means) }); i >= 0 && len(want) > 0 {
		return rows[i], nil
	}
	var within, spellings []string
	all := map[string]string{} // the row's own name by each of its names
	for _, row := range rows {
		own := names(row)[0]
		for _, n := range names(row) {
			have := rowWords(n)
			all[n] = own
			spellings = append(spellings, n)
			lacks := slices.ContainsFunc(want, func(w string) bool { return !slices.Contains(have, w) })
			if len(want) > 0 && !lacks && !slices.Contains(within, own) {
				within = append(within, own)
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
	if plural := kind + "s"; slices.ContainsFunc(catalogue, func(t Table) bool { return t.Name == plural }) {
		e.Hint = `"sunrill tables ` + plural + `" shows all rows`
	}
	var none T
	return none, e
}

var (
	mixedInch = regexp.MustCompile(`(\d)[ -]+(\d+/\d+)`)
	joined    = regexp.MustCompile(`\b(sdr|pn|sch) ([\d.]+)`)
	words     = regexp.MustCompile(`\d+-\d+/\d+|\d+/\d+|[\d.]+|\pL+`)

	plainName = strings.NewReplacer("½", " 1/2 ", "¼", " 1/4 ", "¾", " 3/4 ", `"`, " in ", "″", " in ", "”", " in ",
		"⁄", "/", "°", " ", "_", " ", "pvc-u", "pvcu", "upvc", "pvcu")

	// sameWord brings other spellings to the one of the tables; "" drops a word.
	sameWord = map[string]string{
		"inch": "in", "inches": "in", "mm": "", "schedule": "sch", "hdpe": "pe", "mdpe": "pe", "ldpe": "pe", "pehd": "pe",
		"polyethylene": "pe",
		"corrugated":   "ribbed", "garden": "", "pipe": "", "deg": "", "degree": "", "degrees": "", "valves": "valve", "elbows": "elbow",
		"bends": "bend", "tees": "tee", "tables": "table",
	}
)

// rowWords is nameWords for the names of rows, of which there are a few hundred and
// which each look into their table asks for.
func rowWords(name string) []string {
	w, known := wordsOfRow.Load(name)
	if !known {
		w, _ = wordsOfRow.LoadOrStore(name, nameWords(name))
	}
	return w.([]string)
}

var wordsOfRow sync.Map // of string to []string, which nobody changes

// nameWords returns the words and numbers of a name in one spelling, sorted.
func nameWords(s string) []string {
	s = plainName.Replace(strings.ToLower(s))
	s = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("/.-", r) {
			return r
		}
		return ' '
	}, mixedInch.ReplaceAllString(strings.Join(strings.Fields(s), " "), "$1-$2"))
	var list []string
	for _, w := range words.FindAllString(s, -1) { // apart where they touch
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

// Nearest returns the word of among that found was most likely meant to be,
// or "" where none is near: the least number of letters to change, add, drop
// or swap, at most a third of the word. Capitals, spaces, hyphens and
// underscores do not count. The first of equals wins.
func Nearest(found string, among []string) string {
	if len(found) > 100 { // no slip of the keyboard, and slow to compare
		return ""
	}
	best, least, f := "", math.MaxInt, PlainWord(found)
	for _, word := range among {
		w := PlainWord(word)
		if d := editDistance(f, w); d <= max(1, max(len(f), len(w))/3) && d < least {
			best, least = word, d
		}
	}
	return best
}

// PlainWord returns the letters of s that Nearest compares.
func PlainWord(s string) []rune {
	s = strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(s))
	return []rune(s)
}

// editDistance is Damerau's with adjacent swaps (optimal string alignment).
func editDistance(a, b []rune) int {
	rows := [3][]int{make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(a); i++ {
		older, above, here := rows[(i+2)%3], rows[i%3], rows[(i+1)%3]
		here[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			here[j] = min(above[j]+1, here[j-1]+1, above[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				here[j] = min(here[j], older[j-2]+1)
			}
		}
	}
	return rows[(len(a)+1)%3][len(b)]
}
