package solar

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// Site is a place on Earth and the clock that is kept there.
type Site struct {
	Latitude  units.Angle    `json:"latitude_deg"`  // north positive
	Longitude units.Angle    `json:"longitude_deg"` // east positive
	Altitude  units.Length   `json:"altitude_m"`    // of the ground above the sea
	UTCOffset units.Duration `json:"utc_offset_h"`  // clock time less universal time, without summer time
}

// NewSite returns the site at latitude and longitude with the clock that
// DefaultUTCOffset gives. Longitude is taken from -180 to 360 degrees. A place
// that is not on Earth is a *data.Error.
func NewSite(latitude, longitude units.Angle, altitude units.Length) (Site, error) {
	lat, lon := latitude.In(units.Degree), longitude.In(units.Degree)
	var faults data.FaultList
	faults.Want(lat >= -90 && lat <= 90, "latitude", units.Sprintf("%.6g", lat), "-90 to 90 degrees, north positive")
	faults.Want(lon >= -180 && lon <= 360, "longitude", units.Sprintf("%.6g", lon), "-180 to 180 degrees, east positive")
	faults.Want(altitude >= -500 && altitude <= 9000, "altitude", altitude, "-500 to 9000 m, where there is ground")
	if err := faults.Err(); err != nil {
		return Site{}, err
	}
	if lon > 180 {
		longitude -= 360 * units.Degree
	}
	return Site{latitude, longitude, altitude, DefaultUTCOffset(longitude)}, nil
}

// DefaultUTCOffset returns the clock of the whole-hour zone that holds
// longitude: longitude/15 rounded. Civil time may differ by an hour or more.
func DefaultUTCOffset(longitude units.Angle) units.Duration {
	return units.Duration(math.Round(longitude.In(units.Degree)/15)) * units.Hour
}

// EquatorAzimuth returns the azimuth [clockwise from north] of a panel that
// faces the equator: south in the northern half, north in the southern.
func (s Site) EquatorAzimuth() units.Angle {
	if s.Latitude < 0 {
		return 0
	}
	return 180 * units.Degree
}
