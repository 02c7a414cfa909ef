package energy

import (
	"sunrill/data"
	"sunrill/data/plan"
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
