package cli

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
)

// influence is what one uncertain input does when it is moved through its
// range.
type influence struct {
	Key          string   `json:"key"`
	Name         string   `json:"input"`
	Range        string   `json:"range"`
	LowFlow      *float64 `json:"low_flow_m3_per_h"`
	HighFlow     *float64 `json:"high_flow_m3_per_h"`
	LowTurnover  *float64 `json:"low_turnover_h"`
	HighTurnover *float64 `json:"high_turnover_h"`
	LowPanel     *float64 `json:"low_panel_w"`
	HighPanel    *float64 `json:"high_panel_w"`
	LowBattery   *float64 `json:"low_battery_wh"`
	HighBattery  *float64 `json:"high_battery_wh"`
	PanelWhy     string   `json:"low_panel_w_why,omitempty"`
	HighPanelWhy string   `json:"high_panel_w_why,omitempty"`
	StoreWhy     string   `json:"low_battery_wh_why,omitempty"`
	HighStoreWhy string   `json:"high_battery_wh_why,omitempty"`
	TurnWhy      string   `json:"low_turnover_h_why,omitempty"`
	HighTurnWhy  string   `json:"high_turnover_h_why,omitempty"`
}

func newInfluences(list []energy.Influence) []influence {
	out := []influence{}
	for _, f := range list {
		out = append(out, influence{Key: f.Key, Name: f.Name, Range: f.Range,
			LowFlow: known(f.Flow[0], units.CubicMetrePerHour), HighFlow: known(f.Flow[1], units.CubicMetrePerHour),
			LowTurnover: known(f.Turnover[0], units.Hour), HighTurnover: known(f.Turnover[1], units.Hour),
			LowPanel: known(f.PanelW[0], 1), HighPanel: known(f.PanelW[1], 1), LowBattery: known(f.BatteryWh[0], 1), HighBattery: known(f.BatteryWh[1], 1), PanelWhy: f.PanelW[0].Why, HighPanelWhy: f.PanelW[1].Why, StoreWhy: f.BatteryWh[0].Why, HighStoreWhy: f.BatteryWh[1].Why,
			TurnWhy: f.Turnover[0].Why, HighTurnWhy: f.Turnover[1].Why})
	}
	return out
}

// weightSection says which input matters most.
func (p *planPage) weightSection() []document.Section {
	if len(p.weights) == 0 {
		return nil
	}
	s := document.Section{Heading: "Which input matters most"}
	water := document.Table{Key: "influences", Columns: []document.Column{
		{Key: "input", Heading: "input", Unit: document.Word},
		{Key: "range", Heading: "moved by", Unit: document.Word},
		{Key: "low_flow_m3_per_h", Heading: "flow, low end", Unit: document.Flow},
		{Key: "high_flow_m3_per_h", Heading: "high end", Unit: document.Flow},
		{Key: "low_turnover_h", Heading: "turnover, low end", Unit: document.Hours},
		{Key: "high_turnover_h", Heading: "high end", Unit: document.Hours},
	}}
	sun := document.Table{Key: "influences_on_sun", Columns: []document.Column{
		{Key: "input", Heading: "input", Unit: document.Word},
		{Key: "low_panel_w", Heading: "panel, low end", Unit: document.Power},
		{Key: "high_panel_w", Heading: "high end", Unit: document.Power},
		{Key: "low_battery_wh", Heading: "battery, low end", Unit: document.WattHours},
		{Key: "high_battery_wh", Heading: "high end", Unit: document.WattHours},
	}}
	for _, f := range p.weights {
		water.Rows = append(water.Rows, []document.Cell{document.Text(f.Name), document.ToldText(f.Range), document.NumberOr(f.LowFlow, ""), document.NumberOr(f.HighFlow, ""),
			document.NumberOr(f.LowTurnover, f.TurnWhy), document.NumberOr(f.HighTurnover, f.HighTurnWhy)})
		sun.Rows = append(sun.Rows, []document.Cell{document.Text(f.Name), document.NumberOr(f.LowPanel, f.PanelWhy), document.NumberOr(f.HighPanel, f.HighPanelWhy),
			document.NumberOr(f.LowBattery, f.StoreWhy), document.NumberOr(f.HighBattery, f.HighStoreWhy)})
	}
	s.Tables = []document.Table{water}
	if p.solar.DayAndNight != nil {
		s.Tables = append(s.Tables, sun)
	}
	s.Notes = []document.Prose{document.Sentence("Each input is moved from the low end of its range to the high end, the others left alone, for the chosen pump before cleaning; the weightiest stands first. Panel and battery are before rounding to sizes on sale. The ranges of lift, losses, volume and dirt that nobody gave are common practice, no source; those of curve and watts are ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW, from memory.")}
	return []document.Section{s}
}
