package page

import (
	"fmt"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// lineSection says where head and water go with pump first, or with the next
// one that moves any.
func lineSection(works *works.Waterworks, runs []works.Run, first int) []document.Section {
	for i := range runs {
		r := runs[(first+i)%len(runs)]
		q := r.Clean.LeastFlow()
		if q <= 0 {
			continue
		}
		at := document.Sentence("At %v of %v, water at %v.", flowQuantity(q),
			r.Name, document.Temperature.Of(works.Water.InCelsius()))
		switch line := works.Line.(type) {
		case *pumps.System:
			return []document.Section{{Heading: "Where the head goes", Prose: []document.Prose{at}, Tables: []document.Table{lineTable(line, q)}}}
		case *pumps.Network:
			return []document.Section{{Heading: "Where the water goes", Prose: []document.Prose{at}, Tables: []document.Table{branchTable(line, q)}}}
		}
	}
	return nil
}

// branchTable says what each branch gets of total flow q.
func branchTable(n *pumps.Network, q units.Flow) document.Table {
	t := document.Table{Key: "branches", Beside: true, Columns: []document.Column{
		{Key: "name", Heading: "branch", Unit: document.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: document.Flow},
		{Key: "velocity_m_per_s", Heading: "velocity", Unit: document.Velocity},
		{Key: "short_of_head_m", Heading: "short of head", Unit: document.Head},
	}}
	for _, b := range n.Split(q) {
		t.Rows = append(t.Rows, []document.Cell{document.Text(b.Name), document.Number(b.Flow.In(units.CubicMetrePerHour)),
			document.Number(float64(b.Velocity)), document.Number(float64(b.Short))})
	}
	return t
}

// lineTable says where the head goes at flow q: lift, then friction and
// fittings of every feed.
func lineTable(line *pumps.System, q units.Flow) document.Table {
	t := document.Table{Key: "line", Beside: true, Columns: []document.Column{
		{Key: "part", Heading: "part of the line", Unit: document.Word},
		{Key: "bore_mm", Heading: "bore", Unit: document.Bore},
		{Key: "length_m", Heading: "length", Unit: document.Length},
		{Key: "velocity_m_per_s", Heading: "velocity", Unit: document.Velocity},
		{Key: "reynolds", Heading: "Reynolds", Unit: document.None},
		{Key: "regime", Heading: "regime", Unit: document.Word},
		{Key: "head_m", Heading: "head", Unit: document.Head},
	}}
	words := func(part, regime string, head units.Length) []document.Cell {
		none := document.Text("")
		return []document.Cell{document.Text(part), none, none, none, none, document.Text(regime), document.Number(float64(head))}
	}
	t.Rows = append(t.Rows, words("lift", "", line.Lift()))
	water := line.Water()
	heads := line.FeedHeads(q)
	for i, f := range line.Feeds() {
		re := f.Reynolds(q, water)
		t.Rows = append(t.Rows, []document.Cell{document.Text(fmt.Sprintf("feed %d, friction", i+1)), document.Number(f.Bore.In(units.Millimetre)),
			document.Number(float64(f.Length)), document.Number(float64(f.Velocity(q))), document.Number(re), document.Text(pumps.RegimeOf(re).String()), document.Number(float64(heads[i].Friction))})
		t.Rows = append(t.Rows, words(fmt.Sprintf("feed %d, fittings", i+1), "", heads[i].Fittings))
	}
	// A clean bed of gravel takes less than a hair's breadth, and a line for
	// it would look like a main term. The warnings say how little it is.
	if h := line.Spec().Bed.HeadLoss(q, water); h >= units.Millimetre {
		t.Rows = append(t.Rows, words("clean bed", "", h))
	}
	return t
}
