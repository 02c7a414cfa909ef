package page

import (
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/wiring"
)

// NoAnswer returns the error of a page on which nothing reaches the target.
func (v *SizeView) NoAnswer() error {
	if v.Size.Nothing == nil {
		return nil
	}
	return &NoAnswer{v.Size.Nothing.Error()}
}

// Document returns the page.
func (v *SizeView) Document() *document.Document {
	s := v.Storage
	doc := &document.Document{
		Title: storageTitle(v.In, s, "panel and battery"), Subtitle: document.Plain(v.In.name()), Banner: v.In.banner(),
		Names:    v.In.names(),
		Warnings: doubts(v.In.Warnings, s.Warnings, ShortRecord(s.Sky), v.Size.Warnings),
		Assumed:  assumed(slices.Concat(v.Size.Assumed, s.Assumed)), Sources: append(s.Sources, sizeSources...),
		Cautions: storageCautions(s), Object: v.object(),
	}
	if v.Size.Nothing != nil {
		doc.Answer = v.nothing()
	} else {
		doc.Answer = v.answer()
		c := v.Size.Front.Chosen
		doc.Warnings = append(doc.Warnings, doubts(c.Connected.Warnings, v.charging().Warnings)...)
	}
	doc.Sections = v.sections()
	doc.Work = func() []document.Step { return v.figures(doc.Object).work() }
	return doc
}

// sizeSources are the methods behind every page about sizes.
var sizeSources = append([]string{
	"Least battery: the running deficit (sequent peak), every deficit kept; exact for energy that may be missed",
	"Handbook beside it: IEEE 1013 (array to load); Messenger & Ventre and Masters 2004 (days of autonomy), from memory",
}, storageSources...)

func (v *SizeView) money(amount float64) document.Quantity {
	return document.Money(v.In.Plan.Mains.Currency).Of(amount)
}

func (v *SizeView) answer() []document.Line {
	z := v.Size
	c := z.Front.Chosen
	lines := []document.Line{
		{Label: "Buy", Text: v.buyText()},
		frostLine(v.Storage, z.Outdoors),
		{Label: "Stops", Text: stopText(v.Storage, c.Connected)},
		{Label: "Missing", Text: v.missingText()},
		{Label: "Price", Text: v.priceText()},
	}
	if text := v.chargingText(); !text.IsZero() {
		lines = append(lines, document.Line{Label: "Charging", Text: text})
	}
	lines = append(lines, document.Line{Label: "Cheaper", Text: patientText(z.Patient, document.Money(v.In.Plan.Mains.Currency))})
	if f := z.FrostFree; f.Known && f.Value.PanelW+f.Value.BoughtWh < worthMoving*(c.PanelW+c.BoughtWh) {
		text := document.Sentence("where the battery never falls below %v, %v of panel with %v would do", document.Temperature.Exact(v.Storage.Frost.Least.InCelsius()), document.Power.Exact(f.Value.PanelW), document.WattHours.Exact(f.Value.BoughtWh))
		if p := f.Value.Price; p.Known {
			text = document.Sentence("%v, for %v", text, v.money(float64(p.Value)))
		}
		lines = append(lines, document.Line{Label: "Warmer", Text: document.Sentence("%v (battery.temperature says where it stands).", text)})
	}
	if in := z.IndoorsWh; in.Known && in.Value < worthMoving*c.BatteryWh {
		lines = append(lines, document.Line{Label: "Indoors", Text: document.Sentence(
			"in a room at %v, at least %v would do instead of %v (--set \"battery.temperature=%v C\" sizes for it; heat for a box is not counted).",
			document.Temperature.Exact(energy.IndoorsC), document.WattHours.Of(in.Value), document.WattHours.Of(c.BatteryWh), energy.IndoorsC)})
	}
	if z.Spread.Known {
		lines = append(lines, document.Line{Label: "Spread", Text: v.spreadText()})
	}
	if s := z.AsSource; s.Known {
		lines = append(lines, document.Line{Label: "Brighter", Text: document.Sentence(
			"with the source's own winter instead of the low one, %v would be enough with this panel.", document.WattHours.Of(s.Value.LeastWh[0]))})
	}
	lines = append(lines, document.Line{Label: "Handbook", Text: v.handbookText()})
	return slices.DeleteFunc(lines, func(l document.Line) bool { return l.Text.IsZero() })
}

// spreadText says what other made weathers of the place would have bought, and
// what the choice does in them.
func (v *SizeView) spreadText() document.Prose {
	o := newSizeSpread(v.Size.Seeds, v.Size.Spread.Value)
	seeds := document.None.Exact(float64(len(o.Seeds)))
	text := document.Sentence("with this panel, %v made weathers of the same place would buy", seeds)
	switch {
	case !o.Buy[0].Known:
		return document.Sentence("with this panel, no battery would be enough in any of %v made weathers of the same place.", seeds)
	case !o.Buy[1].Known:
		text = document.Sentence("%v %v or more; in some no battery is enough", text, document.WattHours.Exact(o.Buy[0].Value))
	default:
		text = document.Sentence("%v %v to %v", text, document.WattHours.Exact(o.Buy[0].Value), document.WattHours.Exact(o.Buy[1].Value))
	}
	if o.Misses == 0 {
		return document.Sentence("%v; the choice keeps the target in all of them.", text)
	}
	return document.Sentence("%v; the choice misses the target in %v of them, with stops of up to %v and up to %v of the energy missing.", text,
		document.None.Exact(float64(o.Misses)), document.Hours.Exact(float64(slices.Max(o.LongestStop))), document.Fraction.Of(slices.Max(o.Unmet)))
}

// charging returns the installer's figures of the pair to buy.
func (v *SizeView) charging() wiring.InstallerSheet {
	const why = "no battery is bought, or the watts of the panel are not known"
	if c := v.Size.Front.Chosen; v.Size.Nothing == nil && c.BoughtWh > 0 && !v.unknownWatts() {
		return v.Storage.Charging(c.PanelW, c.BoughtWh)
	}
	return wiring.InstallerSheet{ControllerCurrent: figure.Unknown[units.Current](why), ChargeLimit: figure.Unknown[units.Current](why), ChargeFuse: figure.Unknown[units.Current](why)}
}

// chargingText says what current the pair charges with.
func (v *SizeView) chargingText() document.Prose {
	s := v.charging()
	if !s.ControllerCurrent.Known {
		return document.Prose{}
	}
	text := document.Sentence("a controller for %v", document.Amps.Of(float64(s.ControllerCurrent.Value)))
	if limit := limitText(s); !limit.IsZero() {
		text = document.Sentence("%v (%v; the rest is for the pump)", text, limit)
	}
	if s.ChargeFuse.Known {
		return document.Sentence("%v, with a fuse of %v of its own at the battery's end of its lead.", text, document.Amps.Exact(float64(s.ChargeFuse.Value)))
	}
	return document.Sentence("%v; %v.", text, s.ChargeFuse.Why)
}

// worthMoving is the share of the battery outdoors below which it is said what
// would do indoors.
const worthMoving = 0.9

// panelOf writes the watts of a panel, or that they are those of the log.
func (v *SizeView) panelOf(w float64) document.Prose {
	if v.unknownWatts() {
		return document.Sentence("the measured panel")
	}
	if v.Storage.Sky == nil {
		return document.Sentence("%v of panel", document.Power.Exact(w))
	}
	return document.Sentence("%v of panel, %v,", document.Power.Exact(w), planeText(v.Storage.Sky.Plane))
}

func (v *SizeView) buyText() document.Prose {
	c := v.Size.Front.Chosen
	if c.BoughtWh == 0 {
		return document.Sentence("%v no battery.", v.panelOf(c.PanelW))
	}
	voltage := float64(v.Storage.BatteryVoltage())
	return document.Sentence("%v with %v %v (%v at %v); at least %v before cut-off and reconnect.", v.panelOf(c.PanelW), document.WattHours.Exact(c.BoughtWh),
		v.Storage.Battery.Kind, document.AmpHours.Of(c.BoughtWh/voltage), document.Volts.Exact(voltage), document.WattHours.Of(c.BatteryWh))
}

func (v *SizeView) missingText() document.Prose {
	z := v.Size
	run := z.Front.Chosen.Connected
	text := document.Sentence("%v of the energy", document.Fraction.Of(run.UnmetFraction()))
	if run.WaterAsked > 0 {
		text = document.Sentence("%v of the water, %v", document.Fraction.Of(run.UnmetFlow()), text)
	}
	what := "energy"
	if z.ByWater {
		what = "water"
	}
	if s := z.Options.LongestStop; s.Known {
		text = document.Sentence("%v; the target is %v of the %v and no stop beyond %v", text, document.Fraction.Exact(z.Target), what, document.Hours.Exact(float64(s.Value)))
		if z.LongestWhy != "" {
			text = document.Sentence("%v, %v", text, z.LongestWhy)
		}
		return document.Sentence("%v.", text)
	}
	return document.Sentence("%v; the target is %v of the %v.", text, document.Fraction.Exact(z.Target), what)
}

func (v *SizeView) priceText() document.Prose {
	c := v.Size.Front.Chosen
	if !c.Price.Known {
		return document.Sentence("not known: %v. Chosen is %v.", v.Size.PriceWhy, strings.TrimPrefix(v.Size.Front.Rule, "no prices given: "))
	}
	text := document.Sentence("%v, which comes to %v a year over %v years", v.money(float64(c.Price.Value)), v.money(float64(c.PerYear.Value)), v.Size.Options.Years)
	if years := bounded(c.Life.Years()); years != nil {
		text = document.Sentence("%v; the battery lasts some %v", text, document.Years.Of(*years))
	}
	return document.Sentence("%v.", text)
}

func (v *SizeView) handbookText() document.Prose {
	h := v.Size.Handbook
	if !h.AutonomyDays.Known {
		return document.Sentence("no figures: %v.", h.AutonomyDays.Why)
	}
	text := document.Sentence("%v of autonomy", document.Days.Of(h.AutonomyDays.Value))
	if h.ArrayToLoad.Known {
		text = document.Sentence("%v, array to load %v before losses", text, document.None.Of(h.ArrayToLoad.Value))
	}
	return document.Sentence("%v, energy ratio %v after losses.", text, document.None.Of(h.EnergyRatio.Value))
}

// nothing is the short answer where no size reaches the target.
func (v *SizeView) nothing() []document.Line {
	n := v.Size.Nothing
	lines := []document.Line{{Label: "Nothing", Text: document.Sentence("on sale reaches the target: %v.", n.Shortfall())}}
	if n.Dark != nil {
		lines[0].Text = document.Sentence("sane carries this load on sun alone: %v.", n.Shortfall())
	}
	var would []string
	if n.NeedPanelW > 0 {
		would = append(would, units.Sprintf("%s with %.0f Wh", n.Panel(n.NeedPanelW), n.NeedPanelWh))
	}
	if bounded(n.NeedBatteryWh) != nil && n.NeedBatteryWh > n.BatteryWh {
		would = append(would, units.Sprintf("%s with %.0f Wh", n.Panel(n.PanelW), n.NeedBatteryWh))
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
	if frost := frostLine(v.Storage, v.Size.Outdoors); !frost.Text.IsZero() {
		lines = append(lines, frost)
	}
	return append(lines, document.Line{Label: "Would", Text: document.Sentence("%v.", strings.Join(would, "; or "))})
}

func (v *SizeView) sections() []document.Section {
	var all []document.Section
	if len(v.Size.Front.Pairs) > 0 {
		all = append(all, v.frontSection())
		all[0].Pictures = v.pictures()
	}
	if v.Size.Nothing != nil {
		return all
	}
	all = append(all, v.cutOffSection())
	if v.Size.Spread.Known {
		all = append(all, v.spreadSection())
	}
	return append(all, v.handbookSection())
}

// pictures are those of the choice, and of the front where its watts are known.
func (v *SizeView) pictures() []document.Picture {
	if v.Size.Nothing != nil {
		return nil
	}
	c, record := v.Size.Front.Chosen, v.Storage.Record
	made, asked := record.PerDay(c.PanelW)
	fortnight, has := c.DarkestFortnight(record, v.Storage.Battery)
	all := storagePictures(made, asked, fortnight, has && c.BoughtWh > 0, record.Hours())
	if v.unknownWatts() {
		return all
	}
	return append([]document.Picture{frontPicture(v.Size.Front)}, all...)
}

func (v *SizeView) frontSection() document.Section {
	type row struct {
		SizePair
		Mark string `json:"chosen"`
	}
	var rows []row
	for _, p := range v.Size.Front.Pairs {
		r := row{SizePair: v.pair(p, p.OnSaleWh, p.Free)}
		if v.Size.Nothing == nil && p.PanelW == v.Size.Front.Chosen.PanelW {
			r.Mark = "chosen"
		}
		rows = append(rows, r)
	}
	money := document.Money(v.In.Plan.Mains.Currency)
	t := document.TableOf("front", rows, []document.Column{
		{Key: "panel_w", Heading: "panel", Digits: ExactDigits},
		{Key: "battery_wh", Heading: "least battery", Digits: 4},
		{Key: "battery_on_sale_wh", Heading: "on sale", Digits: ExactDigits},
		{Key: "unmet_fraction", Heading: "missing"},
		{Key: "longest_stop_h", Heading: "longest stop"},
		{Key: "price", Heading: "price", Unit: money},
		{Key: "cost_per_year", Heading: "a year", Unit: money},
		{Key: "chosen", Heading: ""},
	})
	section := document.Section{Heading: "Every useful pair", Tables: []document.Table{t}, Notes: []document.Prose{document.Sentence(
		"The least battery for each panel, new size that still holds at the end of its life, without cut-off and reconnect. A larger panel needs less battery, down to what the nights ask for.")}}
	if rule := v.Size.Front.Rule; v.Size.Nothing == nil {
		section.Notes = append(section.Notes, document.Sentence("Chosen: %v.", rule))
	}
	if c := v.Size.Front.Chosen; v.Size.Nothing == nil && c.BoughtWh > c.OnSaleWh {
		section.Notes = append(section.Notes, document.Sentence("Each pair may need more battery once its load is cut off and reconnected, some more than others; the choice takes %v.", document.WattHours.Exact(c.BoughtWh)))
	}
	return section
}

// cutOffSection shows the choice without and with cut-off and reconnect.
func (v *SizeView) cutOffSection() document.Section {
	c := v.Size.Front.Chosen
	type row struct {
		Name string `json:"name"`
		BalanceFigures
	}
	rows := []row{{"with cut-off and reconnect", newBalanceFigures(c.Connected)}, {"without", newBalanceFigures(c.Bought)}}
	t := document.TableOf("chosen", rows, []document.Column{
		{Key: "name", Heading: "the choice"},
		{Key: "unmet_fraction", Heading: "missing"},
		{Key: "stop_hours_per_year", Heading: "stop hours"},
		{Key: "longest_stop_h", Heading: "longest"},
		{Key: "nights_with_stop_per_year", Heading: "nights a year"},
		{Key: "longest_run_of_nights", Heading: "nights in a row"},
		{Key: "lowest_charge_fraction", Heading: "lowest charge"},
	})
	b := v.Storage.Battery
	section := document.Section{Heading: "What cutting off costs", Tables: []document.Table{t}, Notes: []document.Prose{document.Sentence(
		"The load goes at %v of the charge and comes back at %v.", document.Fraction.Exact(b.CutOff), document.Fraction.Exact(b.Reconnect))}}
	if f, has := c.DarkestFortnight(v.Storage.Record, b); has && c.BoughtWh > 0 {
		section.Notes = append(section.Notes, darkestText(newDarkest(f)))
	}
	return section
}

func (v *SizeView) spreadSection() document.Section {
	t := document.Table{Key: "spread", Columns: []document.Column{
		{Key: "seed", Heading: "seed", Unit: document.None, Digits: ExactDigits},
		{Key: "battery_wh", Heading: "least battery", Unit: document.WattHours, Digits: 4},
		{Key: "buy_wh", Heading: "to buy", Unit: document.WattHours, Digits: ExactDigits},
		{Key: "unmet_fraction", Heading: "missing as bought", Unit: document.Fraction},
		{Key: "longest_stop_h", Heading: "longest stop", Unit: document.Hours},
		{Key: "worst_year_stop_hours", Heading: "worst year", Unit: document.Hours},
	}}
	s := v.Size.Spread.Value
	for i, seed := range v.Size.Seeds {
		run := s.Bought[i]
		t.Rows = append(t.Rows, []document.Cell{document.Number(float64(seed)), document.NumberOr(bounded(s.LeastWh[i]), "no battery is enough with this panel"),
			document.NumberOr(bounded(s.BuyWh[i]), "no battery on sale is enough with this panel"),
			document.Number(run.UnmetFraction()), document.Number(float64(run.Stops.LongestHours)), document.Number(float64(run.WorstYear.Hours))})
	}
	return document.Section{Heading: "The choice in other weather of the same place", Tables: []document.Table{t}, Notes: []document.Prose{document.Sentence(
		"To buy is what would be bought in that weather for this panel, with cut-off and reconnect; the columns after it are of the choice.")}}
}

func (v *SizeView) handbookSection() document.Section {
	h := v.Size.Handbook
	section := document.Section{Heading: "The handbook beside it", Prose: []document.Prose{document.Sentence("Why they differ: %v.", h.Why)}}
	if a := h.Asked; a.Known {
		section.Notes = append(section.Notes, document.Sentence("Handbooks ask for %v of autonomy at this sun, or %v where the load is critical.",
			document.Days.Of(a.Value.NonCritical), document.Days.Of(a.Value.Critical)))
	}
	return section
}

// SizeView is everything that a page about sizes shows.
type SizeView struct {
	In      *Input
	Storage *energy.Storage
	Size    *energy.Sizing
}
