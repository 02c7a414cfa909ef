package pumps

import (
	"errors"
	"fmt"
	"sort"

	"gonum.org/v1/gonum/interp"

	"sunrill/data"
	"sunrill/data/units"
)

// Point is one row of a pump curve at full speed. Power is what the pump
// draws; 0 means that the curve does not say.
type Point struct {
	Flow  units.Flow
	Head  units.Length
	Power units.Power
}

// Curve is the head, and where known the power, that a pump gives at each
// flow: a monotone cubic through its points, never beyond them. The zero value
// is not a curve; make one with NewCurve or from a Label.
//
// Source of the interpolation: F. N. Fritsch and J. Butland, SIAM J. Sci.
// Stat. Comput. 5 (1984) 300. It rises and falls only where the points do.
type Curve struct {
	points []Point
	flow   []float64 // of points [m³/s]
	lift   []float64 // of points [m]
	head   *interp.FritschButland
	power  *interp.FritschButland // nil if the curve has no power

	label bool    // two numbers only: H = H0 (1 - x) (1 + shape x), x = Q/Qmax
	shape float64 // 0 for the straight line, 1 for the parabola

	// What stretches the measured points: speed, several pumps on one line,
	// tolerance.
	byFlow, byHead, byPower float64
}

// ErrOutsideCurve is returned for a flow below a curve's first point or above
// its last. Nothing is extrapolated.
var ErrOutsideCurve = errors.New("outside the pump curve")

// NewCurve returns the curve through points, in any order. Two points or more
// are needed, no flow twice, and a curve that somewhere falls. Power is needed
// at every point or at none. The error joins every fault found.
func NewCurve(points []Point) (Curve, error) {
	ps := append([]Point(nil), points...)
	sort.SliceStable(ps, func(i, j int) bool { return ps[i].Flow < ps[j].Flow })
	if err := checkPoints(ps); err != nil {
		return Curve{}, err
	}
	c := Curve{points: ps, byFlow: 1, byHead: 1, byPower: 1}
	watts := make([]float64, len(ps))
	for i, p := range ps {
		c.flow = append(c.flow, float64(p.Flow))
		c.lift = append(c.lift, float64(p.Head))
		watts[i] = float64(p.Power)
	}
	c.head = new(interp.FritschButland)
	err := c.head.Fit(c.flow, c.lift)
	if ps[0].Power > 0 {
		c.power = new(interp.FritschButland)
		err = errors.Join(err, c.power.Fit(c.flow, watts))
	}
	if err != nil {
		panic("pumps: points that were checked do not fit: " + err.Error())
	}
	return c, nil
}

// warmDensity is that of water at 25 C [kg/m3]: a curve need not say how warm its
// water was.
const warmDensity = 997

func checkPoints(ps []Point) error {
	var faults data.FaultList
	at := func(i int, key string) string { return fmt.Sprintf("point %d: %s", i+1, key) }
	bad := func(i int, key, found, message, allowed string) {
		faults.Add(&data.Error{Key: at(i, key), Found: found, Message: message, Allowed: allowed})
	}
	if len(ps) < 2 {
		return &data.Error{Key: "pump curve", Found: fmt.Sprintf("%d", len(ps)),
			Message: "too few points", Allowed: "two points or more"}
	}
	watts, unknown, falls := 0, 0, false
	for i, p := range ps {
		q := p.Flow.In(units.LitrePerHour)
		faults.Want(q >= 0 && q <= 1e7, at(i, "flow"), p.Flow, "0 L/h to 1e7 L/h")
		faults.Want(p.Head >= 0 && p.Head <= 1000, at(i, "head"), p.Head, "0 m to 1000 m")
		faults.Want(p.Power >= 0 && p.Power <= 1e6, at(i, "power"), p.Power, "0 W to 1e6 W")
		if gives := HydraulicPower(p.Flow, p.Head, Water{Density: warmDensity}); p.Power > 0 && gives > p.Power {
			bad(i, "power", units.Sprintf("%.4g W", float64(p.Power)), units.Sprintf(
				"the pump would give the water more power than it draws: %.4g L/h against %.4g m take %.4g W", q, float64(p.Head),
				float64(gives)),
				"more than that: small pumps draw two to five times what their water takes")
		}
		if p.Power > 0 {
			watts++
		} else {
			unknown = i
		}
		if i > 0 {
			// Closer than this is the same reading, and no slope can be drawn.
			if ps[i-1].Flow > p.Flow*(1-1e-9) {
				bad(i, "flow", p.Flow.String(), "given twice", "each flow once")
			}
			falls = falls || p.Head < ps[i-1].Head
		}
	}
	if watts != 0 && watts != len(ps) {
		bad(unknown, "power", fmt.Sprintf("power at %d of %d points", watts, len(ps)),
			"power is missing at some points", "power above 0 at every point, or at none")
	}
	if !falls && faults.Empty() {
		return &data.Error{Key: "head", Message: "the head never falls as the flow grows",
			Found:   fmt.Sprintf("%v at first, %v at last", ps[0].Head, ps[len(ps)-1].Head),
			Allowed: "a pump curve, which falls towards its largest flow"}
	}
	return faults.Err()
}

// Points returns the points as stretched by speed and number of pumps.
func (c Curve) Points() []Point {
	ps := make([]Point, len(c.points))
	for i, p := range c.points {
		ps[i] = Point{Flow: p.Flow * units.Flow(c.byFlow), Head: p.Head * units.Length(c.byHead),
			Power: p.Power * units.Power(c.byPower)}
	}
	return ps
}

// First returns the lowest flow that the curve covers.
func (c Curve) First() units.Flow { return units.Flow(c.flow[0] * c.byFlow) }

// Last returns the highest flow that the curve covers.
func (c Curve) Last() units.Flow { return units.Flow(c.flow[len(c.flow)-1] * c.byFlow) }

// HasPower reports whether the curve gives power.
func (c Curve) HasPower() bool { return c.power != nil }

// ShutOff returns the head at no flow, and false where the curve does not
// begin at zero flow and so does not say.
func (c Curve) ShutOff() (units.Length, bool) {
	if c.flow[0] > 0 {
		return 0, false
	}
	return units.Length(c.lift[0] * c.byHead), true
}

// Head returns the head at flow q, or ErrOutsideCurve.
func (c Curve) Head(q units.Flow) (units.Length, error) {
	if !c.covers(q) {
		return 0, c.outside(q)
	}
	return units.Length(c.headAt(float64(q))), nil
}

// Power returns the power drawn at flow q, or ErrOutsideCurve; 0 where the
// curve has no power.
func (c Curve) Power(q units.Flow) (units.Power, error) {
	if !c.covers(q) {
		return 0, c.outside(q)
	}
	return units.Power(c.powerAt(float64(q))), nil
}

func (c Curve) covers(q units.Flow) bool { return q >= c.First() && q <= c.Last() }

func (c Curve) outside(q units.Flow) error {
	return units.Errorf("%w: %.4g L/h is not between %.4g and %.4g L/h", ErrOutsideCurve,
		q.In(units.LitrePerHour), c.First().In(units.LitrePerHour), c.Last().In(units.LitrePerHour))
}

// headAt returns the head [m] at q [m³/s] on the curve. The interpolant holds
// its end values outside, where no caller asks.
func (c *Curve) headAt(q float64) float64 {
	x := q / c.byFlow
	if c.label {
		x /= c.flow[len(c.flow)-1]
		return c.byHead * c.lift[0] * (1 - x) * (1 + c.shape*x)
	}
	return c.byHead * c.head.Predict(x)
}

// powerAt returns the power [W] at q [m³/s], 0 if not known.
func (c *Curve) powerAt(q float64) float64 {
	if c.power == nil {
		return 0
	}
	return c.byPower * c.power.Predict(q/c.byFlow)
}

func (c Curve) stretched(flow, head, power float64) Curve {
	c.byFlow *= flow
	c.byHead *= head
	c.byPower *= power
	return c
}
