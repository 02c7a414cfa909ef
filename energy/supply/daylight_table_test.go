package supply

import (
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// On the sun alone the cable takes its share too: what flows for P at the pump
// takes P + (P/U)² R at the start of the cable (Ohm), and a bare panel's ceiling
// is lower by I R. 0.5 ohm on 96 V.
func TestDaylightThroughACable(t *testing.T) {
	bare := FlowTableSpec{Pump: schaschke(t), Circuit: fourMetres(t), Voltage: 96}
	wired := bare
	wired.Loop = 0.5
	short, long := mustTable(t, bare), mustTable(t, wired)
	solve := mustSolve(t, bare.Pump, bare.Circuit)
	for _, speed := range []float64{0.75, 0.9, 1} {
		d := solve(speed)
		p := float64(d.Power)
		amps := p / (96 * speed)
		at := units.Power(p + amps*amps*0.5)
		reftest.Near(t, "flow", float64(long.FlowAt(at, true)), float64(d.Flow), 0.001*float64(short.FullFlow()))
		reftest.Near(t, "flow by current", float64(long.FlowAtCurrent(units.Current(amps), units.Voltage(96*speed+amps*0.5), true)), float64(d.Flow), 0.001*float64(short.FullFlow()))
		if !(long.FlowAt(units.Power(p), true) < short.FlowAt(units.Power(p), true)) {
			t.Errorf("at %g W the cable costs no water", p)
		}
	}
	if full := float64(short.FullPower()); float64(long.FullPower()) <= full {
		t.Errorf("full power %g W with the cable, %g W without", float64(long.FullPower()), full)
	}
}
