package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
)

type planCmdOptions struct {
	page pageOptions
	plan planOptions
}

// jobFlags are the keys of a plan that plan and tradeoff take as flags.
var jobFlags = append(append([]string{"volume", "stocking", "turnover-goal", "pump", "price", "longest-stop"}, dutyFlags...), siteFlags...)

func newPlanCmd(s *Streams) *cobra.Command {
	var o planCmdOptions
	cmd := &cobra.Command{
		Use:     "plan [FILE or folder or -]",
		Short:   "Put the whole job on one page",
		GroupID: groupStart,
		Long: `Put the whole job on one page, from a plan file, the pond.toml of a folder, or -
for standard input: which pump, what flows, what it costs, what sun and battery
would carry it, what slowing down saves and risks, and what to take care of.
Without any plan it shows the built-in demo, which is not your pond.`,
		Example: `  $ sunrill plan
  $ sunrill plan --demo --format json
  # a page to print or send, with pictures
  $ sunrill plan --demo --output plan.html`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runPlan(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, jobFlags...)
	addPageFlags(cmd, &o.page)
	return cmd
}

func runPlan(s *Streams, o *planCmdOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	// With nothing to plan, the demo shows what a page looks like.
	if len(args) == 0 && len(given) == 0 && len(o.plan.sets) == 0 {
		o.plan.demo = true
	}
	made, err := runJob(s, &o.plan, args, given)
	if err != nil {
		return nil, nil, err
	}
	return made.Document(), made.In.Files, page.Answered(made.Result.NoAnswer)
}

// runJob does the whole job of the plan that args and flags name.
func runJob(s *Streams, o *planOptions, args []string, given []plan.Setting) (*page.PlanPage, error) {
	in, err := o.readInput(s, args, given, plan.NeedDuty)
	if err != nil {
		return nil, err
	}
	return in.Job()
}
