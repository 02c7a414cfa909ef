package page

import (
	"fmt"
	"math"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
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
	BeforeEight  float64               `json:"stop_hours_before_08_per_year"`
	Nights       float64               `json:"nights_with_stop_per_year"`
	NightsRun    int                   `json:"longest_run_of_nights"`
	CutOffHours  float64               `json:"cut_off_hours_per_year"`
	YearsStopped int                   `json:"years_with_stop"`
	Years        int                   `json:"years"`
	WorstYear    int                   `json:"worst_year"`
	WorstHours   int                   `json:"worst_year_stop_hours"`
	WorstKWh     float64               `json:"worst_year_unmet_kwh"`
	SinceFull    float64               `json:"longest_since_full_days"`
	ChargeLoss   float64               `json:"charge_loss_kwh_per_year"`
	GiveLoss     float64               `json:"discharge_loss_kwh_per_year"`
	SelfLoss     float64               `json:"self_discharge_kwh_per_year"`
	EnergyRatio  float64               `json:"energy_ratio"`
	UnmetFlow    figure.Maybe[float64] `json:"unmet_flow_fraction"`
}

func newBalanceFigures(b battery.Balance) BalanceFigures {
	kwh := func(wh float64) float64 { return b.PerYear(wh) / 1000 }
	f := BalanceFigures{
		UnmetKWh: kwh(b.UnmetWh), Unmet: b.UnmetFraction(), StopHours: b.PerYear(float64(b.Stops.Hours)), LongestStop: float64(b.Stops.LongestHours),
		Lowest: b.LowestCharge, SpilledKWh: kwh(b.SpilledWh), LoadKWh: kwh(b.LoadWh), PanelKWh: kwh(b.PanelWh), RecordHours: b.Hours,
		BeforeEight: b.PerYear(float64(b.Stops.BeforeEight)), Nights: b.PerYear(float64(b.Stops.Nights)), NightsRun: b.Stops.LongestNightsRun,
		CutOffHours: b.PerYear(float64(b.CutOffHours)), YearsStopped: b.YearsWithStop, Years: b.Years,
		WorstYear: b.WorstYear.Year, WorstHours: b.WorstYear.Hours, WorstKWh: b.WorstYear.UnmetWh / 1000,
		SinceFull: float64(b.LongestSinceFullHours) / 24, ChargeLoss: kwh(b.ChargeLossWh), GiveLoss: kwh(b.DischargeLossWh), SelfLoss: kwh(b.SelfDischargeWh),
		EnergyRatio: b.EnergyRatio(), UnmetFlow: figure.Unknown[float64]("the load is not a pump"),
	}
	if b.WaterAsked > 0 {
		f.UnmetFlow = figure.Known(b.UnmetFlow())
	}
	return f
}

// balanceObject is what balance prints as JSON.
type balanceObject struct {
	Demo bool `json:"demo"`
	BalanceFigures
	Repeat bool `json:"repeat"`
	storageObject
	Frost    figure.Maybe[frostObject]    `json:"frost"`
	AsSource figure.Maybe[BalanceFigures] `json:"with_the_source_as_it_is"`
}

// storageObject says what panel, battery and site were taken.
type storageObject struct {
	Panel   figure.Maybe[panelObject] `json:"panel"`
	Battery batteryObject             `json:"battery"`
	Site    figure.Maybe[SiteObject]  `json:"site"`
}

type panelObject struct {
	Watts   figure.Maybe[float64] `json:"panel_w"`
	Tilt    units.Angle           `json:"tilt_deg"`
	Azimuth units.Angle           `json:"azimuth_deg"`
}

type batteryObject struct {
	Kind      string                `json:"kind"`
	Nominal   figure.Maybe[float64] `json:"battery_wh"`
	UsableWh  figure.Maybe[float64] `json:"usable_wh"`
	Usable    float64               `json:"usable_fraction"`
	Cold      float64               `json:"left_in_the_cold_fraction"`
	EndOfLife float64               `json:"left_at_end_of_life_fraction"`
	CutOff    float64               `json:"cut_off_fraction"`
	Reconnect float64               `json:"reconnect_fraction"`
	ChargeEff float64               `json:"charge_efficiency_fraction"`
	GiveEff   float64               `json:"discharge_efficiency_fraction"`
	SelfLoss  float64               `json:"self_discharge_fraction_per_month"`
}

func newStorageObject(s *energy.Storage) storageObject {
	b, n := s.Battery, s.NominalWh
	const logged = "the hours are a measured log's"
	o := storageObject{figure.Unknown[panelObject](logged), batteryObject{b.Kind, n, figure.Then(n, func(wh float64) float64 { return usableWh(b, wh) }), b.UsableShare, b.ColdShare,
		b.EndOfLifeShare, b.CutOff, b.Reconnect, b.ChargeShare, b.DischargeShare, b.SelfDischarge}, figure.Unknown[SiteObject](logged)}
	if s.Sky != nil {
		o.Panel, o.Site = figure.Known(panelObject{s.PanelW, s.Sky.Plane.Tilt, s.Sky.Plane.Azimuth}), figure.Known(newSiteObject(s.Sky))
	}
	return o
}

func usableWh(b battery.Battery, nominal float64) float64 {
	return b.Usable(units.Energy(nominal) * units.WattHour).In(units.WattHour)
}

func (v *BalanceView) object() balanceObject {
	outdoors := figure.Unknown[battery.Balance](FrostIsGiven)
	if v.Kept.Known {
		outdoors = figure.Known(v.Balance)
	}
	o := balanceObject{v.In.Demo, newBalanceFigures(v.Balance), v.Repeat, newStorageObject(v.Storage),
		newFrost(v.Storage.Frost, false, outdoors, v.Kept), figure.Unknown[BalanceFigures]("the hours are used as they are")}
	if v.Source != nil {
		o.AsSource = figure.Known(newBalanceFigures(*v.Source))
	}
	return o
}

// Document returns the page.
func (v *BalanceView) Document() *document.Document {
	s := v.Storage
	sections := []document.Section{v.stopSection(), v.energySection()}
	made, asked := s.Record.PerDay(s.PanelW.Value)
	fortnight, has := s.DarkestFortnight(v.Repeat)
	sections[0].Pictures = storagePictures(made, asked, fortnight, has && s.NominalWh.Value > 0, s.Record.Hours())
	object := v.object()
	return &document.Document{
		Title: storageTitle(v.In, s, "one panel, one battery"), Subtitle: document.Plain(v.In.name()), Banner: v.In.banner(),
		Answer: v.answer(), Sections: sections,
		Names:    v.In.names(),
		Warnings: doubts(v.In.Warnings, s.Warnings, ShortRecord(s.Sky), v.Balance.Warnings, s.Charging(s.PanelW.Value, s.NominalWh.Value).Warnings),
		Assumed:  assumed(s.Assumed), Sources: append(s.Sources, storageSources...),
		Cautions: storageCautions(s), Object: object, Work: func() []document.Step { return v.figures(object).work() },
	}
}

// storageSources are the methods behind every page about a battery.
var storageSources = []string{
	"Balance: hour by hour; the panel meets the load directly, surplus charges, what finds no room is spilled; energy in is energy out, stored and lost to 1e-9",
	"Batteries: the table of batteries (sunrill tables batteries)",
}

// storageCautions are those of a panel and a battery, and of every stop.
func storageCautions(s *energy.Storage) []document.Prose {
	var all []document.Prose
	for _, line := range s.Cautions() {
		all = append(all, document.Told(line))
	}
	return append(all, stopCautions()...)
}

func storageTitle(in *Input, s *energy.Storage, what string) document.Prose {
	switch {
	case in.Plan.Name != "":
		return document.Sentence("%v: %v", in.Plan.Name, what)
	case s.Sky == nil:
		return document.Sentence("Measured hours: %v", what)
	case s.Sky.Climate.Place != "":
		return document.Sentence("%v: %v", s.Sky.Climate.Place, what)
	}
	return document.Sentence("At %v: %v", placeText(s.Sky.Climate.Site), what)
}

// recordText says what hours were read; sky is nil for a measured log.
func recordText(sky *sky.Sky, hours int) string {
	years := float64(hours) / solar.HoursPerYear
	switch {
	case sky == nil:
		return fmt.Sprintf("the %d hours of the log", hours)
	case sky.Years > 0:
		return fmt.Sprintf("%d made years", sky.Years)
	case math.Abs(years-1) < 1e-9:
		return "the year of the weather file"
	}
	return units.Sprintf("the %.3g years of the weather file", years)
}

// oneYear is what a weather file of a year or so cannot tell.
const oneYear = "One year, or a typical one, says little about the worst winter in ten."

// ShortRecord warns where the hours are a weather file's of less than two years.
func ShortRecord(sky *sky.Sky) []data.Warning {
	if sky == nil || sky.Years > 0 || float64(sky.Weather.Hours()) >= 2*solar.HoursPerYear {
		return nil
	}
	return []data.Warning{{Key: "site.weather", Message: strings.ToLower(oneYear[:1]) + strings.TrimSuffix(oneYear[1:], ".") + ": take a reserve, or size from years made for the place (no weather file)"}}
}

func (v *BalanceView) answer() []document.Line {
	b, f := v.Balance, newBalanceFigures(v.Balance)
	lines := []document.Line{{Label: "Stops", Text: stopText(v.Storage, b)}}
	if b.LoadWh > 0 {
		lines = append(lines, document.Line{Label: "Missing", Text: document.Sentence("%v of the energy: %v of %v.",
			document.Fraction.Of(f.Unmet), document.KWhPerYear.Of(f.UnmetKWh), document.KWhPerYear.Of(f.LoadKWh))})
	}
	if frost := v.frostText(); !frost.IsZero() {
		lines = append(lines, document.Line{Label: "Frost", Text: frost})
	}
	lines = append(lines, document.Line{Label: "Panel", Text: v.panelText(f)}, document.Line{Label: "Battery", Text: v.batteryText(f)})
	if v.Source != nil {
		lines = append(lines, document.Line{Label: "Brighter", Text: document.Sentence(
			"with the source's own winter instead of the low one, %v of the energy would be missing and %v would be stop hours.",
			document.Fraction.Of(v.Source.UnmetFraction()), document.HoursPerYear.Of(v.Source.PerYear(float64(v.Source.Stops.Hours))))})
	}
	return lines
}

// frostText says what the cold keeps the battery from, and what it would do
// without.
func (v *BalanceView) frostText() document.Prose {
	f, kind := v.Storage.Frost, v.Storage.Battery.Kind
	switch {
	case f == nil || v.Storage.NominalWh.Value == 0:
		return document.Prose{}
	case f.Given:
		return document.Sentence("%v.", givenFrost(f, kind))
	}
	least := f.Least.InCelsius()
	text := document.Sentence("the battery is taken to stand outdoors, where %v", coldText(f, kind))
	if v.Kept.Known {
		text = document.Sentence("%v; where it never falls below %v, %v of the energy would be missing (--set \"battery.temperature=%v C\")", text,
			document.Temperature.Exact(least), document.Fraction.Of(v.Kept.Value.UnmetFraction()), least)
	}
	return document.Sentence("%v.", text)
}

// stopText says how often a load would stand still.
func stopText(s *energy.Storage, b battery.Balance) document.Prose {
	if b.Stops.Hours == 0 {
		return document.Sentence("none in %v, which is not to say that there never will be.", recordText(s.Sky, b.Hours))
	}
	text := document.Sentence("%v in %v, %v at the longest; %v nights a year with a stop, %v of it between 00 and 08",
		document.HoursPerYear.Of(b.PerYear(float64(b.Stops.Hours))), recordText(s.Sky, b.Hours), document.Hours.Exact(float64(b.Stops.LongestHours)),
		document.None.Of(b.PerYear(float64(b.Stops.Nights))), document.HoursPerYear.Of(b.PerYear(float64(b.Stops.BeforeEight))))
	if b.Years > 1 {
		text = document.Sentence("%v. Worst is year %v with %v; %v of %v years have any", text, document.None.Exact(float64(b.WorstYear.Year)),
			document.Hours.Exact(float64(b.WorstYear.Hours)), document.None.Exact(float64(b.YearsWithStop)), document.None.Exact(float64(b.Years)))
	}
	return document.Sentence("%v.", text)
}

func (v *BalanceView) panelText(f BalanceFigures) document.Prose {
	made := document.Sentence("%v after the controller, of which %v is spilled", document.KWhPerYear.Of(f.PanelKWh), document.KWhPerYear.Of(f.SpilledKWh))
	s := v.Storage
	if s.Sky == nil {
		return document.Sentence("%v.", made)
	}
	return document.Sentence("%v, %v: %v.", document.Power.Exact(s.PanelW.Value), planeText(s.Sky.Plane), made)
}

func (v *BalanceView) batteryText(f BalanceFigures) document.Prose {
	s := v.Storage
	n := s.NominalWh.Value
	if n == 0 {
		return document.Sentence("none: the load runs while the sun carries it.")
	}
	return document.Sentence("%v %v, of which %v can be used%v; falls to %v of its charge at the lowest.",
		document.WattHours.Exact(n), s.Battery.Kind, document.WattHours.Of(usableWh(s.Battery, n)), whenText(s.Battery), document.Fraction.Of(f.Lowest))
}

// whenText says in what state a battery is counted, "" where nothing is taken off.
func whenText(b battery.Battery) string {
	text := ""
	if b.ColdShare < 1 {
		text = " in the cold"
	}
	if b.EndOfLifeShare < 1 {
		text += " at the end of its life"
	}
	return text
}

func (v *BalanceView) stopSection() document.Section {
	b := v.Balance
	months := document.Table{Key: "stops_by_month", Beside: true, Columns: []document.Column{
		{Key: "month", Heading: "month", Unit: document.Word},
		{Key: "stop_hours_per_year", Heading: "stop hours", Unit: document.HoursPerYear},
	}}
	for m, hours := range b.Stops.ByMonth {
		if hours > 0 {
			months.Rows = append(months.Rows, []document.Cell{document.Text(plan.MonthNames[m]), document.Number(b.PerYear(float64(hours)))})
		}
	}
	section := document.Section{Heading: "When it stands still"}
	if f, has := v.Storage.DarkestFortnight(v.Repeat); has && v.Storage.NominalWh.Value > 0 {
		section.Notes = append(section.Notes, darkestText(newDarkest(f)))
	}
	if len(months.Rows) == 0 {
		section.Prose = append(section.Prose, document.Sentence("Not in any month of %v.", recordText(v.Storage.Sky, b.Hours)))
		return section
	}
	section.Tables = append(section.Tables, months)
	section.Notes = append(section.Notes, document.Sentence("A stop hour is one with any shortfall. The load was cut off in %v.", document.HoursPerYear.Of(b.PerYear(float64(b.CutOffHours)))))
	return section
}

func (v *BalanceView) energySection() document.Section {
	f := newBalanceFigures(v.Balance)
	type row struct {
		Name string  `json:"name"`
		KWh  float64 `json:"kwh_per_year"`
	}
	t := document.TableOf("energy", []row{
		{"asked for by the load", f.LoadKWh}, {"not delivered", f.UnmetKWh}, {"from the panel, after the controller", f.PanelKWh}, {"spilled", f.SpilledKWh},
		{"lost in charging", f.ChargeLoss}, {"lost in discharging", f.GiveLoss}, {"lost in standing", f.SelfLoss},
	}, []document.Column{{Key: "name", Heading: "energy"}, {Key: "kwh_per_year", Heading: "a year"}})
	note := document.Sentence("Read once from the charge at the start. Totals are for a year of 8760 hours.")
	if v.Repeat {
		note = document.Sentence("Read twice; the second reading counts. Totals are for a year of 8760 hours.")
	}
	return document.Section{Heading: "Where the energy goes", Tables: []document.Table{t}, Notes: []document.Prose{note}}
}

// NoStorage returns the page of a plan whose load is not known, for the reason why.
func NoStorage(in *Input, why string) (*document.Document, error) {
	return &document.Document{
		Title: document.Sentence("No load"), Subtitle: document.Plain(in.name()), Banner: in.banner(),
		Answer: []document.Line{{Label: "No answer", Text: document.Sentence("%v.", why)}},
		Object: struct {
			Why string `json:"why"`
		}{why},
	}, &NoAnswer{why}
}

// BalanceView is everything that a page about a balance shows.
type BalanceView struct {
	In      *Input
	Storage *energy.Storage
	Balance battery.Balance
	Kept    figure.Maybe[battery.Balance] // without the frost that it meets outdoors
	Source  *battery.Balance              // under the sun as its source has it, where that differs
	Repeat  bool
}
