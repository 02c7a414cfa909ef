package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
)

func newTradeoffCmd(s *Streams) *cobra.Command {
	var o planCmdOptions
	cmd := &cobra.Command{
		Use:     "tradeoff [FILE or folder or -]",
		Short:   "Show what less flow saves and what it risks",
		GroupID: groupParts,
		Long: `Show what less flow saves and what it risks: full speed, slower speeds down to
the least that still lifts, a timer, a valve, each smaller pump, nights at less
or none, the dark months off where they rule, and the sun alone, each with its
water, energy, cost, panel, battery, longest stop and risk.`,
		Example: `  $ sunrill tradeoff --demo
  $ sunrill tradeoff --demo --format csv`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				given := o.plan.given(cmd)
				made, err := runJob(s, &o.plan, args, given)
				if err != nil {
					return nil, nil, err
				}
				return made.TradeoffDocument(), made.In.Files, page.Answered(made.Result.NoAnswer)
			})
		},
	}
	addPlanFlags(cmd, &o.plan, jobFlags...)
	addPageFlags(cmd, &o.page)
	return cmd
}
