package energy

import (
	"sunrill/data"
	"sunrill/solar"
)

// SurroundingsOf returns the months of the place that a plan names, or of its
// climate or weather file, without making any hours of them. Where there are
// none it says why; a fault in a file is the error, as it is the reader's to
// mend.
func SurroundingsOf(p *data.Plan, files SiteFiles) (Surroundings, error) {
	var s Sky
	c, known, err := s.months(p, files)
	switch {
	case err != nil:
		if inFile(p, err) {
			return Surroundings{}, err
		}
		why, _ := becauseOf(err)
		return Surroundings{Why: why}, nil
	case known:
		return surroundingsOf(c), nil
	case files.Climate != nil: // the water needs its air alone
		s.Climate.TempC = files.Climate.TempC
		air := s.AirByMonth()
		return Surroundings{Air: &air, Why: noSitePlan}, nil
	}
	return Surroundings{Why: noSitePlan}, nil
}

// surroundingsOf returns what climate c adds to the water.
func surroundingsOf(c solar.Climate) Surroundings {
	s := Sky{Climate: c}
	air, z := s.AirByMonth(), c.Site.Altitude
	rates, err := evaporationOf(c)
	if err != nil {
		why, _ := becauseOf(err)
		return Surroundings{Air: &air, Altitude: &z, Why: why}
	}
	return Surroundings{Air: &air, Altitude: &z, Evaporation: rates}
}

// inFile reports whether err is about a file that the plan names.
func inFile(p *data.Plan, err error) bool {
	for _, f := range data.Faults(err) {
		if f.File != "" && f.File != p.File || f.Message == "" {
			return true
		}
	}
	return false
}
