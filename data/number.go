package data

import (
	"errors"
	"strings"

	"sunrill/data/units"
)

var (
	errEmptyCell = errors.New("the cell is empty")
	errNotNumber = errors.New("the cell is not a number")
	errTooLarge  = errors.New("the number is too large")
)

func parseCell(s string) (float64, error) {
	v, err := units.ParseNumber(s)
	switch {
	case err == nil:
		return v, nil
	case strings.TrimSpace(s) == "":
		return 0, errEmptyCell
	case strings.Contains(err.Error(), "too large"):
		return 0, errTooLarge
	}
	return 0, errNotNumber
}

type mark byte

const (
	noMark mark = 0
	point  mark = '.'
	comma  mark = ','
)

// marks finds which decimal mark a file uses from the cells that show it.
type marks struct {
	points, commas *shown // the first cell that shows each
	doubtful       []shown
}

// shown is cell i of a row.
type shown struct {
	row row
	i   int
}

// look takes note of one cell that should hold a number. Where the comma
// divides the cells, a bare point can only be the decimal mark.
func (m *marks) look(r row, i int, delimiter rune) {
	body, _, _ := strings.Cut(strings.ToLower(strings.TrimLeft(r.cell(i), "+-−")), "e")
	if strings.Trim(body, "0123456789.,") != "" || body == "" {
		return // not a number at all: reported elsewhere
	}
	p, q := strings.Count(body, "."), strings.Count(body, ",")
	switch {
	case p+q != 1:
	case units.MaybeThousands(body) && !(p == 1 && delimiter == ','):
		m.doubtful = append(m.doubtful, shown{r, i})
	case p == 1 && m.points == nil:
		m.points = &shown{r, i}
	case q == 1 && m.commas == nil:
		m.commas = &shown{r, i}
	}
}

// settle returns the decimal mark of the file, or reports why there is none.
func (m *marks) settle(s *sheet) mark {
	switch {
	case m.points != nil && m.commas != nil:
		first, second := m.points, m.commas
		if second.row.line < first.row.line {
			first, second = second, first
		}
		s.bad(second.row, second.i, refused("one decimal mark in the whole file, and no thousands marks",
			"the decimal mark differs from %s in line %d", first.row.cell(first.i), first.row.line))
		return noMark
	case m.commas != nil:
		return comma
	case m.points != nil || len(m.doubtful) == 0:
		return point
	}
	for _, c := range m.doubtful {
		text := c.row.cell(c.i)
		whole, parted := strings.NewReplacer(".", "", ",", "").Replace(text), strings.Replace(text, ",", ".", 1)
		s.bad(c.row, c.i, refused("numbers without thousands marks, such as "+whole+" or "+parted+"0",
			"can be read two ways, and no cell of the file shows which: as %s or as %s", whole, parted))
	}
	return noMark
}

func (m mark) value(text string) (float64, error) {
	if strings.ContainsAny(text, " '’\u00a0\u202f") && strings.Trim(text, "0123456789.,+-− '’\u00a0\u202f") == "" {
		return 0, errThousands
	}
	other := "."
	if m == point {
		other = ","
	}
	if m != noMark && (strings.Contains(text, other) || strings.Count(text, string(rune(m))) > 1) {
		if strings.Trim(text, "0123456789.,+-−eE") == "" {
			return 0, errThousands
		}
		return 0, errNotNumber
	}
	return parseCell(strings.Replace(text, ",", ".", 1))
}

var errThousands = errors.New("the number has a thousands mark")

// withoutThousands returns text without its thousands marks. Where marks of two
// kinds stand in it, a point or comma after all others is the decimal mark.
func withoutThousands(text string) string {
	bare := strings.NewReplacer(" ", "", "'", "", "’", "", "\u00a0", "", "\u202f", "").Replace(text)
	p, q := strings.LastIndexByte(bare, '.'), strings.LastIndexByte(bare, ',')
	whole := strings.NewReplacer(".", "", ",", "")
	last := max(p, q)
	if last < 0 || min(p, q) < 0 && bare == text {
		return whole.Replace(bare)
	}
	return whole.Replace(bare[:last]) + bare[last:]
}
