package works

import (
	"math"
	"slices"
	"strings"

	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// WaterChoice is which pump to use and why. Indices are of Water.Pumps; -1 is
// none.
type WaterChoice struct {
	Index    int        // the pump to use; -1 where none moves water or there is no goal
	RunnerUp int        // the next best whose chance is not out of the question; -1 for none
	Given    bool       // the plan names it
	Why      units.Text // why there is no choice
	Nearest  int        // the choice, else the pump with the most water
	// NoneMeets is set where there is a goal, and of no pump of the plan it is more
	// than "probably not" that it meets it.
	NoneMeets bool
	// Faster is what meets the goal where, as planned, none does but one would if
	// it ran faster or all day.
	Faster figure.Maybe[Faster]
}

// choose picks the pump: the plan's own, else the one that ranks first by how surely it
// meets the goal and what it costs a year.
func (w *WaterResult) choose(p *plan.Plan, place Surroundings) {
	w.drawn = w.luck()
	c := WaterChoice{Index: -1, RunnerUp: -1, Nearest: -1}
	cores.Each(len(w.Pumps), func(i int) { w.Pumps[i].Surely = w.surely(&w.Pumps[i], w.drawn) })
	for i := range w.Pumps {
		pump := &w.Pumps[i]
		pump.Yearly = place.yearly(pump)
		if c.Nearest < 0 || pump.Dirty.PerDay > w.Pumps[c.Nearest].Dirty.PerDay {
			c.Nearest = i
		}
		if !pump.Surely.Known {
			c.Why = pump.Surely.Why
		}
	}
	all := w.Pumps
	order := slices.DeleteFunc(ranked(all), func(i int) bool { return w.Pumps[i].Dirty.Flow <= 0 })
	switch {
	case c.Why != "":
	case len(order) == 0:
		c.Why = "no pump of the plan moves water"
	default:
		c.Index = order[0]
		// A swap that is not back before the new pump wears out is none, whatever it
		// costs a year.
		now := slices.IndexFunc(w.Pumps, func(p WaterPump) bool { return p.Present })
		alike := now >= 0 && now != c.Index && all[now].Unsound() == "" && all[now].Surely.Value.Word == all[c.Index].Surely.Value.Word
		if alike && place.Pays != nil && !place.Pays(now, c.Index, w.Pumps) {
			c.Index = now
		}
	}
	meets := func(p WaterPump) bool { return p.Surely.Value.Chance >= ChanceTooClose && !p.fixed }
	c.NoneMeets = c.Why == "" && !slices.ContainsFunc(w.Pumps, meets)
	for i, pump := range w.Pumps {
		if pump.Name == p.Choice.Pump && p.Choice.Pump != "" {
			c.Index, c.Given, c.Why = i, true, ""
		}
		if c.Index < 0 && pump.Present {
			c.Nearest = i
		}
	}
	if c.Index >= 0 {
		c.Nearest = c.Index
		enough := min(ChanceTooClose, all[c.Index].Surely.Value.Chance)
		if k := slices.IndexFunc(order, func(i int) bool {
			return i != c.Index && all[i].Unsound() == "" && all[i].Surely.Value.Chance >= enough
		}); k >= 0 {
			c.RunnerUp = order[k]
		}
	}
	w.Choice = c
	for i := range w.Pumps {
		w.Pumps[i].Reason = w.reason(i)
	}
}

// Unsound says why a pump is taken only where no other will do, "" where nothing does:
// power fails, batteries run down, whoever drew a branch wants water there, a tank that
// spills empties the pond, and a pump without control of its speed runs at its own.
func (p *WaterPump) Unsound() string {
	switch {
	case p.Clean.Flow <= 0 || p.Dirty.Flow <= 0:
		return "nothing flows"
	case p.Stays():
		return "once stopped it does not start again by itself"
	case len(p.Dirty.Dry) > 0:
		return p.Dirty.Dry[0] + " gets no water"
	case p.Return.Value.Spills:
		return "the tank spills"
	case p.fixed:
		return "the speed cannot be set"
	}
	return ""
}

// Sound reports whether nothing speaks against p, a pump of w in other hours or on
// another hose than its return was judged in.
func (w *WaterResult) Sound(p WaterPump) bool {
	p.Return.Value.Spills = w.spill.Known && p.Clean.Flow > w.spill.Value
	return p.Unsound() == ""
}

// But is Unsound where the flow alone does not already say no.
func (p *WaterPump) But() string {
	if p.Surely.Value.Chance < ChanceTooClose && len(p.Dirty.Dry) == 0 {
		return ""
	}
	return p.Unsound()
}

// reason says in a few words why pump i was chosen or was not.
func (w *WaterResult) reason(i int) units.Text {
	c, p := w.Choice, &w.Pumps[i]
	why := p.Unsound()
	switch {
	case c.Index < 0:
		return c.Why
	case c.Given && i == c.Index:
		return "the plan names it"
	case c.Given:
		return "the plan names another"
	case why != "" && i != c.Index:
		return units.Say("%s", why)
	}
	chosen := &w.Pumps[c.Index]
	all, others := true, 0 // prices known of all that do; how many do besides the choice
	for k, other := range w.Pumps {
		does := other.Surely.Value.Chance >= ChanceProbably
		if all = all && (other.Yearly.Known || !does); does && k != c.Index && other.Unsound() == "" {
			others++
		}
	}
	least := units.Text("it draws the least of those that do")
	if all {
		least = "it costs the least a year of those that do"
	}
	switch {
	case i == c.Index && len(w.Pumps) == 1 && !p.Power.Known:
		return "it is the only one; what it draws is not known"
	case i == c.Index && len(w.Pumps) == 1:
		return "it is the only one"
	case i == c.Index && why != "":
		return "none of the plan is without fault, and it is the best of them"
	case i == c.Index && p.Surely.Value.Chance < ChanceProbably:
		return "it is the surest, and not sure enough"
	case i == c.Index && others == 0:
		return "it is the only one that does"
	case i == c.Index && p.Present && w.Pumps[c.RunnerUp].Yearly.Value < p.Yearly.Value:
		return "it runs today, and no other saves enough to pay for the change"
	case i == c.Index && p.Surely.Value.Chance < ChanceYes && w.surer(p):
		return NearlySure
	case i == c.Index && !p.Power.Known:
		return "it moves the least water of those that do; what it draws is not known"
	case i == c.Index:
		return least
	case p.Surely.Value.Chance < ChanceProbably:
		return "it is not sure enough"
	case p.Surely.Value.Chance < chosen.Surely.Value.Chance && chosen.Surely.Value.Chance >= ChanceYes && p.Surely.Value.Chance < ChanceYes:
		return "another is surer"
	case all && chosen.Present && p.Yearly.Value < chosen.Yearly.Value:
		return "it does not save enough to pay for the change"
	case all:
		return "another costs less a year"
	}
	return "another draws less"
}

// NearlySure is why a pump goes before one that is surer.
const NearlySure = "it is all but sure, and costs at least a tenth less a year than a surer one"

// surer reports whether a pump of the plan is a "yes" that could stand in for p.
func (w *WaterResult) surer(p *WaterPump) bool {
	return slices.ContainsFunc(w.Pumps, func(o WaterPump) bool {
		return o.Name != p.Name && o.Surely.Value.Chance >= ChanceYes && o.Unsound() == ""
	})
}

// NoAnswer says why the question about the water has no answer, "" where it has one:
// no water flows, or the keeper gave a goal and it is missed, whoever chose the pump.
// An assumed goal that is missed is a verdict, and an answer.
func (w *WaterResult) NoAnswer() string {
	var dead []string
	for _, p := range w.Pumps {
		if why := string(units.Say("%s: %s", p.Name, p.Clean.Why)); p.Clean.Flow <= 0 && p.Dirty.Flow <= 0 {
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
	case !w.Pond.Value.GivenGoal || !w.Choice.Given && !w.Choice.NoneMeets,
		w.Choice.Given && w.Pumps[i].Surely.Value.Chance >= ChanceTooClose:
		return ""
	case w.Choice.Given:
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
func (w *WaterResult) faster(p *plan.Plan) {
	w.Choice.Faster = figure.Unknown[Faster]("the plan runs the pump at full speed, day and night")
	if !w.Choice.NoneMeets || w.Works.Speed >= 1 && len(p.Run.Bands) == 0 {
		return
	}
	const step = 0.05
	from := math.Floor(w.Works.Speed/step+1e-9)*step + step
	if len(p.Run.Bands) > 0 {
		from = 1
	}
	for speed := min(from, 1); speed < 1+step/2; speed += step {
		speed := min(speed, 1)
		alt := w.at(plan.Run{Speed: speed, MonthsOff: p.Run.MonthsOff})
		for i, pump := range w.Pumps {
			if speed < 1 && !pump.Slows() {
				continue
			}
			s := alt.state(pump.Pump, alt.Works.Dirty(), pump.Pack)
			if best := w.Choice.Faster; s.Meets() && (!best.Known || Smaller(pump, w.Pumps[best.Value.Pump])) {
				w.Choice.Faster = figure.Known(Faster{Pump: i, Speed: speed})
			}
		}
		if w.Choice.Faster.Known {
			return
		}
	}
	w.Choice.Faster.Why = "not even full speed, day and night, meets the goal"
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
