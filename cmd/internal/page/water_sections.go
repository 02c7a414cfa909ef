package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// sections are the tables about the water of a plan, the weightiest first. Without
// whole those are left out that a plan leaves to duty and compare, so that it stays a
// page.
func (p *waterPage) sections(whole bool) []document.Section {
	first := p.water.Choice.Nearest
	side := document.Section{Heading: "Side by side",
		Pictures: append([]document.Picture{p.goalPicture()}, waterPictures(p.water.Works, p.water.Runs(), first)...),
		Tables:   []document.Table{p.flowTable(), p.powerTable()},
		Notes: append([]document.Prose{document.Sentence("Between the quick and the slow end lie the middle eight of ten draws of all " +
			"that is uncertain."), dirtNote(p.water.Works),
			document.Sentence("Power is the larger of clean and dirty, and the energy of a year is the mean of both, counted at the " +
				"socket, a DC pump's power pack included.")}, p.runNotes()...)}
	all := []document.Section{side, p.moneySection()}
	if whole {
		all = append(all, p.hoseSection())
	}
	if p.water.Works.Line.Branched() { // of a single line duty shows the head
		all = append(all, lineSection(p.water.Works, p.water.Runs(), first)...)
	}
	if whole {
		all = append(all, p.goalSection()...)
	}
	all = append(all, p.tankSection())
	if whole {
		all = append(all, p.filterSection()...)
	}
	if all = append(all, p.stopSection()); whole {
		all = append(all, p.evaporationSection())
	}
	return all
}

// runNotes says what the tables take as understood: pumps in parallel, and hours
// and months in which the plan lets them rest.
func (p *waterPage) runNotes() []document.Prose {
	var notes []document.Prose
	for _, pump := range p.water.Pumps {
		if pump.Spec.Count > 1 {
			notes = append(notes, document.Sentence("Figures of %v are those of all %v together", pump.Name, pump.Spec.Count).
				When(pump.Alone.Known, "; one alone gives %v just before cleaning", document.Flow.Of(pump.Alone)).And("."))
		}
	}
	if len(p.water.Schedule.Hours()) > 1 {
		notes = append(notes, document.Sentence("The plan lets the pump rest or slow down by hours or months ([run]): turnovers are "+
			"those of the running month with the least water, flow and watts those of the speed outside its hour bands."))
	}
	return notes
}

// flowTable compares what the pumps move, and how surely that is enough: both ends hold
// the middle eight of ten draws of a turnover when dirty.
func (p *waterPage) flowTable() document.Table {
	return document.TableOf("pumps", p.pumps, document.Columns("name: pump", "clean_flow_m3_per_h=clean.flow_m3_per_h: flow clean",
		"dirty_flow_m3_per_h=dirty.flow_m3_per_h: flow dirty", "clean_turnover_h=clean.turnover_h: turnover clean",
		"dirty_turnover_h=dirty.turnover_h: turnover dirty", "turnover_low_h=verdict.turnover_low_h: dirty, quick end",
		"turnover_high_h=verdict.turnover_high_h: dirty, slow end", "enough=verdict.word: enough"))
}

// powerTable compares what the pumps draw.
func (p *waterPage) powerTable() document.Table {
	return document.TableOf("power", p.pumps, document.Columns(
		"name: pump", "power_w: power", "mean_kwh_per_year: energy", "wire_to_water_fraction: moves water"))
}

// goalSection shows the rule behind the goal.
func (p *waterPage) goalSection() []document.Section {
	row := p.water.Pond.Value.Rule
	if !row.Known {
		return nil
	}
	text := document.Sentence("Stocking %v: %v (%v). The rule's own advice spans %v to %v a turnover; the table says %v, and "+
		"turnover_goal overrides it (sunrill tables turnover). One turnover is not all the water once: in a mixed pond 63 %% of it has "+
		"then passed the filter.", row.Value.Stocking, row.Value.Rule, row.Value.Source, document.Hours.Exact(row.Value.Quickest),
		document.Hours.Exact(row.Value.Slowest), document.Hours.Exact(row.Value.Goal))
	return []document.Section{{Heading: "Where the goal comes from", Prose: []document.Prose{text}}}
}

// tankSection shows how high the tank stands with each pump.
func (p *waterPage) tankSection() document.Section {
	s := document.Section{Heading: "How high the filter tank stands"}
	if p.water.Pumps[0].Return.Why == works.NoReturn {
		s.Prose = []document.Prose{document.Sentence("Not known: %v. Give the return's pipe, its freeboard and the open area of its "+
			"screen.",
			works.NoReturn)}
		return s
	}
	s.Tables = []document.Table{document.TableOf("return", p.pumps, document.Columns("name: pump", "flow_m3_per_h=return.flow_m3_per_h: "+
		"flow",
		"clear_level_mm=return.clear_level_mm: level, screen clear", "level_mm=return.level_mm: level with leaves",
		"freeboard_left_mm=return.freeboard_left_mm: left to the rim",
		"depth_in_pipe_fraction=return.depth_in_pipe_fraction: depth in mouth",
		"spill_flow_over_flow=return.spill_flow_over_flow: spills at times the flow"))}
	s.Notes = []document.Prose{document.Sentence("Levels are above %v, with the clean flow, which is the largest. The pump pushes with a "+
		"tall head of water; the return has only the little that the tank can rise, so it must be much wider than the feed.", p.mouth())}
	return s
}

// mouth is what levels in the tank are counted from.
func (p *waterPage) mouth() string {
	if p.In.Plan.Return.LipWidth != nil {
		return "the return's lip"
	}
	return "the bottom of the return's mouth"
}

// filterSection says what the chosen flow does in the bed.
func (p *waterPage) filterSection() []document.Section {
	f := p.water.Filter.Value
	if !p.water.Filter.Known {
		return nil
	}
	var prose []document.Prose
	if f.OfVolume.Known {
		s := document.Sentence("The bed holds %v, gravel and water: %v of the pond's volume", document.Volume.Of(f.Volume),
			document.Fraction.Rough(f.OfVolume))
		s = s.When(f.OfArea.Known, " and %v of its surface", document.Fraction.Rough(f.OfArea))
		prose = append(prose, s.And("."))
	}
	for _, r := range f.Rules {
		share := document.Sentence("%v", document.Fraction.Rough(r.Low)).When(r.High > r.Low, " to %v", document.Fraction.Rough(r.High))
		prose = append(prose, document.Sentence("Rule by %v, stocking %v: %v: %v (%v).", r.Basis, r.Stocking, share, units.Text(r.Rule),
			r.Source))
	}
	contact, pore := document.Minutes.Rough(f.Contact), document.Minutes.Rough(f.Pore)
	rise := func(v units.Velocity) document.Quantity { return document.RiseRate.Rough(v) }
	if f.RiseRate.Known {
		prose = append(prose, document.Sentence("With %v the water rises %v (roughing filters run at %v to %v, from memory), stays %v "+
			"in the bed and %v among the stones.",
			document.Flow.Of(f.Flow), document.RiseRate.Of(f.RiseRate), rise(works.SlowRise), rise(works.FastRise), contact, pore))
	} else if f.Contact.Known {
		prose = append(prose, document.Sentence("The water stays %v in the bed and %v among the stones.", contact, pore))
	}
	if f.Head.Known {
		prose = append(prose, p.bedHead(f.Head.Value))
	}
	return []document.Section{{Heading: "The bed", Prose: prose}}
}

// bedSlight is the share of a line's head below which a clean bed's is called next to
// nothing. Our own choice.
const bedSlight = 0.01

// bedHead says what a clean bed takes, and where clogging shows. The model has the
// water rise through the bed, so that the pump bears it; with branches it is left out.
func (p *waterPage) bedHead(bed units.Length) document.Prose {
	s := document.Sentence("A clean bed takes %v of head", document.Bore.Rough(bed))
	near := p.nearest()
	switch line := near.Clean.Head; {
	case len(p.In.Plan.Branches) > 0:
		s = s.And(", which is left out where there are branches")
	case bed < bedSlight*line:
		s = s.And(", next to nothing beside the %v of the line", document.Head.Of(line))
	case line > 0:
		s = s.And(", %v of what the pump works against", document.Fraction.Rough(float64(bed/line)))
	}
	s = s.And(". The water is taken to rise through it, so that the pump bears it and clogging shows as less flow; in a bed fed from " +
		"above it shows as a rising level")
	if f := p.In.Plan.Return.Freeboard; f != nil && bed > *f/2 {
		return s.And(", which even clean would take %v of the %v of freeboard.", document.Fraction.Rough(float64(bed / *f)),
			document.Bore.Of(*f))
	}
	return s.And(".")
}

// holdsBack is what keeps water from running back: the check valve of the line, else what
// it could have.
func (p *waterPage) holdsBack() string {
	for _, f := range p.In.Plan.Feeds {
		for _, fitting := range f.Fittings {
			if strings.Contains(fitting.Name, "check") || strings.Contains(fitting.Name, "non-return") {
				return "the line's check valve"
			}
		}
	}
	return "a siphon break near the top or a check valve"
}

// stopSection says what happens when the pump or the return stops; how soon the intake is
// bare is told in the first lines.
func (p *waterPage) stopSection() document.Section {
	r, u := p.water.Rest, p.water.Rest.Unseen.Value
	back := document.Sentence("When the pump stops, up to %v run back out of the line", document.Litres.Of(r.DrainBack))
	if r.Lines > 1 {
		back = document.Sentence("When the pumps stop, up to %v run back out of the %v lines", document.Litres.Of(r.DrainBack), r.Lines)
	}
	back = back.When(r.Rise.Known, " and raise the pond by %v", document.Bore.Rough(r.Rise))
	back = back.When(r.Surcharge.Known, "; what stands above the way back in the tank, %v, follows", document.Litres.Of(r.Surcharge))
	prose := []document.Prose{document.Sentence("%v. If the outlet ends under water in the bed, the bed runs back too", back).
		When(r.Bed.Known, ", up to %v", document.Litres.Of(r.Bed)).And(", unless %v holds it.", p.holdsBack())}
	if !r.Unseen.Known {
		prose = append(prose, document.Sentence("How long until a lost return bares the intake is not known: %v.",
			document.Told(r.Unseen.Why)))
		return document.Section{Heading: "When something stops", Prose: prose}
	}
	prose = append(prose, document.Sentence("If the return blocks or a hose comes off unseen, the pond loses all that %v gives: %v, or "+
		"with the hose off at the pond's edge, where neither lift nor hose holds it back, the end of its curve, %v or more. First "+
		"advice: a float switch that stops the pump when the level falls.",
		r.Pump, document.Flow.Of(r.Fastest), document.Flow.Of(r.Quickest.Value.FreeFlow)))
	const kept = "what lies below the intake cannot be pumped away, and the pond keeps it."
	if u.LeftShare >= pumps.NoneLeft {
		prose = append(prose, document.Sentence("Either leaves %v, %v of the pond: %v", document.Volume.Of(u.Left),
			document.Fraction.Rough(u.LeftShare), kept))
	} else {
		floor := document.Prose{}.When(p.water.Pond.Value.OnFloor, "The intake is taken to stand on the floor. ")
		prose = append(prose, floor.And("Raise the intake above the floor: %v", kept))
	}
	return document.Section{Heading: "When something stops", Prose: prose}
}

// allHoses names the hoses of n lines, above 1, and how much longer one of them
// takes to lose what all lose.
func allHoses(n int) (all, times document.Prose) {
	if n == 2 {
		return document.Sentence("both hoses"), document.Sentence("twice")
	}
	return document.Sentence("all %v hoses", n), document.Sentence("%v times", n)
}

// evaporationSection shows by month what the air takes from the pond.
func (p *waterPage) evaporationSection() document.Section {
	const heading = "What the air takes"
	months := p.water.Rest.Evaporation
	if !months.Known {
		return unknown(heading, months.Why)
	}
	columns := document.Columns("month: month", "high_loss_l_per_day: in dry wind", "loss_l_per_day: loss a day",
		"fall_in_month_mm: fall in the month", "days_to_bare_intake_days: to bare the intake")
	columns[1].Unit, columns[2].Unit = document.Litres, document.Litres
	s := document.Section{Heading: heading, Tables: []document.Table{document.TableOf("evaporation", months.Value[:], columns)}}
	s.Notes = []document.Prose{document.Sentence("If neither rain nor tap tops the pond up; days are from full, at that month's rate.")}
	return s
}

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
		return s.When(!s.IsZero(), ".")
	}
	up := p.water.Pumps[c.Larger]
	return s.When(!s.IsZero(), "; ").And("the next pump, %v, %v more for %v.", up.Name, document.Flow.Of(up.Dirty.Flow-near.Dirty.Flow),
		document.Power.Of(up.Power.Value-near.Power.Value))
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
		case s.GainFlow < units.Flow(material)*near.Dirty.Flow:
			said = document.Sentence("a %v one would bring next to nothing",
				map[bool]string{true: "smooth", false: "wider"}[s.Hose == works.SameBoreSmooth])
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
	var where []string
	if s.Main {
		where = append(where, "the main")
	}
	if n := len(s.Branches); n > 0 {
		to := map[bool]string{true: "the branch to ", false: "the branches to "}[n == 1]
		if strings.HasPrefix(s.Branches[0], "branch") { // nobody named it
			to = ""
		}
		where = append(where, to+listed(s.Branches))
	}
	return document.Plain(s.Hose).When(len(where) > 0, " in %v", strings.Join(where, " and "))
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
