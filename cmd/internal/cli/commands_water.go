package cli

import (
	"context"

	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/solar/sky"
)

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
	if r.page.short() {
		return outcomePage(energy.Improved, (*page.PlanPage).Short, (*page.PlanPage).NoAnswer)(r)
	}
	return outcomePage(energy.All, (*page.PlanPage).Document, (*page.PlanPage).NoAnswer)(r)
}

// outcomePage returns what makes a page of what a plan comes to, as far as depth; why is
// the reason where that holds no answer.
func outcomePage(depth energy.Depth, of func(*page.PlanPage) *document.Document, why func(*page.PlanPage) units.Text,
) func(*request) (*document.Document, error) {
	return func(r *request) (*document.Document, error) {
		if err := r.read(plan.NeedDuty); err != nil {
			return nil, err
		}
		made, err := r.in.JobTo(context.Background(), depth)
		if err != nil {
			return nil, err
		}
		return of(made), page.Answered(why(made))
	}
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
