package energy

import (
	"sunrill/data"
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
