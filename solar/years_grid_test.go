package solar

import (
	"testing"

	"sunrill/data/units"
)

// TestYearsOverTheGrid makes a year wherever the built-in climate has sun and
// air, with and without its winter allowance: no clearness may
// need to be held.
func TestYearsOverTheGrid(t *testing.T) {
	const step = 7.5 // degrees; every third cell either way. All cells were tried once.
	made := 0
	for lat := -57.5; lat <= 80; lat += step {
		for lon := -180.0; lon < 180; lon += step {
			c, err := ClimateAt(units.Angle(lat)*units.Degree, units.Angle(lon)*units.Degree)
			if err != nil {
				continue // open sea
			}
			g := NewGeometry(c.Site)
			for _, ghi := range [][12]float64{c.GHI, c.SizingGHI} {
				for m, h0 := range g.MonthlyExtra() {
					if kt := ghi[m] / h0; h0 >= dimMonth && !(kt >= dullest && kt <= mostClearness) {
						t.Errorf("latitude %g, longitude %g: clearness %.3f in month %d", lat, lon, kt, m+1)
					}
				}
				NewDays(g, ghi, c.TempC, 1, 1)
				made++
			}
		}
	}
	if made < 500 {
		t.Errorf("%d years made, want hundreds", made)
	}
}
