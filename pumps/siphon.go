package pumps

import (
	"sunrill/data"
	"sunrill/data/units"
)

// siphonNotes returns the doubt about a line that is counted on to draw itself over a
// crest that is not open to the air: whether this pump, at the low end of its head's
// tolerance, lifts water to the crest at all. o is how it runs once that is.
func (p Pump) siphonNotes(o Operation, s float64, circuit *System) (notes data.Doubts) {
	h0, whole := p.Curve(s).ShutOff()
	low, crest := h0*units.Length(1-p.spec.Tolerance.Head), circuit.Restart()
	if o.LeastFlow() > 0 && !o.NoStart && crest > circuit.Lift() && whole && low <= crest {
		notes.Say("crest", "the pump gives {%.3g m} at no flow, and {%.3g m} at the low end of its tolerance: "+
			"that does not lift water over the crest of {%.3g m}, so it may not start on an empty line", float64(h0), float64(low),
			float64(crest))
	}
	return notes
}
