package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/solar/sky"
)

type sunOptions struct {
	page pageOptions
	plan planOptions
}

func newSunCmd(s *Streams) *cobra.Command {
	var o sunOptions
	cmd := &cobra.Command{
		Use:     "sun [PLAN]",
		Short:   "See the sun of a place month by month, and what a panel makes of it",
		GroupID: groupParts,
		Long: `See the sun of a place month by month: on the level and on the panel, air
temperature, what each watt of panel gives, the best tilt for the worst month,
and how good the figures are.

Give a place by latitude and longitude (north and east positive) or by name. The
built-in averages cover all land; your own twelve months (--climate) or a
weather file (--weather: EPW, TMY3, NASA POWER, plain CSV) go before them.`,
		Example: `  $ sunrill sun --lat 52.4 --lon 13.1
  $ sunrill sun --place "Upington" --tilt 35`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runSun(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, siteFlags...)
	addPageFlags(cmd, &o.page)
	return cmd
}

func runSun(s *Streams, o *sunOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	in, err := o.plan.readInput(s, args, given, plan.NeedSite)
	if err != nil {
		return nil, nil, err
	}
	files, err := in.ReadSite()
	if err != nil {
		return nil, nil, err
	}
	sky, err := sky.NewSky(&in.Plan, files, nil)
	if err != nil {
		return nil, nil, in.Placed(err)
	}
	view, err := page.NewSunView(sky)
	if err != nil {
		return nil, nil, err
	}
	return view.Document(in), in.Files, nil
}
