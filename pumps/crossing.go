package pumps

import "math"

// mostCrossings bounds the crossings kept. A curve with more humps than that
// is noise, and the first stable crossing is among the first two.
const mostCrossings = 16

// crossing is where the pump's head minus the circuit's changes sign.
type crossing struct {
	flow   float64 // m³/s
	stable bool    // from surplus to shortfall as the flow grows
}

// meeting walks along a pump curve and notes every change of sign of
//
//	g(Q) = pump head - circuit head
//
// It holds its curve and crossings by value, so that a solve stays off the heap.
type meeting struct {
	curve   Curve
	circuit *System
	found   [mostCrossings]crossing
	n       int
	tol     float64 // m³/s
	q, g    float64 // where the walk stands
	side    float64 // the last g that was not zero
	touched bool    // g was exactly zero at flow zero, after side
	zero    float64
}

func (m *meeting) crossings() []crossing { return m.found[:m.n] }

// walk finds every crossing and returns the status.
func (m *meeting) walk() Status {
	c := &m.curve
	first, last := float64(c.First()), float64(c.Last())
	m.tol = 1e-12 * last
	start := m.surplus(first)
	if rounding := 16 * epsilon * c.headAt(first); math.Abs(start) <= rounding {
		start = 0
	}
	m.arrive(first, start)
	for i := 1; i < len(c.flow); i++ {
		q := c.flow[i] * c.byFlow
		if c.label || c.lift[i] <= c.lift[i-1] {
			// The pump's head falls or stays, the circuit's rises or stays:
			// at most one crossing.
			m.step(q)
		} else {
			m.climb(q)
		}
	}
	if m.touched {
		m.note(m.zero, m.side > 0)
	}
	for _, x := range m.crossings() {
		// The pump comes up from rest to the first stable crossing and stays, even
		// if its curve dips there and has head to spare at its end.
		if x.stable {
			return Meets
		}
	}
	switch {
	case m.g > 0:
		return BeyondCurve
	case first > 0 && start < 0:
		return BelowCurve
	}
	return NoLift
}

// surplus returns g at q.
func (m *meeting) surplus(q float64) float64 { return m.curve.headAt(q) - m.circuit.needs(q) }

// step moves on to q and notes the crossing on the way, if there is one.
func (m *meeting) step(q float64) {
	g := m.surplus(q)
	if m.g > 0 && g < 0 || m.g < 0 && g > 0 {
		m.note(root(m.surplus, m.q, q, m.tol), m.g > 0)
	}
	m.arrive(q, g)
}

// arrive takes note of g at q. A zero that falls on a knot becomes a crossing
// once the sign after it is known; a mere touch is no place to run.
func (m *meeting) arrive(q, g float64) {
	m.q, m.g = q, g
	if g == 0 {
		if !m.touched {
			m.touched, m.zero = true, q
		}
		return
	}
	if m.touched {
		m.note(m.zero, m.side >= 0 && g < 0)
		m.touched = false
	}
	m.side = g
}

// climb moves on to q along a part of the curve that rises with the flow. There
// the circuit may be crossed twice, so the part is cut in pieces, and a piece in
// which g may come near zero and turn back is looked at more closely.
func (m *meeting) climb(q float64) {
	const pieces = 8
	var at, g [pieces + 1]float64
	for i := range at {
		at[i] = m.q + (q-m.q)*float64(i)/pieces
		g[i] = m.surplus(at[i])
	}
	for i := 1; i <= pieces; i++ {
		nears := i == 1 || math.Abs(g[i-1]) <= math.Abs(g[i-2])
		leaves := i == pieces || math.Abs(g[i]) <= math.Abs(g[i+1])
		if nears && leaves && g[i-1]*g[i] > 0 {
			away := math.Copysign(1, g[i])
			turn := peak(func(x float64) float64 { return -away * m.surplus(x) }, at[i-1], at[i], 1e-6*(at[i]-at[i-1]))
			m.step(turn)
		}
		m.step(at[i])
	}
}

// note keeps a crossing, but for one at no flow: there the pump only just holds
// the water up.
func (m *meeting) note(q float64, stable bool) {
	if q > 0 && m.n < len(m.found) {
		m.found[m.n] = crossing{flow: q, stable: stable}
		m.n++
	}
}
