package energy

import (
	"fmt"
	"strings"
	"testing"

	"sunrill/data/plantest"
)

// TestTouchVoltageIsThatOfTheCold: the caution tells the volts that the installer is told, which
// the label's at 25 °C are not.
func TestTouchVoltageIsThatOfTheCold(t *testing.T) {
	for _, lat := range []string{"-32", "52"} {
		r, err := Evaluate(t.Context(), demoInputs(t, plantest.Set("site.latitude", lat), plantest.Set("reliability.years", "1")), Sun)
		if err != nil {
			t.Fatal(err)
		}
		pair := r.DayAndNight()
		if !pair.Known || !pair.Value.Installer.ColdVoltage.Known {
			t.Fatalf("at %s: %s", lat, pair.Why)
		}
		want, told := fmt.Sprintf("can give %.0f V in the cold", float64(pair.Value.Installer.ColdVoltage.Value)), false
		for _, s := range r.Cautions() {
			told = told || strings.Contains(s.String(), want)
		}
		if !told {
			t.Errorf("at %s nothing says that it %s: %s", lat, want, r.Cautions())
		}
	}
}
