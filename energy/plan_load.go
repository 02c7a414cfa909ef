package energy

import (
	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/pumps"
	"sunrill/solar/sky"
)

// usualVoltage is taken for an AC pump (IEC 60038) and for a DC pump that is
// to hang on a battery of which nothing is said either.
const (
	usualACVoltage = 230 * units.Volt
	usualDCVoltage = 12 * units.Volt
)

// motorOf returns the electrical side of a plan's pump.
func motorOf(in plan.Pump, battery plan.Battery) supply.Motor {
	m := supply.Motor{Name: in.Name, AC: in.Supply == "AC", Behaviour: supply.VoltageBehaviour(in.VoltageBehaviour),
		LeastSpeed: in.LeastSpeed}
	switch {
	case in.Voltage != nil:
		m.Voltage = *in.Voltage
	case m.AC:
		m.Voltage = usualACVoltage
	case battery.Voltage != nil:
		m.Voltage = *battery.Voltage
	default:
		m.Voltage = usualDCVoltage
	}
	switch in.SpeedControl {
	case "none":
	case "":
		m.Slows = !m.AC && m.Behaviour == supply.Follows
	default:
		m.Slows = true
	}
	return m
}

// airOf returns the plan's air pump, the zero Air where it names none.
func airOf(p *plan.Plan) supply.Air {
	if p.Air.Power == nil {
		return supply.Air{}
	}
	hours := plan.AllDay()
	if p.Air.Hours != nil {
		hours = *p.Air.Hours
	}
	bands := []plan.RunBand{{Hours: hours, Months: p.Air.Months, Speed: 1}}
	return supply.Air{Power: *p.Air.Power, Hours: clock.ScheduleOf(plan.Run{Bands: bands})}
}

// assumedAir lists the hours of an air pump that nobody gave.
func assumedAir(p *plan.Plan) []figure.Assumed {
	if p.Air.Power == nil || p.Given("air.hours") {
		return nil
	}
	k, _ := plan.KeyNamed("air.hours")
	text := units.Text("day and night")
	if !p.Given("air.months") {
		text += ", all the year"
	}
	return []figure.Assumed{{Key: "air.hours", Text: text, Why: "not given: it runs beside the water pump, in its months off too",
		Source: k.Source}}
}

// inverterOf returns the plan's inverter, nil where there is none.
func inverterOf(p *plan.Plan) *supply.Inverter {
	if !p.HasInverter() {
		return nil
	}
	return &supply.Inverter{Efficiency: p.Inverter.Efficiency, Idle: p.Inverter.Idle, Rated: figure.OrZero(p.Inverter.Rated),
		SwitchedBy: p.Inverter.SwitchedWithPump}
}

// fitting returns the plan with a battery for pump i, where nobody gave its voltage.
func fitting(p *plan.Plan, i int) *plan.Plan {
	with, v := *p, sky.BatteryVoltage(&plan.Plan{Pumps: p.Pumps[i : i+1], Battery: p.Battery})
	if p.Pumps[i].Supply == "DC" && v != sky.BatteryVoltage(p) { // of the first DC pump
		with.Battery.Voltage = &v
	}
	return &with
}

// onBattery returns what stands between the plan's battery and the leads of pump i.
func onBattery(p *plan.Plan, i int) supply.ChainSpec {
	volts, battery := sky.BatteryVolts(p), p.Battery
	battery.Voltage = &volts.Rest // a pump that names no voltage is taken to be made for what the battery gives
	s := supply.ChainSpec{Motor: motorOf(p.Pumps[i], battery), Battery: volts, Inverter: inverterOf(p),
		ControllerDraw: controllerDraw(p.Controller)}
	if p.Regulator.Fitted && !s.Motor.AC {
		s.Regulator = p.Regulator.Efficiency
	}
	return s
}

// batteryChain returns a pump of the plan on a line, fed from the battery, with
// air beside it; its Warnings hold the doubts about the cable too.
func batteryChain(p *plan.Plan, i int, pump pumps.Pump, line *pumps.System, air supply.Air) (*supply.Chain, error) {
	s := onBattery(p, i)
	s.Air = air
	var doubts []data.Warning
	var err error
	if s.Water, err = supply.SolveOn(pump, line); err != nil {
		return nil, err
	}
	if s.Cable, doubts, err = cableOf(p, s); err != nil {
		return nil, err
	}
	c, err := supply.NewChain(s)
	if err != nil {
		return nil, err
	}
	c.Warnings = append(doubts, c.Warnings...)
	return c, nil
}
