package supply

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"sunrill/data/clock"
	"sunrill/data/units"
	"sunrill/pumps"
)

// FlowTable holds what flows for the power, or the current, that a pump is
// given, from one table of solves. Make one with NewFlowTable.
type FlowTable struct {
	StopSpeed  float64 // share of the curve's speed below which nothing flows: the lift's share of shut-off head alone
	StartSpeed float64 // from rest: above StopSpeed where the line goes over an unvented crest
	TopSpeed   float64
	Solves     int

	rated   units.Voltage
	loop    float64   // of the cable [ohm]
	power   []float64 // at the start of the pump's cable [W], rising with speed
	current []float64 // in the pump's leads [A], rising
	flow    []float64 // [m³/s]

	// Powers and currents enter the fits as the root of their share of the way
	// from least to most, which is smooth where the flow begins as a root.
	flowByPower   interp.FritschButland // flow for a power
	stepByCurrent interp.FritschButland // the table's own parameter for a current
	flowAt        interp.FritschButland // flow for the parameter
	startPower    units.Power
	fine          [fineCells + 1]float64 // flowByPower at equal steps, as it is asked for every hour of decades
}

// fineCells is so many that straight between two the flow is off its fit by less than a ten-thousandth
// of the full one.
const fineCells = 4096

// A table begins with firstSolves speeds, closer together near the starting
// speed where the flow rises as a root, and halves the step in which the flow
// bends most until it bends less than bendShare of full flow in every step, or
// mostSolves are spent. A pump with a flat curve on a wide pipe goes from
// little to full flow within a hundredth of its speed: there the steps are
// needed.
const (
	firstSolves = 33
	mostSolves  = 200
	bendShare   = 1e-5
)

// FlowTableSpec is what a FlowTable is made from.
type FlowTableSpec struct {
	Pump       pumps.Pump
	Circuit    *pumps.System
	Voltage    units.Voltage // rated, for currents
	LeastSpeed float64       // that the pump's electronics allow; 0: none
	Loop       float64       // resistance of a DC pump's cable, out and back [ohm]
}

// ErrNoShutOff is returned for a curve that does not begin at zero flow.
var ErrNoShutOff = errors.New("the curve has no point at zero flow, so no shut-off head: " +
	"the least speed and the sun at which water starts are not known")

// ErrNoWater is returned where no speed up to the top lifts the water.
var ErrNoWater = errors.New("the pump does not lift the water at any speed it can run at")

// NewFlowTable solves the pump at speeds from the least that lifts to the top,
// at most 200 of them. The least speed is set by the lift's share of the shut-off head
// alone:
//
//	s = sqrt(lift / H0)
//
// by the affinity laws, whatever the pipe. From rest the crest of an unvented
// line takes the lift's place. A speed below the plan's own least, 0.1, is not
// used: the laws are not trusted there.
func NewFlowTable(spec FlowTableSpec) (*FlowTable, error) {
	curve := spec.Pump.Curve(1)
	stop, ok := curve.LeastSpeed(spec.Circuit.Lift())
	if !ok {
		return nil, ErrNoShutOff
	}
	start, _ := curve.LeastSpeed(spec.Circuit.Restart())
	least := max(spec.LeastSpeed, clock.LeastSpeed)
	t := &FlowTable{StopSpeed: max(stop, least), StartSpeed: max(start, stop, least), TopSpeed: 1,
		rated: spec.Voltage, loop: spec.Loop}
	if t.StartSpeed >= t.TopSpeed {
		return nil, units.Errorf("%w: it would need %.3g of its curve's speed to start", ErrNoWater, t.StartSpeed)
	}
	solve, err := SolveOn(spec.Pump, spec.Circuit)
	if err != nil {
		return nil, err
	}
	return t, t.fit(t.solveAll(solve))
}

// node is one solve of the table.
type node struct {
	u    float64 // the table's parameter
	duty Duty
	bend float64 // how far the flow may bend in the step that ends here [m³/s]
}

// solveAll returns the solves in the order of their speeds.
func (t *FlowTable) solveAll(solve Solve) []node {
	at := func(u float64) node {
		t.Solves++
		return node{u: u, duty: solve(t.speed(u)), bend: math.Inf(1)}
	}
	var nodes []node
	for i := range firstSolves {
		nodes = append(nodes, at(float64(i)/(firstSolves-1)))
	}
	for t.Solves < mostSolves {
		worst := 1
		for i := 2; i < len(nodes); i++ {
			if nodes[i].bend > nodes[worst].bend {
				worst = i
			}
		}
		a, b := nodes[worst-1], nodes[worst]
		if b.bend <= bendShare*float64(nodes[len(nodes)-1].duty.Flow) {
			break
		}
		mid := at((a.u + b.u) / 2)
		// Halving a step quarters the bend of a smooth curve and halves that of a kink.
		mid.bend = math.Abs(float64(mid.duty.Flow)-float64(a.duty.Flow+b.duty.Flow)/2) / 2
		nodes[worst].bend = mid.bend
		nodes = slices.Insert(nodes, worst, mid)
	}
	return nodes
}

// speed returns the speed of parameter u, 0 to 1.
func (t *FlowTable) speed(u float64) float64 { return t.StopSpeed + (t.TopSpeed-t.StopSpeed)*u*u }

// parameter is the inverse of speed, held to 0 and 1.
func (t *FlowTable) parameter(speed float64) float64 {
	return math.Sqrt(min(1, max(0, (speed-t.StopSpeed)/(t.TopSpeed-t.StopSpeed))))
}

// fit makes the fits through nodes. Power and current must rise for the table
// to be read backwards, as they do for any real pump; a node that does not,
// after a power column that falls steeply, is left out.
func (t *FlowTable) fit(nodes []node) error {
	var us []float64
	for _, n := range nodes {
		p, amps := float64(n.duty.Power), 0.0
		volts := t.speed(n.u) * float64(t.rated)
		if volts > 0 {
			amps = p / volts
			p += amps * amps * t.loop
		}
		if k := len(t.power); k > 0 && (p <= t.power[k-1] || (volts > 0 && amps <= t.current[k-1])) {
			continue
		}
		us = append(us, n.u)
		t.power, t.flow = append(t.power, p), append(t.flow, float64(n.duty.Flow))
		if volts > 0 {
			t.current = append(t.current, amps)
		}
	}
	if len(us) < 2 {
		return fmt.Errorf("%w: nothing says what power it takes", ErrNoWater)
	}
	var powerAt interp.FritschButland // power for the parameter
	errs := []error{t.flowAt.Fit(us, t.flow), powerAt.Fit(us, t.power), t.flowByPower.Fit(roots(t.power), t.flow)}
	if t.current != nil {
		errs = append(errs, t.stepByCurrent.Fit(roots(t.current), us))
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	t.startPower = units.Power(powerAt.Predict(t.parameter(t.StartSpeed)))
	for i := range t.fine {
		t.fine[i] = t.flowByPower.Predict(float64(i) / fineCells)
	}
	return nil
}

// roots returns root of every x.
func roots(xs []float64) []float64 {
	out := make([]float64, len(xs))
	for i, x := range xs {
		out[i] = root(xs, x)
	}
	return out
}

// root returns the root of how far x lies on the way from the first to the
// last of xs, held to 0 and 1.
func root(xs []float64, x float64) float64 {
	low, high := xs[0], xs[len(xs)-1]
	return math.Sqrt(min(1, max(0, (x-low)/(high-low))))
}

// FullPower returns the power at the top speed, the loss in the cable included.
func (t *FlowTable) FullPower() units.Power { return units.Power(t.power[len(t.power)-1]) }

// FullFlow returns the flow at the top speed.
func (t *FlowTable) FullFlow() units.Flow { return units.Flow(t.flow[len(t.flow)-1]) }

// StopPower returns the power at which a running pump's flow ends.
func (t *FlowTable) StopPower() units.Power { return units.Power(t.power[0]) }

// StartPower returns the power at which water starts from rest.
func (t *FlowTable) StartPower() units.Power { return t.startPower }

// FlowAt returns the flow at power p for a pump that already runs, or from rest
// where it does not; what is given beyond the top speed's power is not taken.
func (t *FlowTable) FlowAt(p units.Power, running bool) units.Flow {
	if p < t.StopPower() || (!running && p < t.StartPower()) {
		return 0
	}
	if p >= t.FullPower() {
		return t.FullFlow()
	}
	return units.Flow(pumps.Between(t.fine[:], fineCells*root(t.power, float64(p))))
}

// FlowAtCurrent returns the flow for a bare panel's current i at up to ceiling
// volts: the pump turns at the voltage at which it draws that current, so the
// rest of the panel's voltage is lost, of which the cable may take no more than
// there is.
func (t *FlowTable) FlowAtCurrent(i units.Current, ceiling units.Voltage, running bool) units.Flow {
	if t.current == nil || float64(i) < t.current[0] {
		return 0
	}
	u := t.stepByCurrent.Predict(root(t.current, float64(i)))
	top := (float64(ceiling) - float64(i)*t.loop) / float64(t.rated)
	if top < t.StopSpeed {
		return 0
	}
	u = min(u, t.parameter(top))
	if !running && t.speed(u) < t.StartSpeed {
		return 0
	}
	return units.Flow(t.flowAt.Predict(u))
}
