package works

import (
	"cmp"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// StandStill is what happens when something stops: the pump, or the way back.
type StandStill struct {
	Pump      string                     `json:"pump"` // whose clean flow is taken; "" for none
	Lines     int                        // of that pump, each as the plan describes it; all of them stop, or come off
	DrainBack units.Volume               `json:"drain_back_l"` // all that feeds hold; a check valve or siphon break keeps most of it
	Rise      figure.Maybe[units.Length] `json:"drain_back_rise_mm"`
	// What runs back besides: what stands in the tank above its way back, and the water
	// between the stones where the line ends low in the bed.
	Surcharge figure.Maybe[units.Volume] `json:"surcharge_l"`
	Bed       figure.Maybe[units.Volume] `json:"bed_l"`
	Fastest   units.Flow                 `json:"fastest_flow_m3_per_h"` // of Pump, clean: the strong end of what it may give
	// Unseen is what becomes of the pond if the return is blocked or a hose comes
	// off and nobody sees it.
	Unseen figure.Maybe[pumps.Spill] `json:",inline"`
	// Quickest is the same where the hose comes off at the pond's edge, so that
	// the pump pushes against nothing.
	Quickest figure.Maybe[EdgeLoss] `json:",inline"`
	// Evaporation is what each month takes if nothing tops the pond up.
	Evaporation figure.Maybe[[12]pumps.Evaporation] `json:"evaporation"`

	Notes
}

// EdgeLoss is how soon the intake is bare with the hose off at the pond's edge, at
// FreeFlow: the end of the pump's curve at the fastest speed of the plan.
type EdgeLoss struct {
	ToBare   units.Duration `json:"least_hours_to_bare_intake_h"`
	FreeFlow units.Flow     `json:"free_flow_m3_per_h"`
}

// rest returns what stops do with the chosen pump.
func (w *WaterResult) rest(p *plan.Plan, place Surroundings) StandStill {
	pump := w.Pumps[w.Choice.Nearest]
	s := StandStill{Pump: pump.Name, Lines: pump.Pump.Lines()}
	pond := w.Pond.Value
	for _, f := range w.Works.Line.Feeds() {
		s.DrainBack += f.Contents() * units.Volume(s.Lines)
	}
	const noBed = "no filter bed with an area is described ([filter])"
	s.Surcharge, s.Bed = figure.Unknown[units.Volume](noBed), figure.Unknown[units.Volume](noBed)
	if bed := w.Filter.Value.Bed; bed.Present() {
		s.Bed = figure.Known(bed.Volume() * units.Volume(bed.Voids))
		s.Surcharge = figure.Then(pump.Return,
			func(r ReturnWater) units.Volume { return units.Volume(float64(bed.Area) * float64(r.Level)) })
	}
	s.Rise = figure.Then(w.Pond, func(pond PondWater) units.Length {
		return units.Length(float64(s.DrainBack) / float64(pond.Pond.Surface()))
	})
	flows := figure.Given(pump.Clean.Flow > 0, pump.Clean.Flow, "nothing flows")
	if !w.Pond.Known {
		flows.Known, flows.Why = false, w.Pond.Why
	}
	s.Unseen, s.Quickest = figure.Unknown[pumps.Spill](flows.Why), figure.Unknown[EdgeLoss](flows.Why)
	if flows.Known {
		// The fastest that it may be: what leaves the pond sooner is the unsafe side.
		s.Fastest = max(pump.Clean.Flow, pump.Clean.High.Value)
		held := w.Schedule.Hours() // the fastest last
		free := max(s.Fastest, pump.Pump.FreeFlow(cmp.Or(held[len(held)-1].Speed, w.Works.Speed)))
		s.Unseen = figure.Then(pond.Intake, func(z units.Length) pumps.Spill { return pond.Pond.Unseen(s.Fastest, z) })
		s.Quickest = figure.Then(pond.Intake, func(z units.Length) EdgeLoss { return EdgeLoss{pond.Pond.Unseen(free, z).ToBare, free} })
	}
	w.evaporation(&s, p, place)
	return s
}

// evaporation fills in the loss by month, the plan's before the place's.
func (w *WaterResult) evaporation(s *StandStill, p *plan.Plan, place Surroundings) {
	rates, why := p.Pond.Evaporation, units.Text("evaporation is not given (pond.evaporation)")
	if rates == nil {
		rates = place.Evaporation
	}
	if place.Why != "" {
		why += ", and " + place.Why
	}
	if !w.Pond.Known {
		why = w.Pond.Why
	}
	if s.Evaporation = figure.Unknown[[12]pumps.Evaporation](why); rates == nil || !w.Pond.Known {
		return
	}
	most := 1.0
	if p.Pond.Evaporation == nil { // from sun and air alone; common practice, no source
		most = 1.5
	}
	pond := w.Pond.Value
	s.Evaporation = figure.Then(pond.Intake, func(z units.Length) [12]pumps.Evaporation {
		return pond.Pond.Evaporates(*rates, z, w.Filter.Value.Bed.Area, most)
	})
	if s.Evaporation.Known && p.Pond.Evaporation == nil {
		s.source("Evaporation: G. F. Makkink's formula with the factor 0.65 of H. A. R. De Bruin (1987, practice of the KNMI), " +
			"from memory; slope and psychrometric constant by FAO Irrigation and Drainage Paper 56, equations 8 and 13")
		s.assume(figure.Assumed{Key: "pond.evaporation", Text: "worked out by month",
			Why: "from the month's sun and air alone; wind, dry air, splashing and planted edges take more, in a dry windy place half " +
				"as much again (common practice, no source)",
			Source: "Makkink's formula by De Bruin 1987, from memory"})
	}
}
