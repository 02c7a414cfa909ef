package energy

import (
	"slices"
	"testing"
)

func TestWithoutPricesTheSteepEndIsNotBought(t *testing.T) {
	// A front seen for 22 W on flooded lead with an 11 h stop: 85 W more panel
	// saves 44 kWh of battery. The first pair does not make enough in the worst
	// month, and stands behind the others whatever its sum.
	pairs := []Pair{{PanelW: 300, BatteryWh: 900}, {PanelW: 425, BatteryWh: 55150}, {PanelW: 510, BatteryWh: 11020}, {PanelW: 4000, BatteryWh: 8000}}
	ratio := designRatio / 400
	slices.SortStableFunc(pairs, func(a, b Pair) int { return rank(a, b, ratio) })
	var got []float64
	for _, p := range pairs {
		got = append(got, p.PanelW)
	}
	if want := []float64{510, 4000, 425, 300}; !slices.Equal(got, want) {
		t.Errorf("panels in the order %v, want %v", got, want)
	}
}
