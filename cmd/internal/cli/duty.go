package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

type dutyOptions struct {
	page pageOptions
	plan planOptions
}

// dutyFlags are the keys that duty takes as flags.
var dutyFlags = []string{
	"curve", "label-flow", "label-head", "label-power", "speed",
	"static-head", "crest", "pipe", "pipe-bore", "pipe-roughness", "pipe-length", "loss-k", "water-temp",
}

func newDutyCmd(s *Streams) *cobra.Command {
	var o dutyOptions
	cmd := &cobra.Command{
		Use:     "duty [PLAN]",
		Short:   "Find what really flows: where each pump meets the lift and the hose",
		GroupID: groupParts,
		Long: `Find what really flows: the point where a pump's curve meets the lift, pipe and
fittings in front of it, clean and just before cleaning, and how sure that is.

Give a plan, or the pump's curve as CSV with the lift and the pipe. Measure the
lift from the pond's surface to the highest free water level or open outlet,
never from the pump.`,
		Example: `  # your own curve, in any units
  $ sunrill duty --curve pump.csv --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4
  # only the box is at hand
  $ sunrill duty --label-flow 3000L/h --label-head 2.2m --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runDuty(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, dutyFlags...)
	addPageFlags(cmd, &o.page)
	return cmd
}

func runDuty(s *Streams, o *dutyOptions, args []string, given []data.Setting) (*document.Document, []string, error) {
	in, err := o.plan.readInput(s, args, given, data.NeedDuty)
	if err != nil {
		return nil, nil, err
	}
	place, err := in.surroundings(in.Plan.Water.Temperature == nil)
	if err != nil {
		return nil, nil, err
	}
	if place.Loss, err = in.loggedLoss(); err != nil {
		return nil, nil, err
	}
	installed, err := works.NewWaterworks(&in.Plan, in.Curves, place)
	if err != nil {
		return nil, nil, err
	}
	runs, err := installed.Runs()
	if err != nil {
		return nil, nil, err
	}
	list := make([]dutyPump, len(runs))
	for i, r := range runs {
		list[i] = newDutyPump(r)
	}
	first := 0
	if water, err := works.NewWater(&in.Plan, in.Curves, place); err == nil { // else the rest of the plan is at fault, which duty does not need
		first = max(0, water.Choice.Nearest)
	}
	doc := dutyDocument(in, installed, runs, list, first)
	doc.Working = dutyWorking(installed, runs)
	return doc, in.files, noDuty(list)
}

// dutyDocument returns the page; pump first is the one whose line is shown in
// detail.
func dutyDocument(in *input, installed *works.Waterworks, runs []works.Run, list []dutyPump, first int) *document.Document {
	doc := &document.Document{
		Title:    document.Sentence("What really flows"),
		Subtitle: document.Plain(in.name()),
		Banner:   in.banner(),
		Answer:   append(doubtLines(installed), answerLines(list)...),
		Sections: dutySections(installed, runs, list, first),
		Names:    in.names(),
		Warnings: doubts(in.Warnings, installed.Warnings, runWarnings(runs)),
		NotYours: in.notYours(),
		Assumed:  append(assumedOf(installed, installed.Assumed), scope()...),
		Sources:  append(append([]string{}, waterSources...), installed.Sources...),
		Object: dutyObject{
			Demo: in.demo, StaticHead: float64(installed.Line.Lift()), WaterTemp: installed.Water.InCelsius(),
			Speed: installed.Speed, DirtLoss: installed.DirtLoss, Pumps: list,
		},
	}
	doc.Sections[0].Pictures = waterPictures(installed, runs, first)
	if in.Plan.Name != "" {
		doc.Title = document.Sentence("%v: what really flows", in.Plan.Name)
	}
	return doc
}

// dutySections are the tables of the page, the line of pump first in detail.
func dutySections(installed *works.Waterworks, runs []works.Run, list []dutyPump, first int) []document.Section {
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
func crossingNotes(list []dutyPump) []document.Prose {
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

// runWarnings returns the doubts about the clean runs: those of one pump with
// its name, those that several share once, and that about the bed once.
func runWarnings(runs []works.Run) []data.Warning {
	shared := map[data.Warning]int{}
	for _, r := range runs {
		for _, w := range r.Clean.Warnings {
			shared[w]++
		}
	}
	var all []data.Warning
	bed := false
	for _, r := range runs {
		for _, w := range r.Clean.Warnings {
			said := shared[w] == 0 || w.Key == "filter" && bed
			bed = bed || w.Key == "filter"
			if said {
				continue
			}
			if n := shared[w]; n > 1 {
				shared[w] = 0
			} else if len(runs) > 1 {
				w.Message = r.Name + ": " + w.Message
			}
			all = append(all, w)
		}
		if r.Clean.Status == pumps.BeyondCurve {
			all = append(all, data.Warning{Key: r.Name, Message: r.Clean.Why})
		}
	}
	return all
}
