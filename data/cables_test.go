package data

import (
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

// TestWarmCopper: 20 K warm copper by 7.86 % of its resistance (IEC 60228 annex A).
func TestWarmCopper(t *testing.T) {
	reftest.Near(t, "20 C", Copper(units.Celsius(20)), 1, 1e-12)
	reftest.Near(t, "40 C", Copper(units.Celsius(40)), 1.0786, 1e-12)
}
