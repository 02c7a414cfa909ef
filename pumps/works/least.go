package works

import (
	"math"
	"slices"

	"sunrill/data/chance"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Least is the smallest pump that would do: the point that its curve has to pass above, so
// that it is a "yes" with the line dirty.
type Least struct {
	Hose string       `json:"hose,omitempty"` // a wider one in place of the plan's
	Flow units.Flow   `json:"flow_m3_per_h"`
	Head units.Length `json:"head_m"`
	// Dirty is set where the point is that of the dirty line: dirt that somebody saw is a
	// resistance, which whatever passes there overcomes. Else the line is clean.
	Dirty bool `json:"line_dirty,omitempty"`
	// Restart is what it has to give at no flow to start again on an empty line.
	Restart figure.Maybe[units.Length] `json:"restart_head_m"`
	Power   figure.Maybe[units.Power]  `json:"power_w"`             // what it would draw if it were as good as the plan's
	Spills  figure.Maybe[units.Flow]   `json:"spill_flow_m3_per_h"` // at which the tank spills, where that is less
}

// leastRange is how far a pump is scaled in search of the least; leastSteps halve it
// down to less than a thousandth.
const (
	leastRange = 1e4
	leastSteps = 15
)

// least returns the smallest pump that would do for the hours of p: one like p, scaled by
// the affinity laws until it is just sure to meet the goal and leaves no branch dry. An
// assumed dirt is what the plan would assume with that pump in it: it costs the pump its
// share, or, unless it is to be alone, what it costs beside the pumps of the plan, the less
// of both.
func (w *WaterResult) least(p *WaterPump, l *luck, alone bool) figure.Maybe[Least] {
	goal := w.asked(p)
	if !goal.Known {
		return figure.Unknown[Least](goal.Why)
	}
	open, like := w.openDraws(l, alone), *p
	like.Pump = p.Pump.Middle()   // what is looked for has a curve
	few, many := 0.0, math.Inf(1) // scales that are known not to do, and to do
	settled := 0                  // draws that meet the goal from few on
	does := func(scale float64) bool {
		if scale <= few || scale >= many {
			return scale >= many
		}
		n, met := settled, [chance.Draws]bool{}
		for k, t := range w.turnovers(&like, &open, scale, goal.Value) {
			if i := open.draws[k].n; inGoal(t, goal.Value) && !met[i] {
				met[i], n = true, n+1
			}
		}
		speed := w.Works.Speed * scale
		flow := leastFlow(p.Pump, speed, w.Works.Dirty())
		if l.share != nil {
			flow = max(flow, leastFlow(p.Pump, speed, w.Works.Line)*units.Flow(1-w.Works.DirtLoss))
		}
		does := float64(n) >= ChanceYes*chance.Draws && len(dryAt(w.Works.Line, flow)) == 0
		if does {
			many = scale
		} else {
			few, settled = scale, n
		}
		// A draw that one pump brings to the goal every larger one does, and one that it
		// does not no smaller one.
		open.draws = slices.DeleteFunc(open.draws, func(d draw) bool { return met[d.n] != does })
		return does
	}
	// The search begins about the pump: one far off leaves every draw open.
	first := does(1)
	for _, scale := range []float64{0.8, 0.5, 0.1} {
		if !first {
			scale = 1 / scale
		}
		if does(scale) != first {
			break
		}
	}
	from, to := 1/leastRange, leastRange
	for range leastSteps {
		if middle := math.Sqrt(from * to); does(middle) {
			to = middle
		} else {
			from = middle
		}
	}
	if to == leastRange && !does(to) {
		return figure.Unknown[Least]("no pump would do on this line")
	}
	speed := w.Works.Speed * to
	line, seen := w.Works.Line, l.share == nil && w.Works.Dirt.Resistance > 0
	if seen {
		line = w.Works.Dirty()
	}
	flow, most := leastFlow(p.Pump, speed, line), leastFlow(p.Pump, speed, w.Works.Line)
	head, restart := line.HeadAt(flow/units.Flow(p.Pump.Lines())), w.Works.Line.Restart()
	watts := p.Pump.Power(flow, speed)
	spills := figure.Given(w.spill.Known && w.spill.Value < most, w.spill.Value, "the tank takes that flow, or there is none")
	return figure.Known(Least{Flow: flow, Head: head, Dirty: seen, Power: figure.Given(watts > 0, watts, NoWatts), Spills: spills,
		Restart: figure.Given(restart > head, restart, "any pump that passes the point starts again")})
}

// openDraws returns all draws of l, with one for each dirt that may be the less.
func (w *WaterResult) openDraws(l *luck, alone bool) luck {
	open := luck{line: l.line, draws: make([]draw, 0, 2*chance.Draws)}
	for i, d := range l.draws {
		if l.share == nil || !alone && w.Works.DirtOn != "" {
			open.draws = append(open.draws, d)
		}
		if l.share != nil { // a share of flow gone is as if the pond were larger
			open.draws = append(open.draws, draw{n: i, volume: d.volume / (1 - l.share[i])})
		}
	}
	return open
}

// leastFlow returns what flows of all the pumps together at speed ratio s, at least: it
// may lie outside the speeds that a pump can run at.
func leastFlow(p pumps.Pump, s float64, circuit *pumps.System) units.Flow {
	d, status := p.Duty(s, circuit)
	if status == pumps.BeyondCurve {
		return p.FreeFlow(s)
	}
	return d.Flow
}

// leastOnHose returns the smallest pump that would do on a wider hose, where the plan
// has one pump and the hose spares it head worth the change; the narrowest such hose
// unless the next one spares as much again.
func (w *WaterResult) leastOnHose() figure.Maybe[Least] {
	if len(w.Pumps) != 1 {
		return figure.Unknown[Least]("it is looked for where the plan has one pump")
	}
	if !w.Least.Known {
		return figure.Unknown[Least](w.Least.Why)
	}
	const worthwhile = 0.95 // of the head; common practice, no source
	best, than := figure.Unknown[Least]("no wider hose lets a notably smaller pump do"), w.Least.Value.Head
	for _, h := range w.Hoses {
		if h.Laid == nil {
			continue
		}
		on := h.Laid.Water
		if found := on.least(&on.Pumps[h.Pump], on.drawn, true); found.Known && found.Value.Head < than*worthwhile {
			best, than = found, found.Value.Head
			best.Value.Hose = h.Hose
		}
	}
	return best
}
