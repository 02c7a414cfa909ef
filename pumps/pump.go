package pumps

import "sunrill/data/units"

// PowerSource is where a power figure comes from.
type PowerSource int

// Sources of power, the best last.
const (
	NoPower PowerSource = iota
	LabelPower
	CurvePower
	MeteredPower
)

// String returns the source in words.
func (p PowerSource) String() string {
	return [...]string{"not known", "the label", "the curve", "the meter"}[p]
}

// PumpSpec describes a pump: points of its curve or a label, and what is known
// of its power, within the ranges that a plan takes.
type PumpSpec struct {
	Name    string
	Points  []Point     // measured or published curve; empty if Label is given
	Label   Label       // what the box prints; its Power also serves a curve without power
	Metered units.Power // what a plug-in meter shows at full speed for one pump; 0 if not metered
	// MeteredAt is the flow of one pump when Metered was read; 0 if not
	// known. With it a power curve keeps its shape and is moved to the meter's
	// reading; without it the reading stands for every flow.
	MeteredAt units.Flow
	Fixed     units.Power // the part of the power that does not fall with speed; 0 for the pure cube
	Count     int         // equal pumps; 0 counts as 1
	OwnLines  bool        // each of them has a line of its own, else they share one
	Tolerance Tolerance
}

// Pump is a pump ready to be run. The zero value is not a pump; make one with
// NewPump.
type Pump struct {
	spec              PumpSpec
	low, middle, high Curve // the same curve, unless there is only a label
	labelled          bool
	// fixedShare of the full power does not fall with speed, or Fixed if more.
	fixedShare units.Power
}

// NewPump returns the pump that spec describes, or every fault of its points.
func NewPump(spec PumpSpec) (Pump, error) {
	p := Pump{spec: spec}
	p.spec.Count = max(1, spec.Count)
	if len(spec.Points) == 0 {
		p.labelled = true
		p.low, p.middle, p.high = spec.Label.curve(0), spec.Label.curve(MiddleShape), spec.Label.curve(1)
		return p, nil
	}
	var err error
	if p.low, err = NewCurve(spec.Points); err != nil {
		return Pump{}, err
	}
	p.middle, p.high = p.low, p.low
	return p, nil
}

// Name returns the pump's name.
func (p Pump) Name() string { return p.spec.Name }

// Spec returns what the pump was made from.
func (p Pump) Spec() PumpSpec { return p.spec }

// LabelOnly reports whether the pump has no curve, so that every answer is a
// bracket between a straight line and a parabola.
func (p Pump) LabelOnly() bool { return p.labelled }

// Lines returns how many lines the pumps feed: more than one where each of
// several has a line of its own.
func (p Pump) Lines() int {
	if p.spec.OwnLines {
		return p.spec.Count
	}
	return 1
}

// Times returns the pump n times.
func (p Pump) Times(n int) Pump {
	p.spec.Count = n
	return p
}

// LineEach returns the pumps with a line each.
func (p Pump) LineEach() Pump {
	p.spec.OwnLines = true
	return p
}

// OneLine returns one of several pumps with a line each, and any other pump as
// it is: a bucket stands under one outlet.
func (p Pump) OneLine() Pump {
	if p.spec.OwnLines {
		p.spec.Count, p.spec.OwnLines = 1, false
	}
	return p
}

// Middle returns the pump with the middle curve of its label for its own.
func (p Pump) Middle() Pump {
	p.low, p.high = p.middle, p.middle
	return p
}

// Curve returns the pump's curve at speed ratio s as one line sees it. Of a
// label it is the middle one.
func (p Pump) Curve(s float64) Curve { return p.shared(p.middle, s) }

func (p Pump) shared(c Curve, s float64) Curve {
	if s != 1 {
		c = c.AtSpeed(s)
	}
	if p.spec.Count > 1 && !p.spec.OwnLines {
		c = c.Parallel(p.spec.Count)
	}
	return c
}

// PowerSource returns where the pump's power comes from: the meter before the
// curve before the label.
func (p Pump) PowerSource() PowerSource {
	switch {
	case p.spec.Metered > 0:
		return MeteredPower
	case p.low.HasPower() && !p.labelled:
		return CurvePower
	case p.spec.Label.Power > 0:
		return LabelPower
	}
	return NoPower
}

// Power returns what all the pumps together draw at total flow q and speed
// ratio s, 0 where nothing says.
//
//	P = Pfixed + (P1(q/s) - Pfixed) s³
//
// P1 is the power of one pump at full speed. With no fixed part it is the
// affinity law, an idealisation for small motors. A flow beyond the curve's
// ends takes the power of the end.
func (p Pump) Power(q units.Flow, s float64) units.Power {
	one := q / units.Flow(float64(p.spec.Count)*s)
	full := p.fullPower(one)
	fixed := min(max(p.spec.Fixed, p.fixedShare*full), full)
	return units.Power(p.spec.Count) * (fixed + (full-fixed)*units.Power(s*s*s))
}

// WithFixedShare returns the pump with at least share, 0 to 1, of its full power at
// each flow taken not to fall with speed.
func (p Pump) WithFixedShare(share float64) Pump {
	p.fixedShare = units.Power(share)
	return p
}

func (p Pump) fullPower(q units.Flow) units.Power {
	at := func(q units.Flow) units.Power {
		return units.Power(p.low.powerAt(float64(max(p.low.First(), min(q, p.low.Last())))))
	}
	curve := p.low.HasPower() && !p.labelled
	switch p.PowerSource() {
	case MeteredPower:
		if curve && p.spec.MeteredAt > 0 {
			return p.spec.Metered * at(q) / at(p.spec.MeteredAt)
		}
		return p.spec.Metered
	case CurvePower:
		return at(q)
	case LabelPower:
		return p.spec.Label.Power
	}
	return 0
}

// MeteredOn returns the pump with its meter reading taken to be at its duty
// point on circuit, so that its power curve keeps its shape.
func (p Pump) MeteredOn(circuit *System) Pump {
	if d, s := Solve(p.Curve(1), circuit); s == Meets {
		p.spec.MeteredAt = d.Flow * units.Flow(p.Lines()) / units.Flow(p.spec.Count)
	}
	return p
}
