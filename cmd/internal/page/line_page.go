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
		s := document.Section{Heading: "Where the water goes",
			Prose: []document.Prose{document.Sentence("At %v of %v, water at %v.", document.Flow.Of(q), r.Name,
				document.Temperature.Of(works.Water.InCelsius()))}}
		t := document.TableOf("branches", works.Line.Split(q), document.Columns(
			"name: branch", "flow_m3_per_h: flow", "velocity_m_per_s: velocity", "short_of_head_m: short of head"))
		if !works.Line.Branched() {
			s.Heading, t = "Where the head goes", lineTable(works.Line, q)
		}
		t.Beside = true
		s.Tables = []document.Table{t}
		return []document.Section{s}
	}
	return nil
}

// lineTable says where the head goes at flow q: lift, then friction and
// fittings of every feed.
func lineTable(line *pumps.System, q units.Flow) document.Table {
	t := document.TableOf("line", []struct{}{}, document.Columns("part: part of the line", "bore_mm: bore", "length_m: length",
		"velocity_m_per_s: velocity", "reynolds: Reynolds", "regime: regime", "head_m: head"))
	words := func(part string, head units.Length) {
		none := document.Text("")
		t.Rows = append(t.Rows, []document.Cell{document.Text(part), none, none, none, none, none, document.Number(float64(head))})
	}
	words("lift", line.Lift())
	water := line.Water()
	heads := line.FeedHeads(q)
	for i, f := range line.Feeds() {
		re := f.Reynolds(q, water)
		t.Rows = append(t.Rows, []document.Cell{document.Text(fmt.Sprintf("feed %d, friction", i+1)),
			document.Number(f.Bore.In(units.Millimetre)),
			document.Number(float64(f.Length)), document.Number(float64(f.Velocity(q))), document.Number(re),
			document.Text(pumps.RegimeOf(re)), document.Number(float64(heads[i].Friction))})
		words(fmt.Sprintf("feed %d, fittings", i+1), heads[i].Fittings)
	}
	// A clean bed of gravel takes less than a hair's breadth, and a line for
	// it would look like a main term. The warnings say how little it is.
	if h := line.Spec().Bed.HeadLoss(q, water); h >= units.Millimetre {
		words("clean bed", h)
	}
	return t
}
