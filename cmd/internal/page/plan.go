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
	*waterPage
	Result *energy.Outcome
}

// JobTo does the job of the plan as far as depth.
func (in *Input) JobTo(ctx context.Context, depth energy.Depth) (*PlanPage, error) {
	if in.Plan.Given("load") {
		in.Warnings = append(in.Warnings, data.Warning{Key: "load", Message: "not used: here the pump is the load; sunrill balance and " +
			"sunrill size take this one"})
	}
	r, err := in.Evaluate(ctx, depth)
	if err != nil {
		return nil, err
	}
	return &PlanPage{newWaterPage(in, r), r}, nil
}

// Evaluate takes the plan to its outcome, as far as depth.
func (in *Input) Evaluate(ctx context.Context, depth energy.Depth) (*energy.Outcome, error) {
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
	return r, in.Placed(err)
}

// NoAnswer returns why the plan's question has no answer, "" where it has one.
func (p *PlanPage) NoAnswer() units.Text { return p.Result.NoAnswer }

// NoPump returns why no pump of the plan does, "" where one does.
func (p *PlanPage) NoPump() units.Text { return units.Text(p.water.NoAnswer()) }

// tradeoffObject is what tradeoff prints as JSON.
type tradeoffObject struct {
	waterObject
	Answered figure.Maybe[bool]             `json:"answered"` // with the reason where it is not
	Tradeoff []tradeRow                     `json:"tradeoff"`
	Stop     planStop                       `json:"stop"`
	Limits   figure.Maybe[[]units.Duration] `json:"stop_limits_h"`
}

// planObject is what plan prints as JSON.
type planObject struct {
	tradeoffObject
	Mains      figure.Maybe[energy.MainsBudget]    `json:"mains"`
	Best       figure.Maybe[energy.BestPlan]       `json:"best"`
	OffGrid    figure.Maybe[energy.BestPlan]       `json:"best_off_grid"`
	Solar      planSolar                           `json:"solar"`
	Influences []energy.Influence                  `json:"influences"`
	Installer  figure.Maybe[wiring.InstallerSheet] `json:"installer"`
}

type planSolar struct {
	Site        figure.Maybe[siteObject]            `json:"site"`
	Months      figure.Maybe[[]SunMonth]            `json:"months"`
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
	Rule     string                    `json:"rule"`
	Unmet    float64                   `json:"unmet_flow_target_fraction"`
	Longest  figure.Maybe[int]         `json:"longest_stop_target_h"` // and why that long
	Front    []SizePair                `json:"front"`
	InTen    figure.Maybe[float64]     `json:"years_in_ten"`
	Bad      int                       `json:"bad_years"` // of record_years, with a stop beyond its month's limit
	Frost    figure.Maybe[frostObject] `json:"frost"`
	Spread   figure.Maybe[SizeSpread]  `json:"spread"`
	Years    int                       `json:"record_years"`
	BalanceFigures
}

// spreadWhy says where the spread over other seeds is to be had.
const spreadWhy = "plan reads one set of years; sunrill size shows five"

func (p *PlanPage) newDayAndNight(d energy.DayAndNight) dayAndNight {
	s, c := p.store(d), d.Front.Chosen
	pair := s.pair(c.Pair, c.BoughtWh, c.Connected)
	return dayAndNight{d, d.Storage.Sky.Plane, d.Draw.Drop(), c.PanelW, c.BoughtWh, s.chargeAh(), d.Storage.Battery.Kind, c.Price,
		c.PerYear, pair.LifeYears,
		d.Front.Rule, d.Options.Unmet, d.Options.LongestStop, s.front(), d.Options.YearsInTen, c.Connected.BadYears, s.frost(),
		figure.Unknown[SizeSpread](spreadWhy),
		c.Connected.Years, newBalanceFigures(c.Connected)}
}

// planStop is what a stop does to the pond.
type planStop struct {
	works.StandStill
	Rest figure.Maybe[still.StandingTimes] `json:",inline"`
}

func (p *PlanPage) tradeoff() tradeoffObject {
	why := p.NoAnswer()
	return tradeoffObject{p.waterPage.object(), figure.Maybe[bool]{Value: why == "", Known: true, Why: why}, p.rows(),
		planStop{p.water.Rest, p.Result.Rest}, p.limits()}
}

func (p *PlanPage) object() planObject {
	o := planObject{p.tradeoff(), p.Result.Mains, p.Result.BestPlan, p.Result.BestOffGrid, planSolar{}, p.Result.Influences, p.installer()}
	solar := p.Result.Solar
	o.Solar.Site = figure.Then(solar, func(s energy.SolarBudget) siteObject { return newSite(s.Sky) })
	o.Solar.Months = figure.Then(solar, func(s energy.SolarBudget) []SunMonth { return sunMonths(s.Months) })
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
	doc.Cautions = takeCare(p.Result.Cautions())
	return doc
}

// Opening returns what the page opens with, as far as depth was asked for, and its object.
func (p *PlanPage) Opening(depth energy.Depth) *document.Document {
	object := p.object()
	if depth < energy.Decided {
		object.Installer = figure.Unknown[wiring.InstallerSheet]("it is for the best way off the grid, which was not asked for")
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
	water := p.waterPage.sections(false)
	first, last := &water[0], &water[len(water)-1]
	if picture, ok := p.paidPicture(); ok {
		water[1].Pictures = append(water[1].Pictures, picture)
	}
	first.Notes = append(first.Notes, p.waterNotes()...)
	last.Notes = append(last.Notes, document.Sentence("Every pump on every hose, the bed and the rule behind the goal: sunrill compare. "+
		"Where the head goes: sunrill duty."))
	doc.Sections = slices.Concat(water, []document.Section{p.mainsSection(), p.bestPlanSection()}, p.sunSections(),
		p.tradeoffSections(p.tradeoffNotes()...),
		p.restSection(), p.weightSection(), p.installerSection())
	doc.Front = func(system units.System) *document.Front { return p.front(system, energy.All) }
	doc.Work = func() []document.Step { return p.figures().work() }
	return doc
}

// waterNotes are what the short answer leaves out of the water.
func (p *PlanPage) waterNotes() []document.Prose {
	near := p.water.Choice.Nearest
	var notes []document.Prose
	say := func(label string, text document.Prose) {
		if !text.IsZero() {
			notes = append(notes, document.Sentence("%v: %v", label, text))
		}
	}
	if len(p.pumps) > 1 || p.water.Choice.NoneMeets {
		say("Why", document.Sentence("%v.", p.why()))
	}
	if clean := p.nearest().Clean; clean.Flow <= 0 {
		say(p.nearest().Name, nothing(clean.Run.Operation))
	}
	say("Doubt", p.doubt(near))
	say("Hose", p.hoseAnswer())
	return notes
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

// warnings adds those of sun and battery to those of the water.
func (p *PlanPage) warnings() []data.Warning {
	all := slices.Concat(p.waterPage.warnings(), p.Result.Warnings)
	if s := p.Result.Solar; s.Known {
		all = append(all, ShortRecord(s.Value.Sky)...)
	}
	seen := map[string]bool{}
	return slices.DeleteFunc(all, func(w data.Warning) bool {
		had := seen[w.Key+string(w.Message)]
		seen[w.Key+string(w.Message)] = true
		return had
	})
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

func (p *PlanPage) mainsSection() document.Section {
	const heading = "On the mains"
	m := p.Result.Mains
	if !m.Known {
		return unknown(heading, m.Why)
	}
	columns := document.Columns("pump: pump", "cost_per_kwh: of a kWh", "carbon_kg_per_year: CO2 a year")
	columns[len(columns)-1].Unit = document.Mass
	pack := document.Prose{}.When(m.Value.Pack < 1, "The power pack of the pump loses %v on the way.",
		document.Fraction.Rough(1-m.Value.Pack))
	air := document.Prose{}.When(m.Value.AirPerYear > 0, "The air pump takes %v of it.", document.KWhPerYear.Of(m.Value.AirPerYear))
	return document.Section{Heading: heading, Notes: nonZero(pack, air),
		Tables: []document.Table{document.TableOf("mains", []energy.MainsBudget{m.Value}, columns).Priced(p.money)}}
}

// weightSection says which input matters most.
func (p *PlanPage) weightSection() []document.Section {
	list := p.Result.Influences
	if len(list) == 0 {
		return nil
	}
	columns := document.Columns("input: input", "range: moved by", "low_flow_m3_per_h: flow, low end", "high_flow_m3_per_h: high end",
		"low_turnover_h: turnover, low end", "high_turnover_h: high end")
	s := document.Section{Heading: "Which input matters most", Tables: []document.Table{document.TableOf("influences", list, columns)}}
	if p.Result.DayAndNight().Known {
		s.Tables = append(s.Tables, document.TableOf("influences_on_sun", list, document.Columns(
			"input: input", "low_panel_w: panel, low end", "high_panel_w: high end", "low_battery_wh: battery, low end",
			"high_battery_wh: high end")))
	}
	s.Notes = []document.Prose{document.Sentence("Each input is moved from the low end of its range to the high end, the others left " +
		"alone, for the chosen pump before cleaning; the weightiest stands first. Panel and battery are before rounding to sizes on " +
		"sale. The ranges of lift, losses, volume and dirt that nobody gave are common practice, no source; those of curve and watts " +
		"are ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW, from memory.")}
	return []document.Section{s}
}
