package cli

import (
	"os"

	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"
)

// planObject is what plan prints as JSON.
type planObject struct {
	Demo      bool        `json:"demo"`
	Pond      waterPond   `json:"pond"`
	Pumps     []waterPump `json:"pumps"`
	Chosen    *string     `json:"chosen"`
	ChosenWhy string      `json:"chosen_why"`
	Filter    *filterBed  `json:"filter"`
	FilterWhy string      `json:"filter_why,omitempty"`
	Stop      stopWater   `json:"stop"`
}

// planPage is the page of a plan in the making.
type planPage struct {
	*waterPage
}

func newPlanPage(in *input, w *energy.Water, costs []energy.PumpCost) *planPage {
	return &planPage{newWaterPage(in, w, costs, nil)}
}

func (p *planPage) document() *report.Document {
	w := p.water
	runs := w.Runs()
	list := make([]dutyPump, len(runs))
	for i, r := range runs {
		list[i] = newDutyPump(r)
	}
	doc := dutyDocument(p.in, w.Works, runs, list, max(0, w.Choice.Nearest))
	doc.Title = p.title()
	doc.Answer = append(p.planAnswer(), p.yours()...)
	doc.Sections = append(p.planSections(doc.Sections), stillToCome)
	doc.Warnings = p.warnings()
	doc.Assumed = append(assumed(w.Assumed), scope()...)
	doc.Sources = append(append(append([]string{}, waterSources...), tankSources...), w.Works.Sources...)
	doc.Cautions = cautions
	object := planObject{Demo: p.in.demo, Pond: p.pond, Pumps: p.pumps, Chosen: p.chosen(), ChosenWhy: p.why(), Stop: p.stop()}
	if object.FilterWhy = w.Filter.Why; w.Filter.Known {
		object.Filter = newFilterBed(w.Filter.Value)
	}
	doc.Object = object
	return doc
}

// title is the plan's name with its volume.
func (p *planPage) title() report.Prose {
	title := report.Sentence("Your pond")
	if p.in.Plan.Name != "" {
		title = report.Plain(p.in.Plan.Name)
	}
	switch {
	case p.in.Plan.Pond.Volume != nil:
		return report.Sentence("%v, %v", title, report.OfKind(units.KindVolume, float64(*p.in.Plan.Pond.Volume)))
	case p.pond.Volume != nil:
		return report.Sentence("%v, %v", title, report.Volume.Of(*p.pond.Volume))
	}
	return title
}

// planAnswer is the decision about the water, shorter than compare has it.
func (p *planPage) planAnswer() []report.Line {
	var lines []report.Line
	say := func(label string, text report.Prose) {
		if !text.IsZero() {
			lines = append(lines, report.Line{Label: label, Text: text})
		}
	}
	say("Use", p.use())
	if q := p.water.Choice.Question; q != "" {
		say("Need", report.Sentence("%v.", q))
	}
	if i := p.water.Choice.Nearest; i >= 0 {
		say("Flow", p.flow(i, true))
		say("How sure", p.sure(i))
	}
	say("Hose", p.hoseInstead())
	say("Mains", p.mains())
	say("Tank", p.tankAnswer())
	say("Watch", p.watch())
	return lines
}

// mains is the sentence about the energy and what it costs.
func (p *planPage) mains() report.Prose {
	i := p.water.Choice.Index
	if i < 0 || p.pumps[i].PerYear == nil {
		return report.Prose{}
	}
	pump := p.pumps[i]
	s := report.Sentence("%v a day, %v a year", report.KilowattHours.Of(*pump.PerDay), report.KilowattHours.Of(*pump.PerYear))
	if pump.Cost != nil {
		s = report.Sentence("%v, %v a year", s, p.money.Of(*pump.Cost))
	}
	return report.Sentence("%v.", s)
}

// planSections puts turnover first, then where the water goes, then what
// filter, tank and stops make of it.
func (p *planPage) planSections(duty []report.Section) []report.Section {
	for _, section := range duty {
		for i := range section.Tables {
			// The object has the stable point of each pump; every crossing
			// stands in the table alone.
			section.Tables[i].Beside = section.Tables[i].Beside || section.Tables[i].Key == "duty"
		}
	}
	all := []report.Section{{Heading: "How often the pond turns over", Tables: []report.Table{p.turnoverTable()},
		Notes: []report.Prose{report.Sentence("sunrill compare puts these pumps side by side, with cost and wider hoses.")}}}
	all = append(all, duty...)
	all = append(all, p.goalSection()...)
	all = append(all, p.tankSection()...)
	all = append(all, p.filterSection()...)
	return append(all, p.stopSection())
}

// yours tells a reader of the demo how to get a page of their own, and the
// owner of a new plan which values are not yet theirs.
func (p *planPage) yours() []report.Line {
	if !p.in.demo {
		return notYoursLine(p.in.notYours())
	}
	text := "sunrill new mypond writes a plan to fill in; with --ask it asks step by step"
	if _, err := os.Stat(data.PlanFile); err == nil {
		text = "a " + data.PlanFile + " lies in this folder: sunrill plan " + data.PlanFile
	}
	return []report.Line{{Label: "Your own", Text: report.Plain(text)}}
}

func (p *planPage) turnoverTable() report.Table {
	t := report.Table{Key: "turnover", Columns: []report.Column{
		{Key: "name", Heading: "pump", Unit: report.Word},
		{Key: "clean_turnover_h", Heading: "turnover clean", Unit: report.Hours},
		{Key: "dirty_turnover_h", Heading: "turnover dirty", Unit: report.Hours},
		{Key: "dirty_turnovers_per_day", Heading: "turnovers dirty", Unit: report.TurnoversPerDay},
		{Key: "power_w", Heading: "power", Unit: report.Power},
		{Key: "kwh_per_day", Heading: "energy", Unit: report.KWhPerDay},
		{Key: "goal_met", Heading: "goal met", Unit: report.Word},
	}}
	for _, pump := range p.pumps {
		row := []report.Cell{report.Text(pump.Name), report.Unknown(pump.CleanWhy), report.Unknown(pump.DirtyWhy), report.Unknown(""),
			report.NumberOr(pump.Power, pump.PowerWhy), report.NumberOr(pump.PerDay, pump.EnergyWhy), report.Text("no")}
		if s := pump.Clean; s != nil {
			row[1] = report.NumberOr(s.Turnover, s.TurnoverWhy)
		}
		if s := pump.Dirty; s != nil {
			row[2], row[3], row[6] = report.NumberOr(s.Turnover, s.TurnoverWhy), report.NumberOr(s.TurnoversPerDay, s.TurnoverWhy), goalCell(s)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

func number[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

// stillToCome says what a page of this version leaves out.
var stillToCome = report.Section{Heading: "Still to come on this page", Prose: []report.Prose{
	report.Sentence("Sun, panel and battery; daylight running; what slowing down saves and risks."),
}}

// cautions close every plan.
var cautions = []report.Prose{
	report.Sentence("Electricity beside water kills. Work on mains voltage, earthing and residual-current protection is for a licensed person; local rules come before anything here."),
	report.Sentence("Deep or steep-sided water drowns children; fence or cover it. Fish die within hours without moving or aerated water on a warm night: watch them at dawn after every change."),
}
