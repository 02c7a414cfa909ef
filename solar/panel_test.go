package solar

import (
	"math"
	"testing"

	"sunrill/data/reftest"
)

func TestIncidenceTable(t *testing.T) {
	for _, row := range reftest.Load(t, "incidence_angle_modifier.csv") {
		c := math.Cos(row.Float("aoi_deg") * math.Pi / 180)
		if row.Float("aoi_deg") >= 90 {
			c = 0
		}
		within(t, row.At+" physical", ModifierPhysical(c), row.Float("iam_physical_n1.526_K4_L0.002"), 1e-8)
	}
}

func TestCellTemperatureTable(t *testing.T) {
	for _, row := range reftest.Load(t, "cell_temperature_power.csv") {
		poa := row.Float("poa_w_m2")
		tc := CellTemperature(row.Float("t_air_c"), poa, row.Float("noct_c"))
		within(t, row.At+" cell", tc, row.Float("t_cell_noct_c"), 1e-6*math.Max(1, math.Abs(tc)))
		p := row.Float("pdc0_w") * PowerRatio(poa, tc, row.Float("gamma_per_c"))
		within(t, row.At+" power", p, row.Float("p_dc_noct_w"), 1e-6*math.Max(1, p))
	}
}

// dobosLosses returns the losses of Dobos 2014, shade and availability
// left out (Dobos 2014, table of default losses).
func dobosLosses() []Loss {
	return []Loss{{"soiling", 0.02}, {"mismatch", 0.02}, {"wiring", 0.02}, {"connections", 0.005},
		{"light-induced degradation", 0.015}, {"nameplate", 0.01}}
}

// typicalPanel returns a common crystalline panel, unshaded.
func typicalPanel() Panel { return Panel{Gamma: -0.004, NOCT: 45, Losses: dobosLosses()} }

func TestPV1toPV4(t *testing.T) {
	// pvlib-python tests of temperature.ross, pvsystem.pvwatts_dc and pvwatts_losses.
	within(t, "PV1", CellTemperature(30, 1000, 50), 67.5, 1e-9)
	// PV2: the detailed form with wind and efficiency gives 55.23; ours is the simple one.
	within(t, "PV2", CellTemperature(25, 1000, 45), 56.25, 1e-9)
	within(t, "PV3", 100*PowerRatio(900, 30, -0.003), 88.65, 1e-9)
	losses := append(dobosLosses(), Loss{"shade", 0.03}, Loss{"availability", 0.03})
	within(t, "PV4", 100*LossProduct(losses), 14.0757, 5e-5)
	within(t, "PV4 with age", 100*LossProduct(append(losses, Loss{"age", 0.01})), 14.9349, 5e-5)
}
