package works

import (
	"slices"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// StandStill is what happens when something stops: the pump, or the way back.
type StandStill struct {
	Pump      string // whose clean flow is taken; "" for none
	Lines     int    // of that pump, each as the plan describes it; all of them stop, or come off
	DrainBack pumps.DrainBack
	// Unseen is what becomes of the pond if the return is blocked or a hose comes
	// off and nobody sees it.
	Unseen figure.Maybe[pumps.Spill]
	// Quickest is the same where the hose comes off at the pond's edge, so that
	// the pump pushes against nothing: FreeFlow, the end of its curve at the
	// fastest speed of the plan.
	Quickest figure.Maybe[pumps.Spill]
	FreeFlow units.Flow
	// Evaporation is what each month takes if nothing tops the pond up.
	Evaporation figure.Maybe[[12]pumps.Evaporation]
	// EvaporationAssumed says that the loss is worked out from sun and air.
	EvaporationAssumed bool
}

// rest returns what stops do with the chosen pump.
func (w *WaterResult) rest(p *plan.Plan, place Surroundings) (StandStill, error) {
	s := StandStill{Unseen: figure.Unknown[pumps.Spill](w.Pond.Why), Quickest: figure.Unknown[pumps.Spill](w.Pond.Why), Evaporation: figure.Unknown[[12]pumps.Evaporation](w.Pond.Why)}
	var surface units.Area
	if w.Pond.Known {
		surface = w.Pond.Value.Pond.Surface()
	}
	s.Lines = 1
	if i := w.Choice.Nearest; i >= 0 {
		s.Pump, s.Lines = w.Pumps[i].Spec.Name, w.Pumps[i].Pump.Lines()
	}
	s.DrainBack = pumps.DrainsBack(slices.Repeat(w.Feeds(), s.Lines), 0, surface)
	if !w.Pond.Known {
		return s, nil
	}
	if w.Choice.Nearest < 0 || w.Pumps[w.Choice.Nearest].Clean.Flow <= 0 {
		s.Unseen = figure.Unknown[pumps.Spill]("nothing flows")
		s.Quickest = s.Unseen
	} else if err := w.lost(&s, p, w.Pumps[w.Choice.Nearest]); err != nil {
		return s, err
	}
	return s, w.evaporation(&s, p, place)
}

// lost fills in the loss of water that nobody sees, through the whole line and
// at the pond's edge.
func (w *WaterResult) lost(s *StandStill, p *plan.Plan, pump WaterPump) error {
	top := 0.0
	for _, h := range w.Schedule.Hours() {
		if h.Hours > 0 {
			top = max(top, h.Speed)
		}
	}
	if top == 0 {
		top = w.Works.Speed
	}
	s.FreeFlow = max(pump.Clean.Flow, pump.Pump.FreeFlow(top))
	var err error
	if s.Unseen, err = w.unseen(p, pump.Clean.Flow); err != nil {
		return err
	}
	s.Quickest, err = w.unseen(p, s.FreeFlow)
	return err
}

// unseen returns what becomes of the pond if flow q leaves it. An intake that is
// out of the water only because the depth had to be guessed is no fault of the
// plan.
func (w *WaterResult) unseen(p *plan.Plan, q units.Flow) (figure.Maybe[pumps.Spill], error) {
	pond := w.Pond.Value
	spill, err := pond.Basin.Unseen(q, pond.Intake)
	switch {
	case err == nil:
		return figure.Known(spill), nil
	case w.depthGuessed(p):
		return figure.Unknown[pumps.Spill]("the depth of the pond is not given, and the intake lies above what the volume leaves to guess"), nil
	case pond.Pond.Depth() < figure.OrZero(p.Pond.Depth):
		return figure.Unknown[pumps.Spill](tooShallow), nil
	}
	return figure.Maybe[pumps.Spill]{}, err
}

// tooShallow is the reason where a given volume over a given surface leaves less
// water than the given depth: dimensions of one deep spot, not of the pond.
const tooShallow = "volume and surface make the pond shallower than its depth, and the intake lies above that"

// depthGuessed reports whether nothing in the plan tells the pond's depth.
func (w *WaterResult) depthGuessed(p *plan.Plan) bool {
	return p.Pond.Depth == nil && len(p.Pond.Depths) == 0
}

// evaporationSource is where the formula of evaporation comes from.
const evaporationSource = "Evaporation: G. F. Makkink's formula with the factor 0.65 of H. A. R. De Bruin (1987, practice of the KNMI), from memory; slope and psychrometric constant by FAO Irrigation and Drainage Paper 56, equations 8 and 13"

// evaporation fills in the loss by month, the plan's before the place's.
func (w *WaterResult) evaporation(s *StandStill, p *plan.Plan, place Surroundings) error {
	rates := place.Evaporation
	if given := p.Pond.Evaporation; given != nil {
		rates = given
	}
	if rates == nil {
		why := "evaporation is not given (pond.evaporation)"
		if place.Why != "" {
			why += ", and " + place.Why
		}
		s.Evaporation = figure.Unknown[[12]pumps.Evaporation](why)
		return nil
	}
	months, err := w.Pond.Value.Basin.Evaporates(*rates, w.Pond.Value.Intake)
	switch {
	case err == nil:
		s.Evaporation = figure.Known(months)
	case w.depthGuessed(p):
		s.Evaporation = figure.Unknown[[12]pumps.Evaporation]("the depth of the pond is not given")
		return nil
	case w.Pond.Value.Pond.Depth() < figure.OrZero(p.Pond.Depth):
		s.Evaporation = figure.Unknown[[12]pumps.Evaporation](tooShallow)
		return nil
	default:
		return err
	}
	if p.Pond.Evaporation == nil {
		s.EvaporationAssumed = true
		w.Works.source(evaporationSource)
	}
	return nil
}

// evaporationAssumed lists the evaporation where it was worked out.
func (s *StandStill) evaporationAssumed() []figure.Assumed {
	if !s.EvaporationAssumed {
		return nil
	}
	return []figure.Assumed{{Key: "pond.evaporation", Text: "worked out by month",
		Why:    "from the month's sun and air alone; wind, dry air, splashing and planted edges take more, in a dry windy place half as much again (common practice, no source)",
		Source: "Makkink's formula by De Bruin 1987, from memory"}}
}
