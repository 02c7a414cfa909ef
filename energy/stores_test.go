package energy

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Stores are reckoned from five lots of twenty generated years; the median
// counts, the whole range is shown.
const (
	storeSeeds = 5
	storeYears = 20
)

// storeTargets are the shares of unmet energy of stores.csv.
var storeTargets = []struct {
	column    string
	unmet     float64
	low, high float64 // of the true store
}{
	{"least_wh_unmet_0.3pct", 0.003, 0.6, 1.6},
	{"least_wh_unmet_1pct", 0.01, 0.7, 1.5},
	{"least_wh_unmet_3pct", 0.03, 0.7, 1.5},
}

const (
	// A store of hardly more than the night's 240 Wh is compared by difference,
	// since most of it is not weather.
	nightStore     = 300 // [Wh]
	nightTolerance = 60  // [Wh]

	closeLow, closeHigh = 0.8, 1.25
)

// storePlace is a place of stores.csv with generated years, per watt of panel.
type storePlace struct {
	record []supply.Record // one a seed
}

// newStorePlace makes the years of a place from the twelve means of its row of
// stores_climate.csv alone, with panel and plane of the recipe of the table.
func newStorePlace(t *testing.T, row reftest.Row) storePlace {
	t.Helper()
	site, err := solar.NewSite(units.Angle(row.Float("lat_deg"))*units.Degree, units.Angle(row.Float("lon_deg"))*units.Degree, 0)
	if err != nil {
		t.Fatal(err)
	}
	var ghi, temp [12]float64
	for m := range ghi {
		ghi[m] = row.Float(fmt.Sprintf("ghi_%02d", m+1))
		temp[m] = row.Float(fmt.Sprintf("temp_%02d", m+1))
	}
	g := solar.NewGeometry(site)
	array := solar.NewArray(g,
		solar.Plane{Tilt: units.Angle(row.Float("tilt_deg")) * units.Degree, Azimuth: site.EquatorAzimuth(), Albedo: 0.2},
		solar.Panel{Gamma: -0.004, NOCT: 45, Incidence: solar.IncidenceNone, Losses: []solar.Loss{{Name: "all", Share: 0.10}}})
	var p storePlace
	for seed := range uint64(storeSeeds) {
		s, _ := solar.NewYears(g, ghi, temp, storeYears, seed+1)
		r := supply.Record{Panel: array.Yield(nil, s), Load: make([]float64, s.Hours())}
		for i := range r.Load {
			r.Load[i] = 20
		}
		p.record = append(p.record, r)
	}
	return p
}

// arrayToLoad returns the darkest month's mean panel energy of w watts over
// that of the load.
func (p storePlace) arrayToLoad(w float64) float64 {
	var sum, hours [12]float64
	for i, v := range p.record[0].Panel {
		m := solar.MonthOf(i / 24 % 365)
		sum[m] += v * w
		hours[m]++
	}
	least := math.Inf(1)
	for m := range sum {
		least = min(least, sum[m]/hours[m]/20)
	}
	return least
}

// least returns the least usable battery [Wh] for w watts at each seed, in
// rising order.
func (p storePlace) least(w, unmet float64) []float64 {
	var all []float64
	for _, r := range p.record {
		f, _ := battery.Size(r, published(), battery.SizeOptions{Unmet: unmet, Panels: []float64{w}}) // the front holds it, whatever is chosen
		all = append(all, f.Pairs[0].BatteryWh*published().UsableOfNominal())
	}
	slices.Sort(all)
	return all
}

// TestStoresAtMeasuredPlaces sizes the battery of a steady 20 W at five places
// from their twelve monthly means, and compares it with what decades of
// measured days there asked for. The table in testdata/stores.md is its output.
func TestStoresAtMeasuredPlaces(t *testing.T) {
	places := map[string]storePlace{}
	for _, row := range reftest.Load(t, "stores_climate.csv") {
		places[row.Text("site")] = newStorePlace(t, row)
	}
	var table strings.Builder
	fmt.Fprintln(&table, "| place | panel W | array to load | 0.3 % unmet: true Wh | generated over true | 1 %: true Wh | generated over true | 3 %: true Wh | generated over true |")
	fmt.Fprintln(&table, "|---|---|---|---|---|---|---|---|---|")
	near, all := 0, 0
	for _, row := range reftest.Load(t, "stores.csv") {
		p, w := places[row.Text("site")], row.Float("panel_w")
		fmt.Fprintf(&table, "| %s | %.0f | %.1f |", row.Text("site"), w, row.Float("array_to_load"))
		if got, want := p.arrayToLoad(w), row.Float("array_to_load"); math.Abs(got/want-1) > 0.08 {
			t.Errorf("%s: array to load %.2f, want %.2f: the panel's energy differs, not the weather", row.At, got, want)
		}
		for _, c := range storeTargets {
			truth, got := row.Float(c.column), p.least(w, c.unmet)
			median := got[len(got)/2]
			fmt.Fprintf(&table, " %.0f | %.2f (%.2f to %.2f) |", truth, median/truth, got[0]/truth, got[len(got)-1]/truth)
			nightly := truth <= nightStore && math.Abs(median-truth) <= nightTolerance
			if ratio := median / truth; !nightly && (ratio < c.low || ratio > c.high) {
				t.Errorf("%s: %s: %.0f Wh is %.2f of the true %.0f, want %.1f to %.1f", row.At, c.column, median, ratio, truth, c.low, c.high)
			}
			all++
			if ratio := median / truth; nightly || ratio >= closeLow && ratio <= closeHigh {
				near++
			}
		}
		fmt.Fprintln(&table)
	}
	fmt.Fprintf(&table, "\n%d of %d between %.2f and %.2f of the true store, or within %d Wh where that is at most %d Wh. In brackets the range over %d seeds of %d years.\n",
		near, all, closeLow, closeHigh, nightTolerance, nightStore, storeSeeds, storeYears)
	if 2*near <= all {
		t.Errorf("%d of %d stores between %g and %g of the true one, want most", near, all, closeLow, closeHigh)
	}
	reftest.Documented(t, "stores.md", "stores at measured places", table.String())
}

// published returns the battery of the published tables: usable capacity, charge
// efficiency 0.90, no other loss.
func published() battery.Battery {
	b := battery.IdealBattery()
	b.ChargeShare = 0.90
	return b
}
