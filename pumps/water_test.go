package pumps

import (
	"errors"
	"testing"

	"sunrill/data"
	"sunrill/data/units"
)

// DO7: pvlib's test of alt2pres at 1000 m. DO8: FAO-56 example 2 (81.8 kPa at 1800 m) by
// another formula; the two standard atmospheres differ by 0.4 %.
func TestDO7DO8AirPressure(t *testing.T) {
	for z, want := range map[units.Length][2]float64{1000: {89874.75, 1.2e-7}, 1800: {81800, 0.004}} {
		p, err := AirPressure(z)
		if err != nil || !near(float64(p), want[0], want[1]) {
			t.Errorf("%v m: %v Pa, %v, want %v", float64(z), float64(p), err, want[0])
		}
	}
	var fault *data.Error
	if _, err := AirPressure(20000); !errors.As(err, &fault) || fault.Key != "site.altitude" {
		t.Errorf("20 km: %v", err)
	}
}
