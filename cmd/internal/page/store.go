package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// BalanceFigures are the figures of one balance in JSON.
type BalanceFigures struct {
	UnmetKWh     float64               `json:"unmet_kwh_per_year"`
	Unmet        float64               `json:"unmet_fraction"`
	StopHours    float64               `json:"stop_hours_per_year"`
	LongestStop  float64               `json:"longest_stop_h"`
	Lowest       float64               `json:"lowest_charge_fraction"`
	SpilledKWh   float64               `json:"spilled_kwh_per_year"`
	LoadKWh      float64               `json:"load_kwh_per_year"`
	PanelKWh     float64               `json:"panel_kwh_per_year"`
	RecordHours  int                   `json:"record_hours"`
	Nights       float64               `json:"nights_with_stop_per_year"`
	YearsStopped int                   `json:"years_with_stop"`
	Years        int                   `json:"years"`
	WorstYear    int                   `json:"worst_year"`
	WorstHours   int                   `json:"worst_year_stop_hours"`
	UnmetFlow    figure.Maybe[float64] `json:"unmet_flow_fraction"`
}

func newBalanceFigures(b battery.Balance) BalanceFigures {
	kwh := func(wh float64) float64 { return b.PerYear(wh) / 1000 }
	a := func(count int) float64 { return b.PerYear(float64(count)) }
	return BalanceFigures{
		UnmetKWh: kwh(b.UnmetWh), Unmet: b.UnmetFraction(), StopHours: a(b.Stops.Hours), LongestStop: float64(b.Stops.LongestHours),
		Lowest: b.LowestCharge, SpilledKWh: kwh(b.SpilledWh), LoadKWh: kwh(b.LoadWh), PanelKWh: kwh(b.PanelWh), RecordHours: b.Hours,
		Nights: a(b.Stops.Nights), YearsStopped: b.YearsWithStop, Years: b.Years, WorstYear: b.WorstYear.Year,
		WorstHours: b.WorstYear.Hours, UnmetFlow: figure.Given(b.WaterAsked > 0, b.UnmetFlow(), "the load is not a pump"),
	}
}

// storageObject says what panel, battery and site were taken.
type storageObject struct {
	Panel   figure.Maybe[panelObject] `json:"panel"`
	Battery batteryObject             `json:"battery"`
	Site    figure.Maybe[siteObject]  `json:"site"`
}

type panelObject struct {
	Watts figure.Maybe[float64] `json:"panel_w"`
	solar.Plane
}

type batteryObject struct {
	battery.Battery
	Nominal  figure.Maybe[float64] `json:"battery_wh"`
	UsableWh figure.Maybe[float64] `json:"usable_wh"`
}

func newStorageObject(s *energy.Storage) storageObject {
	b, n := s.Battery, s.NominalWh
	const logged = "the hours are a measured log's"
	usable := figure.Then(n, func(wh float64) float64 { return usableWh(b, wh) })
	o := storageObject{figure.Unknown[panelObject](logged), batteryObject{b, n, usable}, figure.Unknown[siteObject](logged)}
	if s.Sky != nil {
		o.Panel, o.Site = figure.Known(panelObject{s.PanelW, s.Sky.Plane}), figure.Known(newSite(s.Sky))
	}
	return o
}

func usableWh(b battery.Battery, nominal float64) float64 {
	return b.Usable(battery.WattHours(nominal)).In(units.WattHour)
}

// calendar returns months 0 to 11 as 1 to 12, never nil.
func calendar(months []int) []int {
	out := make([]int, len(months))
	for i, m := range months {
		out[i] = m + 1
	}
	return out
}

// recordYears returns the length of a record of so many hours.
func recordYears(hours int) float64 { return float64(hours) / solar.HoursPerYear }

// recordText says what hours were read; sky is nil for a measured log.
func recordText(sky *sky.Sky, hours int) string {
	years := recordYears(hours)
	switch {
	case sky == nil:
		return fmt.Sprintf("the %d hours of the log", hours)
	case sky.Years > 0:
		return fmt.Sprintf("%d simulated years", sky.Years)
	case math.Abs(years-1) < 1e-9:
		return "the year of the weather file"
	}
	return units.Sprintf("the %.3g years of the weather file", years)
}

// oneYear is what a weather file of a year or so cannot tell.
const oneYear = "one year, or a typical one, says little about the worst winter in ten"

// ShortRecord warns where the hours are a weather file's of less than two years.
func ShortRecord(sky *sky.Sky) []data.Warning {
	if sky == nil || sky.Years > 0 || recordYears(sky.Weather.Hours()) >= 2 {
		return nil
	}
	return []data.Warning{{Key: "site.weather", Message: oneYear + ": take a reserve, or size from years made for the place (no weather " +
		"file)"}}
}

// stopText says how often a load would stand still.
func stopText(s *energy.Storage, b battery.Balance) document.Prose {
	if b.Stops.Hours == 0 {
		return document.Sentence("none in %v, which is not to say that there never will be.", recordText(s.Sky, b.Hours))
	}
	f := newBalanceFigures(b)
	text := document.Sentence("%v in %v, %v at the longest, in %v nights a year",
		document.HoursPerYear.Of(f.StopHours), recordText(s.Sky, b.Hours), document.Hours.Exact(f.LongestStop), document.None.Of(f.Nights))
	text = text.When(b.Years > 1, ". Worst is year %v with %v; %v of %v years have any", document.None.Exact(f.WorstYear),
		document.Hours.Exact(f.WorstHours), document.None.Exact(f.YearsStopped), document.None.Exact(f.Years))
	return text.And(".")
}

// store is a panel and a battery that were sized, as size and plan tell them.
type store struct {
	in      *Input
	storage *energy.Storage
	*energy.Sized
}

// SizePair is a panel with its battery. On the front they run without cut-off and
// reconnect; the pair to buy runs with them.
type SizePair struct {
	PanelW      figure.Maybe[float64]     `json:"panel_w"`
	BatteryWh   float64                   `json:"battery_wh"` // the least, without cut-off and reconnect
	OnSaleWh    figure.Maybe[float64]     `json:"battery_on_sale_wh"`
	Unmet       float64                   `json:"unmet_fraction"`
	LongestStop int                       `json:"longest_stop_h"`
	Price       figure.Maybe[money.Money] `json:"price"`
	CostPerYear figure.Maybe[money.Money] `json:"cost_per_year"`
	LifeYears   figure.Maybe[float64]     `json:"battery_life_years"`
}

func (s store) pair(p battery.Pair, onSale float64, run battery.Balance) SizePair {
	return SizePair{s.watts(p.PanelW), p.BatteryWh, figure.Finite(onSale, "no battery on sale is large enough"), run.UnmetFraction(),
		run.Stops.LongestHours,
		p.Price, p.PerYear, figure.Finite(p.Life.Years(), "neither the cycles of its work nor its years standing set an end to it")}
}

// front returns the useful pairs.
func (s store) front() []SizePair {
	pairs := make([]SizePair, len(s.Front.Pairs))
	for i, p := range s.Front.Pairs {
		pairs[i] = s.pair(p, p.OnSaleWh, p.Free)
	}
	return pairs
}

// watts returns those of a panel, unknown where it is a log's of unknown watts.
func (s store) watts(w float64) figure.Maybe[float64] {
	return figure.Given(!s.storage.Measured || s.in.Plan.Panel.Watts != nil, w, "the watts of the measured panel are not given (--panel)")
}

// found reports whether there is a pair to buy.
func (s store) found() bool { return s.Front.Chosen.Connected.Hours > 0 }

// frost returns what the cold does to the choice, outdoors and where it is sized for.
func (s store) frost() figure.Maybe[frostObject] {
	kept := figure.Unknown[battery.Balance](FrostIsGiven)
	if s.Outdoors.Known {
		kept = figure.Known(s.Front.Chosen.Connected)
	}
	return newFrost(s.storage, s.Outdoors, kept)
}

// frostText says where a battery that was sized has to stand, nothing where that is
// all the same.
func (s store) frostText() document.Prose {
	return frostText(s.storage, s.Outdoors, figure.Maybe[battery.Balance]{})
}

// lines are what the choice does, lacks and costs.
func (s store) lines() shortAnswer {
	var lines shortAnswer
	lines.say("Bill", s.billText())
	lines.say("Stops", stopText(s.storage, s.Front.Chosen.Connected))
	lines.say("Missing", s.missingText())
	lines.say("Price", s.priceText())
	return lines
}

// missingText says what the choice leaves undelivered, beside the target.
func (s store) missingText() document.Prose {
	run, o := s.Front.Chosen.Connected, s.Options
	text, of := document.Sentence("%v of the energy", document.Fraction.Of(run.UnmetFraction())), "energy"
	if run.WaterAsked > 0 {
		text = document.Sentence("%v of the water, %v", document.Fraction.Of(run.UnmetFlow()), text)
	}
	if o.UnmetFlow.Known {
		of = "water"
	}
	text = text.And("; the target is %v of the %v", document.Fraction.Exact(o.Unmet), of)
	if o.LongestStop.Known {
		text = text.And(" and no stop beyond %v", document.Hours.Exact(o.LongestStop))
	}
	if o.YearsInTen.Known {
		text = text.And(" and, in %v years of ten, no stop beyond %v; %v of %v years have one", document.None.Exact(o.YearsInTen),
			limitsText(o.Limits), document.None.Exact(run.BadYears), document.None.Exact(run.Years))
	}
	return text.And(".")
}

// limitsText words the longest stops that can be borne.
func limitsText(l battery.StopLimits) document.Prose {
	low, high := slices.Min(l[:]), slices.Max(l[:])
	if low == high {
		return document.Sentence("%v", document.Hours.Exact(low))
	}
	return document.Sentence("what its month bears, %v to %v", document.Hours.Exact(low), document.Hours.Exact(high))
}

func (s store) priceText() document.Prose {
	c := s.Front.Chosen
	text := document.Sentence("not known: %v", c.Price.Why)
	if c.Price.Known {
		text = document.Sentence("%v, which is %v a year over the lives of its parts", s.in.money().Of(c.Price),
			s.in.money().Of(c.PerYear)).When(s.storage.Pump != nil, ", without new pumps")
	}
	if turns := s.turnsText(); !c.Price.Known && !turns.IsZero() {
		text = text.And("; by planning prices, %v", turns)
	}
	years := c.Life.Years()
	return text.When(!math.IsInf(years, 1), "; the battery lasts some %v", document.Years.Of(years)).And(".")
}

// section shows the pairs by how surely they do, and the pair to buy at work.
func (s store) section(heading string) document.Section {
	b, section := s.storage.Battery, document.Section{Heading: heading}
	section.Pictures = storagePictures(s.Made, s.Asked, s.Darkest)
	section.Notes = []document.Prose{document.Sentence("The load is cut off at %v of the charge and comes back at %v.",
		document.Fraction.Exact(b.CutOff), document.Fraction.Exact(b.Reconnect))}
	if s.Ladder.Known {
		columns := document.Columns("years_in_ten: years in ten", "panel_w: panel", "battery_wh: battery", "price: price",
			"cost_per_year: a year", "longest_stop_h: longest stop", "bad_years: bad years", "record_years: of")
		for _, j := range []int{0, 1, 2, 5, 6, 7} { // counts, and what is on sale
			columns[j].Digits = ExactDigits
		}
		section.Tables = []document.Table{document.TableOf("ladder", s.ladder().Value, columns).Priced(s.in.money())}
		section.Notes = append(section.Notes, document.Sentence("The cheapest pair by how surely it does: a year is bad in which a stop "+
			"lasts longer than its month bears."))
	}
	return section
}

// storageTitle names what a page about a storage is about.
func storageTitle(in *Input, s *energy.Storage, what string) document.Prose {
	where := "Measured hours"
	if s.Sky != nil {
		where = cmp.Or(s.Sky.Climate.Place, "At "+placeText(s.Sky.Climate.Site))
	}
	return document.Sentence("%v: %v", cmp.Or(in.Plan.Name, where), what)
}

// storageSources are the methods behind every page about a battery.
var storageSources = []string{
	"Balance: hour by hour; the panel meets the load directly, surplus charges, what finds no room is spilled; energy in is energy out, " +
		"stored and lost to 1e-9",
	"Batteries: the table of batteries (sunrill tables batteries)",
}
