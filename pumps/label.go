package pumps

import (
	"gonum.org/v1/gonum/interp"

	"sunrill/data/units"
)

// Label is what a box prints of a pump: the flow at no lift, the head at no
// flow and, if it is there, the watts. It stands for the curves between two, never for
// one.
//
//	low:    H = H0 (1 - x),  x = Q/Qmax
//	middle: the mean of both
//	high:   H = H0 (1 - x²)
//
// Measured centrifugal curves lie mostly between. Against the pump of C. Schaschke,
// Fluid Mechanics: Worked Examples for Engineers, problem 9.11, on a lift of 4 m, the
// straight line is 17 % low in flow, the middle 4 % and the parabola 9 % high (checks CF4
// and CF5, which are held); on a second published curve the parabola was 7 % low, from
// memory. Even the bracket is no guarantee.
type Label struct {
	Flow  units.Flow   // Qmax, above 0
	Head  units.Length // H0, above 0
	Power units.Power  // 0 if not printed
}

// MiddleShape is that of the curve half way between the two of a label.
const MiddleShape = 0.5

func (l Label) curve(shape float64) Curve {
	c := Curve{
		points: []Point{{Flow: 0, Head: l.Head, Power: l.Power}, {Flow: l.Flow, Head: 0, Power: l.Power}},
		flow:   []float64{0, float64(l.Flow)}, lift: []float64{float64(l.Head), 0},
		label: true, shape: shape, byFlow: 1, byHead: 1, byPower: 1,
	}
	if l.Power > 0 {
		c.power = new(interp.FritschButland)
		w := float64(l.Power)
		if err := c.power.Fit(c.flow, []float64{w, w}); err != nil {
			panic("pumps: two points do not fit: " + err.Error())
		}
	}
	return c
}

// ShapeAt returns the shape of the curve between the label's two, 0 for its straight
// line and 1 for its parabola, with which flow q flows on circuit at speed ratio s; held
// to 0 and 1. It is for a pump of which only a label is known.
//
//	H/H0 = 1 - (1-w) x - w x²,  x = Q/Qmax
func (p Pump) ShapeAt(s float64, circuit *System, q units.Flow) float64 {
	c := p.Curve(s)
	h0, _ := c.ShutOff()
	x := float64(q / c.Last())
	return max(0, min(1, (x-1+float64(circuit.HeadAt(q)/h0))/(x-x*x)))
}

// Shaped returns a pump of which only a label is known with a curve of that shape.
func (p Pump) Shaped(shape float64) Pump {
	c := p.spec.Label.curve(shape)
	c.power = nil // its watts are the label's
	p.low, p.middle, p.high, p.labelled = c, c, c, false
	return p
}
