package plan

import (
	"cmp"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// planMarks watches the decimal marks of a plan's quantities. In a plan that
// writes 0,8 m, the point of 3.000 L/h may mark thousands: a curve file with
// both is refused, and so is a plan.
type planMarks struct {
	comma  string        // the first figure with a comma that is a decimal mark
	points []*data.Error // of figures whose point may mark thousands, without their message
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
	unit := strings.TrimLeft(text, "0123456789.,")
	figure := strings.TrimSuffix(text, unit)
	unit = " " + strings.TrimSpace(unit)
	whole, decimals, point := strings.Cut(figure, ".")
	switch doubtful := units.MaybeThousands(figure); {
	case !doubtful && strings.Contains(figure, ","):
		m.comma = cmp.Or(m.comma, figure)
	case doubtful && point:
		parted := whole + "," + decimals[:1] + strings.TrimRight(decimals[1:], "0")
		m.points = append(m.points, &data.Error{Key: key, Found: figure + unit, Column: w.offset,
			Allowed: whole + decimals + unit + ", or " + parted + unit})
	}
}
