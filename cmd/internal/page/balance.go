package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
)

// BalanceView is everything that a page about a balance shows.
type BalanceView struct {
	In      *Input
	Storage *energy.Storage
	Balance battery.Balance
	Kept    figure.Maybe[battery.Balance] // without the frost that it meets outdoors
	Repeat  bool
}

// balanceObject is what balance prints as JSON.
type balanceObject struct {
	Demo bool `json:"demo"`
	BalanceFigures
	Repeat bool `json:"repeat"`
	storageObject
	Frost figure.Maybe[frostObject] `json:"frost"`
}

func (v *BalanceView) object() balanceObject {
	outdoors := figure.Given(v.Kept.Known, v.Balance, FrostIsGiven)
	return balanceObject{v.In.Demo, newBalanceFigures(v.Balance), v.Repeat, newStorageObject(v.Storage), newFrost(v.Storage, outdoors,
		v.Kept)}
}

// Document returns the page.
func (v *BalanceView) Document() *document.Document {
	s := v.Storage
	panel, size := s.PanelW.Value, s.NominalWh.Value
	fortnight, has := s.DarkestFortnight(v.Repeat)
	darkest := figure.Given(has && size > 0, fortnight, "")
	made, asked := s.Record.PerDay(panel)
	doc := v.In.document(storageTitle(v.In, s, "one panel, one battery"), v.object())
	doc.Answer, doc.Work = v.answer(), func() []document.Step { return v.figures(doc.Object).work() }
	doc.Sections = []document.Section{v.stopSection(), v.energySection()}
	doc.Sections[0].Pictures = storagePictures(made, asked, darkest)
	doc.Warnings = doubts(v.In.Warnings, s.Warnings, ShortRecord(s.Sky), v.Balance.Warnings, s.Charging(panel, size).Warnings)
	doc.Assumed, doc.Sources, doc.Cautions = assumed(s.Assumed), append(s.Sources, storageSources...),
		document.Each(s.Cautions(), document.Told)
	return doc
}

func (v *BalanceView) answer() []document.Line {
	f := newBalanceFigures(v.Balance)
	var lines shortAnswer
	lines.say("Stops", stopText(v.Storage, v.Balance))
	if v.Balance.LoadWh > 0 {
		lines.say("Missing", document.Sentence("%v of the energy: %v of %v.",
			document.Fraction.Of(f.Unmet), document.KWhPerYear.Of(f.UnmetKWh), document.KWhPerYear.Of(f.LoadKWh)))
	}
	if v.Storage.NominalWh.Value > 0 {
		lines.say("Frost", frostText(v.Storage, figure.Maybe[battery.Balance]{}, v.Kept))
	}
	if s := v.Storage; s.Sky != nil {
		lines.say("Panel", document.Sentence("%v, %v.", document.Power.Exact(s.PanelW), planeText(s.Sky.Plane)))
	}
	lines.say("Battery", v.batteryText(f))
	return lines
}

func (v *BalanceView) batteryText(f BalanceFigures) document.Prose {
	b, n := v.Storage.Battery, v.Storage.NominalWh.Value
	if n == 0 {
		return document.Sentence("none: the load runs while the sun carries it.")
	}
	text := document.Sentence("%v %v, of which %v can be used", document.WattHours.Exact(n), b.Kind, document.WattHours.Of(usableWh(b, n)))
	text = text.When(b.ColdShare < 1, " in the cold").When(b.EndOfLifeShare < 1, " at the end of its life")
	return text.And("; falls to %v of its charge at the lowest.", document.Fraction.Of(f.Lowest))
}

// stopSection shows the months with stops.
func (v *BalanceView) stopSection() document.Section {
	type row struct {
		Month int     `json:"month"`
		Hours float64 `json:"stop_hours_per_year"`
	}
	b, section := v.Balance, document.Section{Heading: "When it stands still"}
	var rows []row
	for m, hours := range b.Stops.ByMonth {
		if hours > 0 {
			rows = append(rows, row{m + 1, b.PerYear(float64(hours))})
		}
	}
	if len(rows) == 0 {
		section.Prose = []document.Prose{document.Sentence("Not in any month of %v.", recordText(v.Storage.Sky, b.Hours))}
		return section
	}
	months := document.TableOf("stops_by_month", rows, document.Columns("month: month", "stop_hours_per_year: stop hours"))
	months.Beside = true
	section.Tables = []document.Table{months}
	section.Notes = []document.Prose{document.Sentence("A stop hour is one with any shortfall. The load was cut off in %v.",
		document.HoursPerYear.Of(b.PerYear(float64(b.CutOffHours))))}
	return section
}

// energySection shows where the energy of a year goes.
func (v *BalanceView) energySection() document.Section {
	type row struct {
		Name string  `json:"name"`
		KWh  float64 `json:"kwh_per_year"`
	}
	f := newBalanceFigures(v.Balance)
	return document.Section{Heading: "Where the energy goes", Tables: []document.Table{document.TableOf("energy", []row{
		{"asked for by the load", f.LoadKWh}, {"not delivered", f.UnmetKWh}, {"from the panel, after the controller", f.PanelKWh},
		{"spilled", f.SpilledKWh}}, document.Columns("name: energy", "kwh_per_year: a year"))}}
}

// NoStorage returns the page of a plan whose load is not known, for the reason why.
func NoStorage(in *Input, why units.Text) (*document.Document, error) {
	doc := in.document(document.Sentence("No load"), struct {
		Why units.Text `json:"why"`
	}{why})
	doc.Answer = []document.Line{{Label: "No answer", Text: document.Sentence("%v.", document.Told(why))}}
	return doc, &NoAnswer{why}
}
