package solar

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// realYear is a measured typical year and generated years from its monthly
// means alone, on one plane.
type realYear struct {
	real, split, made          *Series // split: the file's hours without its beam and diffuse
	realPOA, splitPOA, madePOA []float64
}

// newRealYear uses the latitude as tilt where tilt is below 0.
func newRealYear(t *testing.T, file string, tilt units.Angle) realYear {
	t.Helper()
	r, err := recordOf(measured(t, file))
	if err != nil {
		t.Fatal(err)
	}
	g, y := r.Geometry, realYear{real: r.Series, split: NewSeries(r.Series.Hours())}
	y.split.Start = r.Series.Start
	copy(y.split.GHI, r.Series.GHI)
	g.Split(y.split)
	ghi, temp := r.Series.MonthlyMeans()
	y.made, _ = NewYears(g, ghi, temp, 20, 1)
	if tilt < 0 {
		tilt = g.Site.Latitude
	}
	array := NewArray(g, Plane{Tilt: tilt, Azimuth: g.Site.EquatorAzimuth(), Albedo: 0.2}, bare())
	y.realPOA, y.splitPOA, y.madePOA = array.PlaneOfArray(nil, y.real), array.PlaneOfArray(nil, y.split), array.PlaneOfArray(nil, y.made)
	return y
}

// burlington is the one year whose own beam does not fit its own global: its
// January has 30 % less beam (DNI) than the split gives for the very same hours,
// see TestBurlingtonBeam.
const burlington = "VT-Burlington_International_Ap.tmy3"

// typicalYears are the four real years, with the names of the table.
var typicalYears = []struct{ file, place string }{
	{greensboro, "Greensboro"}, {"USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw", "San Francisco"},
	{"USA_CO_Denver.Intl.AP.725650_TMY3.epw", "Denver"}, {burlington, "Burlington"},
}

// TestYearsPlaneOfArray compares what falls on a tilted plane in generated
// years with the real hours that their monthly means are of: with beam and
// diffuse of the file, and with the file's global split as the generated one
// is. Source: NREL TMY3, see SUNRILL_WEATHER. Tolerances: 3 % of
// the year, 12 % of any month. The table in testdata/weather_years.md is its
// output.
func TestYearsPlaneOfArray(t *testing.T) {
	var table strings.Builder
	fmt.Fprintln(&table, "| typical year | year | worst month | year, global split | worst month, global split |\n|---|---|---|---|---|")
	for _, c := range typicalYears {
		y := newRealYear(t, c.file, -1)
		made := y.made.Monthly(y.madePOA)
		fmt.Fprintf(&table, "| %s |", c.place)
		for _, real := range []struct {
			name   string
			want   [12]float64
			exempt bool
		}{{"beam of the file", y.real.Monthly(y.realPOA), c.file == burlington}, {"global split", y.split.Monthly(y.splitPOA), false}} {
			yearWant, yearMade, worst := 0.0, 0.0, 0.0
			for m, want := range real.want {
				yearWant += want * float64(data.MonthDays[m])
				yearMade += made[m] * float64(data.MonthDays[m])
				if ratio := made[m] / want; math.Abs(ratio-1) > math.Abs(worst) {
					worst = ratio - 1
				}
			}
			fmt.Fprintf(&table, " %+.1f %% | %+.1f %% |", 100*(yearMade/yearWant-1), 100*worst)
			if real.exempt {
				continue
			}
			within(t, c.place+", "+real.name+", year", yearMade/yearWant, 1, 0.03)
			within(t, c.place+", "+real.name+", worst month", 1+worst, 1, 0.12)
		}
		fmt.Fprintln(&table)
	}
	reftest.Documented(t, "weather_years.md", "sun on the panel from monthly means", table.String())
}

// TestYearsUtilizable compares the share of a year's plane-of-array sun that
// stands above a threshold: what a pump on a bare panel lives on.
func TestYearsUtilizable(t *testing.T) {
	type key struct {
		file      string
		threshold float64
	}
	type sums struct{ above, all float64 }
	want := map[key]sums{}
	var order []key
	tilts := map[string]float64{}
	for _, row := range reftest.Load(t, "utilizable.csv") {
		k := key{row.Text("file"), row.Float("threshold_w_m2")}
		if k.threshold > 450 { // compared are 100 to 450 W/m²
			continue
		}
		s, known := want[k]
		if !known {
			order = append(order, k)
		}
		poa := row.Float("poa_kwh_m2_day") * float64(data.MonthDays[int(row.Float("month"))-1])
		want[k] = sums{s.above + poa*row.Float("share_above"), s.all + poa}
		tilts[k.file] = row.Float("tilt_deg")
	}
	years := map[string]realYear{}
	worst := 0.0
	for _, k := range order {
		if _, ok := years[k.file]; !ok {
			years[k.file] = newRealYear(t, k.file, units.Angle(tilts[k.file])*deg)
		}
		var got sums
		for _, v := range years[k.file].madePOA {
			got.all += v
			got.above += math.Max(v-k.threshold, 0)
		}
		ratio := (got.above / got.all) / (want[k].above / want[k].all)
		within(t, fmt.Sprintf("%s above %g W/m2", k.file, k.threshold), ratio, 1, 0.04)
		if math.Abs(ratio-1) > math.Abs(worst) {
			worst = ratio - 1
		}
	}
	t.Logf("largest difference %+.1f %%", 100*worst)
}

// TestBurlingtonBeam holds the reason for which Burlington's beam is exempted
// above: January's global is as bright as the split takes it, but the file has
// far less beam than in any other of the four years. Should the file change,
// the exemption falls.
func TestBurlingtonBeam(t *testing.T) {
	for _, c := range typicalYears {
		y := newRealYear(t, c.file, -1)
		ratio := y.real.Monthly(y.real.DNI)[0] / y.split.Monthly(y.split.DNI)[0]
		t.Logf("%s: January's beam is %.2f of what the split gives", c.place, ratio)
		if (ratio < 0.9) != (c.file == burlington) {
			t.Errorf("%s: January's beam is %.2f of what the split gives", c.place, ratio)
		}
	}
}
