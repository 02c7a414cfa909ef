package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
)

type sizeOptions struct {
	page   pageOptions
	plan   planOptions
	repeat bool // what size does anyway; it takes the flags of balance
}

func newSizeCmd(s *Streams) *cobra.Command {
	var o sizeOptions
	cmd := &cobra.Command{
		Use:     "size [PLAN]",
		Short:   "Find panel and battery for a load: every useful pair, the cheapest marked",
		GroupID: groupParts,
		Long: `Find panel and battery for a load: for every panel the least battery that keeps
what is missing within --unmet (and a stop within --longest-stop, where given),
the pair to buy, how often it would stand still, and how far other weather of
the same place moves it. --panel limits the search to that panel.

The load is --load in watts at the battery's terminals, an hourly log, or the
pump of a plan. A battery that frost would keep from being charged is sized for
a place without, unless battery.temperature says where it stands. Prices, and
sizes on sale, come from a plan or --set.`,
		Example: `  $ sunrill size --lat 52.4 --lon 13.1 --load 20W --unmet 1%
  $ sunrill size --place Upington --load 20W --set panel.price_per_watt=0.5 --set battery.price_per_wh=0.3`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runSize(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, append([]string{"unmet", "longest-stop"}, storageFlags...)...)
	cmd.Flags().BoolVar(&o.repeat, "repeat", true, "read the hours twice and count the second reading, as size always does")
	markGroup(cmd, groupReading, "repeat")
	addPageFlags(cmd, &o.page)
	return cmd
}

func runSize(s *Streams, o *sizeOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	in, storage, err := o.plan.readStorage(s, args, given, 0)
	if err != nil {
		return page.NoStorage(in, err)
	}
	if !o.repeat {
		return nil, nil, &data.Error{Key: "--repeat", Found: "false", Message: "size reads the hours twice", Allowed: "true; sunrill balance reads them once"}
	}
	storage = storage.Sheltered()
	size, err := storage.Size()
	if err != nil {
		return nil, nil, in.Placed(err)
	}
	v := &page.SizeView{In: in, Storage: storage, Size: size}
	return v.Document(), in.Files, v.NoAnswer()
}
