package page

import (
	"context"
	"slices"
	"strconv"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/money"
	"sunrill/energy/still"
	"sunrill/energy/wiring"
	"sunrill/pumps/works"
	"sunrill/solar"
)

// PlanPage is the page of a plan: its water, with mains, sun and trade-off.
type PlanPage struct {
	In     *Input
	Result *energy.Outcome
	water  *works.WaterResult
	pumps  []pumpObject
	money  document.Unit
}

// JobTo does the job of the plan as far as depth.
func (in *Input) JobTo(ctx context.Context, depth energy.Depth) (*PlanPage, error) {
	if in.Plan.Given("load") {
		in.Warnings = append(in.Warnings, data.Warning{Key: "load", Message: "not used: here the pump is the load; sunrill balance and " +
			"sunrill size take this one"})
	}
	files, err := in.ReadSite()
	if err != nil {
		return nil, err
	}
	logged, err := in.Logged()
	if err != nil {
		return nil, err
	}
	r, err := energy.Evaluate(ctx, energy.Inputs{Made: in.Made, Plan: &in.Plan, Curves: in.Curves, Climate: files.Climate,
		Weather: files.Weather, Logged: logged}, depth)
	if err != nil {
		return nil, in.Placed(err)
	}
	return newPlanPage(in, r), nil
}

// NoAnswer returns why the plan's question has no answer, "" where it has one.
func (p *PlanPage) NoAnswer() units.Text { return p.Result.NoAnswer }

// NoPump returns why no pump of the plan does, "" where one does.
func (p *PlanPage) NoPump() units.Text { return units.Text(p.water.NoAnswer()) }

// planObject is what plan prints as JSON.
type planObject struct {
	waterObject
	Answered  figure.Maybe[bool]                  `json:"answered"` // with the reason where it is not
	Tradeoff  []tradeRow                          `json:"tradeoff"`
	Mains     figure.Maybe[energy.MainsBudget]    `json:"mains"`
	Best      figure.Maybe[energy.BestPlan]       `json:"best"`
	OffGrid   figure.Maybe[energy.BestPlan]       `json:"best_off_grid"`
	Solar     planSolar                           `json:"solar"`
	Installer figure.Maybe[wiring.InstallerSheet] `json:"installer"`
}

type planSolar struct {
	Best        figure.Maybe[bestWay]               `json:"best"`
	Worth       figure.Maybe[bool]                  `json:"worth"`
	Season      figure.Maybe[energy.Season]         `json:"season"`
	MainsYear   figure.Maybe[money.Money]           `json:"mains_cost_per_year"`
	Own         figure.Maybe[energy.OwnPair]        `json:"own"`
	DayAndNight figure.Maybe[dayAndNight]           `json:"day_and_night"`
	Daylight    figure.Maybe[energy.DaylightBudget] `json:"daylight_only"`
	Ladder      figure.Maybe[[]ladderRow]           `json:"ladder"`
}

// dayAndNight is the panel and the battery that carry the plan's hours.
type dayAndNight struct {
	energy.DayAndNight
	solar.Plane
	Drop     float64                   `json:"cable_drop_fraction"`
	Panel    float64                   `json:"panel_w"`
	Battery  float64                   `json:"battery_wh"`
	Charge   figure.Maybe[float64]     `json:"battery_ah"`
	Kind     string                    `json:"battery_kind"`
	Price    figure.Maybe[money.Money] `json:"price"`
	PerYear  figure.Maybe[money.Money] `json:"cost_per_year"`
	Lifetime figure.Maybe[float64]     `json:"battery_life_years"`
	InTen    figure.Maybe[float64]     `json:"years_in_ten"`
	Bad      int                       `json:"bad_years"` // of record_years, with a stop beyond its month's limit
	Frost    figure.Maybe[frostObject] `json:"frost"`
	Years    int                       `json:"record_years"`
	BalanceFigures
}

func (p *PlanPage) newDayAndNight(d energy.DayAndNight) dayAndNight {
	s, c := p.store(d), d.Front.Chosen
	return dayAndNight{d, d.Storage.Sky.Plane, d.Draw.Drop(), c.PanelW, c.BoughtWh, s.chargeAh(), d.Storage.Battery.Kind, c.Price,
		c.PerYear, s.pair(c.Pair, c.BoughtWh, c.Connected).LifeYears, d.Options.YearsInTen, c.Connected.BadYears, s.frost(),
		c.Connected.Years, newBalanceFigures(c.Connected)}
}

// planStop is what a stop does to the pond.
type planStop struct {
	works.StandStill
	Rest figure.Maybe[still.StandingTimes] `json:",inline"`
}

func (p *PlanPage) object() planObject {
	why := p.NoAnswer()
	o := planObject{p.waterObject(), figure.Maybe[bool]{Value: why == "", Known: true, Why: why}, p.rows(), p.Result.Mains,
		p.Result.BestPlan, p.Result.BestOffGrid, planSolar{}, p.installer()}
	solar := p.Result.Solar
	o.Solar.Best = figure.Then(p.Result.Best(), p.newBest)
	b := solar.Value // each with the reason of the whole, where that is not known
	if !solar.Known {
		figure.Explain(&b, solar.Why)
	}
	o.Solar.Worth, o.Solar.Season, o.Solar.MainsYear, o.Solar.Own = b.Worth, b.Season, b.MainsYear, b.Own
	o.Solar.DayAndNight, o.Solar.Daylight = figure.Then(p.Result.DayAndNight(), p.newDayAndNight), p.Result.Daylight()
	o.Solar.Ladder = figure.Unknown[[]ladderRow]("no way off the grid meets the goal")
	if b := p.Result.Best(); b.Known {
		o.Solar.Ladder = p.store(b.Value.Way).ladder()
	}
	return o
}

// store returns the sized pair as every page tells it.
func (p *PlanPage) store(d energy.DayAndNight) store { return store{p.In, d.Storage, &d.Sized} }

// document returns the page of the plan without answer and sections.
func (p *PlanPage) document(title document.Prose, object any) *document.Document {
	doc := p.In.document(title, object)
	doc.Warnings, doc.Assumed, doc.Sources = doubts(p.warnings()), assumedOf(p.water.Works, p.Result.Assumed), p.sources()
	doc.Cautions = document.Each(p.Result.Cautions(), document.Told)
	return doc
}

// Opening returns what the page opens with, as far as depth was asked for, and its object.
func (p *PlanPage) Opening(depth energy.Depth) *document.Document {
	object := p.object()
	if depth < energy.Decided {
		object.Installer = figure.Unknown[wiring.InstallerSheet]("it is for the best way off the grid, which was not asked for")
	}
	if depth < energy.All && p.Result.Best().Known {
		object.Solar.DayAndNight = figure.Unknown[dayAndNight]("the best way is told, and not the plan's own hours")
	}
	doc := p.document(p.title(), object)
	doc.Further = document.Sentence(furtherText)
	doc.Front = func(system units.System) *document.Front { return p.front(system, depth) }
	return doc
}

// Short returns the page with the short answer alone.
func (p *PlanPage) Short() *document.Document {
	doc := p.document(p.title(), p.object())
	doc.Answer, doc.Further = p.short(true), document.Sentence(furtherText)
	return doc
}

// Document returns the page of the whole job.
func (p *PlanPage) Document() *document.Document {
	doc := p.Short()
	doc.Sections = slices.Concat(p.waterSections(), []document.Section{p.bestPlanSection()}, p.sunSections(),
		p.tradeoffSections(), []document.Section{p.restSection()}, p.weightSection(), p.installerSection())
	doc.Front = func(system units.System) *document.Front { return p.front(system, energy.All) }
	doc.Work = p.work
	return doc
}

// whyNotes say why the choice is made, unless the sun makes another, and how surely.
func (p *PlanPage) whyNotes() []document.Prose {
	near, o := p.nearest(), p.offered()
	same := o.pump == p.water.Choice.Nearest
	why := document.Prose{}.When(same && (len(p.pumps) > 1 || p.water.Choice.NoneMeets), "Why: %v.", p.why())
	if near.Clean.Flow <= 0 {
		why = why.When(!why.IsZero(), " ").And("%v: %v", near.Name, nothing(near.Clean.Run.Operation))
	}
	return nonZero(why, p.doubt(o))
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
		return document.Sentence("%v, %v", title, document.Volume.Of(pond.Value.Volume))
	}
	return title
}

func (p *PlanPage) sources() []string {
	all := slices.Concat(waterSources, tankSources, p.Result.Sources)
	if p.carried().Known {
		all = append(all, planSources...)
	}
	return append(all, "Oxygen: Benson & Krause 1984, Limnology and Oceanography 29; the table of oxygen (sunrill tables oxygen)",
		"Money: Panneerselvam, Engineering Economics, chapters 3 and 6")
}

// planSources are the methods behind panel and battery.
var planSources = []string{
	"Battery size: the exact least store for every hour of the years read twice (running deficit; where some may be missing, the sum of " +
		"what each dry spell lacks), then cut-off, reconnect and the sizes on sale",
	"Handbook: IEEE 1013 for array to load",
}

// weightSection says which input matters most to the verdict.
func (p *PlanPage) weightSection() []document.Section {
	v := p.offered().surely
	if !v.Known {
		return nil
	}
	list := v.Value.Moves()
	columns := document.Columns("input: input", "variance_fraction: share of the doubt")
	return []document.Section{{Heading: "Which input matters most", Tables: []document.Table{document.TableOf("moved_by", list, columns)},
		Notes: []document.Prose{document.Plain("All that is uncertain is drawn together, for the chosen pump before cleaning: so much " +
			"of the spread of its turnover beside the goal comes from each. The ranges of lift, losses, volume and dirt that nobody " +
			"gave are common practice, no source; that of the curve is ISO 9906:2012 grade 3B, taken for want of an agreed class " +
			"below 1 kW, from memory.")}}}
}
