package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
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

func runDuty(s *Streams, o *dutyOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	in, err := o.plan.readInput(s, args, given, plan.NeedDuty)
	if err != nil {
		return nil, nil, err
	}
	place, err := in.Surroundings(in.Plan.Water.Temperature == nil)
	if err != nil {
		return nil, nil, err
	}
	if place.Loss, err = in.LoggedLoss(); err != nil {
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
	list := make([]page.DutyPump, len(runs))
	for i, r := range runs {
		list[i] = page.NewDutyPump(r)
	}
	first := 0
	if water, err := works.NewWater(&in.Plan, in.Curves, place); err == nil { // else the rest of the plan is at fault, which duty does not need
		first = max(0, water.Choice.Nearest)
	}
	doc := page.DutyDocument(in, installed, runs, list, first)
	doc.Working = page.DutyWorking(installed, runs)
	return doc, in.Files, page.NoDuty(list)
}
