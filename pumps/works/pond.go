package works

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// PondWater is the water of a plan: how much, how sure, and how often it should
// pass the filter.
type PondWater struct {
	Pond      *pumps.Pond
	Volume    units.Volume                    `json:"volume_m3"`
	Low       units.Volume                    `json:"volume_low_m3"`
	High      units.Volume                    `json:"volume_high_m3"`
	Shape     string                          `json:"volume_from"` // how the volume was found, in words
	Surface   figure.Maybe[units.Area]        `json:"surface_m2"`
	Stocking  string                          `json:"stocking"` // "" where not given
	Goal      figure.Maybe[units.Duration]    `json:"goal_turnover_h"`
	GoalFlow  figure.Maybe[units.Flow]        `json:"goal_flow_m3_per_h"` // mean flow that the goal asks for
	GivenGoal bool                            // Goal is the keeper's, not the table's
	Rule      figure.Maybe[data.TurnoverGoal] `json:"goal_,inline"` // for the stocking, whether it sets the goal or the keeper does
	Intake    figure.Maybe[units.Length]      // height above the deepest floor
	OnFloor   bool                            // the intake is not given and taken to lie on the floor
	Notes                                     // of volume and goal

	standing Notes // of what matters only when something stops
}

const noVolume = "the volume of the pond is not given"

const noGoal = "neither a turnover goal nor the stocking is given"

// NewPondWater returns the pond of p; unknown where p gives neither volume nor
// shape nor fill. The error joins every fault of its dimensions.
func NewPondWater(p *plan.Plan) (figure.Maybe[PondWater], error) {
	spec, shape := pondSpec(p.Pond)
	if shape == "" {
		return figure.Unknown[PondWater](noVolume), nil
	}
	pond, err := pumps.NewPond(spec)
	if err != nil {
		return figure.Maybe[PondWater]{}, Placed(p, err)
	}
	w := PondWater{Pond: pond, Volume: pond.Volume(), Shape: shape, Stocking: p.Pond.Stocking,
		Surface: figure.Given(pond.SurfaceKnown(), pond.Surface(), "neither surface nor depth is given (pond.surface)")}
	w.Low, w.High = pond.Range()
	if !p.Given("pond.volume_error") {
		w.assume(figure.Assumed{Key: "pond.volume_error", Kind: units.KindShare, Value: p.Pond.VolumeError,
			Why: "either way, as nothing says how the volume was found", Source: commonPractice})
	}
	if !pond.SurfaceKnown() && p.Pond.Depth == nil {
		w.standing.assume(figure.Assumed{Key: "pond.surface", Kind: units.KindArea, Value: float64(pond.Surface()),
			Why: "neither surface nor depth given: taken as one metre deep", Source: commonPractice})
	}
	w.goal(p)
	w.intake(p.Pond)
	return figure.Known(w), nil
}

// pondSpec returns the pond's dimensions and, in words, how its volume is
// found; "" where nothing says. A volume that is given beats every shape.
func pondSpec(q plan.Pond) (pumps.PondSpec, string) {
	s := pumps.PondSpec{Shape: q.Shape, Volume: figure.OrZero(q.Volume),
		Length: figure.OrZero(q.Length), Width: figure.OrZero(q.Width), Diameter: figure.OrZero(q.Diameter), Depth: figure.OrZero(q.Depth),
		BottomLength: figure.OrZero(q.BottomLength), BottomWidth: figure.OrZero(q.BottomWidth),
		BottomDiameter: figure.OrZero(q.BottomDiameter),
		Depths:         q.Depths, Error: q.VolumeError, Surface: figure.OrZero(q.Surface),
	}
	switch {
	case q.Volume != nil:
		return s, "given"
	case q.FillFlow != nil && q.FillTime != nil: // the shape then tells no surface
		volume := units.Volume(float64(*q.FillFlow) * float64(*q.FillTime))
		return pumps.PondSpec{Volume: volume, Depth: s.Depth, Surface: s.Surface, Error: s.Error}, "a timed fill"
	case q.Shape == "depths":
		return s, "soundings"
	}
	return s, q.Shape
}

// goal sets the goal: the keeper's, else the table's for the stocking.
func (w *PondWater) goal(p *plan.Plan) {
	w.Goal, w.Rule = figure.Unknown[units.Duration](noGoal), figure.Unknown[data.TurnoverGoal]("the stocking is not given (pond.stocking)")
	if row, err := data.TurnoverGoalOf(p.Pond.Stocking); err == nil && p.Pond.Stocking != "" {
		w.Rule = figure.Known(row)
	}
	if rule := w.Rule.Value; p.Pond.TurnoverGoal != nil {
		w.Goal, w.GivenGoal = figure.Known(*p.Pond.TurnoverGoal), true
	} else if w.Rule.Known {
		w.Goal = figure.Known(rule.Goal)
		w.assume(figure.Assumed{Key: "pond.turnover_goal", Kind: units.KindTime, Value: float64(rule.Goal),
			Why: units.Text("by the stocking, " + rule.Stocking), Source: "the table of turnover goals; " + rule.Source})
	}
	w.GoalFlow = figure.Then(w.Goal, func(goal units.Duration) units.Flow { return units.Flow(float64(w.Volume) / float64(goal)) })
}

// intake sets where the pump draws; on the floor where nothing says. It is not known where
// it is out of the water only because the depth had to be guessed, or because a given
// volume over a given surface leaves less water than the given depth: dimensions of one
// deep spot, not of the pond. Neither is a fault of the plan, which holds it to its depth.
func (w *PondWater) intake(q plan.Pond) {
	z, deep := figure.OrZero(q.IntakeHeight), w.Pond.Depth()
	if w.OnFloor = q.IntakeHeight == nil && q.IntakeDepth == nil; w.OnFloor {
		w.standing.assume(figure.Assumed{Key: "pond.intake_height", Text: "{0 m}",
			Why: "not given: the pump is taken to stand on the floor, where it can pump the pond empty"})
	} else if q.IntakeHeight == nil {
		z = deep - *q.IntakeDepth
	}
	why := units.Text("volume and surface make the pond shallower than its depth, and the intake lies above that")
	if q.Depth == nil && len(q.Depths) == 0 {
		why = "the depth of the pond is not given, and the intake lies above what the volume leaves to guess"
	}
	w.Intake = figure.Given(z >= -1e-9 && z < deep, max(0, z), why)
}
