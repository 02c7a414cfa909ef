package plan

import (
	"fmt"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// planMarks watches the decimal marks of a plan's quantities. In a plan that
// writes 0,8 m, the point of 3.000 L/h may mark thousands: a curve file with
// both is refused, and so is a plan.
type planMarks struct {
	comma  string // the first figure with a comma that is a decimal mark
	points []dottedFigure
}

// dottedFigure is a figure whose point may mark thousands.
type dottedFigure struct {
	key, figure, unit string
	offset            int
}

// look takes note of what w says for key k.
func (m *planMarks) look(k Key, key string, w written) {
	for _, item := range w.items {
		m.look(k, key, item)
	}
	if w.form != quoted || !k.needsUnit() {
		return
	}
	text := strings.TrimLeft(w.text, "+-± ")
	end := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.,", r) })
	if end < 0 {
		end = len(text)
	}
	figure := text[:end]
	switch {
	case strings.ContainsRune(figure, ',') && !units.MaybeThousands(figure):
		if m.comma == "" {
			m.comma = figure
		}
	case strings.ContainsRune(figure, '.') && units.MaybeThousands(figure):
		m.points = append(m.points, dottedFigure{key, figure, strings.TrimSpace(text[end:]), w.offset})
	}
}

// doubts returns a fault for each figure that may be a thousand times what it
// would be read as.
func (m *planMarks) doubts(fail func(offset int, e data.Error)) {
	if m.comma == "" {
		return
	}
	for _, p := range m.points {
		whole, decimals, _ := strings.Cut(p.figure, ".")
		fail(p.offset, data.Error{Key: p.key, Found: p.figure + " " + p.unit,
			Message: fmt.Sprintf("the plan writes %s with a comma, so this point may mark thousands", m.comma),
			Allowed: fmt.Sprintf("%s%s %s, or %s,%s %s", whole, decimals, p.unit, whole, decimals[:1]+strings.TrimRight(decimals[1:],
				"0"), p.unit)})
	}
}
