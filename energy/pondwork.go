package energy

import (
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// shapes are the words of pond.shape.
var shapes = map[string]pumps.Shape{
	"rectangle": pumps.Rectangle, "round": pumps.Round, "oval": pumps.Oval,
	"frustum": pumps.Frustum, "bowl": pumps.Bowl, "depths": pumps.Soundings,
}

// pond makes the pond and its goal of what p says, where it says enough.
func (w *Waterworks) pond(p *data.Plan) error {
	q := p.Pond
	spec := pumps.PondSpec{Error: q.VolumeError, Depths: q.Depths, Areas: q.Areas,
		Length: known(q.Length), Width: known(q.Width), Diameter: known(q.Diameter), Depth: known(q.Depth),
		BottomLength: known(q.BottomLength), BottomWidth: known(q.BottomWidth), BottomDiameter: known(q.BottomDiameter), Surface: known(q.Surface)}
	switch {
	case q.Volume != nil:
		spec.Shape, spec.Volume = pumps.Measured, *q.Volume
	case q.FillFlow != nil && q.FillTime != nil:
		spec.Shape, spec.FillFlow, spec.FillTime = pumps.Filled, *q.FillFlow, *q.FillTime
	case q.Shape != "":
		spec.Shape = shapes[q.Shape]
		if spec.Shape == pumps.Soundings && len(q.Areas) > 0 {
			spec.Shape = pumps.Contours
		}
	default:
		return nil
	}
	pond, err := pumps.NewPond(spec)
	if err != nil {
		return err
	}
	w.Pond = pond
	if !p.Given("pond.volume_error") {
		w.Assumed = append(w.Assumed, Assumed{Key: "pond.volume_error", Kind: units.KindShare, Value: q.VolumeError,
			Why: "either way, as nothing says how the volume was found", Source: "common practice, no source"})
	}
	return w.goal(p)
}

// goal sets the turnover goal: the plan's, else the row of its stocking.
func (w *Waterworks) goal(p *data.Plan) error {
	if p.Pond.TurnoverGoal != nil {
		w.Goal = *p.Pond.TurnoverGoal
		return nil
	}
	if p.Pond.Stocking == "" {
		return nil
	}
	row, err := data.TurnoverGoalOf(p.Pond.Stocking)
	if err != nil {
		return at("pond.stocking", err)
	}
	w.Goal = row.Goal
	w.Assumed = append(w.Assumed, Assumed{Key: "pond.turnover_goal", Kind: units.KindTime, Value: float64(row.Goal),
		Why: "by the stocking, " + p.Pond.Stocking + ": " + row.Rule, Source: row.Source})
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
