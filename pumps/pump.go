package pumps

import (
	"errors"
	"fmt"

	"sunrill/data"
	"sunrill/data/units"
)

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
// of its power.
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
	// Tolerance of the curve; nil stands for DefaultTolerance.
	Tolerance *Tolerance
}

// Pump is a pump ready to be run. The zero value is not a pump; make one with
// NewPump.
type Pump struct {
	spec      PumpSpec
	low, high Curve // the same curve, unless there is only a label
	labelled  bool
}

// NewPump returns the pump that spec describes, or every fault of it.
func NewPump(spec PumpSpec) (Pump, error) {
	p := Pump{spec: spec}
	if p.spec.Count == 0 {
		p.spec.Count = 1
	}
	var faults []error
	if p.spec.Count < 1 || p.spec.Count > 1000 {
		faults = append(faults, &data.Error{Key: "pump.count", Message: "outside the allowed range",
			Found: fmt.Sprint(spec.Count), Allowed: "1 to 1000"})
	}
	for _, c := range []struct {
		key string
		w   units.Power
	}{{"metered_power", spec.Metered}, {"fixed_watts", spec.Fixed}} {
		if !(c.w >= 0 && c.w <= 1e6) {
			faults = append(faults, &data.Error{Key: "pump." + c.key, Message: "outside the allowed range",
				Found: fmt.Sprintf("%g W", float64(c.w)), Allowed: "0 W to 1e6 W"})
		}
	}
	if spec.Tolerance == nil {
		d := DefaultTolerance()
		p.spec.Tolerance = &d
	}
	if t := *p.spec.Tolerance; !(t.Flow >= 0 && t.Flow <= 0.9 && t.Head >= 0 && t.Head <= 0.9) {
		faults = append(faults, &data.Error{Key: "pump.flow_tolerance", Message: "outside the allowed range",
			Found: fmt.Sprintf("%g in flow, %g in head", t.Flow, t.Head), Allowed: "0 to 0.9 (0 % to 90 %)"})
	}
	var err error
	if len(spec.Points) > 0 {
		p.low, err = NewCurve(spec.Points)
		p.high = p.low
	} else {
		p.labelled = true
		p.low, p.high, err = spec.Label.Curves()
	}
	if err := errors.Join(append(faults, err)...); err != nil {
		return Pump{}, err
	}
	return p, nil
}

// Name returns the pump's name.
func (p Pump) Name() string { return p.spec.Name }

// Spec returns what the pump was made from.
func (p Pump) Spec() PumpSpec { return p.spec }

// LabelOnly reports whether the pump has no curve, so that every answer is a
// bracket between a straight line and a parabola.
func (p Pump) LabelOnly() bool { return p.labelled }

// Curve returns the pump's curve at speed ratio s as one line sees it. Of a
// label it is the low one.
func (p Pump) Curve(s float64) Curve { return p.shared(p.low, s) }

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
	fixed := min(p.spec.Fixed, full)
	return units.Power(p.spec.Count) * (fixed + (full-fixed)*units.Power(s*s*s))
}

// PowerRange returns what all the pumps together draw at total flow q and speed
// ratio s: from the pure cube to a tenth of full power that does not fall with
// speed (common practice, no source). Where Fixed is given both are Power.
func (p Pump) PowerRange(q units.Flow, s float64) (low, high units.Power) {
	const fixedShare = 0.1
	low = p.Power(q, s)
	if p.spec.Fixed > 0 || s >= 1 {
		return low, low
	}
	p.spec.Fixed = fixedShare * p.fullPower(q/units.Flow(float64(p.spec.Count)*s))
	return low, p.Power(q, s)
}

// fullPower returns what one pump draws at flow q and full speed.
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
func (p Pump) MeteredOn(circuit Circuit) Pump {
	if d, s := Solve(p.Curve(1), circuit); s == Meets {
		p.spec.MeteredAt = d.Flow
		if !p.spec.OwnLines {
			p.spec.MeteredAt /= units.Flow(p.spec.Count)
		}
	}
	return p
}

// Duty returns the stable duty point at speed ratio s without allocating, for
// tables of many solves: total flow and power of all the pumps. Of a label it
// is the low one.
func (p Pump) Duty(s float64, circuit Circuit) (Duty, Status) {
	d, status := Solve(p.Curve(s), circuit)
	if status == Meets {
		p.total(&d, s)
	}
	return d, status
}

// total turns the duty of one line into that of all the pumps.
func (p Pump) total(d *Duty, s float64) {
	if p.spec.OwnLines {
		d.Flow *= units.Flow(p.spec.Count)
	}
	d.Power = p.Power(d.Flow, s)
}

// Run is how a pump runs on a circuit at one speed, with its range.
type Run struct {
	Operation             // all the pumps together; of a label the low one
	Low, High   Operation // range from Tolerance, or from the label
	Tolerance   Tolerance // of the curve; zero for a label
	Bracket     bool      // only a label is known: Low and High are the answer
	PowerSource PowerSource
}

// Run returns the operating point at speed ratio s, 0.1 to 1.5 of the curve's,
// and its range: the curve at either end of its Tolerance.
func (p Pump) Run(s float64, circuit Circuit) (Run, error) {
	if !(s >= 0.1 && s <= 1.5) {
		return Run{}, &data.Error{Key: "speed", Message: "outside the allowed range",
			Found: fmt.Sprintf("%g", s), Allowed: "0.1 to 1.5 of the curve's speed"}
	}
	r := Run{Bracket: p.labelled, PowerSource: p.PowerSource()}
	r.Operation = p.operate(p.Curve(s), s, circuit)
	if p.labelled {
		r.Low = r.Operation
		r.High = p.operate(p.shared(p.high, s), s, circuit)
		if r.High.Status == Meets {
			r.Warnings = append(r.Warnings, data.Warning{Key: "label", Message: "two numbers from a label are no curve: the flow lies roughly between the low and the high figure, and may lie 10 % outside"})
		}
	} else {
		r.Tolerance = *p.spec.Tolerance
		r.Low = p.edge(-1, s, circuit)
		r.High = p.edge(1, s, circuit)
	}
	if s != 1 && r.PowerSource != NoPower {
		r.Warnings = append(r.Warnings, data.Warning{Key: "speed", Message: "power by the cube of the speed is an idealisation: small motors draw more when slowed; meter it"})
	}
	return r, nil
}

func (p Pump) operate(c Curve, s float64, circuit Circuit) Operation {
	o := Operate(c, circuit)
	for i := range o.Crossings {
		p.total(&o.Crossings[i], s)
	}
	if o.Status == Meets {
		p.total(&o.Duty, s)
	}
	if p.spec.OwnLines {
		o.Bound *= units.Flow(p.spec.Count)
	}
	if o.Status == BeyondCurve {
		o.BoundPower = p.Power(o.Bound, s)
	}
	return o
}

// Tolerance is how far a real pump may lie from its curve, as shares from 0 to
// 0.9: in flow at the same head, or in head at the same flow.
type Tolerance struct{ Flow, Head float64 }

// DefaultTolerance returns 9 % in flow or 7 % in head, which ISO 9906:2012
// grade 3B allows (from memory); a pump of unknown make deserves no better.
//
// A pump passes that test if its curve cuts either arm of the cross drawn by
// the two, so its worst curve is off by the one or by the other, not by both.
func DefaultTolerance() Tolerance { return Tolerance{Flow: 0.09, Head: 0.07} }

// edge returns the operation with the curve off by either arm of the cross,
// whichever goes further: up for sign 1, down for -1.
func (p Pump) edge(sign, s float64, circuit Circuit) Operation {
	c, t := p.Curve(s), *p.spec.Tolerance
	a := p.operate(c.stretched(1+sign*t.Flow, 1, 1), s, circuit)
	b := p.operate(c.stretched(1, 1+sign*t.Head, 1), s, circuit)
	if further(a) > further(b) == (sign > 0) {
		return a
	}
	return b
}

// further orders operations by flow, with running off the curve's end above
// every duty point.
func further(o Operation) float64 {
	if o.Status == BeyondCurve {
		return 1e6 + float64(o.Bound)
	}
	return float64(o.LeastFlow())
}
