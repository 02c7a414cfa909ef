package supply

import (
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Duty is what flows and what the pumps draw at some speed.
type Duty struct {
	Flow  units.Flow
	Head  units.Length
	Power units.Power // at the pumps' own leads
}

// Solve returns the duty of all the pumps at a speed above 0, as a share of the
// curve's; Flow is 0 where they do not lift.
type Solve func(speed float64) Duty

// SolveOn returns the duty of a pump on a circuit at any speed: the curve by
// the affinity laws, met with the circuit again at each speed. Where the pump
// does not lift, nothing flows and the power is that of the curve's first
// point; off the curve's end, the last point's flow and power are what can be
// counted on. A pump whose power nothing says is an error, since no load can be
// told from it.
func SolveOn(p pumps.Pump, circuit *pumps.System) (Solve, error) {
	if p.PowerSource() == pumps.NoPower {
		return nil, &data.Error{Key: "pump.metered_power", Message: "nothing says what " + p.Name() + " draws",
			Allowed: "metered_power, a power column in the curve, or the label's watts"}
	}
	return func(speed float64) Duty {
		d, status := p.Duty(speed, circuit)
		switch status {
		case pumps.NoLift, pumps.BelowCurve:
			return Duty{Power: p.Power(0, speed)}
		case pumps.BeyondCurve:
			c, q := p.Curve(speed), p.FreeFlow(speed)
			h, _ := c.Head(c.Last()) // its own end
			return Duty{Flow: q, Head: h, Power: p.Power(q, speed)}
		}
		return Duty{Flow: d.Flow, Head: d.Head, Power: d.Power}
	}, nil
}
