package pumps

import (
	"testing"

	"sunrill/data/units"
)

// DO7: pvlib's test of alt2pres at 1000 m. DO8: FAO-56 example 2 (81.8 kPa at 1800 m) by
// another formula; the two standard atmospheres differ by 0.4 %.
func TestDO7DO8AirPressure(t *testing.T) {
	for z, want := range map[units.Length][2]float64{1000: {89874.75, 1.2e-7}, 1800: {81800, 0.004}} {
		p := AirPressure(z)
		if !near(float64(p), want[0], want[1]) {
			t.Errorf("%v m: %v Pa, want %v", float64(z), float64(p), want[0])
		}
	}
}

func TestP1P2HydraulicPower(t *testing.T) {
	// Schaschke, problem 9.14.
	p := HydraulicPower(10.6*m3h, 15, Water{Density: 1000})
	wantNear(t, "P1", "hydraulic power", float64(p), 433.3, 1e-3)
	// Cengel & Cimbala, example 14-2.
	w := Water{Density: 998}
	wantNear(t, "P2", "shaft power", float64(HydraulicPower(23.3*lps, 7.3, w))/0.70, 2379, 2e-3)
	wantNear(t, "P2", "shaft power", float64(HydraulicPower(23.3*lps, 21.9, w))/0.765, 6530, 2e-3)
}

// Pumps & Systems, cost article: 0.00315 kWh per 1000 US gallons per foot.
func TestP3EnergyPerVolume(t *testing.T) {
	p := HydraulicPower(1*m3h, 1*units.Foot, Water{Density: 998.2})
	wantNear(t, "P3", "kWh per 1000 gal per ft", float64(p)/1000*3.785411784, 0.00315, 5e-3) // 1 m3 in an hour
	perMetre := HydraulicPower(1*m3h, 1, Water{Density: 1000})
	wantNear(t, "P3", "Wh per m3 per m", float64(perMetre), 2.725, 1e-3) // 9.81/3.6
}
