package supply

import (
	"sunrill/data/units"
)

// VoltageBehaviour says what a DC pump does when its voltage changes.
type VoltageBehaviour string

// The behaviours.
const (
	Follows   VoltageBehaviour = "follows"   // speed in proportion to voltage
	Regulated VoltageBehaviour = "regulated" // electronics hold the speed
)

// Motor is the electrical side of a pump.
type Motor struct {
	Name      string
	AC        bool
	Voltage   units.Voltage    // rated: the one its curve was taken at
	Behaviour VoltageBehaviour // of a DC pump
	// Slows reports whether the pump can be slowed at all; LeastSpeed is the
	// lowest share of the curve's speed that its electronics allow.
	Slows      bool
	LeastSpeed float64
}

// speeds words the speeds a motor can run at.
func (m Motor) speeds() string {
	if !m.Slows {
		return "100 %, since this pump cannot be slowed (pump.speed_control)"
	}
	return units.Sprintf("%g to 150 %%", 100*m.LeastSpeed)
}

// Lossless returns the speed that a motor asked for a speed has where feed reaches it
// without loss: asked for full speed, one that follows its voltage takes what it is given.
func (m Motor) Lossless(asked float64, feed units.Voltage) float64 {
	if m.AC || m.Behaviour != Follows {
		return asked
	}
	most := float64(feed / m.Voltage)
	if asked == 1 {
		return most
	}
	return min(asked, most)
}
