package reftest

import (
	"slices"
	"strings"
)

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
