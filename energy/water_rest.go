package energy

import (
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// StandStill is what happens when something stops: the pump, or the way back.
type StandStill struct {
	Pump      string // whose clean flow is taken; "" for none
	DrainBack pumps.DrainBack
	// Unseen is what becomes of the pond if the return is blocked or a hose comes
	// off and nobody sees it.
	Unseen Maybe[pumps.Spill]
	// Evaporation is what each month takes if nothing tops the pond up.
	Evaporation Maybe[[12]pumps.Evaporation]
	// EvaporationAssumed says that the loss is worked out from sun and air.
	EvaporationAssumed bool
}

// rest returns what stops do with the chosen pump.
func (w *Water) rest(p *data.Plan, place Surroundings) (StandStill, error) {
	s := StandStill{Unseen: Unknown[pumps.Spill](w.Pond.Why), Evaporation: Unknown[[12]pumps.Evaporation](w.Pond.Why)}
	var surface units.Area
	if w.Pond.Known {
		surface = w.Pond.Value.Pond.Surface()
	}
	s.DrainBack = pumps.DrainsBack(w.Feeds(), 0, surface)
	if w.Choice.Nearest >= 0 {
		s.Pump = w.Pumps[w.Choice.Nearest].Spec.Name
	}
	if !w.Pond.Known {
		return s, nil
	}
	if w.Choice.Nearest < 0 || w.Pumps[w.Choice.Nearest].Clean.Flow <= 0 {
		s.Unseen = Unknown[pumps.Spill]("nothing flows")
	} else if err := w.unseen(&s, p, w.Pumps[w.Choice.Nearest].Clean.Flow); err != nil {
		return s, err
	}
	return s, w.evaporation(&s, p, place)
}

// unseen fills in the loss of water nobody sees. An intake that is out of the
// water only because the depth had to be guessed is no fault of the plan.
func (w *Water) unseen(s *StandStill, p *data.Plan, q units.Flow) error {
	pond := w.Pond.Value
	spill, err := pond.Basin.Unseen(q, pond.Intake)
	switch {
	case err == nil:
		s.Unseen = Known(spill)
	case w.depthGuessed(p):
		s.Unseen = Unknown[pumps.Spill]("the depth of the pond is not given, and the intake lies above what the volume leaves to guess")
	case pond.Pond.Depth() < known(p.Pond.Depth):
		s.Unseen = Unknown[pumps.Spill](tooShallow)
	default:
		return err
	}
	return nil
}

// tooShallow is the reason where a given volume over a given surface leaves less
// water than the given depth: dimensions of one deep spot, not of the pond.
const tooShallow = "volume and surface make the pond shallower than its depth, and the intake lies above that"

// depthGuessed reports whether nothing in the plan tells the pond's depth.
func (w *Water) depthGuessed(p *data.Plan) bool {
	return p.Pond.Depth == nil && len(p.Pond.Depths) == 0
}
