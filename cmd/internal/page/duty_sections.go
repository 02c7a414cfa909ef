package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/pumps/works"
)

// dutyTable lists every crossing of the clean line.
func dutyTable(list []DutyPump) document.Table {
	t := document.Table{Key: "duty", Columns: []document.Column{
		{Key: "name", Heading: "pump", Unit: document.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: document.Flow},
		{Key: "head_m", Heading: "head", Unit: document.Head},
		{Key: "power_w", Heading: "power", Unit: document.Power},
		{Key: "velocity_m_per_s", Heading: "velocity", Unit: document.Velocity},
		{Key: "stable", Heading: "stable", Unit: document.Word},
	}}
	for _, p := range list {
		if len(p.Duty) == 0 {
			none := document.Unknown(p.Name + ": " + p.status.String())
			t.Rows = append(t.Rows, []document.Cell{document.Text(p.Name), none, document.Unknown(""), document.Unknown(""), document.Unknown(""), document.Text("")})
		}
		for _, d := range p.Duty {
			name := p.Name
			if d.Bracket != "" {
				name += ", " + d.Bracket + " end"
			}
			t.Rows = append(t.Rows, []document.Cell{document.Text(name), document.Number(d.Flow), document.Number(d.Head),
				document.NumberOr(d.Power, d.PowerWhy), document.Number(d.Velocity), document.YesNo(d.Stable)})
		}
	}
	return t
}

// rangeTable lists clean, range and dirty flow of each pump.
func rangeTable(list []DutyPump) document.Table {
	t := document.Table{Key: "range", Columns: []document.Column{
		{Key: "name", Heading: "pump", Unit: document.Word},
		{Key: "low_flow_m3_per_h", Heading: "clean, low", Unit: document.Flow},
		{Key: "high_flow_m3_per_h", Heading: "clean, high", Unit: document.Flow},
		{Key: "dirty_flow_m3_per_h", Heading: "dirty", Unit: document.Flow},
		{Key: "dirty_head_m", Heading: "dirty head", Unit: document.Head},
		{Key: "dirty_power_w", Heading: "dirty power", Unit: document.Power},
	}}
	for _, p := range list {
		row := []document.Cell{document.Text(p.Name), document.Unknown(p.Name + ": " + p.RangeWhy), document.Unknown(""),
			document.Unknown(p.Name + ": " + p.dirty.String()), document.Unknown(""), document.Unknown("")}
		if p.Range != nil {
			row[1], row[2] = document.NumberOr(p.Range.Low, p.Name+": "+p.low.String()), document.NumberOr(p.Range.High, p.Name+": "+p.high.String())
		}
		if p.Dirty != nil {
			row[3], row[4], row[5] = document.Number(p.Dirty.Flow), document.Number(p.Dirty.Head), document.NumberOr(p.Dirty.Power, p.Dirty.PowerWhy)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// dutySections are the tables of the page, the line of pump first in detail.
func dutySections(installed *works.Waterworks, runs []works.Run, list []DutyPump, first int) []document.Section {
	sections := []document.Section{
		{Heading: "Clean: where each pump meets the line", Tables: []document.Table{dutyTable(list)}, Notes: crossingNotes(list)},
		{Heading: "Range, and just before cleaning", Tables: []document.Table{rangeTable(list)}, Notes: []document.Prose{dirtNote(installed)}},
	}
	line := lineSection(installed, runs, first)
	if len(line) > 0 && len(runs) > 1 {
		line[0].Notes = append(line[0].Notes, document.Sentence("This is the pump of the plan's choice; for another, name it: --set \"choice.pump=%v\".", runs[(first+1)%len(runs)].Name))
	}
	return append(sections, line...)
}

// crossingNotes explains a curve that meets the line more than once.
func crossingNotes(list []DutyPump) []document.Prose {
	var notes []document.Prose
	for _, p := range list {
		if len(p.Duty) > 1 && p.Duty[0].Bracket == "" {
			notes = append(notes, document.Sentence("The curve of %v droops at low flow and meets the line at %v points. Only a stable one holds: from the other the flow runs away, up or down.",
				p.Name, len(p.Duty)))
		}
	}
	return notes
}

// dirtNote says what the dirt is, and on which pump it was fitted.
func dirtNote(installed *works.Waterworks) document.Prose {
	if installed.DirtOn == "" {
		return document.Sentence("No pump has a point on which the dirt could be fitted.")
	}
	s := document.Sentence("Dirty: one resistance in the line, fitted so that %v loses %v of its clean flow",
		installed.DirtOn, document.Fraction.Of(installed.DirtLoss))
	if d, ok := installed.DirtPoint(); ok {
		s = document.Sentence("%v: %v", s, dirtHead(d))
	}
	switch {
	case installed.DirtAssumed && len(installed.Pumps) > 1:
		s = document.Sentence("%v. Nobody measured it: it is the least that costs any pump so much, whichever runs today.", s)
	case installed.DirtAssumed:
		s = document.Sentence("%v. Nobody measured it.", s)
	default:
		s = document.Sentence("%v.", s)
	}
	if installed.DirtGuessed {
		s = document.Sentence("%v Give the pump that runs today present = true, and the dirt is fitted on it.", s)
	}
	return s
}

// dirtTakes says what head the dirt takes, and of which flow.
func dirtTakes(d works.DirtPoint) document.Prose {
	s := document.Sentence("%v at %v", document.Head.Of(float64(d.Head)), flowQuantity(d.Flow))
	if d.Each {
		s = document.Sentence("%v in each line", s)
	}
	return s
}

// dirtHead says what head the dirt takes, against what the clean line loses.
func dirtHead(d works.DirtPoint) document.Prose {
	s := dirtTakes(d)
	if d.Line > 0 {
		s = document.Sentence("%v, %v times what the clean line loses there", s, round(document.None, float64(d.Head/d.Line)))
	}
	return s
}
