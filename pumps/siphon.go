package pumps

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// SweepingFroude is the Froude number v/sqrt(g D) at and above which water that
// flows down a pipe is taken to carry its air along. From memory: work on air
// pockets in falling pipes finds 0.9 to 1.2 for steep ones (Kalinske and Bliss
// 1943; Wisner, Mohsen and Kouwen 1975; Escarameia 2007: 0.61 + 0.56 sqrt(sine of
// the slope)).
const SweepingFroude = 1.0

// Froude returns the Froude number of flow q in f's pipe.
//
//	Fr = v / sqrt(g D)
func (f Feed) Froude(q units.Flow) float64 {
	return float64(f.Velocity(q)) / math.Sqrt(gravity*float64(f.Bore))
}

// siphonNotes returns the doubts about a line that is counted on to draw itself
// over a crest that is not open to air: whether this pump, at the low end of its
// head's tolerance, lifts water to the crest at all, and what flows until the
// falling pipe is full. o is how it runs once that is.
func (p Pump) siphonNotes(o Operation, s float64, circuit *System) []data.Warning {
	if o.LeastFlow() == 0 || o.NoStart || circuit.Restart() <= circuit.Lift() {
		return nil
	}
	var notes data.Doubts
	c, crest := p.Curve(s), circuit.Restart()
	h0, whole := c.ShutOff()
	if low := h0 * units.Length(1-p.spec.Tolerance.Head); whole && low <= crest {
		notes.Say("crest", "the pump gives {%.3g m} at no flow, and {%.3g m} at the low end of its tolerance: "+
			"that does not lift water over the crest of {%.3g m}, so it may not start on an empty line", float64(h0), float64(low),
			float64(crest))
	}
	if circuit.Branched() { // falling water would be shared among branches by its own level
		return notes
	}
	open := *circuit
	open.lift = open.restart
	d, status := Solve(c, &open)
	q := d.Flow
	if status == BeyondCurve {
		q = c.Last()
	}
	if q == 0 {
		return notes
	}
	feeds := circuit.Feeds()
	last := feeds[len(feeds)-1]
	fr := last.Froude(q)
	then := "that usually carries the air out of a falling pipe"
	if fr < SweepingFroude {
		then = "below about 1 the air is not surely carried out of the falling pipe, and the flow may stay there: measure it, or count " +
			"on it"
	}
	notes.Say("crest", "until the siphon over the crest is full the pump lifts to the crest itself: "+
		"about {%.4g L/h}, {%.2g m/s} in the last pipe, Froude number %.2g; %s (from memory)",
		q.In(units.LitrePerHour)*float64(p.Lines()), float64(last.Velocity(q)), fr, then)
	return notes
}
