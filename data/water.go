package data

// waterRow is fresh water at one temperature and 1 atm. The table is there for
// people to look at: package pumps computes with formulas.
type waterRow struct {
	Temperature float64 `csv:"temp_c"`
	Density     float64 `csv:"density_kg_per_m3"`
	Viscosity   float64 `csv:"viscosity_mpa_s"`
	Vapour      float64 `csv:"vapour_pressure_kpa"`
	Source      string  `csv:"source"`
}

var waterShelf = shelve[waterRow]("water", "Density, viscosity and vapour pressure of fresh water")
