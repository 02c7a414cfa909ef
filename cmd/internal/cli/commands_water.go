package cli

import (
	"context"

	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// job does the whole job of the plan.
func (r *request) job() (*page.PlanPage, error) {
	if err := r.read(plan.NeedDuty); err != nil {
		return nil, err
	}
	return r.in.Job()
}

// allFlag declares what asks for the whole page where a short one stands in.
func allFlag(r *request, flags *pflag.FlagSet) {
	flags.BoolVar(&r.page.all, "all", false, "print the long page: every table, what was assumed, sources (--working implies it)")
	markGroup(flags, groupPage, "all")
}

func (r *request) planPage() (*document.Document, error) {
	// With nothing to plan, the demo shows what a page looks like.
	if len(r.args) == 0 && len(r.given) == 0 && len(r.plan.sets) == 0 {
		r.plan.demo = true
	}
	made, err := r.job()
	if err != nil {
		return nil, err
	}
	return made.Document(), page.Answered(made.Result.NoAnswer)
}

func (r *request) tradeoffPage() (*document.Document, error) {
	made, err := r.job()
	if err != nil {
		return nil, err
	}
	return made.TradeoffDocument(), page.Answered(made.Result.NoAnswer)
}

func (r *request) comparePage() (*document.Document, error) {
	if err := r.read(plan.NeedDuty); err != nil {
		return nil, err
	}
	made, err := r.in.JobTo(context.Background(), energy.Water)
	if err != nil {
		return nil, err
	}
	return made.CompareDocument(), page.Answered(units.Text(made.Result.Water.NoAnswer()))
}

func (r *request) dutyPage() (*document.Document, error) {
	if err := r.read(plan.NeedDuty); err != nil {
		return nil, err
	}
	p := &r.in.Plan
	place, err := r.in.Surroundings(p.Water.Temperature == nil)
	if err != nil {
		return nil, err
	}
	if place.Logged, err = r.in.Logged(); err != nil {
		return nil, err
	}
	installed, err := works.NewWaterworks(p, r.in.Curves, place)
	if err != nil {
		return nil, err
	}
	runs, err := installed.Runs()
	if err != nil {
		return nil, err
	}
	list := make([]page.DutyPump, len(runs))
	for i, run := range runs {
		list[i] = page.NewDutyPump(run)
	}
	first := 0
	if water, err := works.Chosen(p, r.in.Curves, place); err == nil { // else the rest of the plan is at fault, which duty does not need
		first = max(0, water.Choice.Nearest)
	}
	doc := page.DutyDocument(r.in, installed, runs, list, first)
	doc.Work = func() []document.Step { return page.DutyWorking(doc.Object, p, installed, runs) }
	return doc, page.NoDuty(list)
}

func (r *request) sunPage() (*document.Document, error) {
	if err := r.read(plan.NeedSite); err != nil {
		return nil, err
	}
	files, err := r.in.ReadSite()
	if err != nil {
		return nil, err
	}
	sky, err := sky.NewSky(&r.in.Plan, files, nil)
	if err != nil {
		return nil, r.in.Placed(err)
	}
	return page.NewSunView(sky).Document(r.in), nil
}
