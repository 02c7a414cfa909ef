package cli

import (
	"errors"

	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/energy"
	"sunrill/energy/battery"
)

// repeatFlag declares whether the hours are read twice; size does so anyway, and takes the
// flags of balance.
func repeatFlag(twice bool, usage string) func(*request, *pflag.FlagSet) {
	return func(r *request, flags *pflag.FlagSet) {
		flags.BoolVar(&r.twice, "repeat", twice, "read the hours twice and count the second reading"+usage)
		markGroup(flags, groupReading, "repeat")
	}
}

// store reads the plan and every file that says what a battery meets. need is
// what the command cannot do without beside a load and a site. A page.NoAnswer
// has a document, which says so.
func (r *request) store(need plan.Need) (*energy.Storage, *document.Document, error) {
	if err := r.read(0); err != nil {
		return nil, nil, err
	}
	p := &r.in.Plan
	if p.Load.Series == "" {
		need |= plan.NeedSite
	}
	if len(p.Pumps) == 0 {
		need |= plan.NeedLoad
	}
	err := data.Joined(p.Missing(need))
	if err != nil {
		return nil, nil, err
	}
	files := energy.StorageFiles{Curves: r.in.Curves}
	if p.Load.Series != "" {
		files.Series, err = page.ReadFile(r.in, "load.series", data.ReadSeries)
	} else {
		files.SiteFiles, err = r.in.ReadSite()
	}
	if err != nil {
		return nil, nil, err
	}
	if files.Logged, err = r.in.Logged(); err != nil {
		return nil, nil, err
	}
	storage, err := energy.NewStorage(p, files)
	var none *energy.NoPump
	if errors.As(err, &none) {
		doc, err := page.NoStorage(r.in, "no load is known: "+none.Why)
		return nil, doc, err
	}
	return storage, nil, r.in.Placed(err)
}

func (r *request) balancePage() (*document.Document, error) {
	need := plan.NeedPanel | plan.NeedStore
	if r.plan.demo {
		need = 0
	}
	storage, none, err := r.store(need)
	if err != nil {
		return none, err
	}
	if r.in.Demo {
		if err := storage.TakeSized(); err != nil {
			return nil, r.in.Placed(err)
		}
	}
	v := &page.BalanceView{In: r.in, Storage: storage, Repeat: r.twice}
	if v.Balance, err = storage.Balance(r.twice); err != nil {
		return nil, r.in.Placed(err)
	}
	v.Kept = figure.Unknown[battery.Balance](page.FrostIsGiven)
	if indoors := storage.Sheltered(); indoors != storage {
		kept, err := indoors.Balance(r.twice)
		if err != nil {
			return nil, err
		}
		v.Kept = figure.Known(kept)
	}
	return v.Document(), nil
}

func (r *request) sizePage() (*document.Document, error) {
	storage, none, err := r.store(0)
	if err != nil {
		return none, err
	}
	if !r.twice {
		return nil, &data.Error{Key: "--repeat", Found: "false", Message: "size reads the hours twice",
			Allowed: "true; sunrill balance reads them once"}
	}
	storage = storage.Sheltered()
	size, err := storage.Size()
	if err != nil {
		return nil, r.in.Placed(err)
	}
	v := &page.SizeView{In: r.in, Storage: storage, Size: size}
	return v.Document(), v.NoAnswer()
}
