package energy

import (
	"fmt"

	"sunrill/data/units"
	"sunrill/pumps"
)

// SolveOn returns the duty of a pump's curve on a circuit at any speed: the
// curve by the affinity laws, met with the circuit again at each speed. Where
// the pump does not lift, nothing flows and the power is that of the curve's
// first point; off the curve's end, the last point's flow and power are what
// can be counted on. Power is 0 where the curve has none: give it by PowerScale
// and label.
func SolveOn(curve pumps.Curve, circuit pumps.Circuit, label units.Power) Solve {
	return func(speed float64) (Duty, error) {
		if !(speed > 0) {
			return Duty{}, fmt.Errorf("energy: no duty at speed %g", speed)
		}
		c := curve.AtSpeed(speed)
		d, status := pumps.Solve(c, circuit)
		out := Duty{Flow: d.Flow, Head: d.Head, Power: d.Power}
		switch status {
		case pumps.NoLift, pumps.BelowCurve:
			p, err := c.Power(c.First())
			if err != nil {
				return Duty{}, err
			}
			out = Duty{Power: p}
		case pumps.BeyondCurve:
			p, err := c.Power(c.Last())
			if err != nil {
				return Duty{}, err
			}
			h, err := c.Head(c.Last())
			if err != nil {
				return Duty{}, err
			}
			out = Duty{Flow: c.Last(), Head: h, Power: p}
		}
		if !curve.HasPower() {
			out.Power = label * units.Power(speed*speed*speed)
		}
		return out, nil
	}
}
