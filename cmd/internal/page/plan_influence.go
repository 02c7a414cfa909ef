package page

import (
	"sunrill/cmd/internal/document"
)

// weightSection says which input matters most.
func (p *PlanPage) weightSection() []document.Section {
	list := p.Result.Influences
	if len(list) == 0 {
		return nil
	}
	s := document.Section{Heading: "Which input matters most", Tables: []document.Table{document.TableOf("influences", list, []document.Column{
		{Key: "input", Heading: "input"},
		{Key: "range", Heading: "moved by", Told: true},
		{Key: "low_flow_m3_per_h", Heading: "flow, low end"},
		{Key: "high_flow_m3_per_h", Heading: "high end"},
		{Key: "low_turnover_h", Heading: "turnover, low end"},
		{Key: "high_turnover_h", Heading: "high end"},
	})}}
	if p.solar.DayAndNight != nil {
		s.Tables = append(s.Tables, document.TableOf("influences_on_sun", list, []document.Column{
			{Key: "input", Heading: "input"},
			{Key: "low_panel_w", Heading: "panel, low end"},
			{Key: "high_panel_w", Heading: "high end"},
			{Key: "low_battery_wh", Heading: "battery, low end"},
			{Key: "high_battery_wh", Heading: "high end"},
		}))
	}
	s.Notes = []document.Prose{document.Sentence("Each input is moved from the low end of its range to the high end, the others left alone, for the chosen pump before cleaning; the weightiest stands first. Panel and battery are before rounding to sizes on sale. The ranges of lift, losses, volume and dirt that nobody gave are common practice, no source; those of curve and watts are ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW, from memory.")}
	return []document.Section{s}
}
