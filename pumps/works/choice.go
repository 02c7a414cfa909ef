package works

import (
	"math"
	"strings"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// WaterChoice is which pump to use and why. Indices are of Water.Pumps; -1 is
// none.
type WaterChoice struct {
	Index   int // the pump to use; -1 where none meets the goal or there is no goal
	Given   bool
	Why     units.Text // why there is no choice
	Nearest int        // the choice, else the pump with the most water
	Smaller int        // the next smaller pump than the choice
	Larger  int        // the next larger pump than Nearest that moves more, dirty
	// PassedOver is set where a smaller pump meets the goal too but, once stopped,
	// does not start by itself.
	PassedOver bool
	// NoneMeets is set where there is a goal and no pump of the plan meets it.
	NoneMeets bool
	// Faster is what meets the goal where, as planned, none does but one would if
	// it ran faster or all day.
	Faster figure.Maybe[Faster]
	// Question is set where the pond may need no pump at all.
	Question string
}

// choose picks the pump: the plan's own, else the smallest that meets the goal
// with the line dirty. The smallest is the one of least power; pumps of unknown
// power come after the others, by flow. A pump that does not start again after a
// stop is taken only where no other will do: power fails, and batteries run down.
func (w *WaterResult) choose(p *plan.Plan) {
	c := WaterChoice{Index: -1, Nearest: -1, Smaller: -1, Larger: -1, NoneMeets: true}
	for i, pump := range w.Pumps {
		c.NoneMeets = c.NoneMeets && pump.Dirty.Misses()
		if pump.Dirty.Meets() && (c.Index < 0 || better(pump, w.Pumps[c.Index])) {
			c.Index = i
		}
		if met := pump.Dirty.Met; !met.Known {
			c.Why = met.Why
		}
		if c.Nearest < 0 || pump.Dirty.PerDay > w.Pumps[c.Nearest].Dirty.PerDay {
			c.Nearest = i
		}
	}
	if c.NoneMeets {
		c.Why = "no pump of the plan meets the goal when the line is dirty"
	}
	for i, pump := range w.Pumps {
		if pump.Name == p.Choice.Pump && p.Choice.Pump != "" {
			c.Index, c.Given, c.Why = i, true, ""
		}
		if c.Index < 0 && !c.NoneMeets && pump.Present {
			c.Nearest = i
		}
	}
	if c.Index >= 0 {
		c.Nearest = c.Index
	}
	w.neighbours(&c)
	if w.Pond.Value.Stocking == "none" {
		c.Question = "nothing is stocked: a planted pond without fish may need no pump at all; what it buys is the look and the sound of " +
			"moving water, and filtered water where the planting asks for it"
	}
	w.Choice = c
}

// neighbours sets the pumps beside the nearest one, and what speaks against the smaller.
func (w *WaterResult) neighbours(c *WaterChoice) {
	for i, pump := range w.Pumps {
		switch near := w.Pumps[c.Nearest]; {
		case i == c.Nearest:
		case Smaller(pump, near):
			if c.Smaller < 0 || Smaller(w.Pumps[c.Smaller], pump) {
				c.Smaller = i
			}
			c.PassedOver = c.PassedOver || c.Index >= 0 && !c.Given && pump.Dirty.Meets() && pump.Stays() && !near.Stays()
		case pump.Dirty.Flow > near.Dirty.Flow && (c.Larger < 0 || Smaller(pump, w.Pumps[c.Larger])):
			c.Larger = i
		}
	}
}

// NoAnswer says why the question about the water has no answer, "" where it has one:
// no water flows, or the keeper gave a goal and it is missed, whoever chose the pump.
// An assumed goal that is missed is a verdict, and an answer.
func (w *WaterResult) NoAnswer() string {
	var dead []string
	for _, p := range w.Pumps {
		if why := p.Name + ": " + p.Clean.Why.String(); p.Clean.Flow <= 0 && p.Dirty.Flow <= 0 {
			dead = append(dead, why)
			if w.Choice.Given && p.Name == w.Pumps[w.Choice.Index].Name {
				return "the pump that the plan names has no duty point: " + why
			}
		}
	}
	missed := "no pump meets"
	switch i := w.Choice.Index; {
	case len(dead) == len(w.Pumps):
		return "no pump has a duty point: " + strings.Join(dead, "; ")
	case !w.Pond.Value.GivenGoal || i < 0 && !w.Choice.NoneMeets || i >= 0 && w.Pumps[i].Dirty.Met.Value:
		return ""
	case i >= 0:
		missed = w.Pumps[i].Name + " misses"
	}
	return units.Sprintf("%s the goal of one turnover in %.3g h", missed, w.Pond.Value.Goal.Value.In(units.Hour))
}

// Faster is a pump that meets the goal at a higher speed than the plan's, day and
// night.
type Faster struct {
	Pump  int     // index of Water.Pumps
	Speed float64 // the least of those tried, 1 for full speed
}

// faster looks for a speed above the plan's at which a pump meets the goal, where
// none does as planned: the least speed in steps of a twentieth, and at that the
// smallest pump. A plan of hours is tried at full speed only.
func (w *WaterResult) faster(p *plan.Plan) error {
	w.Choice.Faster = figure.Unknown[Faster]("the plan runs the pump at full speed, day and night")
	if !w.Choice.NoneMeets || w.Works.Speed >= 1 && len(p.Run.Bands) == 0 {
		return nil
	}
	const step = 0.05
	from := math.Floor(w.Works.Speed/step+1e-9)*step + step
	if len(p.Run.Bands) > 0 {
		from = 1
	}
	for speed := min(from, 1); speed < 1+step/2; speed += step {
		speed := min(speed, 1)
		alt := w.at(plan.Run{Speed: speed, MonthsOff: p.Run.MonthsOff}, speed)
		best := -1
		for i, pump := range w.Pumps {
			s, err := alt.state(pump.Pump, alt.Works.Dirty(), pump.Pack)
			if err != nil {
				return err
			}
			if s.Meets() && (best < 0 || Smaller(pump, w.Pumps[best])) {
				best = i
			}
		}
		if best >= 0 {
			w.Choice.Faster = figure.Known(Faster{Pump: best, Speed: speed})
			return nil
		}
	}
	w.Choice.Faster = figure.Unknown[Faster]("not even full speed, day and night, meets the goal")
	return nil
}

// better reports whether a is to be chosen before b, both of which meet the goal.
func better(a, b WaterPump) bool {
	if a.Stays() != b.Stays() {
		return b.Stays()
	}
	return Smaller(a, b)
}

// Stays reports whether a pump that has stopped is known to stay so, the line
// being too high for it when empty.
func (p *WaterPump) Stays() bool { return p.Clean.Run.NoStart || p.Dirty.Run.NoStart }

// Smaller reports whether a is the smaller pump.
func Smaller(a, b WaterPump) bool {
	if a.Power.Known != b.Power.Known {
		return a.Power.Known
	}
	if a.Power.Value != b.Power.Value {
		return a.Power.Value < b.Power.Value
	}
	return a.Dirty.PerDay < b.Dirty.PerDay
}
