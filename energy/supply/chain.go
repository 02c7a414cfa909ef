package supply

import (
	"errors"
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar"
)

// Air is an air pump and the hours it runs. It is fed as the water pump is: through the
// inverter beside an AC pump, straight from the battery beside a DC one.
type Air struct {
	Power units.Power    // at its own plug
	Hours clock.Schedule // running where the speed is above 0
}

// ChainSpec is everything between the battery and the water.
type ChainSpec struct {
	Motor Motor
	Water Solve  // of all the pumps
	Cable *Cable // to the pump; nil where its loss is left out

	Battery        data.BatteryVolts // the pump runs at Rest
	Regulator      float64           // efficiency of a DC regulator that holds the pump's rated voltage; 0: none
	Inverter       *Inverter
	ControllerDraw units.Power // of the charge controller itself, day and night
	Air            Air
}

// Chain is a checked ChainSpec. Make one with NewChain.
type Chain struct {
	spec ChainSpec
	// Warnings are doubts about the chain that do not stop an answer.
	Warnings data.Doubts
}

// Draw is what one speed takes at every place of the chain.
type Draw struct {
	Duty       Duty          // at the speed that the pump really has
	Speed      float64       // that the pump really has, a share of its curve's
	Voltage    units.Voltage // at the pump's leads
	Current    units.Current // in the cable
	CableDrop  units.Voltage // both ways
	CableLoss  units.Power   // both ways
	Conversion units.Power   // lost in inverter or regulator, idle draw included
	Controller units.Power   // the charge controller's own
	Source     units.Power   // at the battery terminals
}

// workingVoltage is how far the source's voltage may lie from a DC pump's
// rated one, as shares of it (common practice, no source).
const (
	leastVoltageShare = 0.75
	mostVoltageShare  = 1.25
)

// NewChain returns the chain of s, whose figures keep the bounds of the plan's keys. A
// 230 V pump off grid without an inverter and a pump whose voltage the battery does not
// fit are errors. It panics without a Solve.
func NewChain(s ChainSpec) (*Chain, error) {
	var faults data.FaultList
	s.offGrid(&faults)
	if err := faults.Err(); err != nil {
		return nil, err
	}
	c := &Chain{spec: s}
	c.doubt(s.Water(1).Power)
	return c, nil
}

// doubt warns of a voltage and of an inverter that may not fit a pump that takes
// full at full speed.
func (c *Chain) doubt(full units.Power) {
	s := c.spec
	say := c.Warnings.Say
	rated, b := float64(s.Motor.Voltage), s.Battery
	if s.direct() && s.Motor.Behaviour == Regulated && !(s.fits(b.Nominal) && s.fits(b.Highest)) {
		say("battery.voltage", "%.3g V, up to %.3g V on charge, is far from the pump's rated %g V: check that its electronics take it",
			float64(b.Nominal), float64(b.Highest), rated)
	}
	if v := s.Inverter; v != nil && v.Rated > 0 && s.Motor.AC {
		out := float64(full)
		if real, said := partLoadEfficiency(out/float64(v.Rated)), out/float64(v.Draw(full)); said > real+0.05 {
			say("inverter.efficiency", "at %.0f %% of its rating a small inverter usually gives %.0f %%, not %.0f %%: measure its idle "+
				"draw",
				out/float64(v.Rated)*100, real*100, said*100)
		}
		if full > v.Rated {
			say("inverter.rated", "the pump's %.0f W is above the inverter's %.0f W", out, float64(v.Rated))
		}
	}
}

// fits reports whether a pump takes v as it is: any that does not hang on the battery
// itself does.
func (s ChainSpec) fits(v units.Voltage) bool {
	r := float64(v / s.Motor.Voltage)
	return !s.direct() || r >= leastVoltageShare && r <= mostVoltageShare
}

// direct reports whether the pump hangs on the battery itself.
func (s ChainSpec) direct() bool { return !s.Motor.AC && s.Regulator == 0 }

// Feed returns the voltage at the start of the pump's cable: the battery's at rest, or
// what a regulator or an inverter holds, the pump's rated one.
func (s ChainSpec) Feed() units.Voltage {
	if s.direct() {
		return s.Battery.Rest
	}
	return s.Motor.Voltage
}

// offGrid adds what stops a chain from running on a battery.
func (s ChainSpec) offGrid(faults *data.FaultList) {
	rated := float64(s.Motor.Voltage)
	if s.Inverter == nil && s.Motor.AC {
		faults.Add(&data.Error{Key: "inverter", Message: units.Sprintf("a %g V AC pump off grid needs an inverter", rated),
			Allowed: `an [inverter] with its efficiency and idle draw, or a DC pump`})
	}
	if v := s.Battery.Nominal; s.Motor.Behaviour != Regulated && !s.fits(v) {
		faults.Add(&data.Error{Key: "battery.voltage", Found: v.String(),
			Message: units.Sprintf("a %g V pump whose speed follows the voltage does not fit this battery", rated),
			Allowed: units.Sprintf("%.3g to %.3g V, or a regulator between them (regulator.fitted)", leastVoltageShare*rated,
				mostVoltageShare*rated)})
	}
}

// ErrNotSlowed is returned where a speed below full is asked of a pump that
// cannot be slowed, or one below its least.
var ErrNotSlowed = errors.New("this pump cannot run at that speed")

// At returns what the chain draws at a speed, a share of the curve's; 0 is off,
// when only the controller and an inverter left on draw. At speed 1 a DC pump
// that follows its voltage runs at whatever the source leaves it after the
// cable, which may be above or below its curve's speed.
func (c *Chain) At(speed float64) (Draw, error) {
	m := c.spec.Motor
	if speed == 0 {
		return c.atSource(Draw{}, 0), nil
	}
	if speed != 1 && (!m.Slows || speed < m.LeastSpeed) {
		return Draw{}, &data.Error{Key: "run.speed", Message: m.Name + " cannot run at that speed",
			Found: units.Sprintf("%g", speed), Allowed: m.speeds(), Err: ErrNotSlowed}
	}
	return c.running(speed)
}

// running returns the draw at a speed above 0.
func (c *Chain) running(speed float64) (Draw, error) {
	s := c.spec
	v0 := s.Feed()
	var loop float64
	if s.Cable != nil {
		loop = s.Cable.Loop()
	}
	d := Draw{Speed: speed, Voltage: v0, Duty: s.Water(speed)}
	var err error
	if s.Motor.AC || s.Motor.Behaviour == Regulated {
		d.Voltage, err = endVoltage(v0, loop, d.Duty.Power)
	} else {
		// A speed setter at the source end feeds the pump its share of the rated
		// voltage. It cannot raise what the source gives. Its own loss, some per
		// cent, is left out.
		d.Voltage = units.Voltage(speed) * s.Motor.Voltage
		if need := float64(d.Voltage) + loop*float64(d.Duty.Power)/float64(d.Voltage); speed == 1 || need > float64(v0)*(1+1e-9) {
			err = c.follow(&d, float64(v0), loop)
		}
	}
	if err != nil {
		return d, err
	}
	if d.Voltage > 0 {
		d.Current = units.Current(float64(d.Duty.Power) / float64(d.Voltage))
	}
	d.CableDrop = units.Voltage(float64(d.Current) * loop)
	d.CableLoss = units.Power(float64(d.Current) * float64(d.Current) * loop)
	return c.atSource(d, d.Duty.Power+d.CableLoss), nil
}

// follow sets the speed, voltage and duty of a pump whose speed follows its
// voltage, fed v0 through a loop of resistance r: the fixed point of
//
//	V = V0 - R P(V/V_rated)/V
//
// above half of V0; a cable that takes more is refused. The power falls steeply
// with the voltage, so that a plain iteration swings about the answer where the
// drop is large: each step is the secant of the last two.
func (c *Chain) follow(d *Draw, v0, r float64) error {
	rated := float64(c.spec.Motor.Voltage)
	v, before, gapBefore := v0, 0.0, 0.0
	for k := range 60 {
		duty := c.spec.Water(v / rated)
		gap := v0 - r*float64(duty.Power)/v - v
		d.Speed, d.Voltage, d.Duty = v/rated, units.Voltage(v), duty
		if math.Abs(gap) <= 1e-9*v0 {
			return nil
		}
		next := v + gap/2
		if slope := (gap - gapBefore) / (v - before); k > 0 && slope < 0 {
			next = v - gap/slope
		}
		if v == v0/2 && gap < 0 {
			break
		}
		before, gapBefore, v = v, gap, min(max(next, v0/2), v0)
	}
	return units.Errorf("%w: %s at %.3g V through %.3g ohm", ErrCableTooThin, c.spec.Motor.Name, v0, r)
}

// atSource fills in what conversion and controller add to out, the power at
// the start of the pump's cable.
func (c *Chain) atSource(d Draw, out units.Power) Draw {
	s := c.spec
	switch {
	case s.Motor.AC:
		d.Conversion = s.Inverter.Draw(out) - out
	case s.Regulator > 0:
		d.Conversion = out/units.Power(s.Regulator) - out
	}
	d.Controller = s.ControllerDraw
	d.Source = out + d.Conversion + d.Controller
	return d
}

// airDraw returns what the air pump takes at the source while it runs, and what
// more it takes while the water pump stands still: the idle draw of an inverter
// that would else be switched off with that pump.
func (c *Chain) airDraw() (running, alone units.Power) {
	p, v := c.spec.Air.Power, c.spec.Inverter
	if p == 0 || !c.spec.Motor.AC {
		return p, 0
	}
	if v.SwitchedBy {
		alone = v.Idle
	}
	return p / units.Power(v.Efficiency), alone
}

// Year returns the load under s. Each speed is solved once.
func (c *Chain) Year(s clock.Schedule) (YearLoad, error) {
	y := YearLoad{Draws: map[float64]Draw{}, RunningMonths: s.RunningMonths()}
	var errs []error
	var most Draw
	for _, sh := range s.Hours() {
		d, err := c.At(sh.Speed)
		if err != nil {
			errs = append(errs, err)
		}
		if y.Draws[sh.Speed] = d; d.Voltage > most.Voltage {
			most = d
		}
	}
	c.overVoltage(&y, most)
	if err := errors.Join(errs...); err != nil {
		return YearLoad{}, err
	}
	air, alone := c.airDraw()
	for m := time.January; m <= time.December; m++ {
		for h := range 24 {
			i, still := m-1, 0.0
			for _, sp := range s.Spells(m, h) {
				if sp.Speed == 0 {
					still = sp.Part
				}
				d := y.Draws[sp.Speed]
				y.Use[i][h] += sp.Part * d.Source.In(units.Kilowatt)
				y.FlowHours[i][h] += sp.Part * d.Duty.Flow.In(units.CubicMetrePerHour)
			}
			for _, sp := range c.spec.Air.Hours.Spells(m, h) {
				if sp.Speed > 0 {
					// Within an hour the air is taken to run first while the water stands.
					y.Use[i][h] += sp.Part*air.In(units.Kilowatt) + min(sp.Part, still)*alone.In(units.Kilowatt)
				}
			}
			y.WaterPerDay[i] += units.Volume(y.FlowHours[i][h])
		}
	}
	busy := y.RunningMonths
	if c.spec.Air.Power > 0 {
		busy |= c.spec.Air.Hours.RunningMonths()
	}
	y.Standby = plan.AllYear &^ busy
	return y, nil
}

// overVoltage warns of a pump that follows the battery above its rated voltage.
func (c *Chain) overVoltage(y *YearLoad, d Draw) {
	m, full := c.spec.Motor, c.spec.Water(1).Power
	if !c.spec.direct() || m.Behaviour == Regulated || !(d.Voltage > m.Voltage*(1+1e-9) && full > 0) {
		return
	}
	y.Above = c.spec.Battery.Highest
	y.Warnings.Say("regulator.fitted", "the battery leaves the pump %.3g V at rest and stands at up to %.3g V on charge, above its rated "+
		"%g V: it runs at %.0f %% of its speed and takes %.0f %% more power, which wears it where its maker does not allow it; a DC "+
		"regulator to %[3]g V holds it (--set regulator.fitted=true)",
		float64(d.Voltage), float64(c.spec.Battery.Highest), float64(m.Voltage), 100*d.Speed, 100*(float64(d.Duty.Power/full)-1))
}

// Drop returns the share of the voltage that is lost in the cable.
func (d Draw) Drop() float64 { return Ratio(float64(d.CableDrop), float64(d.Voltage+d.CableDrop)) }

// YearLoad is what a chain draws and moves under a schedule.
type YearLoad struct {
	Above         units.Voltage      // that stands at a pump on charge, where that is beyond its rating; else 0
	Use           clock.MonthlyHours // at the source, air pump included
	WaterPerDay   [12]units.Volume   // in the mean day of each month
	FlowHours     [12][24]float64    // water in each clock hour of the mean day [m³]
	Draws         map[float64]Draw   // by speed asked for
	RunningMonths plan.MonthSet
	Standby       plan.MonthSet // neither water nor air runs
	Warnings      data.Doubts   // about the voltage that the pump gets
}

// WaterByHour returns the water of each hour of the 365-day year [m³].
func (y *YearLoad) WaterByHour() []float64 {
	out := make([]float64, 0, solar.HoursPerYear)
	for m, days := range data.MonthDays {
		for range days {
			out = append(out, y.FlowHours[m][:]...)
		}
	}
	return out
}
