package cli

import (
	"errors"

	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/energy"
)

// storageFlags are the keys that balance and size take as flags beside those
// of the site.
var storageFlags = append([]string{
	"load", "load-hours", "series", "panel", "battery", "battery-kind", "battery-voltage", "usable", "charge-eff", "discharge-eff",
	"self-discharge", "start-charge", "cut-off", "reconnect",
}, siteFlags...)

// readStorage reads a plan, the command line and every file that says what a
// battery meets. need is what the command cannot do without beside a load and a
// site.
func (o *planOptions) readStorage(s *Streams, args []string, given []plan.Setting, need plan.Need) (*page.Input, *energy.Storage, error) {
	in, err := o.readInput(s, args, given, 0)
	if err != nil {
		return nil, nil, err
	}
	p := &in.Plan
	if p.Load.Series == "" {
		need |= plan.NeedSite
	}
	if len(p.Pumps) == 0 {
		need |= plan.NeedLoad
	}
	var faults []error
	for _, f := range p.Missing(need) {
		faults = append(faults, f)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, nil, err
	}
	files := energy.StorageFiles{Curves: in.Curves}
	if p.Load.Series != "" {
		if files.Series, err = page.ReadFile(in, "load.series", data.ReadSeries); err != nil {
			return nil, nil, err
		}
	} else if files.SiteFiles, err = in.ReadSite(); err != nil {
		return nil, nil, err
	}
	storage, err := energy.NewStorage(p, files)
	var none *energy.NoPump
	switch {
	case errors.As(err, &none):
		return in, nil, &page.NoAnswer{Why: "no load is known: " + none.Why}
	case err != nil:
		return nil, nil, in.Placed(err)
	}
	return in, storage, nil
}
