package data

import (
	"strings"
)

// Nearest returns the word of among that found was most likely meant to be,
// or "" where none is near: the least number of letters to change, add, drop
// or swap, at most a third of the word. Capitals, spaces, hyphens and
// underscores do not count. The first of equals wins.
func Nearest(found string, among []string) string {
	best, least := "", -1
	if len(found) > 100 { // no slip of the keyboard, and slow to compare
		return ""
	}
	f := PlainWord(found)
	for _, word := range among {
		w := PlainWord(word)
		d := editDistance(f, w)
		if most := max(1, max(len(f), len(w))/3); d > most {
			continue
		}
		if least < 0 || d < least {
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
