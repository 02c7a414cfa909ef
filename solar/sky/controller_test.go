package sky

import (
	"math"
	"testing"

	"sunrill/data/units"
)

// PV5: a 120 W module of 17 V and 7 A on a 12 V battery by PWM gives 84 W, 30 %
// less. Source: a trade page, seen; methods 3.3.
func TestPV5PWM(t *testing.T) {
	share := PWMShare(17*units.Volt, 15*units.Volt, 12*units.Volt)
	if got := share * 17 * 7; math.Abs(got-84) > 1e-9 {
		t.Errorf("power %v W, want 84 W", got)
	}
	// The page rounds 1 - 84/119 (29.4 %) to 30 % against the label's 120 W.
	if loss := 1 - share*119/120; math.Abs(loss-0.30) > 0.0005 {
		t.Errorf("loss %.4f of the label, want 0.30", loss)
	}
}

func TestPWMNeedsVolts(t *testing.T) {
	if share := PWMShare(13*units.Volt, 11.5*units.Volt, 12.8*units.Volt); share != 0 {
		t.Errorf("a module below the battery's voltage gave %v; want 0", share)
	}
}
