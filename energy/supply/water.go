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

// Solve returns the duty of all the pumps at a speed, as a share of the
// curve's; Flow is 0 where they do not lift.
type Solve func(speed float64) (Duty, error)

// SolveOn returns the duty of a pump on a circuit at any speed: the curve by
// the affinity laws, met with the circuit again at each speed. Where the pump
// does not lift, nothing flows and the power is that of the curve's first
// point; off the curve's end, the last point's flow and power are what can be
// counted on. A pump whose power nothing says is an error, since no load can be
// told from it.
func SolveOn(p pumps.Pump, circuit pumps.Circuit) (Solve, error) {
	if p.PowerSource() == pumps.NoPower {
		return nil, noPower(p)
	}
	return func(speed float64) (Duty, error) {
		if !(speed > 0) {
			return Duty{}, units.Errorf("supply: no duty at speed %g", speed)
		}
		d, status := p.Duty(speed, circuit)
		switch status {
		case pumps.NoLift, pumps.BelowCurve:
			return Duty{Power: p.Power(0, speed)}, nil
		case pumps.BeyondCurve:
			c := p.Curve(speed)
			h, err := c.Head(c.Last())
			if err != nil {
				return Duty{}, err
			}
			q := c.Last()
			if s := p.Spec(); s.OwnLines {
				q *= units.Flow(s.Count)
			}
			return Duty{Flow: q, Head: h, Power: p.Power(q, speed)}, nil
		}
		return Duty{Flow: d.Flow, Head: d.Head, Power: d.Power}, nil
	}, nil
}

// noPower returns the fault of a pump whose watts nothing says.
func noPower(p pumps.Pump) error {
	return &data.Error{Key: "pump.metered_power", Message: "nothing says what " + p.Name() + " draws", Allowed: "metered_power, a power column in the curve, or the label's watts"}
}
