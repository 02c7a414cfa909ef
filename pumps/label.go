package pumps

import (
	"gonum.org/v1/gonum/interp"

	"sunrill/data"
	"sunrill/data/units"
)

// Label is what a box prints of a pump: the flow at no lift, the head at no
// flow and, if it is there, the watts. It stands for two curves, never one.
//
//	low:  H = H0 (1 - Q/Qmax)
//	high: H = H0 (1 - (Q/Qmax)²)
//
// Measured centrifugal curves lie mostly between. Against the pump of C. Schaschke,
// Fluid Mechanics: Worked Examples for Engineers, problem 9.11, on a lift of 4 m, the
// straight line is 17 % low in flow and the parabola 9 % high (checks CF4 and CF5,
// which are held). On a second published curve the parabola was 7 % low; which curve
// was not written down, so that figure is from memory and not held by a test. Even
// the bracket is no guarantee.
type Label struct {
	Flow  units.Flow   // Qmax
	Head  units.Length // H0
	Power units.Power  // 0 if not printed
}

// Curves returns the straight line and the parabola of the label, or every
// fault of it.
func (l Label) Curves() (low, high Curve, err error) {
	var faults data.FaultList
	q := l.Flow.In(units.LitrePerHour)
	faults.Want(q > 0 && q <= 1e7, "label.flow", l.Flow, "above 0 L/h, up to 1e7 L/h")
	faults.Want(l.Head > 0 && l.Head <= 1000, "label.head", l.Head, "above 0 m, up to 1000 m")
	faults.Want(l.Power >= 0 && l.Power <= 1e6, "label.power", l.Power, "0 W to 1e6 W")
	if err := faults.Err(); err != nil {
		return Curve{}, Curve{}, err
	}
	return l.curve(1), l.curve(2), nil
}

func (l Label) curve(exponent float64) Curve {
	c := Curve{
		points: []Point{{Flow: 0, Head: l.Head, Power: l.Power}, {Flow: l.Flow, Head: 0, Power: l.Power}},
		flow:   []float64{0, float64(l.Flow)}, lift: []float64{float64(l.Head), 0},
		exponent: exponent, byFlow: 1, byHead: 1, byPower: 1,
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
