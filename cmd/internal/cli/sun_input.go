package cli

// siteFlags are the keys of the site and the panel on it that every command
// about sun takes as flags.
var siteFlags = []string{
	"place", "lat", "lon", "altitude", "utc-offset", "climate", "weather", "albedo",
	"tilt", "azimuth", "panel-loss", "controller", "years", "seed",
}
