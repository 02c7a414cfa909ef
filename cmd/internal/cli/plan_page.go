package cli

import (
	"fmt"
	"os"

	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
)

// planObject is what plan prints as JSON.
type planObject struct {
	Demo      bool       `json:"demo"`
	Pond      planPond   `json:"pond"`
	Pumps     []planPump `json:"pumps"`
	Chosen    *string    `json:"chosen"`
	ChosenWhy string     `json:"chosen_why"`
}

type planPond struct {
	Volume    *float64 `json:"volume_m3"`
	Low       *float64 `json:"volume_low_m3"`
	High      *float64 `json:"volume_high_m3"`
	VolumeWhy string   `json:"volume_m3_why,omitempty"`
	Goal      *float64 `json:"goal_turnover_h"`
	GoalWhy   string   `json:"goal_turnover_h_why,omitempty"`
}

type planPump struct {
	Name     string     `json:"name"`
	Clean    *planState `json:"clean"`
	CleanWhy string     `json:"clean_why,omitempty"`
	Dirty    *planState `json:"dirty"`
	DirtyWhy string     `json:"dirty_why,omitempty"`
	Range    *dutyRange `json:"range"`
	RangeWhy string     `json:"range_why,omitempty"`
}

// planState is how a pump does, clean or dirty. A pump that runs off its
// curve's end counts with the last point, and AtLeast says so.
type planState struct {
	Flow            float64  `json:"flow_m3_per_h"`
	AtLeast         bool     `json:"at_least,omitempty"`
	Head            *float64 `json:"head_m"`
	HeadWhy         string   `json:"head_m_why,omitempty"`
	Power           *float64 `json:"power_w"`
	PowerWhy        string   `json:"power_w_why,omitempty"`
	Turnover        *float64 `json:"turnover_h"`
	TurnoverWhy     string   `json:"turnover_h_why,omitempty"`
	TurnoversPerDay *float64 `json:"turnovers_per_day"`
	GoalMet         *bool    `json:"goal_met"`
	GoalMetWhy      string   `json:"goal_met_why,omitempty"`
}

const (
	noVolumeWhy = "the volume of the pond is not given"
	noGoalWhy   = "no goal: give pond.stocking or pond.turnover_goal"
	offCurveWhy = "the pump runs off the end of its curve"
)

// planPage is the page of a plan in the making.
type planPage struct {
	in     *input
	works  *energy.Waterworks
	runs   []energy.Run
	duties []dutyPump
	object planObject
	chosen int // index of the chosen pump, -1 for none
}

func newPlanPage(in *input, works *energy.Waterworks, runs []energy.Run) *planPage {
	p := &planPage{in: in, works: works, runs: runs, chosen: -1}
	p.object = planObject{Demo: in.demo, Pond: newPlanPond(works), Pumps: []planPump{}}
	for _, r := range runs {
		p.duties = append(p.duties, newDutyPump(r))
		p.object.Pumps = append(p.object.Pumps, p.newPump(r))
	}
	if i, ok := works.Choose(&in.Plan, runs); ok {
		p.chosen = i
		p.object.Chosen = &runs[i].Name
	}
	p.object.ChosenWhy = p.why()
	return p
}

func newPlanPond(works *energy.Waterworks) planPond {
	var pond planPond
	if works.Pond == nil {
		pond.VolumeWhy = noVolumeWhy
	} else {
		low, high := works.Pond.Range()
		pond.Volume, pond.Low, pond.High = number(works.Pond.Volume()), number(low), number(high)
	}
	if works.Goal > 0 {
		pond.Goal = number(works.Goal.In(units.Hour))
	} else {
		pond.GoalWhy = noGoalWhy
	}
	return pond
}

func number[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}

func (p *planPage) newPump(r energy.Run) planPump {
	d := newDutyPump(r)
	out := planPump{Name: r.Name, Range: d.Range, RangeWhy: d.RangeWhy, Clean: p.newState(r.Clean), Dirty: p.newState(r.Dirty)}
	if out.Clean == nil {
		out.CleanWhy = r.Clean.Why
	}
	if out.Dirty == nil {
		out.DirtyWhy = r.Dirty.Why
	}
	return out
}

// newState returns what a run means for the pond, nil where nothing flows.
func (p *planPage) newState(r pumps.Run) *planState {
	q := r.LeastFlow()
	if q <= 0 {
		return nil
	}
	s := &planState{Flow: q.In(units.CubicMetrePerHour), AtLeast: r.Status == pumps.BeyondCurve}
	if s.AtLeast {
		s.HeadWhy = offCurveWhy
	} else {
		s.Head = number(r.Duty.Head)
	}
	if w := r.LeastPower(); w > 0 {
		s.Power = number(w)
	} else {
		s.PowerWhy = noPowerWhy
	}
	if p.works.Pond == nil {
		s.TurnoverWhy, s.GoalMetWhy = noVolumeWhy, noVolumeWhy
		return s
	}
	turnover := pumps.TurnoverTime(p.works.Pond.Volume(), q)
	s.Turnover, s.TurnoversPerDay = number(turnover.In(units.Hour)), number(float64(units.Day/turnover))
	if p.works.Goal == 0 {
		s.GoalMetWhy = noGoalWhy
		return s
	}
	met := pumps.Judge(r, p.works.Pond, p.works.Goal).Met
	s.GoalMet = &met
	return s
}

// why returns the reason of the choice, or of its lack.
func (p *planPage) why() string {
	named := p.works.Wanted != ""
	goal := p.works.Pond != nil && p.works.Goal > 0
	switch {
	case named && goal && !p.meets(p.chosen):
		return "the plan names it, but it misses the goal just before cleaning"
	case p.chosen < 0 && goal:
		return "no pump meets the goal just before cleaning"
	case p.chosen < 0:
		return "without a pond and a goal nothing decides between the pumps"
	case named:
		return "the plan names it"
	case goal:
		return "it needs the least power of those that meet the goal just before cleaning"
	}
	return "it is the one in use"
}

// meets reports whether pump i meets the goal when dirty.
func (p *planPage) meets(i int) bool {
	dirty := p.object.Pumps[i].Dirty
	return dirty != nil && dirty.GoalMet != nil && *dirty.GoalMet
}

// noAnswer returns the error of a page without a pump to recommend.
func (p *planPage) noAnswer() error {
	if err := noDuty(p.duties); err != nil {
		anyFlow := false
		for _, pump := range p.object.Pumps {
			anyFlow = anyFlow || pump.Dirty != nil
		}
		if !anyFlow {
			return err
		}
	}
	met := false
	for i := range p.object.Pumps {
		met = met || p.meets(i)
	}
	if !met && p.works.Pond != nil && p.works.Goal > 0 {
		return &noAnswer{fmt.Sprintf("no pump meets the goal of one turnover in %.3g h", p.works.Goal.In(units.Hour))}
	}
	return nil
}

func (p *planPage) document() *report.Document {
	doc := dutyDocument(p.in, p.works, p.runs, p.duties, max(0, p.chosen))
	doc.Title = report.Sentence("Your pond")
	if p.in.Plan.Name != "" {
		doc.Title = report.Plain(p.in.Plan.Name)
	}
	if v := p.in.Plan.Pond.Volume; v != nil {
		doc.Title = report.Sentence("%v, %v", doc.Title, report.OfKind(units.KindVolume, float64(*v)))
	} else if p.works.Pond != nil {
		doc.Title = report.Sentence("%v, %v", doc.Title, report.Volume.Of(float64(p.works.Pond.Volume())))
	}
	doc.Answer = append(p.answer(), p.yours()...)
	turnover := report.Section{Heading: "How often the pond turns over", Tables: []report.Table{p.turnoverTable()}}
	for _, section := range doc.Sections {
		for i := range section.Tables {
			// The object has the stable point of each pump; every crossing
			// stands in the table alone.
			section.Tables[i].Beside = section.Tables[i].Beside || section.Tables[i].Key == "duty"
		}
	}
	doc.Sections = append([]report.Section{turnover}, doc.Sections...)
	doc.Sections = append(doc.Sections, stillToCome)
	doc.Cautions = cautions
	doc.Object = p.object
	return doc
}

// answer returns the decision and what it rests on.
func (p *planPage) answer() []report.Line {
	if p.chosen < 0 {
		lines := []report.Line{{Label: "Use", Text: report.Sentence("%v.", p.why())}}
		return append(lines, answerLines(p.duties)...)
	}
	use := report.Sentence("the %v pump: %v.", p.runs[p.chosen].Name, p.why())
	lines := []report.Line{{Label: "Use", Text: use}, {Label: "Flow", Text: p.flow()}}
	if g := p.sureOfGoal(); !g.IsZero() {
		lines = append(lines, report.Line{Label: "How sure", Text: g})
	}
	return lines
}

// flow is the sentence about what flows with the chosen pump.
func (p *planPage) flow() report.Prose {
	pump := p.object.Pumps[p.chosen]
	s := report.Sentence("next to nothing")
	if pump.Clean != nil {
		s = report.Sentence("%v clean", flowOf(pump.Clean))
	}
	if pump.Dirty == nil {
		return report.Sentence("%v, and nothing before cleaning: %v.", s, pump.DirtyWhy)
	}
	s = report.Sentence("%v, %v just before cleaning", s, flowOf(pump.Dirty))
	if t := pump.Dirty.Turnover; t != nil {
		s = report.Sentence("%v: one turnover in %v", s, report.Hours.Of(*t))
	}
	if p.object.Pond.Goal != nil {
		s = report.Sentence("%v, goal %v", s, report.Hours.Exact(*p.object.Pond.Goal))
	}
	return report.Sentence("%v.", s)
}

func flowOf(s *planState) report.Prose {
	if s.AtLeast {
		return report.Sentence("at least %v", report.Flow.Of(s.Flow))
	}
	return report.Sentence("%v", report.Flow.Of(s.Flow))
}

// sureOfGoal is the sentence about the span of the turnover.
func (p *planPage) sureOfGoal() report.Prose {
	if p.works.Pond == nil || p.works.Goal == 0 {
		return p.duties[p.chosen].sure()
	}
	v := pumps.Judge(p.runs[p.chosen].Dirty, p.works.Pond, p.works.Goal)
	slowest := v.Slowest.In(units.Hour)
	if slowest > 1e6 || v.Fastest == 0 {
		return p.duties[p.chosen].sure()
	}
	s := report.Sentence("dirty, one turnover takes %v to %v within the error of curve and volume", report.Hours.Of(v.Fastest.In(units.Hour)), report.Hours.Of(slowest))
	switch {
	case v.Sure && v.Met:
		return report.Sentence("%v: the goal is met at both ends.", s)
	case v.Sure:
		return report.Sentence("%v: the goal is missed at both ends.", s)
	}
	return report.Sentence("%v: the goal may be missed.", s)
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
		{Key: "dirty_power_w", Heading: "power dirty", Unit: report.Power},
		{Key: "goal_met", Heading: "goal met", Unit: report.Word},
	}}
	for _, pump := range p.object.Pumps {
		row := []report.Cell{report.Text(pump.Name), report.Unknown(pump.CleanWhy), report.Unknown(pump.DirtyWhy),
			report.Unknown(""), report.Unknown(""), report.Text("no")}
		if s := pump.Clean; s != nil {
			row[1] = report.NumberOr(s.Turnover, s.TurnoverWhy)
		}
		if s := pump.Dirty; s != nil {
			row[2], row[3] = report.NumberOr(s.Turnover, s.TurnoverWhy), report.NumberOr(s.TurnoversPerDay, s.TurnoverWhy)
			row[4] = report.NumberOr(s.Power, s.PowerWhy)
			if s.GoalMet == nil {
				row[5] = report.Unknown(s.GoalMetWhy)
			} else {
				row[5] = report.YesNo(*s.GoalMet)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// stillToCome says what a page of this version leaves out.
var stillToCome = report.Section{Heading: "Still to come on this page", Prose: []report.Prose{
	report.Sentence("kWh and cost; sun, panel and battery; daylight running; what slowing down saves and risks."),
}}

// cautions close every plan.
var cautions = []report.Prose{
	report.Sentence("Electricity beside water kills. Work on mains voltage, earthing and residual-current protection is for a licensed person; local rules come before anything here."),
	report.Sentence("Deep or steep-sided water drowns children; fence or cover it. Fish die within hours without moving or aerated water on a warm night: watch them at dawn after every change."),
}
