package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
)

// slowedRow is the high end of what a slowed row of the trade-off takes.
type slowedRow struct {
	HighPower     *float64 `json:"high_power_w"`
	HighPowerWhy  string   `json:"high_power_w_why,omitempty"`
	HighEnergy    *float64 `json:"high_kwh_per_day"`
	HighEnergyWhy string   `json:"high_kwh_per_day_why,omitempty"`
	HighWh        *float64 `json:"high_wh_per_m3"`
	HighWhWhy     string   `json:"high_wh_per_m3_why,omitempty"`
	LeastHighWh   bool     `json:"least_high_wh_per_m3"`
}

func newSlowedRow(s energy.Strategy) slowedRow {
	if !s.Slowed.Known {
		why := s.Slowed.Why
		return slowedRow{HighPowerWhy: why, HighEnergyWhy: why, HighWhWhy: why, LeastHighWh: s.LeastSlowed}
	}
	v := s.Slowed.Value
	return slowedRow{HighPower: number(v.Power), HighEnergy: number(float64(v.Energy) / float64(units.KilowattHour)),
		HighWh: known(v.WhPerM3, 1), HighWhWhy: v.WhPerM3.Why, LeastHighWh: s.LeastSlowed}
}

// upTo says what a row takes in a day, as a range where it has one.
func upTo(r *planRow) document.Prose {
	if r.HighEnergy == nil {
		return document.Sentence("%v", document.KWhPerDay.Of(*r.Energy))
	}
	return document.Sentence("%v to %v", document.KWhPerDay.Of(*r.Energy), document.KWhPerDay.Of(*r.HighEnergy))
}

// ofFull says what a row takes of v at full speed, as a range where it has one.
func ofFull(low, high *float64, full float64) document.Prose {
	a := ofWhole(fractionOf(*low, full))
	if high == nil {
		return document.Sentence("%v", a)
	}
	return document.Sentence("%v to %v", a, ofWhole(fractionOf(*high, full)))
}

// ofWhole returns a share in whole per cent, above 100 too.
func ofWhole(share float64) document.Quantity {
	q := round(document.Fraction, share)
	if share > 1 {
		q.Digits = 3
	}
	return q
}

// slowedTable shows slowed rows at either end of what a slowed pump may draw,
// false where none has a range.
func (p *PlanPage) slowedTable() (document.Table, bool) {
	t := document.Table{Key: "tradeoff_slowed", Columns: []document.Column{
		{Key: "strategy", Heading: "slowed", Unit: document.Word},
		{Key: "power_w", Heading: "power, low", Unit: document.Power},
		{Key: "high_power_w", Heading: "power, high", Unit: document.Power},
		{Key: "kwh_per_day", Heading: "energy, low", Unit: document.KWhPerDay},
		{Key: "high_kwh_per_day", Heading: "energy, high", Unit: document.KWhPerDay},
		{Key: "wh_per_m3", Heading: "per volume, low", Unit: document.WhPerVolume},
		{Key: "high_wh_per_m3", Heading: "per volume, high", Unit: document.WhPerVolume},
	}}
	for _, r := range p.Rows {
		if r.HighEnergy != nil {
			t.Rows = append(t.Rows, []document.Cell{document.Text(r.Strategy), document.NumberOr(r.Power, ""), document.NumberOr(r.HighPower, ""), document.NumberOr(r.Energy, ""),
				document.NumberOr(r.HighEnergy, ""), document.NumberOr(r.WhPerM3, ""), document.NumberOr(r.HighWh, "")})
		}
	}
	return t, len(t.Rows) > 0
}

// slowedNote says what the two ends of that table are.
func (p *PlanPage) slowedNote() document.Prose {
	if _, is := p.slowedTable(); !is {
		return document.Prose{}
	}
	return document.Sentence("Power as the cube of speed is the low end: small motors and their electronics lose efficiency when slowed. The high end lets %v of the full power not fall with speed (common practice, no source); panel, battery and cost of a slowed row are for the low end and grow as its energy does. A plug-in meter at the slow speed, or pump[].fixed_watts, settles it.",
		share(energy.SlowedFixed))
}
