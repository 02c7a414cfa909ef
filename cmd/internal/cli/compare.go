package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/energy"
)

type compareOptions struct {
	page pageOptions
	plan planOptions
}

func newCompareCmd(s *Streams) *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:     "compare [PLAN]",
		Short:   "Put pumps side by side: flow, turnover, watts, and a wider hose against a bigger pump",
		GroupID: groupParts,
		Long: `Put pumps side by side on the same line, clean and just before cleaning: what
flows, how often the pond turns over, what they draw, which is the smallest that
meets the goal, whether a wider hose would do more than a bigger pump, and how
high the filter tank stands with leaves in the screen.

Give a plan, or a CSV with the curves of several pumps and the line in front of
them.`,
		Example: `  $ sunrill compare --demo
  # one CSV holds several pumps where it has a column for their names
  $ sunrill compare --curve pump.csv --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4 --volume 5m3 --stocking light`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runCompare(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, append([]string{"volume", "stocking", "turnover-goal", "pump"}, dutyFlags...)...)
	addPageFlags(cmd, &o.page)
	return cmd
}

func runCompare(s *Streams, o *compareOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	in, err := o.plan.readInput(s, args, given, plan.NeedDuty)
	if err != nil {
		return nil, nil, err
	}
	water, err := in.ReadWater()
	if err != nil {
		return nil, nil, err
	}
	costs, err := energy.CostsOf(water, &in.Plan)
	if err != nil {
		return nil, nil, err
	}
	swaps, err := energy.SwapsOf(water, &in.Plan, costs)
	if err != nil {
		return nil, nil, err
	}
	made := page.NewWaterPage(in, water, costs, swaps)
	doc := made.CompareDocument()
	return doc, in.Files, page.Answered(water.NoAnswer())
}
