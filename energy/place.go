package energy

import (
	"math"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// SurroundingsOf returns the months of the place that a plan names, or of its
// climate or weather file, without making any hours of them. Where there are
// none it says why; a fault in a file is the error, as it is the reader's to
// mend.
func SurroundingsOf(p *plan.Plan, files sky.SiteFiles) (works.Surroundings, error) {
	c, _, known, err := sky.ClimateOf(p, files)
	switch {
	case err != nil:
		if inFile(p, err) {
			return works.Surroundings{}, err
		}
		why, _ := becauseOf(err)
		return works.Surroundings{Why: why}, nil
	case known:
		return surroundingsOf(c), nil
	case files.Climate != nil: // the water needs its air alone
		air := (&sky.Sky{Climate: solar.Climate{TempC: files.Climate.TempC}}).AirByMonth()
		return works.Surroundings{Air: &air, Why: noSitePlan}, nil
	}
	return works.Surroundings{Why: noSitePlan}, nil
}

// surroundingsOf returns what climate c adds to the water.
func surroundingsOf(c solar.Climate) works.Surroundings {
	s := sky.Sky{Climate: c}
	air, z := s.AirByMonth(), c.Site.Altitude
	rates, err := evaporationOf(c)
	if err != nil {
		why, _ := becauseOf(err)
		return works.Surroundings{Air: &air, Altitude: &z, Why: why}
	}
	return works.Surroundings{Air: &air, Altitude: &z, Evaporation: rates}
}

// inFile reports whether err is about a file that the plan names.
func inFile(p *plan.Plan, err error) bool {
	for _, f := range data.Faults(err) {
		if f.File != "" && f.File != p.File || f.Message == "" {
			return true
		}
	}
	return false
}

// Constants of the evaporation formula.
const (
	// makkink is De Bruin's factor for a well-watered short crop.
	makkink = 0.65
	// latentHeat of water [MJ/kg] and psychrometer [1/K]: FAO Irrigation and
	// Drainage Paper 56, equations 3-1 and 8.
	latentHeat   = 2.45
	psychrometer = 0.665e-3
)

// vapourSlope returns the slope of the saturation vapour pressure [kPa/K] at
// tC [°C]:
//
//	Δ = 4098 · 0.6108 exp(17.27 T/(T + 237.3)) / (T + 237.3)²
//
// Source: FAO Irrigation and Drainage Paper 56, equation 13.
func vapourSlope(tC float64) float64 {
	d := tC + 237.3
	return 4098 * 0.6108 * math.Exp(17.27*tC/d) / (d * d)
}

// Makkink returns the reference evaporation of a month's mean day, as the depth
// of water that goes in a second, from the sun on the ground [kWh/m² a day], the
// mean temperature of the air and the altitude:
//
//	ET = 0.65 Δ/(Δ + γ) Rs/λ,  γ = 0.665e-3 P
//
// It knows no wind and no dryness of the air. At the example of FAO-56 (Brussels
// in July) it gives 2.4 % less than the Penman-Monteith formula; in dry and windy
// places it is far more below. It was made for the growing season, and errs by
// more, of a small figure, in winter. Range: air of -60 to 60 °C.
func Makkink(sun float64, air units.Temperature, altitude units.Length) (units.Velocity, error) {
	pressure := pumps.AirPressure(altitude)
	t := air.InCelsius()
	if !(t >= -60 && t <= 60) || !(sun >= 0 && sun <= 20) {
		return 0, &data.Error{Key: "pond.evaporation", Message: "sun or air are outside the evaporation formula",
			Found: units.Sprintf("%.4g kWh/m2 a day at %.4g C", sun, t), Allowed: "0 to 20 kWh/m2 a day at -60 C to 60 C"}
	}
	slope, gamma := vapourSlope(t), psychrometer*float64(pressure)/1000
	mm := makkink * slope / (slope + gamma) * 3.6 * sun / latentHeat // 1 kWh is 3.6 MJ, 1 kg/m² is 1 mm
	return units.Velocity(mm) * units.Velocity(units.Millimetre) / units.Velocity(units.Day), nil
}

// evaporationOf returns the reference evaporation of each month of c.
func evaporationOf(c solar.Climate) (*[12]units.Velocity, error) {
	var months [12]units.Velocity
	for m := range months {
		var err error
		if months[m], err = Makkink(c.GHI[m], units.Celsius(c.TempC[m]), c.Site.Altitude); err != nil {
			return nil, err
		}
	}
	return &months, nil
}
