package solar

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/reftest"
)

// site is one place of testdata/ref/variability.csv.
type site struct {
	name     string
	lat, lon float64          // degrees
	fit      bool             // whether its rows may be used to fit constants
	months   [13]*reftest.Row // index 1 to 12; 0 is the whole year
}

// splitSites reads the 27 sites and divides them by a rule that was written
// down before any constant was fitted:
//
//	sort by distance from the equator, ties by name; the 1st, 3rd, 5th, ...
//	are fit sites, the 2nd, 4th, 6th, ... test sites.
//
// The order by latitude gives both halves a share of every climate without
// anyone choosing. No figure of a test site enters a fit.
func splitSites(t testing.TB) []site {
	t.Helper()
	var sites []site
	at := map[string]int{}
	for _, row := range reftest.Load(t, "variability.csv") {
		name := row.Text("site")
		i, ok := at[name]
		if !ok {
			i = len(sites)
			at[name] = i
			sites = append(sites, site{name: name, lat: row.Float("lat_deg"), lon: row.Float("lon_deg")})
		}
		sites[i].months[int(row.Float("month"))] = &row
	}
	slices.SortFunc(sites, func(a, b site) int {
		if d := math.Abs(a.lat) - math.Abs(b.lat); d != 0 {
			if d < 0 {
				return -1
			}
			return 1
		}
		return strings.Compare(a.name, b.name)
	})
	for i := range sites {
		sites[i].fit = i%2 == 0
	}
	return sites
}

func TestSplitSites(t *testing.T) {
	sites := splitSites(t)
	var fit int
	for _, s := range sites {
		if s.fit {
			fit++
		}
		for m, row := range s.months {
			if row == nil {
				t.Errorf("%s: no row for month %d", s.name, m)
			}
		}
	}
	if len(sites) != 27 || fit != 14 {
		t.Errorf("%d sites, %d to fit; want 27 and 14", len(sites), fit)
	}
}
