package energy

import (
	"math"
	"testing"

	"sunrill/data/units"
)

// PV5: a 120 W module of 17 V and 7 A on a 12 V battery by PWM gives 84 W, 30 %
// less. Source: a trade page, seen; methods 3.3.
func TestPV5PWM(t *testing.T) {
	if got := PWMPower(7*units.Ampere, 12*units.Volt); got != 84*units.Watt {
		t.Errorf("power %v, want 84 W", got)
	}
	share, err := PWMShare(17*units.Volt, 15*units.Volt, 12*units.Volt)
	if err != nil {
		t.Fatal(err)
	}
	// The page rounds 1 - 84/119 (29.4 %) to 30 % against the label's 120 W.
	if loss := 1 - share*119/120; math.Abs(loss-0.30) > 0.0005 {
		t.Errorf("loss %.4f of the label, want 0.30", loss)
	}
}

// PV6: 125 W by MPPT at 95 % against 10 V times 8 A gains 38.75 W, and a unit of
// 4000 rupees at 3 rupees a kWh pays in 34,409 h. Source: Khan,
// Non-Conventional Energy Resources, example 6.4, by its textbook companion.
func TestPV6MPPT(t *testing.T) {
	gain := MPPTPower(125*units.Watt, 0.95) - PWMPower(8*units.Ampere, 10*units.Volt)
	if math.Abs(float64(gain)-38.75) > 1e-12 {
		t.Errorf("gain %v, want 38.75 W", gain)
	}
	if hours := 4000 / 3.0 / gain.In(units.Kilowatt); math.Abs(hours-34409) > 0.5 {
		t.Errorf("pays in %.1f h, want 34409 h", hours)
	}
}

func TestPWMNeedsVolts(t *testing.T) {
	if share, err := PWMShare(13*units.Volt, 11.5*units.Volt, 12.8*units.Volt); err != nil || share != 0 {
		t.Errorf("a module below the battery's voltage gave %v, %v; want 0", share, err)
	}
	for _, v := range []units.Voltage{0, -1, units.Voltage(math.NaN()), units.Voltage(math.Inf(1))} {
		if _, err := PWMShare(v, 15, 12); err == nil {
			t.Errorf("working voltage %v was taken", v)
		}
	}
}
