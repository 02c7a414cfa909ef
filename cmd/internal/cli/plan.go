package cli

import (
	"sunrill/cmd/internal/report"
	"sunrill/data"

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

func runPlan(s *Streams, o *planCmdOptions, args []string, given []data.Setting) (*report.Document, []string, error) {
	// With nothing to plan, the demo shows what a page looks like.
	if len(args) == 0 && len(given) == 0 && len(o.plan.sets) == 0 {
		o.plan.demo = true
	}
	in, err := o.plan.readInput(s, args, given, data.NeedDuty)
	if err != nil {
		return nil, nil, err
	}
	water, err := in.readWater()
	if err != nil {
		return nil, nil, err
	}
	costs, err := water.Costs(&in.Plan)
	if err != nil {
		return nil, nil, err
	}
	page := newPlanPage(in, water, costs)
	return page.document(), in.files, page.noAnswer()
}
