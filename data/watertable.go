package data

import "sunrill/data/units"

// WaterRow is fresh water at one temperature and 1 atm.
type WaterRow struct {
	Temperature    units.Temperature
	Density        float64 // [kg/m³]
	Viscosity      float64 // dynamic [Pa s]
	VapourPressure float64 // [Pa]
	Source         string
}

type waterRow struct {
	Temperature Number `csv:"temp_c"`
	Density     Number `csv:"density_kg_per_m3"`
	Viscosity   Number `csv:"viscosity_mpa_s"`
	Vapour      Number `csv:"vapour_pressure_kpa"`
	Source      string `csv:"source"`
}

var waterShelf = shelve[waterRow]("water", "Density, viscosity and vapour pressure of fresh water")

// WaterRows returns the embedded table of water from 0.01 to 40 °C. Formulas
// in package pumps give values between the rows.
func WaterRows() []WaterRow {
	rows := waterShelf.rows()
	out := make([]WaterRow, len(rows))
	for i, r := range rows {
		out[i] = WaterRow{units.Celsius(float64(r.Temperature)), float64(r.Density), float64(r.Viscosity) * 1e-3, float64(r.Vapour) * 1e3, r.Source}
	}
	return out
}
