package supply

import (
	"sunrill/data/units"
	"sunrill/solar"
)

// SunOn returns the record of a panel in the place of array under weather: its yield and
// the share of its rated current, hour by hour.
func SunOn(array *solar.Array, panel solar.Panel, weather *solar.Series) SunRecord {
	yield := func() []float64 { return solar.NewArray(array.Geometry, array.Plane, panel).Yield(nil, weather) }
	r := SunRecord{Start: weather.Start, Yield: yield()}
	panel.Gamma = 0 // heat takes from the voltage, not from the current
	r.Share = yield()
	return r
}

// PanelIn returns the yield and the share of rated current of a panel under a
// sun on its plane [W/m²] in air of temperature air, for SunToStart. Light is
// taken to come straight in, so incidence, shade and snow are left out.
func PanelIn(panel solar.Panel, air units.Temperature) func(sun float64) (yield, share float64) {
	keep := 1 - solar.LossProduct(panel.Losses)
	return func(sun float64) (yield, share float64) {
		cell := solar.CellTemperature(air.InCelsius(), sun, panel.NOCT)
		return keep * solar.PowerRatio(sun, cell, panel.Gamma), keep * sun / 1000
	}
}
