package cli

import (
	"slices"
	"strings"

	report "sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"
)

// noAnswer returns the error of a page on which nothing reaches the target.
func (v *sizeView) noAnswer() error {
	if v.size.Nothing == nil {
		return nil
	}
	return &noAnswer{v.size.Nothing.Error()}
}

func (v *sizeView) document() *report.Document {
	s := v.storage
	doc := &report.Document{
		Title: storageTitle(v.in, s, "panel and battery"), Subtitle: report.Plain(v.in.name()), Banner: v.in.banner(),
		Names:    v.in.names(),
		Warnings: doubts(v.in.Warnings, s.Warnings, shortRecord(s.Sky), v.size.Warnings),
		Assumed:  assumed(slices.Concat(v.size.Assumed, s.Assumed)), Sources: append(s.Sources, sizeSources...),
		Cautions: storageCautions(s), Object: v.object(),
	}
	if v.size.Nothing != nil {
		doc.Answer = v.nothing()
	} else {
		doc.Answer = v.answer()
		c := v.size.Front.Chosen
		doc.Warnings = append(doc.Warnings, doubts(c.Connected.Warnings, v.charging().Warnings)...)
	}
	doc.Sections = v.sections()
	doc.Working = v.working()
	return doc
}

// sizeSources are the methods behind every page about sizes.
var sizeSources = append([]string{
	"Least battery: the running deficit (sequent peak), every deficit kept; exact for energy that may be missed",
	"Handbook beside it: IEEE 1013 (array to load); Messenger & Ventre and Masters 2004 (days of autonomy), from memory",
}, storageSources...)

func (v *sizeView) money(amount float64) report.Quantity {
	return report.Money(v.in.Plan.Mains.Currency).Of(amount)
}

func (v *sizeView) answer() []report.Line {
	z := v.size
	c := z.Front.Chosen
	lines := []report.Line{
		{Label: "Buy", Text: v.buyText()},
		frostLine(v.storage, z.Outdoors),
		{Label: "Stops", Text: stopText(v.storage, c.Connected)},
		{Label: "Missing", Text: v.missingText()},
		{Label: "Price", Text: v.priceText()},
	}
	if text := v.chargingText(); !text.IsZero() {
		lines = append(lines, report.Line{Label: "Charging", Text: text})
	}
	lines = append(lines, report.Line{Label: "Cheaper", Text: patientText(z.Patient, report.Money(v.in.Plan.Mains.Currency))})
	if f := z.FrostFree; f.Known && f.Value.PanelW+f.Value.BoughtWh < worthMoving*(c.PanelW+c.BoughtWh) {
		text := report.Sentence("where the battery never falls below %v, %v of panel with %v would do", report.Temperature.Exact(v.storage.Frost.Least.InCelsius()), report.Power.Exact(f.Value.PanelW), report.WattHours.Exact(f.Value.BoughtWh))
		if p := f.Value.Price; p.Known {
			text = report.Sentence("%v, for %v", text, v.money(float64(p.Value)))
		}
		lines = append(lines, report.Line{Label: "Warmer", Text: report.Sentence("%v (battery.temperature says where it stands).", text)})
	}
	if in := z.IndoorsWh; in.Known && in.Value < worthMoving*c.BatteryWh {
		lines = append(lines, report.Line{Label: "Indoors", Text: report.Sentence(
			"in a room at %v, at least %v would do instead of %v (--set \"battery.temperature=%v C\" sizes for it; heat for a box is not counted).",
			report.Temperature.Exact(energy.IndoorsC), report.WattHours.Of(in.Value), report.WattHours.Of(c.BatteryWh), energy.IndoorsC)})
	}
	if z.Spread.Known {
		lines = append(lines, report.Line{Label: "Spread", Text: v.spreadText()})
	}
	if s := z.AsSource; s.Known {
		lines = append(lines, report.Line{Label: "Brighter", Text: report.Sentence(
			"with the source's own winter instead of the low one, %v would be enough with this panel.", report.WattHours.Of(s.Value.LeastWh[0]))})
	}
	lines = append(lines, report.Line{Label: "Handbook", Text: v.handbookText()})
	return slices.DeleteFunc(lines, func(l report.Line) bool { return l.Text.IsZero() })
}

// spreadText says what other made weathers of the place would have bought, and
// what the choice does in them.
func (v *sizeView) spreadText() report.Prose {
	o := newSizeSpread(v.size.Seeds, v.size.Spread.Value)
	seeds := report.None.Exact(float64(len(o.Seeds)))
	text := report.Sentence("with this panel, %v made weathers of the same place would buy", seeds)
	switch {
	case o.BuyLowWh == nil:
		return report.Sentence("with this panel, no battery would be enough in any of %v made weathers of the same place.", seeds)
	case o.BuyHighWh == nil:
		text = report.Sentence("%v %v or more; in some no battery is enough", text, report.WattHours.Exact(*o.BuyLowWh))
	default:
		text = report.Sentence("%v %v to %v", text, report.WattHours.Exact(*o.BuyLowWh), report.WattHours.Exact(*o.BuyHighWh))
	}
	if o.Misses == 0 {
		return report.Sentence("%v; the choice keeps the target in all of them.", text)
	}
	return report.Sentence("%v; the choice misses the target in %v of them, with stops of up to %v and up to %v of the energy missing.", text,
		report.None.Exact(float64(o.Misses)), report.Hours.Exact(float64(slices.Max(o.LongestStop))), report.Fraction.Of(slices.Max(o.Unmet)))
}

// charging returns the installer's figures of the pair to buy.
func (v *sizeView) charging() energy.InstallerSheet {
	const why = "no battery is bought, or the watts of the panel are not known"
	if c := v.size.Front.Chosen; v.size.Nothing == nil && c.BoughtWh > 0 && !v.unknownWatts() {
		return v.storage.Charging(c.PanelW, c.BoughtWh)
	}
	return energy.InstallerSheet{ControllerCurrent: energy.Unknown[units.Current](why), ChargeLimit: energy.Unknown[units.Current](why), ChargeFuse: energy.Unknown[units.Current](why)}
}

// chargingText says what current the pair charges with.
func (v *sizeView) chargingText() report.Prose {
	s := v.charging()
	if !s.ControllerCurrent.Known {
		return report.Prose{}
	}
	text := report.Sentence("a controller for %v", report.Amps.Of(float64(s.ControllerCurrent.Value)))
	if limit := limitText(s); !limit.IsZero() {
		text = report.Sentence("%v (%v; the rest is for the pump)", text, limit)
	}
	if s.ChargeFuse.Known {
		return report.Sentence("%v, with a fuse of %v of its own at the battery's end of its lead.", text, report.Amps.Exact(float64(s.ChargeFuse.Value)))
	}
	return report.Sentence("%v; %v.", text, s.ChargeFuse.Why)
}

// worthMoving is the share of the battery outdoors below which it is said what
// would do indoors.
const worthMoving = 0.9

// panelOf writes the watts of a panel, or that they are those of the log.
func (v *sizeView) panelOf(w float64) report.Prose {
	if v.unknownWatts() {
		return report.Sentence("the measured panel")
	}
	if v.storage.Sky == nil {
		return report.Sentence("%v of panel", report.Power.Exact(w))
	}
	return report.Sentence("%v of panel, %v,", report.Power.Exact(w), planeText(v.storage.Sky.Plane))
}

func (v *sizeView) buyText() report.Prose {
	c := v.size.Front.Chosen
	if c.BoughtWh == 0 {
		return report.Sentence("%v no battery.", v.panelOf(c.PanelW))
	}
	voltage := float64(v.storage.BatteryVoltage())
	return report.Sentence("%v with %v %v (%v at %v); at least %v before cut-off and reconnect.", v.panelOf(c.PanelW), report.WattHours.Exact(c.BoughtWh),
		v.storage.Battery.Kind, report.AmpHours.Of(c.BoughtWh/voltage), report.Volts.Exact(voltage), report.WattHours.Of(c.BatteryWh))
}

func (v *sizeView) missingText() report.Prose {
	z := v.size
	run := z.Front.Chosen.Connected
	text := report.Sentence("%v of the energy", report.Fraction.Of(run.UnmetFraction()))
	if run.WaterAsked > 0 {
		text = report.Sentence("%v of the water, %v", report.Fraction.Of(run.UnmetFlow()), text)
	}
	what := "energy"
	if z.ByWater {
		what = "water"
	}
	if s := z.Options.LongestStop; s.Known {
		text = report.Sentence("%v; the target is %v of the %v and no stop beyond %v", text, report.Fraction.Exact(z.Target), what, report.Hours.Exact(float64(s.Value)))
		if z.LongestWhy != "" {
			text = report.Sentence("%v, %v", text, z.LongestWhy)
		}
		return report.Sentence("%v.", text)
	}
	return report.Sentence("%v; the target is %v of the %v.", text, report.Fraction.Exact(z.Target), what)
}

func (v *sizeView) priceText() report.Prose {
	c := v.size.Front.Chosen
	if !c.Price.Known {
		return report.Sentence("not known: %v. Chosen is %v.", v.size.PriceWhy, strings.TrimPrefix(v.size.Front.Rule, "no prices given: "))
	}
	text := report.Sentence("%v, which comes to %v a year over %v years", v.money(float64(c.Price.Value)), v.money(float64(c.PerYear.Value)), v.size.Options.Years)
	if years := bounded(c.Life.Years()); years != nil {
		text = report.Sentence("%v; the battery lasts some %v", text, report.Years.Of(*years))
	}
	return report.Sentence("%v.", text)
}

func (v *sizeView) handbookText() report.Prose {
	h := v.size.Handbook
	if !h.AutonomyDays.Known {
		return report.Sentence("no figures: %v.", h.AutonomyDays.Why)
	}
	text := report.Sentence("%v of autonomy", report.Days.Of(h.AutonomyDays.Value))
	if h.ArrayToLoad.Known {
		text = report.Sentence("%v, array to load %v before losses", text, report.None.Of(h.ArrayToLoad.Value))
	}
	return report.Sentence("%v, energy ratio %v after losses.", text, report.None.Of(h.EnergyRatio.Value))
}

// nothing is the short answer where no size reaches the target.
func (v *sizeView) nothing() []report.Line {
	n := v.size.Nothing
	lines := []report.Line{{Label: "Nothing", Text: report.Sentence("on sale reaches the target: %v.", n.Shortfall())}}
	if n.Dark != nil {
		lines[0].Text = report.Sentence("sane carries this load on sun alone: %v.", n.Shortfall())
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
	if names := data.MonthList(n.MonthsOff); names != "" {
		would = append(would, "standing still all through "+names)
	}
	if n.Dark != nil {
		would = append(would, "mains, or wind beside the sun; or a panel of your own choice (--panel)")
	}
	if f := v.storage.Frost; f != nil && f.Given {
		would = append(would, "a place for the battery that is never so cold (battery.temperature), or another kind (battery.kind)")
	}
	if len(would) == 0 {
		would = []string{"nothing of this kind"}
	}
	if frost := frostLine(v.storage, v.size.Outdoors); !frost.Text.IsZero() {
		lines = append(lines, frost)
	}
	return append(lines, report.Line{Label: "Would", Text: report.Sentence("%v.", strings.Join(would, "; or "))})
}

func (v *sizeView) sections() []report.Section {
	var all []report.Section
	if len(v.size.Front.Pairs) > 0 {
		all = append(all, v.frontSection())
		all[0].Pictures = v.pictures()
	}
	if v.size.Nothing != nil {
		return all
	}
	all = append(all, v.cutOffSection())
	if v.size.Spread.Known {
		all = append(all, v.spreadSection())
	}
	return append(all, v.handbookSection())
}

// pictures are those of the choice, and of the front where its watts are known.
func (v *sizeView) pictures() []report.Picture {
	if v.size.Nothing != nil {
		return nil
	}
	c, record := v.size.Front.Chosen, v.storage.Record
	made, asked := record.PerDay(c.PanelW)
	fortnight, has := c.DarkestFortnight(record, v.storage.Battery)
	all := storagePictures(made, asked, fortnight, has && c.BoughtWh > 0, record.Hours())
	if v.unknownWatts() {
		return all
	}
	return append([]report.Picture{frontPicture(v.size.Front)}, all...)
}

func (v *sizeView) frontSection() report.Section {
	t := report.Table{Key: "front", Columns: []report.Column{
		{Key: "panel_w", Heading: "panel", Unit: report.Power, Digits: exactDigits},
		{Key: "battery_wh", Heading: "least battery", Unit: report.WattHours, Digits: 4},
		{Key: "battery_on_sale_wh", Heading: "on sale", Unit: report.WattHours, Digits: exactDigits},
		{Key: "unmet_fraction", Heading: "missing", Unit: report.Fraction},
		{Key: "longest_stop_h", Heading: "longest stop", Unit: report.Hours},
		{Key: "price", Heading: "price", Unit: report.Money(v.in.Plan.Mains.Currency)},
		{Key: "cost_per_year", Heading: "a year", Unit: report.Money(v.in.Plan.Mains.Currency)},
		{Key: "chosen", Heading: "", Unit: report.Word},
	}}
	for _, p := range v.size.Front.Pairs {
		o := v.pair(p, p.OnSaleWh, p.Free)
		mark := ""
		if v.size.Nothing == nil && p.PanelW == v.size.Front.Chosen.PanelW {
			mark = "chosen"
		}
		t.Rows = append(t.Rows, []report.Cell{report.NumberOr(o.PanelW, o.PanelWhy), report.Number(o.BatteryWh), report.NumberOr(o.OnSaleWh, o.OnSaleWhy),
			report.Number(o.Unmet), report.Number(float64(o.LongestStop)), report.NumberOr(o.Price, o.PriceWhy), report.NumberOr(o.CostPerYear, o.CostWhy), report.Text(mark)})
	}
	section := report.Section{Heading: "Every useful pair", Tables: []report.Table{t}, Notes: []report.Prose{report.Sentence(
		"The least battery for each panel, new size that still holds at the end of its life, without cut-off and reconnect. A larger panel needs less battery, down to what the nights ask for.")}}
	if rule := v.size.Front.Rule; v.size.Nothing == nil {
		section.Notes = append(section.Notes, report.Sentence("Chosen: %v.", rule))
	}
	if c := v.size.Front.Chosen; v.size.Nothing == nil && c.BoughtWh > c.OnSaleWh {
		section.Notes = append(section.Notes, report.Sentence("Each pair may need more battery once its load is cut off and reconnected, some more than others; the choice takes %v.", report.WattHours.Exact(c.BoughtWh)))
	}
	return section
}

// cutOffSection shows the choice without and with cut-off and reconnect.
func (v *sizeView) cutOffSection() report.Section {
	c := v.size.Front.Chosen
	t := report.Table{Key: "chosen", Columns: []report.Column{
		{Key: "name", Heading: "the choice", Unit: report.Word},
		{Key: "unmet_fraction", Heading: "missing", Unit: report.Fraction},
		{Key: "stop_hours_per_year", Heading: "stop hours", Unit: report.HoursPerYear},
		{Key: "longest_stop_h", Heading: "longest", Unit: report.Hours},
		{Key: "nights_with_stop_per_year", Heading: "nights a year", Unit: report.None},
		{Key: "longest_run_of_nights", Heading: "nights in a row", Unit: report.None},
		{Key: "lowest_charge_fraction", Heading: "lowest charge", Unit: report.Fraction},
	}}
	for _, run := range []struct {
		name string
		f    balanceFigures
	}{{"with cut-off and reconnect", newBalanceFigures(c.Connected)}, {"without", newBalanceFigures(c.Bought)}} {
		f := run.f
		t.Rows = append(t.Rows, []report.Cell{report.Text(run.name), report.Number(f.Unmet), report.Number(f.StopHours), report.Number(f.LongestStop),
			report.Number(f.Nights), report.Number(float64(f.NightsRun)), report.Number(f.Lowest)})
	}
	b := v.storage.Battery
	section := report.Section{Heading: "What cutting off costs", Tables: []report.Table{t}, Notes: []report.Prose{report.Sentence(
		"The load goes at %v of the charge and comes back at %v.", report.Fraction.Exact(b.CutOff), report.Fraction.Exact(b.Reconnect))}}
	if f, has := c.DarkestFortnight(v.storage.Record, b); has && c.BoughtWh > 0 {
		section.Notes = append(section.Notes, darkestText(newDarkest(f)))
	}
	return section
}

func (v *sizeView) spreadSection() report.Section {
	t := report.Table{Key: "spread", Columns: []report.Column{
		{Key: "seed", Heading: "seed", Unit: report.None, Digits: exactDigits},
		{Key: "battery_wh", Heading: "least battery", Unit: report.WattHours, Digits: 4},
		{Key: "buy_wh", Heading: "to buy", Unit: report.WattHours, Digits: exactDigits},
		{Key: "unmet_fraction", Heading: "missing as bought", Unit: report.Fraction},
		{Key: "longest_stop_h", Heading: "longest stop", Unit: report.Hours},
		{Key: "worst_year_stop_hours", Heading: "worst year", Unit: report.Hours},
	}}
	s := v.size.Spread.Value
	for i, seed := range v.size.Seeds {
		run := s.Bought[i]
		t.Rows = append(t.Rows, []report.Cell{report.Number(float64(seed)), report.NumberOr(bounded(s.LeastWh[i]), "no battery is enough with this panel"),
			report.NumberOr(bounded(s.BuyWh[i]), "no battery on sale is enough with this panel"),
			report.Number(run.UnmetFraction()), report.Number(float64(run.Stops.LongestHours)), report.Number(float64(run.WorstYear.Hours))})
	}
	return report.Section{Heading: "The choice in other weather of the same place", Tables: []report.Table{t}, Notes: []report.Prose{report.Sentence(
		"To buy is what would be bought in that weather for this panel, with cut-off and reconnect; the columns after it are of the choice.")}}
}

func (v *sizeView) handbookSection() report.Section {
	h := v.size.Handbook
	section := report.Section{Heading: "The handbook beside it", Prose: []report.Prose{report.Sentence("Why they differ: %v.", h.Why)}}
	if a := h.Asked; a.Known {
		section.Notes = append(section.Notes, report.Sentence("Handbooks ask for %v of autonomy at this sun, or %v where the load is critical.",
			report.Days.Of(a.Value.NonCritical), report.Days.Of(a.Value.Critical)))
	}
	return section
}
