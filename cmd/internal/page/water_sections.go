package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// sections are the tables about the water of a plan, the weightiest first.
func (p *waterPage) sections() []document.Section {
	side := document.Section{Heading: "Side by side", Pictures: waterPictures(p.water.Works, p.water.Runs(), max(0, p.water.Choice.Nearest)), Tables: []document.Table{p.flowTable(), p.powerTable()},
		Notes: []document.Prose{dirtNote(p.water.Works), document.Sentence("Power and kWh are the larger of clean and dirty; kWh are counted at the socket, a DC pump's power pack included, and those of a day are the year's mean. The yardstick is what the EU's reference circulator reaches at the same work: made for heating, a measure and no target.")}}
	side.Notes = append(side.Notes, p.runNotes()...)
	all := append([]document.Section{side}, p.moneySection()...)
	all = append(all, document.Section{Heading: "Next hose up or next pump up", Tables: []document.Table{p.hoseTable()},
		Notes: []document.Prose{document.Sentence("Every piece narrower than the new hose is replaced by it, with the same length and fittings. More flow and power are against %v as it is. %v", p.nearest(), dirtOnAnyHose(p.water.Works))}})
	if _, branched := p.water.Works.Line.(*pumps.Network); branched { // of a single line duty shows the head
		all = append(all, lineSection(p.water.Works, p.water.Runs(), max(0, p.water.Choice.Nearest))...)
	}
	all = append(all, p.goalSection()...)
	all = append(all, p.tankSection()...)
	all = append(all, p.filterSection()...)
	return append(all, p.stopSection(), p.evaporationSection())
}

// dirtOnAnyHose says what becomes of the dirt in another hose.
func dirtOnAnyHose(works *works.Waterworks) document.Prose {
	if works.DirtAssumed {
		return document.Sentence("The assumed %v is taken of each hose, as it will be once the plan has it; so more flow rests on that guess.", share(works.DirtLoss))
	}
	return document.Sentence("The dirt of the line as it is stays in every hose; measure again in a new one.")
}

// runNotes says what the tables take as understood: pumps in parallel, and hours
// and months in which the plan lets them rest.
func (p *waterPage) runNotes() []document.Prose {
	var notes []document.Prose
	for i, pump := range p.water.Pumps {
		if pump.Spec.Count > 1 {
			notes = append(notes, document.Sentence("Figures of %v are those of all %v together.", p.pumps[i].Name, pump.Spec.Count))
		}
	}
	if len(p.water.Schedule.Hours()) > 1 {
		notes = append(notes, document.Sentence("The plan lets the pump rest or slow down by hours or months ([run]): turnovers are those of the running month with the least water, flow and watts those of the speed outside its hour bands."))
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
func (p *waterPage) flowTable() document.Table {
	t := document.Table{Key: "pumps", Columns: []document.Column{
		{Key: "name", Heading: "pump", Unit: document.Word},
		{Key: "clean_flow_m3_per_h", Heading: "flow clean", Unit: document.Flow},
		{Key: "dirty_flow_m3_per_h", Heading: "flow dirty", Unit: document.Flow},
		{Key: "clean_turnover_h", Heading: "turnover clean", Unit: document.Hours},
		{Key: "dirty_turnover_h", Heading: "turnover dirty", Unit: document.Hours},
		{Key: "dirty_turnovers_per_day", Heading: "turnovers dirty", Unit: document.TurnoversPerDay},
		{Key: "goal_met", Heading: "goal met", Unit: document.Word},
	}}
	for _, pump := range p.pumps {
		row := []document.Cell{document.Text(pump.Name), document.Unknown(pump.CleanWhy), document.Unknown(pump.DirtyWhy),
			document.Unknown(""), document.Unknown(""), document.Unknown(""), document.Text("no")}
		if s := pump.Clean; s != nil {
			row[1], row[3] = document.Number(s.Flow), document.NumberOr(s.Turnover, s.TurnoverWhy)
		}
		if s := pump.Dirty; s != nil {
			row[2], row[4], row[5] = document.Number(s.Flow), document.NumberOr(s.Turnover, s.TurnoverWhy), document.NumberOr(s.TurnoversPerDay, s.TurnoverWhy)
			row[6] = goalCell(s)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// powerTable compares what the pumps draw.
func (p *waterPage) powerTable() document.Table {
	t := document.Table{Key: "power", Columns: []document.Column{
		{Key: "name", Heading: "pump", Unit: document.Word},
		{Key: "power_w", Heading: "power", Unit: document.Power},
		{Key: "kwh_per_day", Heading: "energy", Unit: document.KWhPerDay},
		{Key: "kwh_per_year", Heading: "energy", Unit: document.KWhPerYear},
		{Key: "wire_to_water_fraction", Heading: "wire to water", Unit: document.Fraction},
		{Key: "yardstick_fraction", Heading: "yardstick", Unit: document.Fraction},
	}}
	for _, pump := range p.pumps {
		t.Rows = append(t.Rows, []document.Cell{document.Text(pump.Name), document.NumberOr(pump.Power, pump.PowerWhy),
			document.NumberOr(pump.PerDay, pump.EnergyWhy), document.NumberOr(pump.PerYear, pump.EnergyWhy),
			document.NumberOr(pump.Efficiency, pump.EfficiencyWhy), document.NumberOr(pump.Yardstick, pump.YardstickWhy)})
	}
	return t
}

// goalSection shows the rule behind the goal.
func (p *waterPage) goalSection() []document.Section {
	if p.pond.GoalRule == "" {
		return nil
	}
	row := p.water.Pond.Value.Rule
	hours := func(d units.Duration) document.Quantity { return document.Hours.Exact(d.In(units.Hour)) }
	text := document.Sentence("Stocking %v: %v (%v). The rule's own advice spans %v to %v a turnover; the table says %v, and turnover_goal overrides it (sunrill tables turnover). One turnover is not all the water once: in a mixed pond 63 %% of it has then passed the filter.",
		row.Stocking, row.Rule, row.Source, hours(row.Quickest), hours(row.Slowest), hours(row.Goal))
	return []document.Section{{Heading: "Where the goal comes from", Prose: []document.Prose{text}}}
}

// tankSection shows how high the tank stands with each pump.
func (p *waterPage) tankSection() []document.Section {
	t := document.Table{Key: "return", Columns: []document.Column{
		{Key: "name", Heading: "pump", Unit: document.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: document.Flow},
		{Key: "clear_level_mm", Heading: "level, screen clear", Unit: document.Bore},
		{Key: "level_mm", Heading: "level with leaves", Unit: document.Bore},
		{Key: "freeboard_left_mm", Heading: "left to the rim", Unit: document.Bore},
		{Key: "depth_in_pipe_fraction", Heading: "depth in mouth", Unit: document.Fraction},
		{Key: "spill_flow_over_flow", Heading: "spills at times the flow", Unit: document.None},
	}}
	why := ""
	for _, pump := range p.pumps {
		r := pump.Return
		if r == nil {
			why = pump.ReturnWhy
			t.Rows = append(t.Rows, []document.Cell{document.Text(pump.Name), document.Unknown(why), document.Unknown(""), document.Unknown(""), document.Unknown(""), document.Unknown(""), document.Unknown("")})
			continue
		}
		t.Rows = append(t.Rows, []document.Cell{document.Text(pump.Name), document.Number(r.Flow), document.Number(r.Clear), document.Number(r.Leaves),
			document.NumberOr(r.Freeboard, r.FreeboardWhy), document.Number(r.Depth), document.NumberOr(r.Margin, r.MarginWhy)})
	}
	s := document.Section{Heading: "How high the filter tank stands", Tables: []document.Table{t},
		Notes: []document.Prose{document.Sentence("Levels are above the bottom of the return's mouth, with the clean flow, which is the largest. The pump pushes with metres of head; the return has only the few centimetres that the tank can rise, so it must be much wider than the feed.")}}
	if why == works.NoReturn {
		s = document.Section{Heading: "How high the filter tank stands", Prose: []document.Prose{document.Sentence("Not known: %v. Give the return's pipe, its freeboard and the open area of its screen.", why)}}
	}
	return []document.Section{s}
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

func newFilterBed(f works.FilterWater) *filterBed {
	return &filterBed{Volume: float64(f.Volume), Flow: f.Flow.In(units.CubicMetrePerHour),
		OfVolume: known(f.OfVolume, 1), OfVolumeWhy: f.OfVolume.Why, OfArea: known(f.OfArea, 1), OfAreaWhy: f.OfArea.Why,
		RiseRate: known(f.RiseRate, units.Velocity(1/float64(units.Hour))), RiseWhy: f.RiseRate.Why,
		Contact: known(f.Contact, units.Minute), ContactWhy: f.Contact.Why, Pore: known(f.Pore, units.Minute), PoreWhy: f.Pore.Why,
		Head: known(f.Head, units.Millimetre), HeadWhy: f.Head.Why}
}

// filterSection says what the chosen flow does in the bed.
func (p *waterPage) filterSection() []document.Section {
	if !p.water.Filter.Known {
		return nil
	}
	f, b := p.water.Filter.Value, newFilterBed(p.water.Filter.Value)
	var prose []document.Prose
	if b.OfVolume != nil {
		s := document.Sentence("The bed holds %v, gravel and water: %v of the pond's volume", document.Volume.Of(b.Volume), round(document.Fraction, *b.OfVolume))
		if b.OfArea != nil {
			s = document.Sentence("%v and %v of its surface", s, round(document.Fraction, *b.OfArea))
		}
		prose = append(prose, document.Sentence("%v.", s))
	}
	for _, r := range f.Rules {
		share := document.Sentence("%v", round(document.Fraction, r.Low))
		if r.High > r.Low {
			share = document.Sentence("%v to %v", round(document.Fraction, r.Low), round(document.Fraction, r.High))
		}
		prose = append(prose, document.Sentence("Rule by %v, stocking %v: %v: %v (%v).", r.Basis, r.Stocking, share, document.Told(r.Rule), r.Source))
	}
	if b.RiseRate != nil {
		prose = append(prose, document.Sentence("With %v the water rises %v (roughing filters run at %v to %v, from memory), stays %v in the bed and %v among the stones.",
			document.Flow.Of(b.Flow), document.RiseRate.Of(*b.RiseRate), round(document.RiseRate, works.SlowRise.In(units.MetrePerHour)), round(document.RiseRate, works.FastRise.In(units.MetrePerHour)), round(document.Minutes, *b.Contact), round(document.Minutes, *b.Pore)))
	} else if b.Contact != nil {
		prose = append(prose, document.Sentence("The water stays %v in the bed and %v among the stones.", round(document.Minutes, *b.Contact), round(document.Minutes, *b.Pore)))
	}
	if b.Head != nil {
		prose = append(prose, p.bedHead(*b.Head))
	}
	return []document.Section{{Heading: "The bed", Prose: prose}}
}

// bedSlight is the share of a line's head below which a clean bed's is called next to
// nothing. Our own choice.
const bedSlight = 0.01

// bedHead says what a clean bed takes, in mm, and where clogging shows. The model
// has the water rise through the bed, so that the pump bears it; with branches it
// is left out.
func (p *waterPage) bedHead(mm float64) document.Prose {
	s := document.Sentence("A clean bed takes %v of head", round(document.Bore, mm))
	line := 0.0
	if i := p.water.Choice.Nearest; i >= 0 {
		line = p.water.Pumps[i].Clean.Head.In(units.Millimetre)
	}
	switch {
	case len(p.In.Plan.Branches) > 0:
		s = document.Sentence("%v, which is left out where there are branches", s)
	case mm < bedSlight*line:
		s = document.Sentence("%v, next to nothing beside the %v of the line", s, document.Head.Of(line/1000))
	case line > 0:
		s = document.Sentence("%v, %v of what the pump works against", s, round(document.Fraction, mm/line))
	}
	s = document.Sentence("%v. The water is taken to rise through it, so that the pump bears it and clogging shows as less flow; in a bed fed from above it shows as a rising level", s)
	if f := p.In.Plan.Return.Freeboard; f != nil && mm > 0.5*f.In(units.Millimetre) {
		return document.Sentence("%v, which even clean would take %v of the %v of freeboard.", s, round(document.Fraction, mm/f.In(units.Millimetre)), document.Bore.Of(f.In(units.Millimetre)))
	}
	return document.Sentence("%v.", s)
}
