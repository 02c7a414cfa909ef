package pumps

import (
	"sunrill/data"
	"sunrill/data/units"
)

// Duty returns the stable duty point at speed ratio s without allocating, for
// tables of many solves: total flow and power of all the pumps. Of a label it
// is the middle one.
func (p Pump) Duty(s float64, circuit *System) (Duty, Status) {
	d, status := Solve(p.Curve(s), circuit)
	if status == Meets {
		p.total(&d, s)
	}
	return d, status
}

// FreeFlow returns the flow at the end of the curve at speed ratio s, of all the
// pumps together: what the pump gives, at least, with no lift and next to no hose
// before it. More may flow where the curve ends above zero head.
func (p Pump) FreeFlow(s float64) units.Flow {
	return p.Curve(s).Last() * units.Flow(p.Lines())
}

// total turns the duty of one line into that of all the pumps.
func (p Pump) total(d *Duty, s float64) {
	d.Flow *= units.Flow(p.Lines())
	d.Power = p.Power(d.Flow, s)
}

// Run is how a pump runs on a circuit at one speed, with its range.
type Run struct {
	Operation             // all the pumps together; of a label the middle one
	Low, High   Operation // range from Tolerance, or from the label
	Tolerance   Tolerance // of the curve; zero for a label
	Bracket     bool      // only a label is known: the answer lies between Low and High
	PowerSource PowerSource
	Warnings    data.Doubts // of Doubts, where they were asked for
}

// Run returns the operating point at speed ratio s, 0.1 to 1.5 of the curve's,
// and its range: the curve at either end of its Tolerance.
func (p Pump) Run(s float64, circuit *System) Run {
	r := Run{Bracket: p.labelled, PowerSource: p.PowerSource()}
	r.Operation = p.whole(Operate(p.Curve(s), circuit), s)
	if p.labelled {
		r.Low = p.whole(Operate(p.shared(p.low, s), circuit), s)
		r.High = p.whole(Operate(p.shared(p.high, s), circuit), s)
	} else {
		r.Tolerance = p.spec.Tolerance
		r.Low = p.edge(-1, s, circuit)
		r.High = p.edge(1, s, circuit)
	}
	return r
}

// Doubts returns what is doubtful about r, the run of p at speed ratio s on circuit.
func (p Pump) Doubts(r Run, s float64, circuit *System) (doubts data.Doubts) {
	if q := r.LeastFlow(); q > 0 {
		doubts = circuit.Notes(q / units.Flow(p.Lines()))
		sayStart(&doubts, p.Curve(s), circuit)
	}
	if p.labelled && r.High.Status == Meets {
		doubts.Say("label", "two numbers from a label are no curve: the flow lies roughly between the low and the high figure, and may "+
			"lie 10 %% outside")
	}
	// A line that is counted on to draw itself over its crest has to be filled first.
	h0, whole := p.Curve(s).ShutOff()
	low, crest := h0*units.Length(1-p.spec.Tolerance.Head), circuit.Restart()
	if r.LeastFlow() > 0 && !r.NoStart && crest > circuit.Lift() && whole && low <= crest {
		doubts.Say("crest", "the pump gives {%.3g m} at no flow, and {%.3g m} at the low end of its tolerance: "+
			"that does not lift water over the crest of {%.3g m}, so it may not start on an empty line", float64(h0), float64(low),
			float64(crest))
	}
	if s != 1 && r.PowerSource != NoPower {
		doubts.Say("speed", "power by the cube of the speed is an idealisation: small motors draw more when slowed; meter it")
	}
	return doubts
}

// whole turns the operation of one line into that of all the pumps.
func (p Pump) whole(o Operation, s float64) Operation {
	for i := range o.Crossings {
		p.total(&o.Crossings[i], s)
	}
	if o.Status == Meets {
		p.total(&o.Duty, s)
	}
	o.Bound *= units.Flow(p.Lines())
	if o.Status == BeyondCurve {
		o.BoundPower = p.Power(o.Bound, s)
	}
	return o
}

// Tolerance is how far a real pump may lie from its curve, as shares from 0 to
// 0.9: in flow at the same head, or in head at the same flow. ISO 9906:2012 grade 3B
// allows 9 % in flow or 7 % in head (from memory); below 1 kW the standard leaves the
// tolerance to agreement, and a pump of unknown make deserves no better.
//
// A pump passes that test if its curve cuts either arm of the cross drawn by
// the two, so its worst curve is off by the one or by the other, not by both.
type Tolerance struct{ Flow, Head float64 }

// edge returns the operation with the curve off by either arm of the cross,
// whichever goes further: up for sign 1, down for -1.
func (p Pump) edge(sign, s float64, circuit *System) Operation {
	c, t := p.Curve(s), p.spec.Tolerance
	a := p.whole(Operate(c.stretched(1+sign*t.Flow, 1, 1), circuit), s)
	b := p.whole(Operate(c.stretched(1, 1+sign*t.Head, 1), circuit), s)
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
