package supply

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// DaylightControl is what stands between a panel and a pump without a battery.
type DaylightControl string

// The kinds, as in the plan file.
const (
	BarePanel DaylightControl = "none"       // the panel's current at the pump's volts
	PWMOnly   DaylightControl = "PWM"        // a switch: with no battery to hold its volts, as a bare panel
	MPPTOnly  DaylightControl = "MPPT"       // the panel's best power times an efficiency
	PumpDrive DaylightControl = "pump drive" // the same, made for pumps; it can drive an AC motor
)

// Daylight is a pump that runs on the sun alone.
type Daylight struct {
	Control    DaylightControl
	Efficiency float64     // of MPPT or drive; 0 is 1
	OwnDraw    units.Power // of the controller
	Panel      units.Power // nameplate
	// WorkingVoltage is the panel's at its rated power, in series as wired; a
	// bare panel and PWM need it.
	WorkingVoltage units.Voltage
	Motor          Motor
	Table          *FlowTable // must be there
}

// tooHighVoltage is the share of a pump's rated voltage above which a bare
// panel is worth a word (common practice, no source).
const tooHighVoltage = 1.25

// Check returns what stops d from running, or the doubts that do not.
func (d *Daylight) Check() ([]data.Warning, error) {
	var faults data.FaultList
	var warn data.Doubts
	if d.Motor.AC && d.Control != PumpDrive {
		faults.Add(&data.Error{Key: "controller.kind", Found: string(d.Control), Allowed: "pump drive, a battery with an inverter, or a " +
			"DC pump",
			Message: units.Sprintf("a %g V AC pump cannot run on a panel alone: its voltage and frequency need a solar pump drive",
				float64(d.Motor.Voltage))})
	}
	faults.Want(d.OwnDraw < d.Panel || d.OwnDraw == 0, "controller.own_draw", d.OwnDraw,
		"0 W up to less than the panel's "+d.Panel.String())
	if d.ByCurrent() {
		faults.Want(d.WorkingVoltage > 0, "panel.working_voltage", d.WorkingVoltage,
			`the panel's working voltage, such as "36 V": without a converter its current counts`)
		if d.Motor.Voltage > 0 && d.WorkingVoltage > tooHighVoltage*d.Motor.Voltage {
			warn.Say("panel.working_voltage",
				"the panel's %g V is well above the pump's %g V: in strong sun with a light load it needs a limiter, and the figures "+
					"take one as given",
				float64(d.WorkingVoltage), float64(d.Motor.Voltage))
		}
	}
	if d.Control == PWMOnly || d.Control == MPPTOnly {
		warn.Say("controller.kind", "many %s charge controllers do not run without a battery: ask its maker, or use a pump drive",
			d.Control)
	}
	return warn, faults.Err()
}

// ByCurrent reports whether the panel's current, not its best power, counts.
func (d *Daylight) ByCurrent() bool { return d.Control == BarePanel || d.Control == PWMOnly }

// Slows reports whether the pump runs at less than full speed in weak sun.
func (d *Daylight) Slows() bool { return !d.steps() }

// steps reports whether the pump only knows full speed and off.
func (d *Daylight) steps() bool {
	return !d.Motor.Slows && (d.Motor.Behaviour == Regulated || (d.Motor.AC && d.Control != PumpDrive))
}

// Flow returns the flow in an hour in which each watt of panel would give yield
// [W/W] at its best, and share [0 to 1 and a little above] of its rated
// current, from a pump that ran the hour before or did not.
func (d *Daylight) Flow(yield, share float64, running bool) units.Flow {
	eta := d.Efficiency
	if eta == 0 {
		eta = 1
	}
	if d.ByCurrent() {
		i := units.Current(float64(d.Panel)/float64(d.WorkingVoltage)*share) - units.Current(float64(d.OwnDraw)/float64(d.WorkingVoltage))
		// What heat takes from the power it takes from the voltage.
		ceiling := d.WorkingVoltage
		if share > 0 {
			ceiling *= units.Voltage(min(1.2, yield/share))
		}
		if d.steps() {
			return d.step(units.Power(float64(i) * float64(min(ceiling, d.Motor.Voltage))))
		}
		return d.Table.FlowAtCurrent(i, ceiling, running)
	}
	p := d.Panel*units.Power(yield*eta) - d.OwnDraw
	if d.steps() {
		return d.step(p)
	}
	return d.Table.FlowAt(p, running)
}

// step returns the flow of a pump that runs at full speed or not at all.
func (d *Daylight) step(p units.Power) units.Flow {
	if p < d.Table.FullPower() {
		return 0
	}
	return d.Table.FullFlow()
}

// SunToStart returns the sun on the panel [W/m²] at which water starts from
// rest, and that below which it stops once running. at gives the yield [W/W]
// and current share of the panel under a sun [W/m²], its losses and
// temperature included. Unknown where the panel never gives enough up to 1200 W/m².
func (d *Daylight) SunToStart(at func(sun float64) (yield, share float64)) (start, stop figure.Maybe[units.Irradiance]) {
	return d.sunAt(at, false), d.sunAt(at, true)
}

// strongestSun is the top of the search: cloud edges aside, no site passes it.
const strongestSun = 1200

// sunAt finds the least sun that gives any flow, by bisection to 0.1 W/m².
func (d *Daylight) sunAt(at func(float64) (float64, float64), running bool) figure.Maybe[units.Irradiance] {
	flows := func(sun float64) bool {
		yield, share := at(sun)
		return d.Flow(yield, share, running) > 0
	}
	low, high := 0.0, float64(strongestSun)
	if !flows(high) {
		return figure.Unknown[units.Irradiance]("this panel does not start the water in any sun")
	}
	for high-low > 0.1 {
		if mid := (low + high) / 2; flows(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return figure.Known(units.Irradiance(high))
}
