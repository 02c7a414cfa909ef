package energy

import (
	"sunrill/data"
	"sunrill/pumps"
)

// pond makes the pond and its goal of what p says, where it says enough.
func (w *Waterworks) pond(p *data.Plan) error {
	var err error
	if w.pondWater, err = NewPondWater(p); err != nil || !w.pondWater.Known {
		return err
	}
	pond := w.pondWater.Value
	w.Pond, w.Goal = pond.Pond, pond.Goal.Value
	w.Assumed = append(w.Assumed, pond.Assumed...)
	return nil
}

// known returns *v, or zero where nothing is known.
func known[T any](v *T) T {
	if v == nil {
		var none T
		return none
	}
	return *v
}

// Choose returns the index of the pump to plan with, and false where none will
// do: the one that the plan names, else the one of least power that meets the
// goal when dirty. Without a goal or a pond it is the present pump, else the
// only one.
func (w *Waterworks) Choose(p *data.Plan, runs []Run) (int, bool) {
	for i, r := range runs {
		if w.Wanted != "" && r.Name == w.Wanted {
			return i, true
		}
	}
	if w.Pond != nil && w.Goal > 0 {
		dirty := make([]pumps.Run, len(runs))
		for i, r := range runs {
			dirty[i] = r.Dirty
		}
		return pumps.Smallest(dirty, w.Pond, w.Goal)
	}
	for i, in := range p.Pumps {
		if in.Present || len(runs) == 1 {
			return i, runs[i].Clean.LeastFlow() > 0
		}
	}
	return 0, false
}
