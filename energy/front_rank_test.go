package energy

import (
	"errors"
	"math"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
)

// sizedWith returns the choice of a storage with a longest stop [h], and what it
// costs by the rule in force.
func sizedWith(t *testing.T, s *Storage, stop int, panels ...float64) (battery.Choice, float64) {
	t.Helper()
	o := s.sizeOptions(nil)
	o.Unmet, o.LongestStop = 0.01, figure.Known(stop)
	o.Panels = panels
	f, err := battery.Size(s.Record, s.Battery, o)
	if errors.Is(err, battery.ErrNothingReaches) {
		return battery.Choice{}, math.Inf(1)
	}
	if err != nil {
		t.Fatal(err)
	}
	c := f.Chosen
	return c, float64(o.Shop.CostOf(c.PanelW, c.BoughtWh, c.Life.Years()).PerYear)
}

// storageAt returns what the battery of a steady 20 W meets at a place.
func storageAt(t *testing.T, lat, lon string, sets ...string) *Storage {
	t.Helper()
	return loadAt(t, lat, lon, append([]string{"load.power=20 W"}, sets...)...)
}

// loadAt returns what the battery of a load meets at a place.
func loadAt(t *testing.T, lat, lon string, sets ...string) *Storage {
	t.Helper()
	return loadOf(t, append([]string{"site.latitude=" + lat, "site.longitude=" + lon}, sets...)...)
}

// loadOf returns what the battery of a plan of settings meets.
func loadOf(t *testing.T, sets ...string) *Storage {
	t.Helper()
	p := plan.NewPlan()
	var all []plan.Setting
	for _, text := range sets {
		set, err := plan.ParseSetting(text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, set)
	}
	if err := p.Apply(all); err != nil {
		t.Fatal(err)
	}
	s, err := NewStorage(&p, StorageFiles{})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

var stopSites = []struct{ lat, lon string }{{"47", "8"}, {"-32", "23"}, {"55", "-3"}}

// TestLongerStopNeverCostsMore: what is allowed to stand still longer costs no
// more, with and without prices and sizes on sale; nor does one panel more to
// choose from.
func TestLongerStopNeverCostsMore(t *testing.T) {
	for _, site := range stopSites[:2] {
		for name, sets := range map[string][]string{
			"no prices": nil,
			"prices":    {"panel.price_per_watt=1", "battery.price_per_wh=0.4", "controller.price=100"},
			"lead":      {"panel.price_per_watt=1", "battery.price_per_wh=0.15", "battery.kind=flooded lead", "battery.temperature=20 C"},
			"list":      {"panel.price_per_watt=1", "battery.price_per_wh=0.4", "battery.sizes=600 Wh, 100 Ah", "panel.sizes=330 W", "controller.price_per_amp=5", "panel.mounting_per_watt=0.5"},
		} {
			s := storageAt(t, site.lat, site.lon, append([]string{"reliability.years=2"}, sets...)...)
			before, was := math.Inf(1), battery.Choice{}
			for _, stop := range []int{0, 1, 4, 12, 24, 48} {
				c, cost := sizedWith(t, s, stop)
				if cost > before*(1+1e-9) {
					t.Errorf("%s %s: a stop of %d h costs %.6g (%.0f W, %.0f Wh), a shorter one %.6g (%.0f W, %.0f Wh)",
						site.lat, name, stop, cost, c.PanelW, c.BoughtWh, before, was.PanelW, was.BoughtWh)
				}
				before, was = cost, c
			}
			few := []float64{was.PanelW * 0.8, was.PanelW * 1.5}
			_, least := sizedWith(t, s, 24, few...)
			for _, more := range []float64{0.6, 0.9, 1, 1.2, 2, 3} {
				few = append(few, was.PanelW*more)
				c, cost := sizedWith(t, s, 24, few...)
				if cost > least*(1+1e-9) {
					t.Errorf("%s %s: with %.0f W to choose from too, %.0f W and %.0f Wh cost %.6g, without %.6g", site.lat, name, was.PanelW*more, c.PanelW, c.BoughtWh, cost, least)
				}
				least = cost
			}
		}
	}
}

// TestUsualTiltCostsLittle: the tilt that is taken where none is given costs no more a year than
// any other by three in a hundred, under grey skies and clear ones, near the equator and far
// from it. The other tilts are no flatter than it may be.
func TestUsualTiltCostsLittle(t *testing.T) {
	for _, place := range []string{"Dublin", "Bologna", "Upington", "Kampala", "Hobart", "Denver", "Sapporo"} {
		cost := func(sets ...string) (float64, *Storage) {
			s := loadOf(t, append([]string{"load.power=20 W", "site.place=" + place, "battery.temperature=15 C", "reliability.years=20",
				"panel.price_per_watt=1", "battery.price_per_wh=0.4", "controller.price=100"}, sets...)...)
			f, why := battery.Choose(s.Record, s.Battery, s.sizeOptions(nil))
			if why != "" {
				t.Fatalf("%s: %s", place, why)
			}
			return float64(f.Chosen.PerYear.Value), s
		}
		usual, s := cost()
		for tilt := s.Sky.LeastTilt().In(units.Degree); tilt < 80; tilt += 10 {
			if other, _ := cost(units.Sprintf("panel.tilt=%g", tilt)); usual > 1.03*other {
				t.Errorf("%s: %.4g a year at %.0f degrees, %.4g at %.0f", place, usual, s.Sky.Plane.Tilt.In(units.Degree), other, tilt)
			}
		}
	}
}
