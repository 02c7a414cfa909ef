package pumps

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// Status says how a pump's curve and a circuit meet.
type Status int

// Ways for them to meet.
const (
	Meets       Status = iota // there is a stable operating point on the curve
	NoLift                    // the circuit asks for more head than the pump has at any flow
	BelowCurve                // they would meet, if at all, below the curve's first point, where it says nothing
	BeyondCurve               // no stable point, and head to spare at the last one: at least that much flows
)

// String returns the status in words.
func (s Status) String() string {
	return [...]string{"meets the system", "cannot lift", "below the start of the curve", "beyond the end of the curve"}[s]
}

// Duty is one point where a pump's curve meets a circuit.
type Duty struct {
	Flow     units.Flow
	Head     units.Length
	Power    units.Power    // 0 where nothing says
	Velocity units.Velocity // in the narrowest feed
	Stable   bool           // the pump's curve falls through the circuit's
}

// Operation is how a pump runs on a circuit.
type Operation struct {
	Status    Status
	Duty      Duty   // the stable point, zero unless Status is Meets
	Crossings []Duty // every point where the curves cross, by flow
	// Bound is the last point's flow where Status is BeyondCurve (at least
	// this much), the first point's where it is BelowCurve (at most this much).
	Bound      units.Flow
	BoundPower units.Power // drawn at Bound where Status is BeyondCurve
	Gap        Gap         // the figures behind Why
	Why        units.Text  // one sentence, unless Status is Meets
	// NoStart says that the pump's head at no flow is too low for an empty
	// line: it keeps running once flowing, but does not start by itself.
	NoStart bool
}

// Gap is how far apart a pump and a circuit are at a flow: that of the curve's
// first point, or of its last where the pump runs off the end.
type Gap struct {
	Flow        units.Flow
	Gives, Asks units.Length // head of the pump, head of the circuit
	Crest       bool         // the lift is that of an open crest above the outlet
}

// LeastFlow returns the flow to count on: the duty, or the last point's flow
// where the pump runs off its curve's end, else 0.
func (o Operation) LeastFlow() units.Flow {
	switch o.Status {
	case Meets:
		return o.Duty.Flow
	case BeyondCurve:
		return o.Bound
	}
	return 0
}

// LeastPower returns the power that goes with LeastFlow, 0 where it is not known.
func (o Operation) LeastPower() units.Power {
	if o.Status == BeyondCurve {
		return o.BoundPower
	}
	return o.Duty.Power
}

// Operate returns every point where c meets circuit, the stable one named.
//
// Of several stable points the one of lowest flow is the duty, because a pump
// comes up to it from rest. Flows are found to 1e-12 of the curve's last flow.
func Operate(c Curve, circuit *System) Operation {
	m := meeting{curve: c, circuit: circuit}
	status := m.walk()
	o := Operation{Status: status, Duty: m.duty()}
	for _, x := range m.crossings() {
		o.Crossings = append(o.Crossings, dutyAt(&c, circuit, x))
	}
	switch status {
	case BeyondCurve:
		o.Bound, o.BoundPower = c.Last(), units.Power(c.powerAt(float64(c.Last())))
	case BelowCurve:
		o.Bound = c.First()
	}
	if status != Meets {
		o.Gap = gapAt(&c, circuit, status)
		o.Why = o.Gap.why(status)
	}
	h0, whole := c.ShutOff()
	o.NoStart = o.LeastFlow() > 0 && whole && h0 <= circuit.Restart()
	return o
}

// Solve returns the stable duty point alone: what Operate finds, without its
// words and without allocating, for tables of many solves. The Duty is zero
// unless the Status is Meets.
func Solve(c Curve, circuit *System) (Duty, Status) {
	m := meeting{curve: c, circuit: circuit}
	status := m.walk()
	return m.duty(), status
}

// duty returns the first stable point of a walk, zero for none.
func (m *meeting) duty() Duty {
	for _, x := range m.crossings() {
		if x.stable {
			return dutyAt(&m.curve, m.circuit, x)
		}
	}
	return Duty{}
}

func dutyAt(c *Curve, circuit *System, x crossing) Duty {
	return Duty{
		Flow:     units.Flow(x.flow),
		Head:     units.Length(c.headAt(x.flow)),
		Power:    units.Power(c.powerAt(x.flow)),
		Velocity: units.Velocity(circuit.velocity(x.flow)),
		Stable:   x.stable,
	}
}

// gapAt returns the gap that keeps curve and circuit from meeting.
func gapAt(c *Curve, circuit *System, s Status) Gap {
	q := c.First()
	if s == BeyondCurve {
		q = c.Last()
	}
	crest := circuit.spec.Vented && circuit.spec.Crest > circuit.spec.StaticHead
	return Gap{q, units.Length(c.headAt(float64(q))), circuit.HeadAt(q), crest}
}

func (g Gap) why(s Status) units.Text {
	q, gives, asks := g.Flow.In(units.LitrePerHour), float64(g.Gives), float64(g.Asks)
	level := g.Flow == 0 && gives <= asks*(1+1e-12)
	if math.Abs(gives) < 1e-9 { // of a curve that ends at no head
		gives = 0
	}
	switch {
	case s == NoLift && level && g.Crest:
		return units.Say("the crest, {%.3g m} up, is not below the pump's {%.3g m} at no flow", asks, gives)
	case s == NoLift && level:
		return units.Say("the lift of {%.3g m} is not below the pump's {%.3g m} at no flow", asks, gives)
	case s == NoLift:
		return units.Say("the system asks for more head than the pump gives at every flow, {%.3g m} against {%.3g m} at {%.4g L/h}",
			asks, gives, q)
	case s == BelowCurve:
		return units.Say("at the curve's first point, {%.4g L/h}, the system asks for {%.3g m} and the pump gives {%.3g m}; "+
			"below it the curve says nothing", q, asks, gives)
	}
	return units.Say("at the curve's last point, {%.4g L/h}, the pump gives {%.3g m} and the system asks for {%.3g m}: "+
		"at least that flow; throttle it or choose a smaller pump", q, gives, asks)
}

// sayStart adds the doubts about starting from rest.
func sayStart(doubts *data.Doubts, c Curve, circuit *System) {
	h0, whole := c.ShutOff()
	key, runs := "static_head", "it keeps running once flowing"
	if circuit.Restart() > circuit.Lift() {
		key, runs = "crest", "once the siphon over the crest is full it keeps running as long as no air gets in"
	}
	switch {
	case !whole:
		doubts.Say("curve", "the curve does not begin at zero flow, so whether the pump starts against this lift is not known")
	case h0 <= circuit.Restart():
		doubts.Say(key, "the pump gives {%.3g m} at no flow and needs more than {%.3g m} to start: %s, but will not start by itself on "+
			"an empty line", float64(h0), float64(circuit.Restart()), runs)
	}
}
