package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// hoseAnswer says whether a wider hose does more than a bigger pump: where a smaller
// pump on it would do, else what it and the next pump would bring.
func (p *waterPage) hoseAnswer() document.Prose {
	c := p.water.Choice
	if best, ok := p.water.BestStep(); ok && best.Hose != "" && best.Pump != c.Index {
		s := document.Sentence("on %v, %v meets the goal for %v", hoseIn(best), best.Name, document.Power.Of(best.Power))
		better := "a wider hose"
		if best.Hose == works.SameBoreSmooth {
			better = "a hose without ribs"
		}
		if c.Index < 0 {
			return s.And(": %v will do.", better)
		}
		s = s.When(p.water.Pumps[c.Index].Power.Known, " instead of %v", document.Power.Of(p.water.Pumps[c.Index].Power))
		return s.And(": %v does more than a bigger pump.", better)
	}
	near := p.nearest()
	s := p.hoseGain()
	if c.Larger < 0 || near.Dirty.Flow <= 0 || !near.Power.Known || !p.water.Pumps[c.Larger].Power.Known {
		if s.IsZero() {
			return s
		}
		return s.And(".")
	}
	up := p.water.Pumps[c.Larger]
	next := document.Sentence("the next pump, %v, %v more for %v", up.Name, document.Flow.Of(up.Dirty.Flow-near.Dirty.Flow),
		document.Power.Of(up.Power.Value-near.Power.Value))
	if s.IsZero() {
		return document.Sentence("%v.", next)
	}
	return s.And("; %v.", next)
}

// hoseGain says what the next hose brings to the nearest pump, nothing where that is
// not known or does not lift on it either.
func (p *waterPage) hoseGain() document.Prose {
	const material = 0.005 // of the flow: less is lost in the figures
	near := p.nearest()
	for _, s := range p.water.Hoses {
		if s.Pump != p.water.Choice.Nearest || s.Hose == "" {
			continue
		}
		var said document.Prose
		switch flow, power := document.Flow.Of(s.GainFlow), s.GainPower; {
		case !power.Known || s.GainFlow <= 0 && near.Dirty.Flow <= 0:
			return said
		case s.GainFlow < units.Flow(material)*near.Dirty.Flow && s.Hose == works.SameBoreSmooth:
			said = document.Sentence("a smooth one would bring next to nothing")
		case s.GainFlow < units.Flow(material)*near.Dirty.Flow:
			said = document.Sentence("a wider one would bring next to nothing")
		case power.Value <= 0.05:
			said = document.Sentence("%v would bring %v more for no more power", hoseIn(s), flow)
		default:
			said = document.Sentence("%v would bring %v more for %v", hoseIn(s), flow, document.Power.Of(power))
		}
		if n := len(s.Dries); n > 0 {
			return said.And(", but then %v%v", listed(s.Dries), getNo(n))
		}
		return said
	}
	return document.Prose{}
}

// hoseIn names the hose of a step, and where it lies in a line with branches.
func hoseIn(s works.HoseStep) document.Prose {
	where := document.Sentence("the branch to %v", listed(s.Branches))
	if len(s.Branches) > 1 {
		where = document.Sentence("the branches to %v", listed(s.Branches))
	}
	if len(s.Branches) > 0 && strings.HasPrefix(s.Branches[0], "branch") { // nobody named it
		where = document.Plain(listed(s.Branches))
	}
	switch {
	case s.Main && len(s.Branches) > 0:
		return document.Sentence("%v in the main and %v", s.Hose, where)
	case s.Main:
		return document.Sentence("%v in the main", s.Hose)
	case len(s.Branches) > 0:
		return document.Sentence("%v in %v", s.Hose, where)
	}
	return document.Plain(s.Hose)
}

// hoseSection lists each pump on each hose.
func (p *waterPage) hoseSection() document.Section {
	near := p.nearest()
	dirt := document.Sentence("The dirt of the line as it is stays in every hose; measure again in a new one.")
	if w := p.water.Works; w.DirtAssumed {
		dirt = document.Sentence("The assumed %v is taken of each hose, as it will be once the plan has it; so more flow rests on that "+
			"guess.",
			share(w.DirtLoss))
	}
	t := document.TableOf("hoses", p.water.Hoses, document.Columns("pump: pump", "hose: hose",
		"dirty_flow_m3_per_h=dirty.flow_m3_per_h: flow dirty",
		"dirty_turnover_h=dirty.turnover_h: turnover dirty", "power_w: power", "gain_flow_m3_per_h: more flow",
		"gain_power_w: more power", "goal_met=dirty.goal_met: goal met"))
	for i, s := range p.water.Hoses {
		if s.Hose == "" {
			t.Rows[i][1] = document.Text("as it is")
		}
	}
	return document.Section{Heading: "Next hose up or next pump up", Tables: []document.Table{t},
		Notes: []document.Prose{document.Sentence("Every piece narrower than the new hose is replaced by it, with the same length and "+
			"fittings. More flow and power are against %v as it is. %v", near.Name, dirt)}}
}
