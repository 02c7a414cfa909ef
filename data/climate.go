package data

import (
	_ "embed" // of the grid, which is searched as it stands
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"sunrill/data/units"
)

//go:embed climate_grid.csv
var gridText string

// climates enters a table of climates. Thousands of rows would take Read longer than all
// else at the start.
func climates(name, title string) func() []ClimatePlace {
	return enterTable(name, title, func() (all []ClimatePlace, err error) {
		for row := range strings.Lines(embeddedText(name + ".csv")) {
			if p, err := climateOf(strings.TrimSpace(row)); err == nil {
				all = append(all, p)
			} else if all != nil { // else it stands above the figures
				return nil, err
			}
		}
		return all, nil
	})
}

// climateOf reads a row: latitude, longitude, elevation, twelve irradiations and twelve
// temperatures, and the words among them: perhaps place and country, then the source.
func climateOf(row string) (p ClimatePlace, err error) {
	var v []float64
	var words []string
	for _, cell := range strings.Split(row, ",") {
		if figure, err := strconv.ParseFloat(cell, 64); err == nil {
			v = append(v, figure)
		} else {
			words = append(words, cell)
		}
	}
	if len(v) != 27 || len(words) != 1 && len(words) != 3 {
		return p, fmt.Errorf("%d figures and %d words in %s", len(v), len(words), row)
	}
	if p.Source = words[len(words)-1]; len(words) == 3 {
		p.Name, p.Country = words[0], words[1]
	}
	p.MonthlyClimate = MonthlyClimate{v[0], v[1], v[2], [12]float64(v[3:15]), [12]float64(v[15:27])}
	return p, nil
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
// none over open sea. It is searched for in the text, as most plans ask for four cells of
// thousands.
func ClimateCell(latDeg, lonDeg float64) (MonthlyClimate, bool) {
	lat, lon := math.Round(latDeg/GridStep)*GridStep, math.Round(lonDeg/GridStep)*GridStep
	lon -= 360 * math.Floor((lon+180)/360)          // between -180, included, and 180 degrees
	centre := units.Sprintf("%.1f,%.1f,", lat, lon) // without a -0
	_, row, _ := strings.Cut(gridText, "\n"+centre)
	row, _, _ = strings.Cut(row, "\n")
	c, err := climateOf(centre + row)
	return c.MonthlyClimate, err == nil
}

// NearestClimateCell returns the cell whose centre is nearest to the place on
// the sphere, and its distance [km].
func NearestClimateCell(latDeg, lonDeg float64) (MonthlyClimate, float64) {
	var nearest MonthlyClimate
	best := math.Inf(1)
	for _, c := range ClimateGrid() {
		if d := distanceKM(latDeg, lonDeg, c.LatDeg, c.LonDeg); d < best {
			nearest, best = c.MonthlyClimate, d
		}
	}
	return nearest, best
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

// FindClimatePlace returns the named place that a person means: capitals,
// accents, stops and a remark in brackets do not matter, and the country may
// follow after a comma. An unknown name is an *Error that offers the nearest
// names; a name in several countries is one that asks for the country.
func FindClimatePlace(name string) (ClimatePlace, error) {
	before, _, _ := strings.Cut(name, ",")
	whole, want := foldName(name), foldName(before)
	var found []ClimatePlace
	var like, plains []string
	all := ClimatePlaces()
	for _, p := range all {
		own, inside, _ := strings.Cut(p.Name, "(")
		plain, remark, country := foldName(own), foldName(inside), foldName(p.Country)
		plains = append(plains, plain)
		switch {
		case want == "":
		case slices.Contains([]string{plain, remark, plain + remark, plain + country, plain + remark + country}, whole):
			found = append(found, p)
		case (strings.HasPrefix(plain, want) || strings.HasPrefix(want, plain)) && len(like) < 3:
			like = append(like, p.String())
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	e := &Error{Key: "place", Message: "this place is not in the table", Found: name,
		Allowed: "a name of the table climate_places, or latitude and longitude"}
	if near := Nearest(want, plains); like == nil && near != "" {
		like = []string{all[slices.Index(plains, near)].String()}
	}
	switch {
	case found != nil:
		var names []string
		for _, p := range found {
			names = append(names, strconv.Quote(p.String()))
		}
		e.Message, e.Allowed, e.Hint = "several places have this name", strings.Join(names, " or "), "add the country: "+names[0]
	case like != nil:
		e.Hint = "nearest names: " + strings.Join(like, "; ")
	default:
		e.Hint = "no name of the table is like it; every place on land works by its latitude and longitude"
	}
	return ClimatePlace{}, e
}

// foldAccents makes accented Latin letters of place names plain.
var foldAccents = strings.NewReplacer(
	"á", "a", "à", "a", "â", "a", "ã", "a", "ä", "a", "å", "a", "ā", "a", "ă", "a", "ą", "a", "ç", "c", "ć", "c", "č", "c",
	"é", "e", "è", "e", "ê", "e", "ë", "e", "ē", "e", "ę", "e", "ě", "e", "ğ", "g", "í", "i", "ì", "i", "î", "i", "ï",
	"i", "ī", "i", "ı", "i", "i̇", "i",
	"ł", "l", "ñ", "n", "ń", "n", "ó", "o", "ò", "o", "ô", "o", "õ", "o", "ö", "o", "ø", "o", "ō", "o", "ř", "r", "ş",
	"s", "ș", "s", "š", "s", "ś", "s", "ß", "ss",
	"ţ", "t", "ț", "t", "ú", "u", "ù", "u", "û", "u", "ü", "u", "ū", "u", "ý", "y", "ž", "z", "ź", "z", "ż", "z")

const mostName = 100

// foldName returns name in small plain letters and digits only, "saint" for
// "st".
func foldName(name string) string {
	folded := strings.ToLower(name[:min(len(name), mostName)])
	if strings.IndexFunc(folded, func(r rune) bool { return r >= 0x80 }) >= 0 {
		folded = foldAccents.Replace(folded)
	}
	words := strings.FieldsFunc(folded, func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r < 0x80 })
	for i, word := range words {
		if word == "st" {
			words[i] = "saint"
		}
	}
	return strings.Join(words, "")
}

// ClimateFile is twelve months as a person typed them.
type ClimateFile struct {
	File     string
	GHI      [12]float64 // mean global horizontal irradiation [kWh/m² a day]
	TempC    [12]float64 // mean air temperature [°C]
	Lines    [12]int     // where each month stands
	Columns  [12]int     // where its sun stands
	Warnings []Warning
}

type climateRow struct {
	Month calendarMonth `csv:"month"`
	GHI   float64       `csv:"ghi_kwh_per_m2_day"`
	TempC float64       `csv:"temp_c"`
}

// calendarMonth is a month counted from 1, written as a number or a name.
type calendarMonth int

// UnmarshalText reads 1 to 12, or a name of at least three letters.
func (m *calendarMonth) UnmarshalText(text []byte) error {
	from0, ok := Month(string(text))
	if !ok {
		return refused("1 to 12, or a name such as jan", "no such month")
	}
	*m = calendarMonth(from0 + 1)
	return nil
}

// ReadClimate reads a climate CSV of twelve rows, one a month in any order,
// headed month,ghi_kwh_per_m2_day,temp_c. The faults are those of readRows and a
// month that is missing, there twice, or has a figure no place on Earth has.
func ReadClimate(file string, r io.Reader) (ClimateFile, error) {
	c := ClimateFile{File: file}
	rows, s, err := readRows[climateRow](file, r, anyFile)
	err, c.Warnings = s.done(err), s.warnings
	if err != nil {
		return c, err
	}
	sun := s.place("ghi_kwh_per_m2_day")
	for _, row := range rows {
		m := row.Row.Month - 1
		if c.Lines[m] != 0 {
			s.bad(row.cells, s.place("month"), refused("one row for each month", "the month stands twice, first in line %d", c.Lines[m]))
			continue
		}
		c.Lines[m], c.Columns[m], c.GHI[m], c.TempC[m] = row.Line, s.at(row.cells, sun).Column, row.Row.GHI, row.Row.TempC
		if !(c.GHI[m] >= 0 && c.GHI[m] < 500) {
			s.bad(row.cells, sun, refused("the mean of a day, 0 to about 10 kWh/m2", "no month has this sun"))
		}
		if !(c.TempC[m] >= -75 && c.TempC[m] <= 50) {
			s.bad(row.cells, s.place("temp_c"), refused("-75 to 50 C", "no month has this mean temperature"))
		}
	}
	var missing []string
	for m, line := range c.Lines {
		if line == 0 {
			missing = append(missing, strconv.Itoa(m+1))
		}
	}
	if missing != nil {
		s.fail(s.heads.line, "", Plural(len(rows), "row")+", months missing: "+strings.Join(missing, ", "), "",
			"twelve rows, one for each month")
	}
	return c, s.faults.Err()
}
