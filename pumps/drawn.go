package pumps

import (
	"math"

	"sunrill/data/units"
)

// Luck is one draw of what neither curve nor line tells of itself.
type Luck struct {
	Curve  float64      // how far the pump lies off its curve, -1 to 1 of its Tolerance
	Shape  float64      // of a label: 0 for its straight line, 1 for its parabola
	Lift   units.Length // added to the lift
	Losses float64      // of pipe and fittings over those calculated, dirt left out
	Dirt   Dirt
}

// labelError is how far a pump may lie outside the two curves of its label, in flow.
// Common practice, no source.
const labelError = 0.10

// drawCells is how many cells a curve and a line are tabled in. Straight within a
// cell, a flow is off by less than a part in ten thousand.
const drawCells = 256

// Drawn is a pump's curve and its line at equal steps of flow, for many draws.
type Drawn struct {
	lines       float64
	first, last float64                // of the curve [m³/s]
	low, high   [drawCells + 1]float64 // head of the curve at equal steps, both ends of a label [m]
	perStep     float64                // steps of the curve in a flow [s/m³]
	circuit     *System
	lost        [2*drawCells + 1]float64 // head lost in the clean line from no flow on [m], where it was asked for
	perLost     float64                  // steps of lost in a flow [s/m³]
	lift        float64                  // [m]
	in, up      float64                  // tolerance in flow and in head
	label       bool
	falls       bool    // both heads fall all the way, so that there is one crossing
	before      float64 // flow of the draw before, which is near that of the next [m³/s]
}

// Drawn returns the pump at speed ratio s on circuit, which is clean.
func (p Pump) Drawn(s float64, circuit *System) *Drawn {
	low, high := p.shared(p.low, s), p.shared(p.high, s)
	t := &Drawn{lines: float64(p.Lines()), first: float64(low.First()), last: float64(low.Last()), circuit: circuit,
		lift: float64(circuit.Lift()), label: p.labelled, falls: true}
	t.in, t.up = p.spec.Tolerance.Flow, p.spec.Tolerance.Head
	if t.label {
		t.in, t.up = labelError, 0
	}
	step := (t.last - t.first) / drawCells
	for i := range t.low {
		q := min(t.first+float64(i)*step, t.last)
		if t.low[i] = low.headAt(q); t.label {
			t.high[i] = high.headAt(q)
		}
		if i > 0 && (t.low[i] > t.low[i-1] || t.high[i] > t.high[i-1]) {
			t.falls = false
		}
	}
	t.perStep, t.perLost = 1/step, float64(len(t.lost)-1)/(t.last*(1+t.in))
	for i := 1; i < len(t.lost) && circuit.Branched(); i++ {
		if t.lostTo(i) < t.lost[i-1] {
			t.falls = false // a branch that opens
		}
	}
	return t
}

// Flow returns the stable flow of a draw, as Operation.LeastFlow tells it: 0 where nothing
// flows, the last point's where the pump runs off its curve. With near above 0 it is only
// asked whether the draw reaches that: one further off than a cell of the table comes out
// as nothing or as the most that the pump gives.
func (t *Drawn) Flow(l *Luck, near units.Flow) units.Flow {
	if near > 0 {
		return units.Flow(t.flow(l, float64(near)/t.lines, true) * t.lines)
	}
	t.before = t.flow(l, t.before, false)
	return units.Flow(t.before * t.lines)
}

// lostTo returns the head lost at step i.
func (t *Drawn) lostTo(i int) float64 {
	if t.lost[i] == 0 && i > 0 {
		t.lost[i] = t.circuit.needs(float64(i)/t.perLost) - t.lift
	}
	return t.lost[i]
}

// Between returns values at place x of their index, straight between two of them.
func Between(values []float64, x float64) float64 {
	k := max(0, min(int(x), len(values)-2))
	return values[k] + (x-float64(k))*(values[k+1]-values[k])
}

// surplus is what the pump gives at q above what the line asks for: off its curve by the
// draw in flow, where it is as at perFactor of q, or in head, whichever goes further.
func (t *Drawn) surplus(q, perFactor float64, l *Luck) float64 {
	x := q * t.perLost
	k := min(int(x), len(t.lost)-2)
	lost := t.lostTo(k)
	lost += (x - float64(k)) * (t.lostTo(k+1) - lost)
	at := (q*perFactor - t.first) * t.perStep
	head := Between(t.low[:], at)
	if t.label {
		head += l.Shape * (Between(t.high[:], at) - head)
	} else if b := Between(t.low[:], (q-t.first)*t.perStep) * (1 + t.up*l.Curve); t.up != 0 && b > head == (l.Curve > 0) {
		head = b
	}
	return head - (t.lift + float64(l.Lift)) - l.Losses*lost - l.Dirt.Resistance*q*q
}

// flow returns the lowest flow at which the surplus of a draw turns into a lack. Where
// there is one crossing it is sought about near first, and no further where only the side
// of that is asked.
func (t *Drawn) flow(l *Luck, near float64, side bool) float64 {
	factor := 1 + t.in*l.Curve // the curve ends where it does
	from, to, perFactor := t.first*max(1, factor), t.last*factor, 1/factor
	cell := (to - from) / drawCells
	lo, hi, most := 0, drawCells, 0.0 // cells that the crossing may lie in
	next := (near - from) / cell
	side = side && t.falls
	for lo < hi {
		k := lo
		if t.falls {
			k = max(lo, min(int(next), hi-1))
		}
		a, b := from+float64(k)*cell, from+float64(k+1)*cell
		fb := t.surplus(b, perFactor, l)
		if most = 0; fb > 0 {
			most = to
		}
		if side && fb > 0 {
			return most
		}
		fa := t.surplus(a, perFactor, l)
		if fa > 0 && fb <= 0 {
			return max(a, min(b, a+(b-a)*fa/(fa-fb)))
		}
		switch {
		case side:
			return most
		case t.falls && fa <= 0:
			hi = k
		default:
			lo = k + 1
		}
		next = float64(k) + math.Floor(fa/(fa-fb))
	}
	return most
}
