package page

import (
	"sunrill/cmd/internal/document"
)

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

// CompareDocument returns the page that compares the pumps.
func (p *waterPage) CompareDocument() *document.Document {
	w := p.water
	object := compareObject{Demo: p.In.Demo, Pond: p.pond, StaticHead: float64(w.Works.Line.Lift()), WaterTemp: w.Works.Water.InCelsius(),
		DirtLoss: w.Works.DirtLoss, DirtOn: w.Works.DirtOn, Pumps: p.pumps, Chosen: p.chosen(), ChosenWhy: p.why(),
		Hoses: p.hoses, Stop: p.stop(), Swaps: p.swaps,
		Currency: p.In.Plan.Mains.Currency, Years: p.In.Plan.Mains.Years}
	if object.FilterWhy = w.Filter.Why; w.Filter.Known {
		object.Filter = newFilterBed(w.Filter.Value)
	}
	doc := &document.Document{
		Title:    document.Sentence("Pumps compared"),
		Subtitle: document.Plain(p.In.name()),
		Banner:   p.In.banner(),
		Answer:   p.answer(),
		Sections: p.sections(),
		Names:    p.In.names(),
		Warnings: doubts(p.warnings()),
		NotYours: p.In.NotYours,
		Assumed:  append(assumedOf(w.Works, w.Assumed), scope()...),
		Sources:  append(append([]string{}, waterSources...), append(tankSources, w.Works.Sources...)...),
		Cautions: cautions,
		Object:   object,
		Work:     func() []document.Step { return p.figures(object).work() },
	}
	if p.In.Plan.Name != "" {
		doc.Title = document.Sentence("%v: pumps compared", p.In.Plan.Name)
	}
	return doc
}

// tankSources are the methods behind filter and return.
var tankSources = []string{
	"Return: critical depth at the mouth and drawdown in the pipe, V. T. Chow, Open-Channel Hydraulics (1959), chapters 4 and 10",
	"Bed: S. Ergun, Chem. Eng. Progress 48 (1952) 89",
	"Yardstick of efficiency: Regulation (EC) No 641/2009, annex II, made for heating circulators",
}
