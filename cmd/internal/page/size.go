package page

import (
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/bill"
	"sunrill/energy/wiring"
)

// SizeView is everything that a page about sizes shows.
type SizeView struct {
	In      *Input
	Storage *energy.Storage
	Size    *energy.Sizing
}

func (v *SizeView) store() store { return store{v.In, v.Storage, &v.Size.Sized} }

// sizeObject is what size prints as JSON.
type sizeObject struct {
	Demo        bool                        `json:"demo"`
	Target      SizeTarget                  `json:"target"`
	Front       []SizePair                  `json:"front"`
	Found       figure.Maybe[sizeFound]     `json:",inline"`
	WouldReach  figure.Maybe[SizeWould]     `json:"would_reach"`
	Frost       figure.Maybe[frostObject]   `json:"frost"`
	Controller  figure.Maybe[units.Current] `json:"controller_a"`
	ChargeLimit figure.Maybe[units.Current] `json:"charge_limit_a"`
	ChargeFuse  figure.Maybe[units.Current] `json:"charge_fuse_a"`
	LoadKWh     float64                     `json:"load_kwh_per_year"`
	RecordHours int                         `json:"record_hours"`
	storageObject
}

// sizeFound is the pair to buy and what stands beside it.
type sizeFound struct {
	Chosen    SizeChosen                `json:"chosen"`
	Spread    figure.Maybe[SizeSpread]  `json:"spread"`
	FrostFree figure.Maybe[SizePair]    `json:"in_a_warmer_place"`
	Ladder    figure.Maybe[[]ladderRow] `json:"ladder"`
	Handbook  battery.Handbook          `json:"handbook"`
	Worth     figure.Maybe[bool]        `json:"worth"`
}

// SizeTarget is what a size has to meet.
type SizeTarget struct {
	Unmet       float64               `json:"unmet_fraction"` // of the water where the load is a pump, else of the energy
	LongestStop figure.Maybe[int]     `json:"longest_stop_h"`
	YearsInTen  figure.Maybe[float64] `json:"years_in_ten"` // in so many no stop is beyond Limits, by month
	Limits      figure.Maybe[[]int]   `json:"stop_limits_h"`
}

// SizeChosen is the pair to buy. The figures are those with cut-off and reconnect.
type SizeChosen struct {
	SizePair
	bill.Bill
	energy.Turns
	Figures  BalanceFigures        `json:"with_cut_off"`
	ChargeAh figure.Maybe[float64] `json:"battery_on_sale_ah"`
	BadYears int                   `json:"bad_years"` // with a stop beyond its month's limit
}

// SizeWould is what would reach a target that nothing on sale does.
type SizeWould struct {
	PanelW    figure.Maybe[float64] `json:"panel_w"`
	BatteryWh figure.Maybe[float64] `json:"battery_wh"`
	LoadShare figure.Maybe[float64] `json:"load_fraction"`
	MonthsOff []int                 `json:"months_off"` // without which it would; empty: none
}

// SizeSpread holds a figure for each seed; one that is not known: none is enough.
type SizeSpread struct {
	Seeds       []int                    `json:"seeds"`
	BatteryWh   []figure.Maybe[float64]  `json:"battery_wh"` // least for the chosen panel
	Buy         [2]figure.Maybe[float64] `json:"buy_wh"`     // for the chosen panel, with cut-off and reconnect
	Misses      int                      `json:"seeds_that_miss_the_target"`
	BadYears    []int                    `json:"bad_years"`      // of the size bought, with a stop beyond its month's limit
	Unmet       []float64                `json:"unmet_fraction"` // likewise
	LongestStop []int                    `json:"longest_stop_h"`
}

func newSizeSpread(seeds []int, s battery.Spread) SizeSpread {
	const none = "no battery is enough with this panel"
	const some = none + " in some of the weathers"
	o := SizeSpread{Seeds: seeds, Misses: s.Misses,
		Buy: [2]figure.Maybe[float64]{figure.Finite(slices.Min(s.BuyWh), some), figure.Finite(slices.Max(s.BuyWh), some)}}
	for i, wh := range s.LeastWh {
		run := s.Bought[i]
		o.BatteryWh, o.BadYears = append(o.BatteryWh, figure.Finite(wh, none)), append(o.BadYears, run.BadYears)
		o.Unmet, o.LongestStop = append(o.Unmet, run.UnmetFraction()), append(o.LongestStop, run.Stops.LongestHours)
	}
	return o
}

func (v *SizeView) object() sizeObject {
	z, s, sheet := v.Size, v.store(), v.charging()
	o := sizeObject{Demo: v.In.Demo, Front: s.front(), RecordHours: v.Storage.Record.Hours(),
		Target: SizeTarget{z.Options.Unmet, z.Options.LongestStop, z.Options.YearsInTen,
			figure.Then(z.Options.YearsInTen, func(float64) []int { return z.Options.Limits[:] })},
		storageObject: newStorageObject(v.Storage), Controller: sheet.ControllerCurrent, ChargeLimit: sheet.ChargeLimit,
		ChargeFuse: sheet.ChargeFuse}
	if n := z.Nothing; n != nil {
		why := units.Text(n.Error())
		z.Outdoors.Why = why
		o.Found, o.Frost = figure.Unknown[sizeFound](why), newFrost(v.Storage, z.Outdoors, z.Outdoors)
		o.WouldReach, o.LoadKWh = figure.Known(s.would(n)), n.Best.PerYear(n.Best.LoadWh)/1000
		return o
	}
	c := z.Front.Chosen
	with := newBalanceFigures(c.Connected)
	o.LoadKWh, o.Frost, o.WouldReach = with.LoadKWh, s.frost(), figure.Unknown[SizeWould]("the choice reaches the target")
	o.Found = figure.Known(sizeFound{
		Chosen:    SizeChosen{s.pair(c.Pair, c.BoughtWh, c.Connected), z.Bill, z.Turns, with, s.chargeAh(), c.Connected.BadYears},
		Spread:    figure.Then(z.Spread, func(all battery.Spread) SizeSpread { return newSizeSpread(z.Seeds, all) }),
		FrostFree: figure.Then(z.FrostFree, func(c battery.Choice) SizePair { return s.pair(c.Pair, c.BoughtWh, c.Connected) }),
		Ladder:    s.ladder(), Handbook: z.Handbook, Worth: z.Worth,
	})
	return o
}

func (s store) would(n *battery.NothingReaches) SizeWould {
	const why = "it would not reach the target either"
	panel := figure.Positive(n.NeedPanelW, why)
	if n.Multiples { // of a measured panel
		panel = s.watts(n.PanelW)
	}
	return SizeWould{panel, figure.Positive(n.NeedPanelWh, why), figure.Positive(n.LoadShare, why), calendar(n.MonthsOff)}
}

// NoAnswer returns the error of a page on which nothing reaches the target.
func (v *SizeView) NoAnswer() error {
	if v.Size.Nothing == nil {
		return nil
	}
	return &NoAnswer{units.Text(v.Size.Nothing.Error())}
}

// sizeSources are the methods behind every page about sizes.
var sizeSources = append([]string{
	"Least battery: the running deficit (sequent peak), every deficit kept; exact for energy that may be missed",
	"Handbook beside it: IEEE 1013 (array to load); Messenger & Ventre and Masters 2004 (days of autonomy), from memory",
}, storageSources...)

// Document returns the page.
func (v *SizeView) Document() *document.Document {
	s, c := v.Storage, v.Size.Front.Chosen
	doc := v.In.document(storageTitle(v.In, s, "panel and battery"), v.object())
	doc.Warnings = doubts(v.In.Warnings, s.Warnings, ShortRecord(s.Sky), v.Size.Warnings, c.Connected.Warnings, v.charging().Warnings)
	doc.Assumed, doc.Sources, doc.Cautions = assumed(slices.Concat(v.Size.Assumed, s.Assumed)), append(s.Sources, sizeSources...),
		document.Each(s.Cautions(), document.Told)
	if len(v.Size.Front.Pairs) > 0 {
		doc.Sections = []document.Section{v.frontSection()}
	}
	if v.Size.Nothing != nil {
		doc.Answer = v.nothing()
		return doc
	}
	doc.Answer, doc.Work = v.answer(), func() []document.Step { return v.figures(doc.Object).work() }
	return doc
}

func (v *SizeView) answer() []document.Line {
	s := v.store()
	var lines shortAnswer
	if pump := v.Storage.Pump; pump != nil {
		lines.say("Load", document.Sentence("%v, %v: %v at the battery's terminals.", pump.Name, asPlanned(&v.In.Plan.Run),
			document.KWhPerYear.Of(pump.Use.PerYear())))
	}
	lines.say("Buy", v.buyText())
	if worth := v.Size.Worth; worth.Known && !worth.Value {
		lines.say("But", document.Sentence("%v.", document.Told(worth.Why)))
	}
	lines.say("Frost", s.frostText())
	lines = append(lines, s.lines()...)
	lines.say("Charging", v.chargingText())
	lines.say("Warmer", v.warmerText())
	lines.say("Spread", v.spreadText())
	return lines
}

// charging returns the installer's figures of the pair to buy.
func (v *SizeView) charging() wiring.InstallerSheet {
	const why = "no battery is bought, or the watts of the panel are not known"
	if c := v.Size.Front.Chosen; v.Size.Nothing == nil && c.BoughtWh > 0 && v.store().watts(c.PanelW).Known {
		return v.Storage.Charging(c.PanelW, c.BoughtWh)
	}
	none := figure.Unknown[units.Current](why)
	return wiring.InstallerSheet{ControllerCurrent: none, ChargeLimit: none, ChargeFuse: none}
}

// chargingText says what current the pair charges with.
func (v *SizeView) chargingText() document.Prose {
	s := v.charging()
	if !s.ControllerCurrent.Known {
		return document.Prose{}
	}
	limit := limitText(s)
	text := document.Sentence("a controller for %v", document.Amps.Of(s.ControllerCurrent))
	if s.Controllers > 1 {
		text = document.Sentence("%v controllers for %v each", s.Controllers, document.Amps.Of(s.ControllerCurrent))
	}
	text = text.When(!limit.IsZero(), " (%v; the rest is for the pump)", limit)
	if s.ChargeFuse.Known {
		return text.And(", with a fuse of %v of its own at the battery's end of its lead.", document.Amps.Exact(s.ChargeFuse))
	}
	return text.And("; %v.", s.ChargeFuse.Why)
}

func (v *SizeView) buyText() document.Prose {
	c, s := v.Size.Front.Chosen, v.Storage
	panel := document.Sentence("%v of panel", document.Power.Exact(c.PanelW))
	switch {
	case !v.store().watts(c.PanelW).Known:
		panel = document.Sentence("the measured panel")
	case s.Sky != nil:
		panel = panel.And(", %v,", planeText(s.Sky.Plane))
	}
	if c.BoughtWh == 0 {
		return document.Sentence("%v no battery.", panel)
	}
	volts := float64(v.Size.Bill.BatteryV)
	return document.Sentence("%v with %v %v (%v at %v); at least %v before cut-off and reconnect.", panel,
		document.WattHours.Exact(c.BoughtWh),
		s.Battery.Kind, document.AmpHours.Of(c.BoughtWh/volts), document.Volts.Exact(volts), document.WattHours.Of(c.BatteryWh))
}

// warmerText says what would do where the cold given never kept the battery from
// being charged, nothing where that spares little.
func (v *SizeView) warmerText() document.Prose {
	const worthMoving = 0.9 // of the panel and the battery where it stands
	c, f := v.Size.Front.Chosen, v.Size.FrostFree
	if !f.Known || f.Value.PanelW+f.Value.BoughtWh >= worthMoving*(c.PanelW+c.BoughtWh) {
		return document.Prose{}
	}
	return document.Sentence("where the battery never falls below %v, %v of panel with %v would do",
		document.Temperature.Exact(v.Storage.Frost.Least), document.Power.Exact(f.Value.PanelW),
		document.WattHours.Exact(f.Value.BoughtWh)).When(f.Value.Price.Known, ", for %v", v.In.money().Of(f.Value.Price)).
		And(" (battery.temperature says where it stands).")
}

// spreadText says what other simulated weathers of the place would have bought.
func (v *SizeView) spreadText() document.Prose {
	if !v.Size.Spread.Known {
		return document.Prose{}
	}
	o := newSizeSpread(v.Size.Seeds, v.Size.Spread.Value)
	least, most := o.Buy[0], o.Buy[1]
	text := document.Sentence("with this panel, %v simulated weathers of the same place would buy", len(o.Seeds))
	text = text.When(!least.Known, " no battery: none is enough").When(least.Known, " %v", document.WattHours.Exact(least))
	text = text.When(least.Known && !most.Known, " or more; in some none is enough")
	text = text.When(most.Known && most.Value > least.Value, " to %v", document.WattHours.Exact(most))
	return text.When(o.Misses > 0, "; the choice misses the target in %v of them", o.Misses).And(".")
}

// nothing is the short answer where no size reaches the target.
func (v *SizeView) nothing() []document.Line {
	n := v.Size.Nothing
	var lines shortAnswer
	what := "on sale reaches the target"
	if n.Dark != nil {
		what = "sane carries this load on sun alone"
	}
	lines.say("Nothing", document.Sentence("%v: %v.", what, n.Shortfall()))
	var would []string
	if n.NeedPanelW > 0 {
		would = append(would, units.Sprintf("%s with %.0f Wh", n.Panel(n.NeedPanelW), n.NeedPanelWh))
	}
	if n.LoadShare > 0 {
		would = append(would, units.Sprintf("%.0f %% of the load (run slower)", 100*n.LoadShare))
	}
	if names := plan.MonthList(n.MonthsOff); names != "" {
		would = append(would, "standing still all through "+names)
	}
	if n.Dark != nil {
		would = append(would, "mains, or wind beside the sun; or a panel of your own choice (--panel)")
	}
	if f := v.Storage.Frost; f != nil && f.Given {
		would = append(would, "a place for the battery that is never so cold (battery.temperature), or another kind (battery.kind)")
	}
	if len(would) == 0 {
		would = []string{"nothing of this kind"}
	}
	lines.say("Frost", v.store().frostText())
	lines.say("Would", document.Sentence("%v.", strings.Join(would, "; or ")))
	return lines
}

// frontSection shows every useful pair with the choice among them, and the choice at work.
func (v *SizeView) frontSection() document.Section {
	type row struct {
		SizePair
		Mark string `json:"chosen"`
	}
	const heading = "Every useful pair"
	s, c, section := v.store(), v.Size.Front.Chosen, document.Section{Heading: heading}
	var rows []row
	for i, pair := range s.front() {
		rows = append(rows, row{SizePair: pair})
		if s.found() && s.Front.Pairs[i].PanelW == c.PanelW {
			rows[i].Mark = "chosen"
		}
	}
	if s.found() {
		section = s.section(heading)
	}
	columns := document.Columns("panel_w: panel", "battery_wh: least battery", "battery_on_sale_wh: on sale", "unmet_fraction: missing",
		"longest_stop_h: longest stop", "price: price", "cost_per_year: a year", "chosen: ")
	// The least is not to look larger than what is on sale.
	columns[0].Digits, columns[1].Digits, columns[2].Digits = ExactDigits, 4, ExactDigits
	section.Tables = append([]document.Table{document.TableOf("front", rows, columns).Priced(s.in.money())}, section.Tables...)
	section.Notes = append([]document.Prose{document.Sentence("The least battery for each panel, new size that still holds at the end of " +
		"its life, without cut-off and reconnect, with which a pair may need more.")}, section.Notes...)
	return section
}
