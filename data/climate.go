package data

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// The two tables are searched as text: turning thousands of rows into structs
// would take longer than all else at the start.
var (
	climateGrid   = sync.OnceValue(func() string { return embeddedText("climate_grid.csv") })
	climatePlaces = sync.OnceValue(func() string { return embeddedText("climate_places.csv") })

	_ = enterTable("climate_grid", "Sun and air temperature by month over all land, in cells of 2.5 degrees", func() error {
		return checkClimate(climateGrid(), func(cells []string) []string { return cells[:27] })
	})
	_ = enterTable("climate_places", "Sun and air temperature by month of named places", func() error {
		return checkClimate(climatePlaces(), placeFigures)
	})
)

// embeddedText returns an embedded table as it stands.
func embeddedText(name string) string {
	raw, err := tableFiles.ReadFile(name)
	if err != nil {
		panic("data: embedded table: " + err.Error())
	}
	return string(raw)
}

// climateRows calls visit with the cells of every row of a table of climates,
// until it returns an error.
func climateRows(text string, visit func(cells []string) error) error {
	heading := true
	for line := range strings.Lines(text) {
		if line[0] == '#' {
			continue
		}
		if heading {
			heading = false
			continue
		}
		if err := visit(strings.Split(strings.TrimSpace(line), ",")); err != nil {
			return fmt.Errorf("%w in %s", err, line)
		}
	}
	return nil
}

// checkClimate reads every row of a table.
func checkClimate(text string, figures func(cells []string) []string) error {
	return climateRows(text, func(cells []string) error {
		_, err := parseClimate(figures(cells))
		return err
	})
}

// ClimateSource and TemperatureSource name where the embedded grid comes from;
// PlaceSource carries the attribution of coordinates and elevations.
const (
	ClimateSource     = "NASA SSE 6.0, 1983-2005, 2.5 degree cells"
	TemperatureSource = "NCEP/NCAR Reanalysis 1, 1981-2010"
	PlaceSource       = "coordinates and elevations: GeoNames.org, CC BY 4.0"
)

// GridStep is the spacing of the embedded climate grid [degrees].
const GridStep = 2.5

// MonthlyClimate is what a year is like at a place, by month from January.
type MonthlyClimate struct {
	LatDeg, LonDeg float64     // north and east positive [degrees]
	ElevationM     float64     // of the ground [m]
	GHI            [12]float64 // global horizontal irradiation [kWh/m² a day]
	TempC          [12]float64 // mean air temperature [°C]
}

// ClimateCell returns the cell of the embedded grid whose centre is at the
// multiple of GridStep nearest to the place, and whether there is one: there is
// none over open sea.
func ClimateCell(latDeg, lonDeg float64) (MonthlyClimate, bool) {
	// Adding 0 makes a negative zero a plain one, as the table writes it.
	lat, lon := math.Round(latDeg/GridStep)*GridStep+0, wrapLongitude(math.Round(lonDeg/GridStep)*GridStep)+0
	prefix := "\n" + strconv.FormatFloat(lat, 'f', 1, 64) + "," + strconv.FormatFloat(lon, 'f', 1, 64) + ","
	grid := climateGrid()
	at := strings.Index(grid, prefix)
	if at < 0 {
		return MonthlyClimate{}, false
	}
	line, _, _ := strings.Cut(grid[at+1:], "\n")
	cell, err := parseClimate(strings.Split(line, ",")[:27])
	if err != nil {
		panic("data: climate_grid.csv: " + err.Error())
	}
	return cell, true
}

// ClimateCells calls visit for every cell of the embedded grid.
func ClimateCells(visit func(MonthlyClimate)) {
	err := climateRows(climateGrid(), func(cells []string) error {
		cell, err := parseClimate(cells[:27])
		if err == nil {
			visit(cell)
		}
		return err
	})
	if err != nil {
		panic("data: climate_grid.csv: " + err.Error())
	}
}

// NearestClimateCell returns the cell whose centre is nearest to the place on
// the sphere, and its distance [km].
func NearestClimateCell(latDeg, lonDeg float64) (MonthlyClimate, float64) {
	var nearest MonthlyClimate
	best := math.Inf(1)
	ClimateCells(func(c MonthlyClimate) {
		if d := distanceKM(latDeg, lonDeg, c.LatDeg, c.LonDeg); d < best {
			nearest, best = c, d
		}
	})
	return nearest, best
}

// parseClimate reads latitude, longitude, elevation, twelve irradiations and
// twelve temperatures.
func parseClimate(cells []string) (MonthlyClimate, error) {
	var v [27]float64
	if len(cells) != len(v) {
		return MonthlyClimate{}, fmt.Errorf("%d cells, not %d", len(cells), len(v))
	}
	for i, cell := range cells {
		x, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return MonthlyClimate{}, err
		}
		v[i] = x
	}
	return MonthlyClimate{v[0], v[1], v[2], [12]float64(v[3:15]), [12]float64(v[15:27])}, nil
}

// wrapLongitude returns lon between -180 (included) and 180 degrees.
func wrapLongitude(lon float64) float64 {
	return lon - 360*math.Floor((lon+180)/360)
}

// distanceKM returns the great-circle distance on a sphere of 6371 km.
func distanceKM(lat1, lon1, lat2, lon2 float64) float64 {
	const rad = math.Pi / 180
	s1, s2 := math.Sin((lat2-lat1)*rad/2), math.Sin((lon2-lon1)*rad/2)
	a := s1*s1 + math.Cos(lat1*rad)*math.Cos(lat2*rad)*s2*s2
	return 2 * 6371 * math.Asin(math.Min(1, math.Sqrt(a)))
}

// ClimatePlace is a named place of the embedded table.
type ClimatePlace struct {
	Name, Country string
	Source        string
	MonthlyClimate
}

// String returns the name with its country.
func (p ClimatePlace) String() string { return p.Name + ", " + p.Country }

// placeFigures returns the figures of a row of named places in the order of
// parseClimate.
func placeFigures(cells []string) []string {
	return append(slices.Clone(cells[2:5]), cells[6:]...)
}

// ClimatePlaces returns every named place in the order of the table.
func ClimatePlaces() []ClimatePlace {
	return placesWhere(func(_, _ string) bool { return true })
}

// placesWhere returns the places whose name and country satisfy is.
func placesWhere(is func(name, country string) bool) []ClimatePlace {
	var all []ClimatePlace
	err := climateRows(climatePlaces(), func(cells []string) error {
		if !is(cells[0], cells[1]) {
			return nil
		}
		climate, err := parseClimate(placeFigures(cells))
		all = append(all, ClimatePlace{cells[0], cells[1], cells[5], climate})
		return err
	})
	if err != nil {
		panic("data: climate_places.csv: " + err.Error())
	}
	return all
}

// FindClimatePlace returns the named place that a person means: capitals,
// accents, stops and a remark in brackets do not matter, and the country may
// follow after a comma. An unknown name is an *Error that offers the nearest
// names; a name in several countries is one that asks for the country.
func FindClimatePlace(name string) (ClimatePlace, error) {
	before, after, comma := strings.Cut(name, ",")
	whole, want, country := foldName(name), foldName(before), foldName(after)
	found := placesWhere(func(place, land string) bool {
		if comma {
			return nameMatches(place, land, whole) || nameMatches(place, land, want) && country == foldName(land)
		}
		return nameMatches(place, land, want)
	})
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return ClimatePlace{}, &Error{Key: "place", Message: "this place is not in the table",
			Found: name, Allowed: "a name of the table climate_places, or latitude and longitude",
			Hint: nearestHint(want)}
	}
	var names []string
	for _, p := range found {
		names = append(names, strconv.Quote(p.String()))
	}
	return ClimatePlace{}, &Error{Key: "place", Message: "several places have this name",
		Found: name, Allowed: strings.Join(names, " or "), Hint: "add the country: " + names[0]}
}

// nameMatches reports whether the folded want is the place's name, with or
// without the remark in brackets and the country, or that remark.
func nameMatches(place, country, want string) bool {
	if want == "" {
		return false
	}
	plain, remark, _ := strings.Cut(place, "(")
	p := foldName(plain)
	return want == p || strings.HasPrefix(want, p) && (want == p+foldName(country) || want == p+foldName(remark)) ||
		remark != "" && want == foldName(remark)
}

// foldAccents turns the accented Latin letters of place names into plain ones.
var foldAccents = strings.NewReplacer(
	"á", "a", "à", "a", "â", "a", "ã", "a", "ä", "a", "å", "a", "ā", "a", "ă", "a", "ą", "a", "ç", "c", "ć", "c", "č", "c",
	"é", "e", "è", "e", "ê", "e", "ë", "e", "ē", "e", "ę", "e", "ě", "e", "ğ", "g", "í", "i", "ì", "i", "î", "i", "ï", "i", "ī", "i", "ı", "i", "i̇", "i",
	"ł", "l", "ñ", "n", "ń", "n", "ó", "o", "ò", "o", "ô", "o", "õ", "o", "ö", "o", "ø", "o", "ō", "o", "ř", "r", "ş", "s", "ș", "s", "š", "s", "ś", "s", "ß", "ss",
	"ţ", "t", "ț", "t", "ú", "u", "ù", "u", "û", "u", "ü", "u", "ū", "u", "ý", "y", "ž", "z", "ź", "z", "ż", "z")

// mostName is more than the longest name of a place [bytes].
const mostName = 100

// foldName returns name in small plain letters and digits only, "saint" for
// "st".
func foldName(name string) string {
	folded := strings.ToLower(name[:min(len(name), mostName)])
	if strings.IndexFunc(folded, func(r rune) bool { return r >= 0x80 }) >= 0 {
		folded = foldAccents.Replace(folded)
	}
	var words []string
	for _, word := range strings.FieldsFunc(folded, func(r rune) bool {
		return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r < 0x80
	}) {
		if word == "st" {
			word = "saint"
		}
		words = append(words, word)
	}
	return strings.Join(words, "")
}

// nearestHint offers the names that are like the folded want.
func nearestHint(want string) string {
	if near := nearestPlaces(want, 3); near != nil {
		return "nearest names: " + strings.Join(near, "; ")
	}
	return "no name of the table is like it; every place on land works by its latitude and longitude"
}

// nearestPlaces returns up to n places whose names begin like the folded want,
// or differ from it in half of their letters at most, the fewest first.
func nearestPlaces(want string, n int) []string {
	type scored struct {
		text  string
		score int
	}
	var list []scored
	for _, p := range ClimatePlaces() {
		plain, _, _ := strings.Cut(p.Name, "(")
		name := foldName(plain)
		score := editDistance([]rune(want), []rune(name))
		if want != "" && (strings.HasPrefix(name, want) || strings.HasPrefix(want, name)) {
			score = 0 // the start of a name, or a name and more
		}
		if 2*score <= max(len(want), len(name)) {
			list = append(list, scored{p.String(), score})
		}
	}
	slices.SortStableFunc(list, func(a, b scored) int { return a.score - b.score })
	var names []string
	for _, s := range list[:min(n, len(list))] {
		names = append(names, s.text)
	}
	return names
}
