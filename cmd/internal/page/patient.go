package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/energy/battery"
	"sunrill/energy/money"
)

// patientObject is what would be bought if the load might stand still longer.
type patientObject struct {
	Allowed     int                       `json:"allowed_stop_h"`
	PanelW      float64                   `json:"panel_w"`
	BatteryWh   float64                   `json:"battery_wh"`
	Price       figure.Maybe[money.Money] `json:"price"`
	StopHours   float64                   `json:"stop_hours_per_year"`
	LongestStop int                       `json:"longest_stop_h"`
}

func newPatient(m figure.Maybe[battery.Choice]) figure.Maybe[patientObject] {
	return figure.Then(m, func(c battery.Choice) patientObject {
		run := c.Connected
		return patientObject{battery.PatientStop, c.PanelW, c.BoughtWh, c.Price, run.PerYear(float64(run.Stops.Hours)), run.Stops.LongestHours}
	})
}

// patientText says what a longer stop would spare, nothing where little.
func patientText(m figure.Maybe[battery.Choice], money document.Unit) document.Prose {
	if !m.Known {
		return document.Prose{}
	}
	o := newPatient(m).Value
	text := document.Sentence("if it may stand still for up to %v now and then, %v of panel with %v would do", document.Hours.Exact(float64(o.Allowed)), document.Power.Exact(o.PanelW), document.WattHours.Exact(o.BatteryWh))
	if o.Price.Known {
		text = document.Sentence("%v, for %v", text, money.Of(float64(o.Price.Value)))
	}
	return document.Sentence("%v: %v of stops, %v at the longest. Fish would need air from elsewhere meanwhile.", text, document.HoursPerYear.Of(o.StopHours), document.Hours.Exact(float64(o.LongestStop)))
}
