package supply

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/solar"
)

// stranded are rows of the cable table, typed again from IEC 60228 table 2 as
// read in the source of CB2 and CB3.
var stranded = []Conductor{
	{Area: 4 * units.SquareMillimetre, OhmPerKm: 4.61, Ampacity: 30},
	{Area: 6 * units.SquareMillimetre, OhmPerKm: 3.08, Ampacity: 38},
	{Area: 10 * units.SquareMillimetre, OhmPerKm: 1.83, Ampacity: 52},
}

// CB2: 12 V, 5 A, 15 m of 4 mm²: 2 × 15 m × 5 A × 4.61 ohm/km = 0.69 V (5.8 %)
// by IEC 60228, worked by hand.
func TestCB2StrandedDrop(t *testing.T) {
	c := Cable{Run: 15, Conductor: stranded[0], Temperature: units.Celsius(20)}
	reftest.Near(t, "CB2", float64(c.Drop(5)), 0.69, 0.005)
	reftest.Near(t, "CB2 share", float64(c.Drop(5))/12*100, 5.8, 0.05)
}

// CB3: IEC 60228 resistances at 40 °C as printed: 4.972, 3.322 and 1.974 ohm/km
// for 4, 6 and 10 mm².
func TestCB3WarmCopper(t *testing.T) {
	for i, want := range []float64{4.972, 3.322, 1.974} {
		reftest.Near(t, "CB3", stranded[i].ResistancePerMetre(units.Celsius(40))*1000, want, 0.0006)
	}
}

// PV10: the loss polynomial worked by hand.
func TestPV10PartLoad(t *testing.T) {
	for p, want := range map[float64]float64{0.05: 0.708, 0.1: 0.813, 0.5: 0.905, 1: 0.898} {
		reftest.Near(t, "PV10", partLoadEfficiency(p), want, 5e-4)
	}
}

// cubic is a pump without lift: flow as speed, power as its cube.
func cubic(watts float64) Solve {
	return func(s float64) Duty {
		return Duty{Flow: units.Flow(s) * units.CubicMetrePerHour, Head: units.Length(s * s), Power: units.Power(watts * s * s * s)}
	}
}

func mustChain(t testing.TB, s ChainSpec) *Chain {
	t.Helper()
	c, err := NewChain(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func mustAt(t testing.TB, c *Chain, speed float64) Draw {
	t.Helper()
	d, err := c.At(speed)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// A 24 V pump of 48 W on 25.6 V, worked with a pencil. A regulated one takes 48 W
// whatever the voltage: through 0.4 ohm V = (25.6 + sqrt(25.6² - 4 × 0.4 × 48))/2
// = 24.826 V, 1.9335 A, 1.495 W lost. One that follows its voltage without a
// cable turns 25.6/24 times as fast and takes its cube, 58.25 W.
func TestChainWorkingVoltage(t *testing.T) {
	cable := &Cable{Run: 100, Conductor: Conductor{OhmPerKm: 2}, Temperature: units.Celsius(20)}
	spec := ChainSpec{Battery: steady(25.6), Water: cubic(48), Cable: cable, ControllerDraw: 0.5,
		Motor: Motor{Name: "pump", Voltage: 24, Behaviour: Regulated}}
	d := mustAt(t, mustChain(t, spec), 1)
	reftest.Near(t, "voltage", float64(d.Voltage), 24.826, 0.001)
	reftest.Near(t, "current", float64(d.Current), 1.9335, 0.0005)
	reftest.Near(t, "cable", float64(d.CableLoss), 1.495, 0.001)
	reftest.Near(t, "drop", float64(d.CableDrop), 25.6-24.826, 0.001)
	reftest.Near(t, "terminals", float64(d.Source), 48+1.495+0.5, 0.001)

	spec.Motor.Behaviour, spec.Cable = Follows, nil
	d = mustAt(t, mustChain(t, spec), 1)
	reftest.Near(t, "speed", d.Speed, 25.6/24, 1e-9)
	reftest.Near(t, "watts", float64(d.Source), 58.25+0.5, 0.01)
	// With the cable the two balances must close: voltages add up, speed is the
	// voltage's share, and source = pump + cable + controller.
	spec.Cable = cable
	d = mustAt(t, mustChain(t, spec), 1)
	reftest.Near(t, "Kirchhoff", float64(d.Voltage+d.CableDrop), 25.6, 1e-6)
	reftest.Near(t, "follows", d.Speed, float64(d.Voltage)/24, 1e-9)
	reftest.Near(t, "watts", float64(d.Source), 48*math.Pow(d.Speed, 3)+float64(d.CableLoss)+0.5, 1e-6)
	if d = mustAt(t, mustChain(t, spec), 0); d.Source != 0.5 {
		t.Errorf("off it draws %v, want the controller's 0.5 W", d.Source)
	}
}

// A 90 W AC pump: 90/0.9 + 8 = 108 W at the terminals; off, 8 W idle, or none
// where the inverter goes off with it. A 38 W DC pump on a regulator of
// 85 % takes 44.7 W from the battery. All by hand.
func TestChainInverterAndRegulator(t *testing.T) {
	ac := ChainSpec{Battery: steady(25.6), Water: cubic(90), Inverter: &Inverter{Efficiency: 0.9, Idle: 8}, Motor: Motor{AC: true, Voltage: 230}}
	c := mustChain(t, ac)
	reftest.Near(t, "AC", float64(mustAt(t, c, 1).Source), 108, 1e-9)
	reftest.Near(t, "AC off", float64(mustAt(t, c, 0).Source), 8, 1e-9)
	ac.Inverter = &Inverter{Efficiency: 0.9, Idle: 8, SwitchedBy: true}
	reftest.Near(t, "AC switched off", float64(mustAt(t, mustChain(t, ac), 0).Source), 0, 0)
	dc := ChainSpec{Battery: steady(24), Water: cubic(38), Regulator: 0.85, Motor: Motor{Voltage: 24, Behaviour: Follows}}
	reftest.Near(t, "regulator", float64(mustAt(t, mustChain(t, dc), 1).Source), 44.706, 0.001)
	if _, err := mustChain(t, ac).At(0.8); !errors.Is(err, ErrNotSlowed) || plantest.FaultKeys(err) != "run.speed" {
		t.Errorf("slowing a pump that cannot be slowed: %v", err)
	}
	ac.Inverter = &Inverter{Efficiency: 0.92, Rated: 2000}
	if w := mustChain(t, ac).Warnings; len(w) != 1 || w[0].Key != "inverter.efficiency" {
		t.Errorf("92 %% at a twentieth of the rating gave %v", w)
	}
}

func TestChainBadInput(t *testing.T) {
	good := ChainSpec{Battery: steady(25.6), Water: cubic(40), Motor: Motor{Name: "p", Voltage: 24}}
	cases := []struct {
		name, keys string
		change     func(*ChainSpec)
	}{
		{"230 V off grid without an inverter", "inverter", func(s *ChainSpec) { s.Motor.AC, s.Motor.Voltage = true, 230 }},
		{"24 V pump on 12 V", "battery.voltage", func(s *ChainSpec) { s.Battery = steady(12.8) }},
	}
	for _, c := range cases {
		s := good
		c.change(&s)
		if _, err := NewChain(s); plantest.FaultKeys(err) != c.keys {
			t.Errorf("%s: %v, want a fault of %s", c.name, err, c.keys)
		}
	}
	thin := good
	thin.Cable = &Cable{Run: 600, Conductor: Conductor{OhmPerKm: 24.5}}
	if _, err := mustChain(t, thin).At(1); !errors.Is(err, ErrCableTooThin) {
		t.Errorf("a cable that cannot carry the load: %v", err)
	}
	thin.Motor.Behaviour = Regulated
	if _, err := mustChain(t, thin).At(1); !errors.Is(err, ErrCableTooThin) {
		t.Errorf("a cable that cannot carry a regulated load: %v", err)
	}
}

// By hand: 40 W at 24 V, falling as the cube of the speed, through 26.43 ohm at
// 40 °C from 25.6 V. 24 x = 25.6 - 44.04 x² gives x = 0.5372, 12.89 V, 6.200 W:
// nearly half is lost, and a plain iteration swings about it.
func TestFollowsThroughAVeryThinCable(t *testing.T) {
	s := ChainSpec{Battery: steady(25.6), Water: cubic(40), Motor: Motor{Name: "p", Voltage: 24},
		Cable: &Cable{Run: 500, Conductor: Conductor{OhmPerKm: 24.5}}}
	d, err := mustChain(t, s).At(1)
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "speed", d.Speed, 0.5372, 0.0001)
	reftest.Near(t, "volts", float64(d.Voltage), 12.89, 0.01)
	reftest.Near(t, "watts", float64(d.Duty.Power), 6.200, 0.002)
	reftest.Near(t, "drop", d.Drop(), 1-12.89/25.6, 0.001)
}

// A pump without any watts cannot be budgeted.
func TestNoPowerIsAFault(t *testing.T) {
	p := mustPump(t, pumps.Point{Flow: 0, Head: 2}, pumps.Point{Flow: 1e-3, Head: 0})
	if _, err := SolveOn(p, mustSystem(t, pumps.SystemSpec{Feeds: []pumps.Feed{{Bore: 0.04}}})); plantest.FaultKeys(err) != "pump.metered_power" {
		t.Errorf("a pump without watts: %v", err)
	}
}

// A night setback by hand: 14 h at full 50 W and 10 h at half speed, 6.25 W:
// 0.7625 kWh a day and 278.3 kWh a year; an air pump of 5 W adds 50 Wh.
func TestYearOfNightSetback(t *testing.T) {
	night := clock.ScheduleOf(plan.Run{Speed: 1, Bands: []plan.RunBand{{Hours: plantest.Hours(21, 7), Months: plan.AllYear, Speed: 0.5}}})
	air := daily(21, 7, 0)
	c := mustChain(t, ChainSpec{Battery: steady(25.6), Inverter: &Inverter{Efficiency: 1}, Water: cubic(50), Motor: Motor{AC: true, Voltage: 230, Slows: true}, Air: Air{Power: 5, Hours: air}})
	y, err := c.Year(night)
	if err != nil {
		t.Fatal(err)
	}
	reftest.Near(t, "kWh a day", y.Use.PerDay(time.July).KilowattHours(), 0.8125, 1e-9)
	reftest.Near(t, "Wh a day", y.Use.PerDay(time.July).WattHours(), 812.5, 1e-6)
	reftest.Near(t, "kWh a year", y.Use.PerYear().KilowattHours(), 0.8125*365, 1e-9)
	reftest.Near(t, "water", float64(y.WaterPerDay[6]), 14+10*0.5, 1e-9)
	watts := y.Use.Watts()
	if len(watts) != solar.HoursPerYear || watts[12] != 50 || math.Abs(watts[8759]-11.25) > 1e-9 {
		t.Errorf("the year's series: %d hours, noon %g W, last %g W", len(watts), watts[12], watts[8759])
	}
	off := clock.ScheduleOf(plan.Run{Speed: 1, MonthsOff: 0xc03})
	if got := off.RunningMonths(); got != plan.MonthSet(0x3fc) {
		t.Errorf("running months %012b", got)
	}
}

// The cable table against CB2 and CB3 (4.61, 3.08 and 1.83 ohm/km as read) and
// against copper itself: no conductor below 0.0172 ohm mm²/m, the resistivity of
// annealed copper (IEC 60028), none more than a fifth above it.
func TestCableTable(t *testing.T) {
	rows := Conductors()
	for _, want := range stranded {
		mm2 := want.Area.In(units.SquareMillimetre)
		if !slices.ContainsFunc(data.CableSizes(), func(r data.CableSize) bool {
			return r.Class == 2 && math.Abs(float64(r.AreaMM2)-mm2) < 1e-9 && float64(r.OhmPerKm20C) == want.OhmPerKm
		}) {
			t.Errorf("no stranded row of %g mm2 and %g ohm/km", mm2, want.OhmPerKm)
		}
	}
	for i, r := range rows {
		rho := r.OhmPerKm * r.Area.In(units.SquareMillimetre) / 1000
		if rho < 0.0172 || rho > 0.0172*1.2 || r.Ampacity <= 0 || r.Source == "" {
			t.Errorf("%+v: %g ohm mm2/m", r, rho)
		}
		if i > 0 && (r.Area <= rows[i-1].Area || r.OhmPerKm >= rows[i-1].OhmPerKm || r.Ampacity < rows[i-1].Ampacity) {
			t.Errorf("%+v does not follow from the row before it", r)
		}
	}
}

// By hand at 40 °C: 2.7 A over 14 m at 24 V may lose 0.72 V, so the loop may
// have 0.267 ohm, 9.5 ohm/km: the thinnest row of the three does.
func TestLeastConductor(t *testing.T) {
	c, err := LeastConductor(stranded, 2.7, 14, 24)
	if err != nil || c.OhmPerKm != 4.61 {
		t.Errorf("least conductor %+v, %v", c, err)
	}
	// Four times the current needs 2.4 ohm/km: 10 mm².
	if c, err = LeastConductor(stranded, 10.8, 14, 24); err != nil || c.OhmPerKm != 1.83 {
		t.Errorf("least conductor %+v, %v", c, err)
	}
	if _, err = LeastConductor(stranded, 40, 50, 12); !errors.Is(err, ErrNoConductor) {
		t.Errorf("no conductor: %v", err)
	}
	if _, _, err = ConductorOf(stranded, 95*units.SquareMillimetre); plantest.FaultKeys(err) != "cable.area" {
		t.Errorf("95 mm2: %v", err)
	}
	// US 10 gauge, 5.26 mm², has 3.34 ohm/km by ASTM B8 (from memory); the table's way must not be below it.
	got, warn, err := ConductorOf(stranded, 5.26*units.SquareMillimetre)
	if err != nil || len(warn) != 1 || got.OhmPerKm < 3.34 || got.OhmPerKm > 3.34*1.06 {
		t.Errorf("5.26 mm2: %+v, %v, %v", got, warn, err)
	}
}
