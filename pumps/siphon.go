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

// siphons reports whether o is counted on to run by a siphon that the pump can
// start.
func siphons(o Operation, circuit Circuit) bool {
	return o.LeastFlow() > 0 && circuit.Restart() > circuit.Lift() && !o.NoStart
}

// weakest returns a head at the low end of the pump's tolerance.
func (p Pump) weakest(h units.Length) units.Length {
	return h * units.Length(1-p.spec.Tolerance.Head)
}

// siphonNotes returns the doubts about a line that is counted on to draw itself over a
// crest that is not open to air: whether this pump, at the low end of its head's
// tolerance, lifts water to the crest at all, and what flows until the falling pipe is
// full. o is how the pump runs once it is.
func (p Pump) siphonNotes(o Operation, s float64, circuit Circuit) (notes []data.Warning) {
	if !siphons(o, circuit) {
		return nil
	}
	if h0, whole := p.Curve(s).ShutOff(); whole && p.weakest(h0) <= circuit.Restart() {
		notes = append(notes, data.Warning{Key: "crest", Message: units.Sprintf(
			"the pump gives %.3g m at no flow, and %.3g m at the low end of its tolerance: that does not lift water over the crest of %.3g m, so it may not start on an empty line",
			float64(h0), float64(p.weakest(h0)), float64(circuit.Restart()))})
	}
	if w, is := p.untilFull(s, circuit); is {
		notes = append(notes, w)
	}
	return notes
}

// untilFull says what flows over the crest while it lets the water fall freely
// and whether that carries the air out; is is false where nothing flows or the
// branches share that water.
func (p Pump) untilFull(s float64, circuit Circuit) (w data.Warning, is bool) {
	vented, ok := circuit.vented()
	if !ok {
		return w, false
	}
	c := p.Curve(s)
	d, status := Solve(c, vented)
	q := d.Flow
	switch status {
	case BeyondCurve:
		q = c.Last()
	case NoLift, BelowCurve:
		return w, false
	}
	feeds := circuit.Feeds()
	last := feeds[len(feeds)-1]
	fr := last.Froude(q)
	then := "that usually carries the air out of a falling pipe"
	if fr < SweepingFroude {
		then = "below about 1 the air is not surely carried out of the falling pipe, and the flow may stay there: measure it, or count on it"
	}
	v := float64(last.Velocity(q))
	if p.spec.OwnLines {
		q *= units.Flow(p.spec.Count)
	}
	return data.Warning{Key: "crest", Message: units.Sprintf(
		"until the siphon over the crest is full the pump lifts to the crest itself: about %.4g L/h, %.2g m/s in the last pipe, Froude number %.2g; %s (from memory)",
		q.In(units.LitrePerHour), v, fr, then)}, true
}
