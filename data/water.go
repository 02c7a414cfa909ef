package data

// waterRow is fresh water at one temperature and 1 atm. The table is there for
// people to look at: package pumps computes with formulas.
type waterRow struct {
	Temperature Number `csv:"temp_c"`
	Density     Number `csv:"density_kg_per_m3"`
	Viscosity   Number `csv:"viscosity_mpa_s"`
	Vapour      Number `csv:"vapour_pressure_kpa"`
	Source      string `csv:"source"`
}

var waterShelf = shelve[waterRow]("water", "Density, viscosity and vapour pressure of fresh water")
