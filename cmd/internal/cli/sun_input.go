package cli

import (
	"errors"
	"io"

	"sunrill/data"
	"sunrill/solar/sky"
)

// siteFlags are the keys of the site and the panel on it that every command
// about sun takes as flags.
var siteFlags = []string{
	"place", "lat", "lon", "altitude", "utc-offset", "climate", "weather", "albedo",
	"tilt", "azimuth", "panel-loss", "controller", "years", "seed",
}

// readSite reads the climate or weather file that a plan names.
func (in *input) readSite() (sky.SiteFiles, error) {
	var files sky.SiteFiles
	if in.Plan.Site.Climate != "" {
		c, err := readFile(in, "site.climate", data.ReadClimate)
		if err != nil {
			return files, err
		}
		files.Climate = &c
	}
	if in.Plan.Site.Weather != "" {
		w, err := readFile(in, "site.weather", data.ReadWeather)
		if err != nil {
			return files, err
		}
		files.Weather = w
	}
	return files, nil
}

// readFile reads the file that a key of the plan names.
func readFile[T any](in *input, key string, read func(string, io.Reader) (T, error)) (T, error) {
	f, err := in.Open(key)
	if err != nil {
		var none T
		return none, err
	}
	defer f.Close() // only read
	return read(in.Path(key), f)
}

// placed puts the faults of a site at the key or flag that the person wrote,
// where the domain knew only the key.
func (in *input) placed(err error) error {
	var fault *data.Error
	if !errors.As(err, &fault) {
		return err
	}
	var faults []error
	for _, f := range data.Faults(err) {
		faults = append(faults, in.Plan.Placed(f))
	}
	return errors.Join(faults...)
}
