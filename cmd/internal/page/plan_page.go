package page

import (
	"context"
	"slices"
	"strconv"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/wiring"
)

// PlanPage is the page of a plan: its water, with mains, sun and trade-off.
type PlanPage struct {
	*waterPage
	Result   *energy.Outcome
	mains    *planMains
	mainsWhy string
	solar    planSolar
	Rows     []planRow
	sheet    figure.Maybe[wiring.InstallerSheet]
}

func newPlanPage(in *Input, r *energy.Outcome, swaps []energy.Swap) *PlanPage {
	p := &PlanPage{waterPage: NewWaterPage(in, r.Water, r.Costs, swaps), Result: r}
	p.mains, p.mainsWhy = p.newMains()
	p.solar = p.newSolar()
	p.Rows = []planRow{}
	for _, s := range r.Tradeoff {
		p.Rows = append(p.Rows, newRow(s, p.water.Pumps[s.Pump].Name))
	}
	p.sheet = p.newInstaller()
	return p
}

func (p *PlanPage) object() planObject {
	return planObject{waterObject: p.waterPage.object(), Answered: p.Result.NoAnswer == "", AnsweredWhy: p.Result.NoAnswer, Mains: p.mains, MainsWhy: p.mainsWhy,
		Solar: p.solar, Tradeoff: p.Rows, Stop: p.newStop(), Influences: p.Result.Influences, Installer: p.sheet}
}

// Document returns the page of the whole job.
func (p *PlanPage) Document() *document.Document {
	doc := &document.Document{
		Title:    p.title(),
		Subtitle: document.Plain(p.In.name()),
		Banner:   p.In.banner(),
		Answer:   append(p.answer(), p.yours()...),
		Sections: p.sections(),
		Names:    p.In.names(),
		Warnings: doubts(p.warnings()),
		NotYours: p.In.NotYours,
		Assumed:  assumedOf(p.water.Works, p.Result.Assumed),
		Cautions: p.takeCare(),
		Sources:  p.sources(),
		Object:   p.object(),
		Work:     func() []document.Step { return p.figures().work() },
	}
	if p.In.Demo {
		doc.NotYours = nil
	}
	return doc
}

func (p *PlanPage) title() document.Prose {
	title := document.Sentence("Your pond")
	if p.In.Plan.Name != "" {
		title = document.Plain(p.In.Plan.Name)
	}
	// A volume given in gallons has no round number of cubic metres.
	const longest = 5 // digits and point
	if v := p.In.Plan.Pond.Volume; v != nil && len(strconv.FormatFloat(float64(*v), 'g', 8, 64)) <= longest {
		return document.Sentence("%v, %v", title, document.OfKind(units.KindVolume, float64(*v)))
	}
	if pond := p.water.Pond; pond.Known {
		return document.Sentence("%v, %v", title, document.Volume.Of(float64(pond.Value.Volume)))
	}
	return title
}

// warnings adds those of sun and battery to those of the water.
func (p *PlanPage) warnings() []data.Warning {
	all := p.waterPage.warnings()
	have := map[string]bool{}
	for _, w := range all {
		have[w.Key+w.Message] = true
	}
	list := p.Result.Warnings
	if s := p.Result.Solar; s.Known {
		list = append(slices.Clone(list), ShortRecord(s.Value.Sky)...)
	}
	for _, w := range list {
		if !have[w.Key+w.Message] {
			all = append(all, w)
		}
	}
	return all
}

// takeCare are the cautions of the plan and those of every stop.
func (p *PlanPage) takeCare() []document.Prose {
	var all []document.Prose
	for _, c := range p.Result.Cautions() {
		all = append(all, document.Told(c))
	}
	return append(all, stopCautions()...)
}

func (p *PlanPage) sources() []string {
	all := append(append([]string{}, waterSources...), tankSources...)
	all = append(all, p.Result.Sources...)
	if p.solar.DayAndNight != nil {
		all = append(all, planSources...)
	}
	return append(all, "Oxygen: Benson & Krause 1984, Limnology and Oceanography 29; the table of oxygen (sunrill tables oxygen)",
		"Money: Panneerselvam, Engineering Economics, chapters 3 and 6")
}

// planSources are the methods behind panel and battery.
var planSources = []string{
	"Battery size: the exact least store for every hour of the years read twice (running deficit; where some may be missing, the sum of what each dry spell lacks), then cut-off, reconnect and the sizes on sale",
	"Handbook: IEEE 1013 for array to load",
}

// yours tells a reader of the demo how to get a page of their own, and the
// owner of a new plan which values are not yet theirs.
func (p *PlanPage) yours() []document.Line {
	if !p.In.Demo {
		return notYoursLine(p.In.NotYours)
	}
	text := "sunrill new mypond writes a plan to fill in; with --ask it asks step by step"
	if p.In.Nearby {
		text = "a " + plan.PlanFile + " lies in this folder: sunrill plan " + plan.PlanFile
	}
	return []document.Line{{Label: "Your own", Text: document.Plain(text)}}
}

// Job does the whole job of the plan.
func (in *Input) Job() (*PlanPage, error) {
	if in.Plan.Given("load") {
		in.Warnings = append(in.Warnings, data.Warning{Key: "load", Message: "not used: here the pump is the load; sunrill balance and sunrill size take this one"})
	}
	files, err := in.ReadSite()
	if err != nil {
		return nil, err
	}
	loss, err := in.LoggedLoss()
	if err != nil {
		return nil, err
	}
	result, err := energy.Evaluate(context.Background(), energy.Inputs{Plan: &in.Plan, Curves: in.Curves, Climate: files.Climate, Weather: files.Weather, Loss: loss}, energy.All)
	if err != nil {
		return nil, in.Placed(err)
	}
	swaps, err := energy.SwapsOf(result.Water, &in.Plan, result.Costs)
	if err != nil {
		return nil, err
	}
	return newPlanPage(in, result, swaps), nil
}
