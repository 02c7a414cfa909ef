package cli

import (
	"fmt"

	report "sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
)

// lineSection says where head and water go with pump first, or with the next
// one that moves any.
func lineSection(works *energy.Waterworks, runs []energy.Run, first int) []report.Section {
	for i := range runs {
		r := runs[(first+i)%len(runs)]
		q := r.Clean.LeastFlow()
		if q <= 0 {
			continue
		}
		at := report.Sentence("At %v of %v, water at %v.", flowQuantity(q),
			r.Name, report.Temperature.Of(works.Water.InCelsius()))
		switch line := works.Line.(type) {
		case *pumps.System:
			return []report.Section{{Heading: "Where the head goes", Prose: []report.Prose{at}, Tables: []report.Table{lineTable(line, q)}}}
		case *pumps.Network:
			return []report.Section{{Heading: "Where the water goes", Prose: []report.Prose{at}, Tables: []report.Table{branchTable(line, q)}}}
		}
	}
	return nil
}

// branchTable says what each branch gets of total flow q.
func branchTable(n *pumps.Network, q units.Flow) report.Table {
	t := report.Table{Key: "branches", Beside: true, Columns: []report.Column{
		{Key: "name", Heading: "branch", Unit: report.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: report.Flow},
		{Key: "velocity_m_per_s", Heading: "velocity", Unit: report.Velocity},
		{Key: "short_of_head_m", Heading: "short of head", Unit: report.Head},
	}}
	for _, b := range n.Split(q) {
		t.Rows = append(t.Rows, []report.Cell{report.Text(b.Name), report.Number(b.Flow.In(units.CubicMetrePerHour)),
			report.Number(float64(b.Velocity)), report.Number(float64(b.Short))})
	}
	return t
}

// lineTable says where the head goes at flow q: lift, then friction and
// fittings of every feed.
func lineTable(line *pumps.System, q units.Flow) report.Table {
	t := report.Table{Key: "line", Beside: true, Columns: []report.Column{
		{Key: "part", Heading: "part of the line", Unit: report.Word},
		{Key: "bore_mm", Heading: "bore", Unit: report.Bore},
		{Key: "length_m", Heading: "length", Unit: report.Length},
		{Key: "velocity_m_per_s", Heading: "velocity", Unit: report.Velocity},
		{Key: "reynolds", Heading: "Reynolds", Unit: report.None},
		{Key: "regime", Heading: "regime", Unit: report.Word},
		{Key: "head_m", Heading: "head", Unit: report.Head},
	}}
	words := func(part, regime string, head units.Length) []report.Cell {
		none := report.Text("")
		return []report.Cell{report.Text(part), none, none, none, none, report.Text(regime), report.Number(float64(head))}
	}
	t.Rows = append(t.Rows, words("lift", "", line.Lift()))
	water := line.Water()
	heads := line.FeedHeads(q)
	for i, f := range line.Feeds() {
		re := f.Reynolds(q, water)
		t.Rows = append(t.Rows, []report.Cell{report.Text(fmt.Sprintf("feed %d, friction", i+1)), report.Number(f.Bore.In(units.Millimetre)),
			report.Number(float64(f.Length)), report.Number(float64(f.Velocity(q))), report.Number(re), report.Text(pumps.RegimeOf(re).String()), report.Number(float64(heads[i].Friction))})
		t.Rows = append(t.Rows, words(fmt.Sprintf("feed %d, fittings", i+1), "", heads[i].Fittings))
	}
	// A clean bed of gravel takes less than a hair's breadth, and a line for
	// it would look like a main term. The warnings say how little it is.
	if h := line.Spec().Bed.HeadLoss(q, water); h >= units.Millimetre {
		t.Rows = append(t.Rows, words("clean bed", "", h))
	}
	return t
}
