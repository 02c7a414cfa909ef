package pumps

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// Return is the pipe that leads from the filter back to the pond by gravity, within the
// ranges that a plan takes.
type Return struct {
	Bore       units.Length
	Length     units.Length
	Fall       float64      // drop over length: 0.01 is 1 cm a metre
	Manning    float64      // n; about 0.010 for smooth plastic
	EntranceK  float64      // of the mouth; 0.5 where it is flush and sharp
	Freeboard  units.Length // from the invert of the mouth up to where the tank spills; 0 if not known
	ScreenArea units.Area   // holes of the screen before the mouth; 0 for none
	Blocked    float64      // share of the screen that leaves close
	LipWidth   units.Length // of a straight lip in place of the pipe; 0 for a pipe
}

// ReturnLevel is the water that the tank holds to drive a flow into the return.
type ReturnLevel struct {
	Level     units.Length // above the invert of the mouth: mouth, pipe and screen together
	Mouth     units.Length // what the mouth and the pipe need
	Screen    units.Length // what the screen adds
	Depth     units.Length // of the water in the pipe just inside the mouth
	Full      bool         // the pipe fills
	Freeboard units.Length // left over; below zero the tank spills
	Spills    bool
	Warnings  data.Doubts
}

// screenCd is the discharge coefficient of a screen's holes, that of a sharp
// orifice. Common practice, no source.
const screenCd = 0.6

// Level returns the level above the invert at which the return takes flow q.
//
// The water has to pass the mouth at critical depth, or, where the pipe is too
// flat for that, to stand at the depth that the pipe behind holds back: the
// drawdown profile from the free fall at the far end is followed up to the
// mouth (direct step method), and a pipe that fills goes on under pressure.
//
//	level = E + Ke V²/2g + (Q/(Cd A))²/2g,  E = y + V²/2g
//
// A is the part of the screen's holes that is open. The far end is taken to
// fall free into the pond.
//
// Source: Chow, Open-Channel Hydraulics, 1959, chapters 4 and 10.
func (r Return) Level(q units.Flow) ReturnLevel {
	l := r.level(q)
	if q > 0 {
		l.Warnings = r.notes(l)
	}
	return l
}

// level is Level without doubts.
func (r Return) level(q units.Flow) ReturnLevel {
	if q <= 0 {
		return ReturnLevel{Freeboard: r.Freeboard}
	}
	l := ReturnLevel{Mouth: overLip(r.LipWidth, q)}
	if r.LipWidth == 0 {
		l = r.mouth(q)
	}
	if r.ScreenArea > 0 {
		u := float64(q) / (screenCd * float64(r.ScreenArea) * (1 - r.Blocked))
		l.Screen = units.Length(u * u / (2 * gravity))
	}
	l.Level = l.Mouth + l.Screen
	if r.Freeboard > 0 {
		l.Freeboard = r.Freeboard - l.Level
		l.Spills = l.Freeboard < 0
	}
	return l
}

// SpillsAt returns the flow at which a tank of known freeboard spills, false where it takes
// even most.
func (r Return) SpillsAt(most units.Flow) (units.Flow, bool) {
	left := func(q float64) float64 { return float64(r.level(units.Flow(q)).Freeboard) }
	if left(float64(most)) >= 0 {
		return 0, false
	}
	return units.Flow(root(left, 0, float64(most), 1e-7*float64(most))), true
}

func (r Return) mouth(q units.Flow) ReturnLevel {
	d := float64(r.Bore)
	yc := CriticalDepth(r.Bore, q)
	y := r.depthAtMouth(float64(q), float64(yc))
	v := float64(q) / sectionAt(d, min(y, d)).area
	return ReturnLevel{
		Depth: units.Length(min(y, d)),
		Mouth: units.Length(y + (1+r.EntranceK)*v*v/(2*gravity)),
		Full:  y >= d*(1-1e-6),
	}
}

// depthAtMouth returns the depth just inside the mouth [m] at flow q [m³/s],
// above the bore where the pipe is under pressure.
//
//	dx = (1 - Fr²)/(Sf - S) dy
func (r Return) depthAtMouth(q, yc float64) float64 {
	d, length := float64(r.Bore), float64(r.Length)
	slope := func(s section) float64 { // Sf
		root2 := q / r.conveyance(s)
		return root2 * root2
	}
	if slope(sectionAt(d, yc)) <= r.Fall {
		return yc // steep: the mouth is in control
	}
	deepest := d
	yn, normal := r.NormalDepth(units.Flow(q))
	if normal {
		deepest = float64(yn)
	}
	const steps = 400
	dy := (deepest - yc) / steps
	x := 0.0
	for i := range steps {
		y := yc + (float64(i)+0.5)*dy
		s := sectionAt(d, y)
		froude := q * q * s.width / (gravity * s.area * s.area * s.area)
		dx := math.Inf(1)
		if excess := slope(s) - r.Fall; excess > 0 {
			dx = max(0, 1-froude) / excess * dy
		}
		if x+dx >= length {
			return yc + (float64(i)+(length-x)/dx)*dy
		}
		x += dx
	}
	if normal {
		return deepest
	}
	return d + (length-x)*(slope(sectionAt(d, d))-r.Fall)
}

func (r Return) notes(l ReturnLevel) []data.Warning {
	var notes data.Doubts
	switch need := r.Remedy(l); {
	case l.Freeboard < -1:
		notes.Say("return.freeboard", "the tank spills: the water would have to stand more than a metre above its rim; %s", need)
	case l.Spills:
		notes.Say("return.freeboard", "the tank spills: the water would have to stand {%.0f mm} above its rim; %s",
			-l.Freeboard.In(units.Millimetre), need)
	}
	if l.Full {
		notes.Say("return.bore", "the return runs full: it gulps air, and any slime or leaf raises the level further")
	} else if r.LipWidth == 0 && l.Depth > r.Bore/2 {
		notes.Say("return.bore", "the return runs %.0f %% deep at its mouth; half full leaves a margin for slime and leaves",
			100*float64(l.Depth/r.Bore))
	}
	return notes
}

// Remedy says what keeps a tank from spilling at level l: more screen where that alone
// takes too much, else a wider way back.
func (r Return) Remedy(l ReturnLevel) string {
	switch {
	case l.Mouth <= r.Freeboard:
		return "more screen comes first: it alone holds the water up too far"
	case r.LipWidth > 0:
		return "a wider lip is needed"
	}
	return "a wider or a second return is needed"
}

// Weir returns the flow over a sharp straight crest of width b under head h, 0 where
// that is below the crest.
//
//	Q = (2/3) Cd b sqrt(2g) h^1.5
//
// Cd is 0.60 to 0.62. Respected authors disagree by far more at the small heads of a
// pond, so a lip needs margin, not decimals.
//
// Source: Poleni's formula, any textbook of hydraulics.
func Weir(cd float64, b, h units.Length) units.Flow {
	x := max(0, float64(h))
	return units.Flow(2.0 / 3 * cd * float64(b) * math.Sqrt(2*gravity) * x * math.Sqrt(x))
}

// lipCd is the lower end of Weir's, as a tank should not spill.
const lipCd = 0.60

func overLip(b units.Length, q units.Flow) units.Length {
	return units.Length(math.Pow(float64(q)/float64(Weir(lipCd, b, 1)), 2.0/3))
}
