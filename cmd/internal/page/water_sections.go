package page

import (
	"cmp"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// waterSections are the pumps side by side, the branches, and what stops do.
func (p *PlanPage) waterSections() []document.Section {
	first := p.water.Choice.Nearest
	side := document.Section{Heading: "Side by side",
		Pictures: []document.Picture{p.goalPicture(), p.curvesPicture(p.offered())},
		Tables: []document.Table{
			document.TableOf("pumps", p.pumps, document.Columns("name: pump", "clean_flow_m3_per_h=clean.flow_m3_per_h: flow clean",
				"dirty_flow_m3_per_h=dirty.flow_m3_per_h: flow dirty", "dirty_turnover_h=dirty.turnover_h: turnover dirty",
				"turnover_low_h=verdict.turnover_low_h: quick end", "turnover_high_h=verdict.turnover_high_h: slow end",
				"enough=verdict.word: enough")),
			document.TableOf("cost", p.pumps, document.Columns("name: pump", "power_w: power", "mean_kwh_per_year: energy",
				"cost_per_year: power a year", "equivalent_cost_per_year: all, a year")).Priced(p.money)},
		Notes: slices.Concat([]document.Prose{document.Sentence("Between the quick and the slow end lie the middle eight of ten draws " +
			"of all that is uncertain."), dirtNote(p.water.Works), p.costNote()}, p.runNotes(), p.whyNotes())}
	if picture, ok := p.paidPicture(); ok {
		side.Pictures = append(side.Pictures, picture)
	}
	all := []document.Section{side}
	if p.water.Works.Line.Branched() { // of a single line duty shows the head
		all = append(all, lineSection(p.water.Works, p.water.Runs(), first)...)
	}
	return append(all, document.Section{Heading: "The filter tank, and when something stops",
		Prose: append([]document.Prose{p.tankText()}, append(nonZero(p.bedText()), p.stopProse()...)...)})
}

// costNote says what power and cost are of.
func (p *PlanPage) costNote() document.Prose {
	s := document.Sentence("Power is the larger of clean and dirty; energy, at the socket, and its cost are the mean of both.")
	if !p.In.Plan.Site.Mains {
		s = document.Sentence("Power is the larger of clean and dirty; energy, what the pump alone takes, is the mean of both.")
	}
	if _, owned := p.priced(p.all()); owned {
		s = s.And(" All is power over %v years and pumps, each replaced at the end of its life, as a level sum a year in today's money; "+
			"one that runs today is paid for until its life ends.", p.In.Plan.Mains.Years)
	}
	if m := p.Result.Mains.Value; p.Result.Mains.Known {
		s = s.When(m.PerKWh.Known, " With %v a kWh comes to %v.", p.nearest().Name, p.money.Of(m.PerKWh))
		s = s.When(m.CarbonKg.Known, " Its power makes %v of CO2 a year.", document.Mass.Of(m.CarbonKg))
		s = s.When(m.AirPerYear > 0, " The air pump takes %v beside it.", document.KWhPerYear.Of(m.AirPerYear))
	}
	return s
}

// runNotes says what the tables take as understood: pumps in parallel, and hours
// and months in which the plan lets them rest.
func (p *PlanPage) runNotes() []document.Prose {
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

// tankText is how high the tank stands with leaves in the screen.
func (p *PlanPage) tankText() document.Prose {
	r := p.nearest().Return
	if !r.Known {
		return document.Sentence("How high the tank stands is not known: %v.", document.Told(r.Why))
	}
	above := "the bottom of the return's mouth"
	if p.In.Plan.Return.LipWidth != nil {
		above = "the return's lip"
	}
	s := document.Sentence("With leaves in the screen the tank stands %v above %v", document.Bore.Of(r.Value.Level), above)
	s = s.When(r.Value.Spills, ", and SPILLS").When(r.Value.Freeboard.Known && !r.Value.Spills, ", %v below its rim",
		document.Bore.Of(r.Value.Freeboard))
	return s.When(r.Value.Margin.Known, "; it spills at %v times the clean flow", document.None.Of(r.Value.Margin)).And(".")
}

// bedText is the size of the bed beside the rules for it.
func (p *PlanPage) bedText() document.Prose {
	f := p.water.Filter.Value
	if !p.water.Filter.Known || !f.OfVolume.Known {
		return document.Prose{}
	}
	s := document.Sentence("The bed holds %v, gravel and water: %v of the pond's volume", document.Volume.Of(f.Volume),
		document.Fraction.Rough(f.OfVolume))
	s = s.When(f.OfArea.Known, " and %v of its surface", document.Fraction.Rough(f.OfArea))
	for _, r := range f.Rules {
		s = s.And("; by %v %v", r.Basis, document.Fraction.Rough(r.Low)).When(r.High > r.Low, " to %v", document.Fraction.Rough(r.High)).
			And(" is usual (%v)", r.Source)
	}
	return s.And(".")
}

// stopProse says what happens when the pump or the return stops; how soon the intake is
// bare is told in the first lines.
func (p *PlanPage) stopProse() []document.Prose {
	r, u := p.water.Rest, p.water.Rest.Unseen.Value
	back := document.Sentence("When the pumps stop, up to %v run back out of the line", document.Litres.Of(r.DrainBack)).
		When(r.Lines > 1, "s")
	back = back.When(r.Rise.Known, " and raise the pond by %v", document.Bore.Rough(r.Rise))
	back = back.When(r.Surcharge.Known, "; what stands above the way back in the tank, %v, follows", document.Litres.Of(r.Surcharge))
	back = back.And(". If the outlet ends under water in the bed, the bed runs back too").
		When(r.Bed.Known, ", up to %v", document.Litres.Of(r.Bed)).
		And(", unless a check valve or a siphon break near the top holds it.")
	if !r.Unseen.Known {
		return []document.Prose{back, document.Sentence("How long until a lost return bares the intake is not known: %v.",
			document.Told(r.Unseen.Why))}
	}
	lost := document.Sentence("If the return blocks, the pond loses the %v that %v gives; with a hose off at its edge, where neither lift "+
		"nor hose holds it back, %v or more.", document.Flow.Of(r.Fastest), r.Pump, document.Flow.Of(r.Quickest.Value.FreeFlow))
	if u.LeftShare >= pumps.NoneLeft {
		return []document.Prose{back, lost.And(" Either leaves %v, %v of the pond: what lies below the intake.", document.Volume.Of(u.Left),
			document.Fraction.Rough(u.LeftShare))}
	}
	lost = lost.When(p.water.Pond.Value.OnFloor, " The intake is taken to stand on the floor.")
	return []document.Prose{back, lost.And(" Raise the intake above the floor: what lies below it stays.")}
}

// allHoses names the hoses of n lines, above 1, and how much longer one of them
// takes to lose what all lose.
func allHoses(n int) (all, times document.Prose) {
	if n == 2 {
		return document.Sentence("both hoses"), document.Sentence("twice")
	}
	return document.Sentence("all %v hoses", n), document.Sentence("%v times", n)
}

// hoseSection lists each pump on each hose.
func (p *PlanPage) hoseSection() document.Section {
	dirt := document.Plain("The dirt of the line as it is stays in every hose; measure again in a new one.")
	if w := p.water.Works; w.DirtAssumed {
		dirt = document.Sentence("The assumed %v is taken of each hose.", share(w.DirtLoss))
	}
	t := document.TableOf("hoses", p.water.Hoses, document.Columns("pump: pump", "hose: hose",
		"dirty_flow_m3_per_h=dirty.flow_m3_per_h: flow dirty", "dirty_turnover_h=dirty.turnover_h: turnover dirty", "power_w: power",
		"goal_met=dirty.goal_met: goal met"))
	for i, s := range p.water.Hoses {
		t.Rows[i][1] = document.Text(hoseIn(s))
	}
	return document.Section{Heading: "Every pump on every hose", Tables: []document.Table{t},
		Notes: []document.Prose{document.Sentence("Every piece narrower than the new hose is replaced by it, with the same length and "+
			"fittings. %v", dirt)}}
}

// hoseIn names the hose of a step, and in a line with branches where it lies and whom it
// robs.
func hoseIn(s works.HoseStep) string {
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
	name := cmp.Or(s.Hose, "as it is")
	if len(where) > 0 {
		name += " in " + strings.Join(where, " and ")
	}
	if dry := s.Dirty.Value.Dry; s.Hose != "" && len(dry) > 0 {
		name += ", but then no water for " + listed(dry)
	}
	return name
}
