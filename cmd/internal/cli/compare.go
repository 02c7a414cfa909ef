package cli

import (
	"github.com/spf13/cobra"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/energy"
)

type compareOptions struct {
	page pageOptions
	plan planOptions
}

func newCompareCmd(s *Streams) *cobra.Command {
	var o compareOptions
	cmd := &cobra.Command{
		Use:     "compare [PLAN]",
		Short:   "Put pumps side by side: flow, turnover, watts, and a wider hose against a bigger pump",
		GroupID: groupParts,
		Long: `Put pumps side by side on the same line, clean and just before cleaning: what
flows, how often the pond turns over, what they draw, which is the smallest that
meets the goal, whether a wider hose would do more than a bigger pump, and how
high the filter tank stands with leaves in the screen.

Give a plan, or a CSV with the curves of several pumps and the line in front of
them.`,
		Example: `  $ sunrill compare --demo
  # one CSV holds several pumps where it has a column for their names
  $ sunrill compare --curve pump.csv --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4 --volume 5m3 --stocking light`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runCompare(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	addPlanFlags(cmd, &o.plan, append([]string{"volume", "stocking", "turnover-goal", "pump"}, dutyFlags...)...)
	addPageFlags(cmd, &o.page)
	return cmd
}

// compareObject is what compare prints as JSON.
type compareObject struct {
	Demo       bool        `json:"demo"`
	Pond       waterPond   `json:"pond"`
	StaticHead float64     `json:"static_head_m"`
	WaterTemp  float64     `json:"water_temp_c"`
	DirtLoss   float64     `json:"flow_loss_when_dirty_fraction"`
	DirtOn     string      `json:"dirt_fitted_on"`
	Pumps      []waterPump `json:"pumps"`
	Chosen     *string     `json:"chosen"`
	ChosenWhy  string      `json:"chosen_why"`
	Hoses      []hoseStep  `json:"hoses"`
	Filter     *filterBed  `json:"filter"`
	FilterWhy  string      `json:"filter_why,omitempty"`
	Swaps      []swap      `json:"swaps"`
	Currency   string      `json:"currency"`
	Years      int         `json:"ownership_years"`
	Stop       stopWater   `json:"stop"`
}

func runCompare(s *Streams, o *compareOptions, args []string, given []data.Setting) (*document.Document, []string, error) {
	in, err := o.plan.readInput(s, args, given, data.NeedDuty)
	if err != nil {
		return nil, nil, err
	}
	water, err := in.readWater()
	if err != nil {
		return nil, nil, err
	}
	costs, err := energy.CostsOf(water, &in.Plan)
	if err != nil {
		return nil, nil, err
	}
	swaps, err := energy.SwapsOf(water, &in.Plan, costs)
	if err != nil {
		return nil, nil, err
	}
	page := newWaterPage(in, water, costs, swaps)
	doc := page.compareDocument()
	return doc, in.files, answered(water.NoAnswer())
}

func (p *waterPage) compareDocument() *document.Document {
	w := p.water
	object := compareObject{Demo: p.in.demo, Pond: p.pond, StaticHead: float64(w.Works.Line.Lift()), WaterTemp: w.Works.Water.InCelsius(),
		DirtLoss: w.Works.DirtLoss, DirtOn: w.Works.DirtOn, Pumps: p.pumps, Chosen: p.chosen(), ChosenWhy: p.why(),
		Hoses: p.hoses, Stop: p.stop(), Swaps: p.swaps,
		Currency: p.in.Plan.Mains.Currency, Years: p.in.Plan.Mains.Years}
	if object.FilterWhy = w.Filter.Why; w.Filter.Known {
		object.Filter = newFilterBed(w.Filter.Value)
	}
	doc := &document.Document{
		Title:    document.Sentence("Pumps compared"),
		Subtitle: document.Plain(p.in.name()),
		Banner:   p.in.banner(),
		Answer:   p.answer(),
		Sections: p.sections(),
		Names:    p.in.names(),
		Warnings: doubts(p.warnings()),
		NotYours: p.in.notYours(),
		Assumed:  append(assumedOf(w.Works, w.Assumed), scope()...),
		Sources:  append(append([]string{}, waterSources...), append(tankSources, w.Works.Sources...)...),
		Cautions: cautions,
		Object:   object,
		Working:  p.waterWorking(),
	}
	if p.in.Plan.Name != "" {
		doc.Title = document.Sentence("%v: pumps compared", p.in.Plan.Name)
	}
	return doc
}

// tankSources are the methods behind filter and return.
var tankSources = []string{
	"Return: critical depth at the mouth and drawdown in the pipe, V. T. Chow, Open-Channel Hydraulics (1959), chapters 4 and 10",
	"Bed: S. Ergun, Chem. Eng. Progress 48 (1952) 89",
	"Yardstick of efficiency: Regulation (EC) No 641/2009, annex II, made for heating circulators",
}
