package cli

import (
	"os"

	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"

	"github.com/spf13/cobra"
)

type planCmdOptions struct {
	page pageOptions
	plan planOptions
}

func newPlanCmd(s *Streams) *cobra.Command {
	var o planCmdOptions
	cmd := &cobra.Command{
		Use:     "plan [FILE or folder or -]",
		Short:   "Put the whole job on one page",
		GroupID: groupStart,
		Long: `Put the whole job on one page, from a plan file, the pond.toml of a folder, or -
for standard input. Without any of them it shows the built-in demo, which is not
your pond.`,
		Example: `  $ sunrill plan
  $ sunrill plan --demo --format json`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*report.Document, []string, error) {
				return runPlan(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, append([]string{"volume", "stocking", "turnover-goal"}, dutyFlags...)...)
	addPageFlags(cmd, &o.page)
	return cmd
}

// planObject is what plan prints as JSON.
type planObject struct {
	Demo  bool       `json:"demo"`
	Pond  planPond   `json:"pond"`
	Pumps []planPump `json:"pumps"`
}

type planPond struct {
	Volume       *float64 `json:"volume_m3"`
	VolumeWhy    string   `json:"volume_m3_why,omitempty"`
	VolumeError  float64  `json:"volume_error_fraction"`
	GoalTurnover *float64 `json:"goal_turnover_h"`
	GoalWhy      string   `json:"goal_turnover_h_why,omitempty"`
}

type planPump struct {
	Name     string     `json:"name"`
	Clean    *planState `json:"clean"`
	CleanWhy string     `json:"clean_why,omitempty"`
	Dirty    *planState `json:"dirty"`
	DirtyWhy string     `json:"dirty_why,omitempty"`
	Range    *dutyRange `json:"range"`
}

// planState is how a pump does, clean or dirty.
type planState struct {
	Flow            float64  `json:"flow_m3_per_h"`
	Head            float64  `json:"head_m"`
	Power           *float64 `json:"power_w"`
	PowerWhy        string   `json:"power_w_why,omitempty"`
	Turnover        *float64 `json:"turnover_h"`
	TurnoverWhy     string   `json:"turnover_h_why,omitempty"`
	TurnoversPerDay *float64 `json:"turnovers_per_day"`
}

const noVolumeWhy = "the volume of the pond is not given as one figure"

func runPlan(s *Streams, o *planCmdOptions, args []string, given []data.Setting) (*report.Document, []string, error) {
	// With nothing to plan, the demo shows what a page looks like.
	if len(args) == 0 && len(given) == 0 && len(o.plan.sets) == 0 {
		o.plan.demo = true
	}
	in, err := o.plan.readInput(s, args, given, data.NeedDuty)
	if err != nil {
		return nil, nil, err
	}
	works, err := energy.NewWaterworks(&in.Plan, in.Curves)
	if err != nil {
		return nil, nil, err
	}
	runs, err := works.Runs()
	if err != nil {
		return nil, nil, err
	}
	list := make([]dutyPump, len(runs))
	for i, r := range runs {
		list[i] = newDutyPump(r)
	}
	doc := dutyDocument(in, works, runs, list)
	planHead(doc, in)
	pond, volume := newPlanPond(&in.Plan)
	object := planObject{Demo: in.demo, Pond: pond}
	for _, p := range list {
		object.Pumps = append(object.Pumps, newPlanPump(p, volume))
	}
	doc.Object = object
	doc.Sections = append([]report.Section{{Heading: "How often the pond turns over", Tables: []report.Table{turnoverTable(object.Pumps)}}}, doc.Sections...)
	doc.Sections = append(doc.Sections, stillToCome)
	doc.Cautions = cautions
	return doc, in.files, noDuty(list)
}

// planHead gives the page its title, and tells a reader of the demo how to get
// a page of their own.
func planHead(doc *report.Document, in *input) {
	doc.Title = report.Sentence("Your pond")
	if in.Plan.Name != "" {
		doc.Title = report.Plain(in.Plan.Name)
	}
	if v := in.Plan.Pond.Volume; v != nil {
		doc.Title = report.Sentence("%v, %v", doc.Title, report.OfKind(units.KindVolume, float64(*v)))
	}
	if !in.demo {
		return
	}
	yours := `give a plan file, or try: sunrill duty --help`
	if _, err := os.Stat(data.PlanFile); err == nil {
		yours = "a " + data.PlanFile + " lies in this folder: sunrill plan " + data.PlanFile
	}
	doc.Answer = append(doc.Answer, report.Line{Label: "Your own", Text: report.Plain(yours)})
}

func newPlanPond(p *data.Plan) (planPond, *units.Volume) {
	pond := planPond{VolumeError: p.Pond.VolumeError}
	volume := p.Pond.Volume
	if volume == nil && p.Pond.FillFlow != nil && p.Pond.FillTime != nil {
		v := units.Volume(float64(*p.Pond.FillFlow) * float64(*p.Pond.FillTime))
		volume = &v
	}
	if volume != nil {
		v := float64(*volume)
		pond.Volume = &v
	} else {
		pond.VolumeWhy = noVolumeWhy
	}
	if goal := p.Pond.TurnoverGoal; goal != nil {
		h := goal.In(units.Hour)
		pond.GoalTurnover = &h
	} else {
		pond.GoalWhy = "no turnover_goal is given, and the goal by stocking is still to come"
	}
	return pond, volume
}

func newPlanPump(p dutyPump, volume *units.Volume) planPump {
	out := planPump{Name: p.Name, Range: p.Range, Dirty: newPlanState(p.Dirty, volume), DirtyWhy: p.DirtyWhy, Clean: newPlanState(p.stable(), volume)}
	if out.Clean == nil {
		out.CleanWhy = p.Why
	}
	return out
}

func newPlanState(d *dutyPoint, volume *units.Volume) *planState {
	if d == nil {
		return nil
	}
	s := &planState{Flow: d.Flow, Head: d.Head, Power: d.Power, PowerWhy: d.PowerWhy}
	if volume == nil {
		s.TurnoverWhy = noVolumeWhy
		return s
	}
	hours := float64(*volume) / d.Flow
	perDay := 24 / hours
	s.Turnover, s.TurnoversPerDay = &hours, &perDay
	return s
}

func turnoverTable(list []planPump) report.Table {
	t := report.Table{Key: "turnover", Columns: []report.Column{
		{Key: "name", Heading: "pump", Unit: report.Word},
		{Key: "clean_turnover_h", Heading: "one turnover, clean", Unit: report.Hours},
		{Key: "dirty_turnover_h", Heading: "one turnover, dirty", Unit: report.Hours},
		{Key: "dirty_turnovers_per_day", Heading: "turnovers, dirty", Unit: report.TurnoversPerDay},
	}}
	for _, p := range list {
		row := []report.Cell{report.Text(p.Name), report.Unknown(p.CleanWhy), report.Unknown(p.DirtyWhy), report.Unknown("")}
		if p.Clean != nil {
			row[1] = report.NumberOr(p.Clean.Turnover, p.Clean.TurnoverWhy)
		}
		if p.Dirty != nil {
			row[2] = report.NumberOr(p.Dirty.Turnover, p.Dirty.TurnoverWhy)
			row[3] = report.NumberOr(p.Dirty.TurnoversPerDay, p.Dirty.TurnoverWhy)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// stillToCome says what a page of this version leaves out.
var stillToCome = report.Section{Heading: "Still to come on this page", Prose: []report.Prose{
	report.Sentence("Which pump meets the goal; kWh and cost; sun, panel and battery; daylight running; what slowing down saves and risks."),
}}

// cautions close every plan.
var cautions = []report.Prose{
	report.Sentence("Electricity beside water kills. Work on mains voltage, earthing and residual-current protection is for a licensed person; local rules come before anything here."),
	report.Sentence("Deep or steep-sided water drowns children; fence or cover it. Fish die within hours without moving or aerated water on a warm night: watch them at dawn after every change."),
}
