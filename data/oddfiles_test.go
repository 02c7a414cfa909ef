package data

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// OddFiles returns every odd file met: encodings, delimiters, marks, damage. They
// were met as curves, but whatever a reader expects it may get.
func OddFiles(tb testing.TB) []string {
	tb.Helper()
	names, err := filepath.Glob("testdata/odd/*.csv")
	if err != nil || len(names) == 0 {
		tb.Fatal("no odd files", err)
	}
	var all []string
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		all = append(all, string(text))
	}
	return all
}

// Damaged returns text with lines, cells of a line and columns dropped, doubled
// and swapped: a move for each four bytes, up to sixteen. mark divides the cells.
func Damaged(text, mark string, moves []byte) string {
	lines := strings.Split(text, "\n")
	for moves = moves[:min(len(moves), 64)]; len(moves) >= 4 && len(lines) > 0; moves = moves[4:] {
		how, at, i, j := moves[0]/3, int(moves[1])%len(lines), int(moves[2]), int(moves[3])
		cells := strings.Split(lines[at], mark)
		switch moves[0] % 3 {
		case 0:
			lines = moved(lines, how, at, j%len(lines))
		case 1:
			lines[at] = strings.Join(moved(cells, how, i%len(cells), j%len(cells)), mark)
		default:
			for n, line := range lines {
				if all := strings.Split(line, mark); len(all) >= len(cells) {
					lines[n] = strings.Join(moved(all, how, i%len(cells), j%len(cells)), mark)
				}
			}
		}
	}
	return strings.Join(lines, "\n")
}

// moved returns list without item i, with i a second time after j, or with the
// two in each other's place.
func moved(list []string, how byte, i, j int) []string {
	switch how % 3 {
	case 0:
		return slices.Delete(list, i, i+1)
	case 1:
		return slices.Insert(list, j+1, list[i])
	}
	list[i], list[j] = list[j], list[i]
	return list
}
