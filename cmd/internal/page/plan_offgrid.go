package page

import (
	"fmt"
	"math"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

// offGrid is the water of a pump on the battery, dirty, in its worst running
// month.
type offGrid struct {
	drop        float64  // lost in the cable at Speed
	Speed       *float64 `json:"speed_fraction"`
	SpeedWhy    string   `json:"speed_fraction_why,omitempty"`
	Flow        *float64 `json:"flow_m3_per_h"`
	FlowWhy     string   `json:"flow_m3_per_h_why,omitempty"`
	PerDay      float64  `json:"flow_m3_per_day"`
	Turnovers   *float64 `json:"turnovers_per_day"`
	TurnsWhy    string   `json:"turnovers_per_day_why,omitempty"`
	Turnover    *float64 `json:"turnover_h"`
	TurnoverWhy string   `json:"turnover_h_why,omitempty"`
	Met         *bool    `json:"goal_met"`
	MetWhy      string   `json:"goal_met_why,omitempty"`
	Missed      *float64 `json:"missed_by_h"`
	MissedWhy   string   `json:"missed_by_h_why,omitempty"`
}

func newOffGrid(there figure.Maybe[energy.OffGridWater]) offGrid {
	w := there.Value
	o := offGrid{drop: w.Drop, PerDay: float64(w.PerDay), TurnsWhy: w.Turnovers.Why, TurnoverWhy: w.Turnover.Why, MetWhy: w.Met.Why}
	o.Speed, o.SpeedWhy = known(w.Speed, 1), w.Speed.Why
	o.Flow, o.FlowWhy = known(w.Flow, units.CubicMetrePerHour), w.Flow.Why
	if w.Turnovers.Known {
		o.Turnovers = &w.Turnovers.Value
	}
	if w.Turnover.Known {
		o.Turnover = number(w.Turnover.Value.In(units.Hour))
	}
	o.Missed, o.MissedWhy = known(w.Missed, units.Hour), w.Missed.Why
	if w.Met.Known {
		o.Met = &w.Met.Value
	}
	return o
}

// offGridRow is the water off the grid in a row of the trade-off.
type offGridRow struct {
	OffPerDay   *float64 `json:"off_grid_m3_per_day"`
	OffDayWhy   string   `json:"off_grid_m3_per_day_why,omitempty"`
	OffTurnover *float64 `json:"off_grid_turnover_h"`
	OffTurnWhy  string   `json:"off_grid_turnover_h_why,omitempty"`
	OffMet      *bool    `json:"off_grid_goal_met"`
	OffMetWhy   string   `json:"off_grid_goal_met_why,omitempty"`
	OffMissed   *float64 `json:"off_grid_missed_by_h"`
	OffMissWhy  string   `json:"off_grid_missed_by_h_why,omitempty"`
}

// newOffGridRow returns what is known of o, nil with the reason why.
func newOffGridRow(o *offGrid, why string) offGridRow {
	if o == nil {
		return offGridRow{OffDayWhy: why, OffTurnWhy: why, OffMetWhy: why, OffMissWhy: why}
	}
	r := offGridRow{OffPerDay: &o.PerDay, OffTurnover: o.Turnover, OffTurnWhy: o.TurnoverWhy, OffMet: o.Met, OffMetWhy: o.MetWhy, OffMissed: o.Missed, OffMissWhy: o.MissedWhy}
	return r
}

// sameWater is how far the water off the grid may lie from that on the mains
// without being said.
const sameWater = 0.02

// offGridText says at what speed the pump runs on the battery and what that
// makes of the goal; nothing where it is as on the mains.
func (p *PlanPage) offGridText(d *planDayNight) document.Prose {
	near, _ := p.nearest()
	mains := near.Dirty.Flow.In(units.CubicMetrePerHour) // 0 where dirt stops the pump on the mains, which the battery may run faster
	if d.Speed == nil || d.Flow == nil || !p.steady() || math.Abs(*d.Flow-mains) <= sameWater*mains {
		return document.Prose{}
	}
	s := document.Sentence("the pump runs at %v speed", document.Fraction.Of(*d.Speed))
	if loss := p.cableLoss(d); !loss.IsZero() {
		s = document.Sentence("%v, so that %v", loss, s)
	}
	s = document.Sentence("%v: %v dirty", s, document.Flow.Of(*d.Flow))
	if d.Turnover != nil {
		s = document.Sentence("%v, one turnover in %v", s, document.Hours.Of(*d.Turnover))
	}
	switch {
	case d.Met == nil:
	case *d.Met:
		s = document.Sentence("%v, goal met", s)
	case d.Missed != nil:
		s = document.Sentence("%v, which misses the goal by %v", s, spell(*d.Missed))
	default:
		s = document.Sentence("%v, which misses the goal", s)
	}
	if least := p.sheet.Value.LeastCopper; least.Known && !p.cableLoss(d).IsZero() {
		s = document.Sentence("%v; %v of copper brings it back", s, document.CopperArea.Of(least.Value.Area.In(units.SquareMillimetre)))
	}
	return s
}

// cableLoss says what a given cable takes of the voltage, nothing where that is
// usual.
func (p *PlanPage) cableLoss(d *planDayNight) document.Prose {
	c := p.In.Plan.Cable
	if c.Run == nil || c.Area == nil || d.drop <= supply.UsualDrop {
		return document.Prose{}
	}
	return document.Sentence("%v of %v lose %v of the voltage (%v is usual)", document.Length.Of(float64(*c.Run)),
		document.CopperArea.Of(c.Area.In(units.SquareMillimetre)), round(document.Fraction, d.drop), document.Fraction.Exact(supply.UsualDrop))
}

// darkest is the darkest fortnight of the record.
type darkest struct {
	Month    int     `json:"month"`
	Day      int     `json:"day"`
	Year     int     `json:"year"`
	Days     int     `json:"length_days"`
	SunShare float64 `json:"sun_over_mean_fraction"`
	Lowest   float64 `json:"lowest_charge_fraction"`
	Stops    int     `json:"stop_h"`
	Asked    float64 `json:"water_asked_m3"`
	Moved    float64 `json:"water_moved_m3"`
}

func newDarkest(f battery.Fortnight) darkest {
	return darkest{Month: f.Month, Day: f.Day, Year: f.Year, Days: f.Days, SunShare: f.SunShare, Lowest: f.Lowest, Stops: f.Stops,
		Asked: float64(f.Asked), Moved: float64(f.Moved)}
}

// darkestText says how the battery goes through the darkest fortnight.
func darkestText(d darkest) document.Prose {
	s := document.Sentence("The darkest %v days begin on %v of year %v: the panel makes %v of its mean, the battery falls to %v", d.Days, fmt.Sprintf("%d %s", d.Day, plan.MonthNames[d.Month-1]), d.Year,
		round(document.Fraction, d.SunShare), round(document.Fraction, d.Lowest))
	if d.Stops == 0 {
		s = document.Sentence("%v, nothing stops", s)
	} else {
		s = document.Sentence("%v, the load falls short in %v", s, document.Hours.Exact(float64(d.Stops)))
	}
	if d.Asked > 0 {
		if d.Moved >= d.Asked*(1-1e-9) {
			return document.Sentence("%v and all %v are moved.", s, document.Volume.Of(d.Asked))
		}
		s = document.Sentence("%v and %v of %v are moved", s, document.Volume.Of(d.Moved), document.Volume.Of(d.Asked))
	}
	return document.Sentence("%v.", s)
}
