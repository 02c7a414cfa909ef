package cli

import (
	report "sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
)

// sections are the tables about the water of a plan, the weightiest first.
func (p *waterPage) sections() []report.Section {
	side := report.Section{Heading: "Side by side", Pictures: waterPictures(p.water.Works, p.water.Runs(), max(0, p.water.Choice.Nearest)), Tables: []report.Table{p.flowTable(), p.powerTable()},
		Notes: []report.Prose{dirtNote(p.water.Works), report.Sentence("Power and kWh are the larger of clean and dirty; kWh are counted at the socket, a DC pump's power pack included, and those of a day are the year's mean. The yardstick is what the EU's reference circulator reaches at the same work: made for heating, a measure and no target.")}}
	side.Notes = append(side.Notes, p.runNotes()...)
	all := append([]report.Section{side}, p.moneySection()...)
	all = append(all, report.Section{Heading: "Next hose up or next pump up", Tables: []report.Table{p.hoseTable()},
		Notes: []report.Prose{report.Sentence("Every piece narrower than the new hose is replaced by it, with the same length and fittings. More flow and power are against %v as it is. %v", p.nearest(), dirtOnAnyHose(p.water.Works))}})
	if _, branched := p.water.Works.Line.(*pumps.Network); branched { // of a single line duty shows the head
		all = append(all, lineSection(p.water.Works, p.water.Runs(), max(0, p.water.Choice.Nearest))...)
	}
	all = append(all, p.goalSection()...)
	all = append(all, p.tankSection()...)
	all = append(all, p.filterSection()...)
	return append(all, p.stopSection(), p.evaporationSection())
}

// dirtOnAnyHose says what becomes of the dirt in another hose.
func dirtOnAnyHose(works *energy.Waterworks) report.Prose {
	if works.DirtAssumed {
		return report.Sentence("The assumed %v is taken of each hose, as it will be once the plan has it; so more flow rests on that guess.", share(works.DirtLoss))
	}
	return report.Sentence("The dirt of the line as it is stays in every hose; measure again in a new one.")
}

// runNotes says what the tables take as understood: pumps in parallel, and hours
// and months in which the plan lets them rest.
func (p *waterPage) runNotes() []report.Prose {
	var notes []report.Prose
	for i, pump := range p.water.Pumps {
		if pump.Spec.Count > 1 {
			notes = append(notes, report.Sentence("Figures of %v are those of all %v together.", p.pumps[i].Name, pump.Spec.Count))
		}
	}
	if len(p.water.Schedule.Hours()) > 1 {
		notes = append(notes, report.Sentence("The plan lets the pump rest or slow down by hours or months ([run]): turnovers are those of the running month with the least water, flow and watts those of the speed outside its hour bands."))
	}
	return notes
}

func (p *waterPage) nearest() string {
	if i := p.water.Choice.Nearest; i >= 0 {
		return p.pumps[i].Name
	}
	return ""
}

// flowTable compares what the pumps move.
func (p *waterPage) flowTable() report.Table {
	t := report.Table{Key: "pumps", Columns: []report.Column{
		{Key: "name", Heading: "pump", Unit: report.Word},
		{Key: "clean_flow_m3_per_h", Heading: "flow clean", Unit: report.Flow},
		{Key: "dirty_flow_m3_per_h", Heading: "flow dirty", Unit: report.Flow},
		{Key: "clean_turnover_h", Heading: "turnover clean", Unit: report.Hours},
		{Key: "dirty_turnover_h", Heading: "turnover dirty", Unit: report.Hours},
		{Key: "dirty_turnovers_per_day", Heading: "turnovers dirty", Unit: report.TurnoversPerDay},
		{Key: "goal_met", Heading: "goal met", Unit: report.Word},
	}}
	for _, pump := range p.pumps {
		row := []report.Cell{report.Text(pump.Name), report.Unknown(pump.CleanWhy), report.Unknown(pump.DirtyWhy),
			report.Unknown(""), report.Unknown(""), report.Unknown(""), report.Text("no")}
		if s := pump.Clean; s != nil {
			row[1], row[3] = report.Number(s.Flow), report.NumberOr(s.Turnover, s.TurnoverWhy)
		}
		if s := pump.Dirty; s != nil {
			row[2], row[4], row[5] = report.Number(s.Flow), report.NumberOr(s.Turnover, s.TurnoverWhy), report.NumberOr(s.TurnoversPerDay, s.TurnoverWhy)
			row[6] = goalCell(s)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// powerTable compares what the pumps draw.
func (p *waterPage) powerTable() report.Table {
	t := report.Table{Key: "power", Columns: []report.Column{
		{Key: "name", Heading: "pump", Unit: report.Word},
		{Key: "power_w", Heading: "power", Unit: report.Power},
		{Key: "kwh_per_day", Heading: "energy", Unit: report.KWhPerDay},
		{Key: "kwh_per_year", Heading: "energy", Unit: report.KWhPerYear},
		{Key: "wire_to_water_fraction", Heading: "wire to water", Unit: report.Fraction},
		{Key: "yardstick_fraction", Heading: "yardstick", Unit: report.Fraction},
	}}
	for _, pump := range p.pumps {
		t.Rows = append(t.Rows, []report.Cell{report.Text(pump.Name), report.NumberOr(pump.Power, pump.PowerWhy),
			report.NumberOr(pump.PerDay, pump.EnergyWhy), report.NumberOr(pump.PerYear, pump.EnergyWhy),
			report.NumberOr(pump.Efficiency, pump.EfficiencyWhy), report.NumberOr(pump.Yardstick, pump.YardstickWhy)})
	}
	return t
}

// goalSection shows the rule behind the goal.
func (p *waterPage) goalSection() []report.Section {
	if p.pond.GoalRule == "" {
		return nil
	}
	row := p.water.Pond.Value.Rule
	hours := func(d units.Duration) report.Quantity { return report.Hours.Exact(d.In(units.Hour)) }
	text := report.Sentence("Stocking %v: %v (%v). The rule's own advice spans %v to %v a turnover; the table says %v, and turnover_goal overrides it (sunrill tables turnover). One turnover is not all the water once: in a mixed pond 63 %% of it has then passed the filter.",
		row.Stocking, row.Rule, row.Source, hours(row.Quickest), hours(row.Slowest), hours(row.Goal))
	return []report.Section{{Heading: "Where the goal comes from", Prose: []report.Prose{text}}}
}

// tankSection shows how high the tank stands with each pump.
func (p *waterPage) tankSection() []report.Section {
	t := report.Table{Key: "return", Columns: []report.Column{
		{Key: "name", Heading: "pump", Unit: report.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: report.Flow},
		{Key: "clear_level_mm", Heading: "level, screen clear", Unit: report.Bore},
		{Key: "level_mm", Heading: "level with leaves", Unit: report.Bore},
		{Key: "freeboard_left_mm", Heading: "left to the rim", Unit: report.Bore},
		{Key: "depth_in_pipe_fraction", Heading: "depth in mouth", Unit: report.Fraction},
		{Key: "spill_flow_over_flow", Heading: "spills at times the flow", Unit: report.None},
	}}
	why := ""
	for _, pump := range p.pumps {
		r := pump.Return
		if r == nil {
			why = pump.ReturnWhy
			t.Rows = append(t.Rows, []report.Cell{report.Text(pump.Name), report.Unknown(why), report.Unknown(""), report.Unknown(""), report.Unknown(""), report.Unknown(""), report.Unknown("")})
			continue
		}
		t.Rows = append(t.Rows, []report.Cell{report.Text(pump.Name), report.Number(r.Flow), report.Number(r.Clear), report.Number(r.Leaves),
			report.NumberOr(r.Freeboard, r.FreeboardWhy), report.Number(r.Depth), report.NumberOr(r.Margin, r.MarginWhy)})
	}
	s := report.Section{Heading: "How high the filter tank stands", Tables: []report.Table{t},
		Notes: []report.Prose{report.Sentence("Levels are above the bottom of the return's mouth, with the clean flow, which is the largest. The pump pushes with metres of head; the return has only the few centimetres that the tank can rise, so it must be much wider than the feed.")}}
	if why == energy.NoReturn {
		s = report.Section{Heading: "How high the filter tank stands", Prose: []report.Prose{report.Sentence("Not known: %v. Give the return's pipe, its freeboard and the open area of its screen.", why)}}
	}
	return []report.Section{s}
}

// filterBed is the bed as JSON shows it.
type filterBed struct {
	Volume      float64  `json:"volume_m3"`
	Flow        float64  `json:"flow_m3_per_h"`
	OfVolume    *float64 `json:"of_pond_volume_fraction"`
	OfVolumeWhy string   `json:"of_pond_volume_fraction_why,omitempty"`
	OfArea      *float64 `json:"of_pond_surface_fraction"`
	OfAreaWhy   string   `json:"of_pond_surface_fraction_why,omitempty"`
	RiseRate    *float64 `json:"rise_rate_m_per_h"`
	RiseWhy     string   `json:"rise_rate_m_per_h_why,omitempty"`
	Contact     *float64 `json:"contact_time_min"`
	ContactWhy  string   `json:"contact_time_min_why,omitempty"`
	Pore        *float64 `json:"pore_time_min"`
	PoreWhy     string   `json:"pore_time_min_why,omitempty"`
	Head        *float64 `json:"clean_bed_head_mm"`
	HeadWhy     string   `json:"clean_bed_head_mm_why,omitempty"`
}

func newFilterBed(f energy.FilterWater) *filterBed {
	return &filterBed{Volume: float64(f.Volume), Flow: f.Flow.In(units.CubicMetrePerHour),
		OfVolume: known(f.OfVolume, 1), OfVolumeWhy: f.OfVolume.Why, OfArea: known(f.OfArea, 1), OfAreaWhy: f.OfArea.Why,
		RiseRate: known(f.RiseRate, units.Velocity(1/float64(units.Hour))), RiseWhy: f.RiseRate.Why,
		Contact: known(f.Contact, units.Minute), ContactWhy: f.Contact.Why, Pore: known(f.Pore, units.Minute), PoreWhy: f.Pore.Why,
		Head: known(f.Head, units.Millimetre), HeadWhy: f.Head.Why}
}

// filterSection says what the chosen flow does in the bed.
func (p *waterPage) filterSection() []report.Section {
	if !p.water.Filter.Known {
		return nil
	}
	f, b := p.water.Filter.Value, newFilterBed(p.water.Filter.Value)
	var prose []report.Prose
	if b.OfVolume != nil {
		s := report.Sentence("The bed holds %v, gravel and water: %v of the pond's volume", report.Volume.Of(b.Volume), round(report.Fraction, *b.OfVolume))
		if b.OfArea != nil {
			s = report.Sentence("%v and %v of its surface", s, round(report.Fraction, *b.OfArea))
		}
		prose = append(prose, report.Sentence("%v.", s))
	}
	for _, r := range f.Rules {
		share := report.Sentence("%v", round(report.Fraction, r.Low))
		if r.High > r.Low {
			share = report.Sentence("%v to %v", round(report.Fraction, r.Low), round(report.Fraction, r.High))
		}
		prose = append(prose, report.Sentence("Rule by %v, stocking %v: %v: %v (%v).", r.Basis, r.Stocking, share, report.Told(r.Rule), r.Source))
	}
	if b.RiseRate != nil {
		prose = append(prose, report.Sentence("With %v the water rises %v (roughing filters run at %v to %v, from memory), stays %v in the bed and %v among the stones.",
			report.Flow.Of(b.Flow), report.RiseRate.Of(*b.RiseRate), round(report.RiseRate, energy.SlowRise.In(units.MetrePerHour)), round(report.RiseRate, energy.FastRise.In(units.MetrePerHour)), round(report.Minutes, *b.Contact), round(report.Minutes, *b.Pore)))
	} else if b.Contact != nil {
		prose = append(prose, report.Sentence("The water stays %v in the bed and %v among the stones.", round(report.Minutes, *b.Contact), round(report.Minutes, *b.Pore)))
	}
	if b.Head != nil {
		prose = append(prose, p.bedHead(*b.Head))
	}
	return []report.Section{{Heading: "The bed", Prose: prose}}
}

// bedSlight is the share of a line's head below which a clean bed's is called next to
// nothing. Our own choice.
const bedSlight = 0.01

// bedHead says what a clean bed takes, in mm, and where clogging shows. The model
// has the water rise through the bed, so that the pump bears it; with branches it
// is left out.
func (p *waterPage) bedHead(mm float64) report.Prose {
	s := report.Sentence("A clean bed takes %v of head", round(report.Bore, mm))
	line := 0.0
	if i := p.water.Choice.Nearest; i >= 0 {
		line = p.water.Pumps[i].Clean.Head.In(units.Millimetre)
	}
	switch {
	case len(p.in.Plan.Branches) > 0:
		s = report.Sentence("%v, which is left out where there are branches", s)
	case mm < bedSlight*line:
		s = report.Sentence("%v, next to nothing beside the %v of the line", s, report.Head.Of(line/1000))
	case line > 0:
		s = report.Sentence("%v, %v of what the pump works against", s, round(report.Fraction, mm/line))
	}
	s = report.Sentence("%v. The water is taken to rise through it, so that the pump bears it and clogging shows as less flow; in a bed fed from above it shows as a rising level", s)
	if f := p.in.Plan.Return.Freeboard; f != nil && mm > 0.5*f.In(units.Millimetre) {
		return report.Sentence("%v, which even clean would take %v of the %v of freeboard.", s, round(report.Fraction, mm/f.In(units.Millimetre)), report.Bore.Of(f.In(units.Millimetre)))
	}
	return report.Sentence("%v.", s)
}
