package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/energy/battery"
)

type balanceOptions struct {
	page   pageOptions
	plan   planOptions
	repeat bool
}

const groupReading = "Reading the hours"

func newBalanceCmd(s *Streams) *cobra.Command {
	var o balanceOptions
	cmd := &cobra.Command{
		Use:     "balance [PLAN]",
		Short:   "Run one panel and one battery through the years, hour by hour",
		GroupID: groupParts,
		Long: `Run one panel and one battery through the years, hour by hour: how much of the
load goes unmet, how often and how long it would stand still, how low the
battery falls, what is spilled.

The hours come from a weather file, from years made for a place, or from your
own hourly log of panel and load. --load is in watts at the battery's terminals;
a plan with a pump brings its own load. The battery is taken to stand outdoors
unless battery.temperature says otherwise; size keeps it from frost.`,
		Example: `  $ sunrill balance --lat 52.4 --lon 13.1 --panel 200W --battery 1500Wh --load 20W
  $ sunrill balance --place Upington --panel 60W --battery 0 --load 20W --load-hours 8-16`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runBalance(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, storageFlags...)
	cmd.Flags().BoolVar(&o.repeat, "repeat", false, "read the hours twice and count the second reading")
	markGroup(cmd, groupReading, "repeat")
	addPageFlags(cmd, &o.page)
	return cmd
}

func runBalance(s *Streams, o *balanceOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	need := plan.NeedPanel | plan.NeedStore
	if o.plan.demo {
		need = 0
	}
	in, storage, err := o.plan.readStorage(s, args, given, need)
	if err != nil {
		return page.NoStorage(in, err)
	}
	if in.Demo {
		if err := storage.TakeSized(); err != nil {
			return nil, nil, in.Placed(err)
		}
	}
	v := &page.BalanceView{In: in, Storage: storage, Repeat: o.repeat}
	if v.Balance, err = storage.Balance(o.repeat); err != nil {
		return nil, nil, in.Placed(err)
	}
	source, differs, err := storage.BalanceAsSource(o.repeat)
	if err != nil {
		return nil, nil, in.Placed(err)
	}
	if differs {
		v.Source = &source
	}
	v.Kept = figure.Unknown[battery.Balance](page.FrostIsGiven)
	if in := storage.Sheltered(); in != storage {
		kept, err := in.Balance(o.repeat)
		if err != nil {
			return nil, nil, err
		}
		v.Kept = figure.Known(kept)
	}
	return v.Document(), in.Files, nil
}
