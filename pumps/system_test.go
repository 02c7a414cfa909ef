package pumps

import (
	"testing"

	"sunrill/data/units"
)

// TestTightest: of 10 m of 25 mm hose and a piece of 19 mm that is 5 cm long, the
// hose takes more; friction goes with length and about the inverse fifth power of
// the bore, 10/0.05 x (19/25)^5 = 51 times as much. Where nothing flows it is the
// narrowest.
func TestTightest(t *testing.T) {
	s := NewSystem(SystemSpec{Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.019, Length: 0.05}, {Bore: 0.025, Length: 10}}})
	if i := s.Tightest(2 * units.CubicMetrePerHour); i != 1 {
		t.Errorf("feed %d takes most", i+1)
	}
	if i := s.Tightest(0); i != 0 {
		t.Errorf("feed %d is the narrowest", i+1)
	}
}
