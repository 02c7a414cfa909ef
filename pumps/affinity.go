package pumps

import (
	"math"

	"sunrill/data/units"
)

// AtSpeed returns the curve at speed ratio s of the speed it was measured at.
//
//	Q = s Q1,  H = s² H1,  P = s³ P1
//
// The laws move each point of the curve to a point of the new one. They do not
// say what flows: the new curve has to meet the system again, and with a lift
// the flow falls much faster than the speed. Power as the cube is an
// idealisation: small motors and their electronics lose efficiency when
// slowed. s must be above 0.
//
// Source: the affinity laws of pumps, for example Crane TP-410, chapter 7.
func (c Curve) AtSpeed(s float64) Curve { return c.stretched(s, s*s, s*s*s) }

// Parallel returns the curve of n equal pumps that push into one line: n times
// the flow and the power at the same head.
func (c Curve) Parallel(n int) Curve { return c.stretched(float64(n), 1, float64(n)) }

// LeastSpeed returns the speed ratio at which the shut-off head only just
// equals lift, so that at and below it nothing flows.
//
//	s = sqrt(lift / H0)
//
// False where the curve does not begin at zero flow. A curve that rises before
// it falls keeps some flow below this speed once running, but does not start.
func (c Curve) LeastSpeed(lift units.Length) (float64, bool) {
	h0, ok := c.ShutOff()
	if !ok || h0 <= 0 {
		return 0, false
	}
	return math.Sqrt(max(0, float64(lift/h0))), true
}
