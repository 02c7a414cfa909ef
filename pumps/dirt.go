package pumps

import (
	"fmt"

	"sunrill/data"
	"sunrill/data/units"
)

// Dirt is what gathers in strainer, hose and bed between cleanings, taken as
// one resistance in the line. The zero value is clean.
//
//	h = k Q²
type Dirt struct {
	Resistance float64 // k [s²/m⁵]
}

// FitDirt returns the dirt with which the curve, on circuit, loses share of its
// clean flow. Fit it once, on the reference pump, and meet every other pump and
// speed with the same dirt: the strainer does not know which pump it is on.
//
//	k = ( Hp(Qd) - Hs(Qd) )/Qd²,  Qd = (1 - share) Qclean
//
// A pump that runs off its curve's end is taken at its last point, with a
// warning. share is 0 to 0.9. It is false where the pump has no point to lose from.
func FitDirt(c Curve, circuit *System, share float64) (_ Dirt, warnings data.Doubts, fits bool) {
	o := Operate(c, circuit)
	clean := o.LeastFlow()
	if clean == 0 || share == 0 { // also off the curve's end, whose last point would ask for some
		return Dirt{}, nil, clean > 0
	}
	if o.Status == BeyondCurve {
		warnings.Say("upkeep", "the reference pump runs off the end of its curve, so dirt is fitted to its last point and comes out high")
	}
	dirty := units.Flow(1-share) * clean
	d, err := DirtAt(c, circuit, dirty)
	if err != nil {
		return Dirt{}, nil, false
	}
	if duty, _ := Solve(c, circuit.WithDirt(d)); duty.Flow < dirty*(1-1e-6) || duty.Flow > dirty*(1+1e-6) {
		warnings.Say("upkeep", "with that much dirt the reference pump has no steady point at the dirty flow, because its curve rises "+
			"there")
	}
	return d, warnings, true
}

// DirtAt returns the dirt with which the curve gives flow q on circuit, for a
// flow above 0 that was measured. A flow above the clean one is not dirt: then the
// result is the zero Dirt. The error wraps ErrOutsideCurve.
func DirtAt(c Curve, circuit *System, q units.Flow) (Dirt, error) {
	k, err := AddedResistance(c, circuit, q)
	return Dirt{Resistance: max(0, k)}, err
}

// AddedResistance returns the resistance [s²/m⁵] that, added to circuit, makes
// c give the measured flow q above 0; below 0 where more flows than the clean line
// should let through. The errors are those of DirtAt.
func AddedResistance(c Curve, circuit *System, q units.Flow) (float64, error) {
	head, err := c.Head(q)
	if err != nil {
		return 0, fmt.Errorf("the flow lies %w", err)
	}
	return (float64(head) - circuit.needs(float64(q))) / float64(q*q), nil
}
