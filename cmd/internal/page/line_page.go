package page

import (
	"fmt"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// dirtNote says what the dirt is, and on which pump it was fitted.
func dirtNote(installed *works.Waterworks) document.Prose {
	if installed.DirtOn == "" {
		return document.Sentence("No pump has a point on which the dirt could be fitted.")
	}
	s := document.Sentence("Dirty: one resistance in the line, fitted so that %v loses %v of its clean flow", installed.DirtOn,
		document.Fraction.Of(installed.DirtLoss))
	if d, ok := installed.DirtPoint(); ok {
		s = s.And(": %v", dirtTakes(d))
	}
	return s.And(".").When(installed.DirtGuessed, " Give the pump that runs today present = true, and the dirt is fitted on it.")
}

// dirtTakes says what head the dirt takes, and of which flow.
func dirtTakes(d works.DirtPoint) document.Prose {
	return document.Sentence("%v at %v", document.Head.Of(d.Head), document.Flow.Of(d.Flow)).When(d.Each, " in each line")
}

// assumedOf lists what the water of a plan assumes, with the head that the
// assumed dirt means.
func assumedOf(installed *works.Waterworks, list []figure.Assumed) []document.Assumption {
	out := assumed(list)
	d, ok := installed.DirtPoint()
	for i := range out {
		if out[i].Key == dirtLossKey && ok {
			out[i].Why = document.Sentence("%v; it means %v", out[i].Why, dirtTakes(d))
		}
	}
	return out
}

// lineSection says where head and water go with pump first, or with the next
// one that moves any.
func lineSection(works *works.Waterworks, runs []works.Run, first int) []document.Section {
	for i := range runs {
		r := runs[(first+i)%len(runs)]
		q := r.Clean.LeastFlow()
		if q <= 0 {
			continue
		}
		says := document.Sentence("At %v of %v, water at %v", document.Flow.Of(q), r.Name, document.Temperature.Of(works.Water.InCelsius()))
		s := document.Section{Heading: "Where the water goes"}
		t := document.TableOf("branches", works.Line.Split(q), document.Columns(
			"name: branch", "flow_m3_per_h: flow", "velocity_m_per_s: velocity", "short_of_head_m: short of head"))
		if !works.Line.Branched() {
			s.Heading, t = "Where the head goes", lineTable(works.Line, q)
			says = says.And(", the lift takes %v", document.Head.Of(works.Line.Lift()))
			// A clean bed of gravel takes less than a hair's breadth, and would look like a main term.
			if h := works.Line.Spec().Bed.HeadLoss(q, works.Line.Water()); h >= units.Millimetre {
				says = says.And(", the clean bed %v", document.Head.Of(h))
			}
		}
		t.Beside = true
		s.Prose, s.Tables = []document.Prose{says.And(".")}, []document.Table{t}
		return []document.Section{s}
	}
	return nil
}

// lineTable says what head every feed takes at flow q.
func lineTable(line *pumps.System, q units.Flow) document.Table {
	type row struct {
		Name     string         `json:"feed"`
		Bore     units.Length   `json:"bore_mm"`
		Length   units.Length   `json:"length_m"`
		Velocity units.Velocity `json:"velocity_m_per_s"`
		Friction units.Length   `json:"friction_head_m"`
		Fittings units.Length   `json:"fittings_head_m"`
	}
	var rows []row
	for i, h := range line.FeedHeads(q) {
		f := line.Feeds()[i]
		rows = append(rows, row{fmt.Sprintf("feed %d", i+1), f.Bore, f.Length, f.Velocity(q), h.Friction, h.Fittings})
	}
	return document.TableOf("line", rows, document.Columns("feed: piece", "bore_mm: bore", "length_m: length",
		"velocity_m_per_s: velocity", "friction_head_m: friction", "fittings_head_m: fittings"))
}
