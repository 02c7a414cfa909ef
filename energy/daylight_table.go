package energy

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

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
	power   []float64 // at the pump [W], rising with speed
	current []float64 // in the pump's leads [A], rising
	flow    []float64 // [m³/s]

	byPower, byCurrent interp.FritschButland // the table's own parameter for a power [W] or current [A]
	flowAt, powerAt    interp.FritschButland // flow and power for the parameter
}

// tableSteps divides the table. A number of speeds, closer together near the
// starting speed where the flow rises as a root, that keeps the flow within
// 0.1 % of full flow of a direct solve.
const tableSteps = 160

// FlowTableSpec is what a FlowTable is made from.
type FlowTableSpec struct {
	Curve      pumps.Curve
	Circuit    pumps.Circuit
	Label      units.Power   // where the curve has no power
	Scale      float64       // of the watts, from PowerScale; 0 is 1
	Voltage    units.Voltage // rated, for currents
	LeastSpeed float64       // that the pump's electronics allow; 0: none
	TopSpeed   float64       // 0: 1
}

// ErrNoShutOff is returned for a curve that does not begin at zero flow.
var ErrNoShutOff = errors.New("the curve has no point at zero flow, so no shut-off head: the least speed and the sun at which water starts are not known")

// ErrNoWater is returned where no speed up to the top lifts the water.
var ErrNoWater = errors.New("the pump does not lift the water at any speed it can run at")

// NewFlowTable solves the pump at speeds from the least that lifts to the top,
// 161 solves. The least speed is set by the lift's share of the shut-off head
// alone:
//
//	s = sqrt(lift / H0)
//
// by the affinity laws, whatever the pipe. From rest the crest of an unvented
// line takes the lift's place. A speed below the plan's own least, 0.1, is not
// used: the laws are not trusted there.
func NewFlowTable(spec FlowTableSpec) (*FlowTable, error) {
	stop, ok := spec.Curve.LeastSpeed(spec.Circuit.Lift())
	if !ok {
		return nil, ErrNoShutOff
	}
	start, _ := spec.Curve.LeastSpeed(spec.Circuit.Restart())
	if spec.Scale == 0 {
		spec.Scale = 1
	}
	if spec.TopSpeed == 0 {
		spec.TopSpeed = 1
	}
	least := max(spec.LeastSpeed, leastSpeed)
	t := &FlowTable{StopSpeed: max(stop, least), StartSpeed: max(start, stop, least), TopSpeed: spec.TopSpeed, rated: spec.Voltage}
	if t.StartSpeed >= t.TopSpeed {
		return nil, fmt.Errorf("%w: it would need %.3g of its curve's speed to start", ErrNoWater, t.StartSpeed)
	}
	solve := SolveOn(spec.Curve, spec.Circuit, spec.Label)
	var us []float64
	for i := range tableSteps + 1 {
		u := float64(i) / tableSteps
		speed := t.speed(u)
		d, err := solve(speed)
		if err != nil {
			return nil, err
		}
		t.Solves++
		p := float64(d.Power) * spec.Scale
		volts := speed * float64(spec.Voltage)
		n := len(t.power)
		// Power and current must rise for the table to be read backwards. They do
		// for any real pump; a power column that falls steeply could break it.
		if n > 0 && (p <= t.power[n-1] || (volts > 0 && p/volts <= t.current[n-1])) {
			continue
		}
		us = append(us, u)
		t.power, t.flow = append(t.power, p), append(t.flow, float64(d.Flow))
		if volts > 0 {
			t.current = append(t.current, p/volts)
		}
	}
	if len(us) < 2 || !(t.power[len(t.power)-1] > 0) {
		return nil, fmt.Errorf("%w: nothing says what power it takes", ErrNoWater)
	}
	return t, t.fit(us)
}

// speed returns the speed of parameter u, 0 to 1.
func (t *FlowTable) speed(u float64) float64 { return t.StopSpeed + (t.TopSpeed-t.StopSpeed)*u*u }

// parameter is the inverse of speed, held to 0 and 1.
func (t *FlowTable) parameter(speed float64) float64 {
	return math.Sqrt(min(1, max(0, (speed-t.StopSpeed)/(t.TopSpeed-t.StopSpeed))))
}

func (t *FlowTable) fit(us []float64) error {
	errs := []error{t.byPower.Fit(t.power, us), t.flowAt.Fit(us, t.flow), t.powerAt.Fit(us, t.power)}
	if t.current != nil {
		errs = append(errs, t.byCurrent.Fit(t.current, us))
	}
	return errors.Join(errs...)
}

// FullPower returns the power at the top speed.
func (t *FlowTable) FullPower() units.Power { return units.Power(t.power[len(t.power)-1]) }

// FullFlow returns the flow at the top speed.
func (t *FlowTable) FullFlow() units.Flow { return units.Flow(t.flow[len(t.flow)-1]) }

// StopPower returns the power at which a running pump's flow ends; StartPower
// that at which a stopped one's begins.
func (t *FlowTable) StopPower() units.Power { return units.Power(t.power[0]) }

// StartPower returns the power at which water starts from rest.
func (t *FlowTable) StartPower() units.Power {
	return units.Power(t.powerAt.Predict(t.parameter(t.StartSpeed)))
}

// FlowAt returns the flow at power p for a pump that already runs, or from rest
// where it does not, and the power it takes: p or what it takes at the top.
func (t *FlowTable) FlowAt(p units.Power, running bool) (units.Flow, units.Power) {
	if p < t.StopPower() || (!running && p < t.StartPower()) {
		return 0, 0
	}
	u := t.byPower.Predict(min(float64(p), float64(t.FullPower())))
	return units.Flow(t.flowAt.Predict(u)), min(p, t.FullPower())
}

// FlowAtCurrent returns the flow for a bare panel's current i at up to ceiling
// volts, and the power taken: the pump turns at the voltage at which it draws
// that current, so the rest of the panel's voltage is lost.
func (t *FlowTable) FlowAtCurrent(i units.Current, ceiling units.Voltage, running bool) (units.Flow, units.Power) {
	if t.current == nil || float64(i) < t.current[0] {
		return 0, 0
	}
	u := t.byCurrent.Predict(min(float64(i), t.current[len(t.current)-1]))
	top := float64(ceiling / t.rated)
	if top < t.StopSpeed {
		return 0, 0
	}
	u = min(u, t.parameter(top))
	if !running && t.speed(u) < t.StartSpeed {
		return 0, 0
	}
	return units.Flow(t.flowAt.Predict(u)), units.Power(t.powerAt.Predict(u))
}
