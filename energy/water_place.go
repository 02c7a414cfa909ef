package energy

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/solar"
)

// Surroundings is what the place adds where a plan does not say it itself.
// The zero value is an unknown place.
type Surroundings struct {
	Air         *[12]units.Temperature // means of the months
	Evaporation *[12]units.Velocity    // depth lost in a second, by month
	Altitude    *units.Length          // of the ground, nil where not known
	Why         string                 // why one of them is missing

	// Loss is the share of flow lost before a cleaning by the plan's log, if it
	// names one.
	Loss figure.Maybe[float64]
}

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

// altitude returns that of the place, else the plan's; nil where neither says.
func (s Surroundings) altitude(p *data.Plan) *units.Length {
	if s.Altitude != nil {
		return s.Altitude
	}
	return p.Site.Altitude
}

// months returns the climate of the plan's place or files, false where it names
// neither a place nor a file that says where it was measured.
func (s *Sky) months(p *data.Plan, files SiteFiles) (solar.Climate, bool, error) {
	given, err := s.given(p, files)
	switch {
	case err != nil:
		return solar.Climate{}, false, err
	case files.Weather != nil:
		c, err := solar.ClimateOfWeather(files.Weather, given)
		return c, err == nil, err
	case given == nil:
		return solar.Climate{}, false, nil
	case files.Climate != nil:
		c, err := solar.ClimateFromFile(*given, *files.Climate)
		return c, err == nil, err
	}
	return s.Climate, true, nil
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
