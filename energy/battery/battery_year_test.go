package battery

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"sunrill/data"
	"sunrill/data/reftest"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// greensboro returns the hourly yield of one watt of panel for the published
// battery tables: the real year of TMY3 station 723170, a panel facing south at
// its latitude, Hay-Davies, no incidence loss, 0.90 of the dc power.
func greensboro(t *testing.T) []float64 {
	t.Helper()
	folder := os.Getenv("SUNRILL_WEATHER")
	if folder == "" {
		t.Skip("SUNRILL_WEATHER is not set: real weather files are not part of the project")
	}
	const name = "723170TYA.CSV"
	f, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w, err := data.ReadWeather(name, f)
	if err != nil {
		t.Fatal(err)
	}
	site, err := solar.NewSite(units.Angle(w.LatDeg)*units.Degree, units.Angle(w.LonDeg)*units.Degree, units.Length(w.ElevationM))
	if err != nil {
		t.Fatal(err)
	}
	r, err := solar.RecordOfWeather(w, site)
	if err != nil {
		t.Fatal(err)
	}
	panel := solar.Panel{Gamma: -0.004, NOCT: 45, Incidence: solar.IncidenceNone, Losses: []solar.Loss{{Name: "all", Share: 0.10}}}
	array := solar.NewArray(r.Geometry, solar.Plane{Tilt: 36.1 * units.Degree, Azimuth: 180 * units.Degree, Albedo: 0.2}, panel)
	return array.Yield(nil, r.Series)
}

// scheduled returns the load of watts in the hours of a schedule of the tables:
// 24h, or 08-16 for the hours that start at 08 to 15.
func scheduled(t *testing.T, watts float64, schedule string, hours int) []float64 {
	t.Helper()
	from, to := 0, 24
	switch schedule {
	case "24h":
	case "08-16":
		from, to = 8, 16
	case "09-17":
		from, to = 9, 17
	default:
		t.Fatalf("unknown schedule %q", schedule)
	}
	load := make([]float64, hours)
	for i := range load {
		if h := i % 24; h >= from && h < to {
			load[i] = watts
		}
	}
	return load
}

func TestBatteryYear(t *testing.T) {
	yield := greensboro(t)
	for _, row := range reftest.Load(t, "battery_year.csv") {
		r := supply.Record{Panel: yield, Load: scheduled(t, row.Float("load_w"), row.Text("schedule_lst"), len(yield))}
		r = scaledRecord(r, row.Float("panel_w"))
		got, err := BalanceOf(r, lossy(), WattHours(row.Float("battery_usable_wh")), BalanceOptions{StartCharge: 1})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			name                 string
			got, want, tolerance float64
		}{
			{"load kWh", got.LoadWh / 1000, row.Float("load_kwh"), 0.001},
			{"panel kWh", got.PanelWh / 1000, row.Float("pv_available_kwh"), 0.001},
			{"unmet kWh", got.UnmetWh / 1000, row.Float("unmet_kwh"), 0.001},
			{"spilled kWh", got.SpilledWh / 1000, row.Float("spilled_kwh"), 0.001},
			{"stop hours", float64(got.Stops.Hours), row.Float("loss_of_load_hours"), 0},
		} {
			if math.Abs(c.got-c.want) > c.tolerance {
				t.Errorf("%s: %s %.6f, want %.6f", row.At, c.name, c.got, c.want)
			}
		}
	}
}

func TestBatteryMinimum(t *testing.T) {
	yield := greensboro(t)
	for _, row := range reftest.Load(t, "battery_minimum.csv") {
		r := supply.Record{Panel: yield, Load: scheduled(t, row.Float("load_w"), row.Text("schedule_lst"), len(yield))}
		for readings, column := range []string{1: "min_battery_usable_wh", 2: "min_battery_two_passes_wh"} {
			if column == "" {
				continue
			}
			l := newLoaded(r, lossy(), nil)
			l.n = readings
			got := l.trial(row.Float("panel_w")).least(Target{}) / lossy().UsableOfNominal()
			if want := row.Float(column); math.Abs(got-want) > 0.1 {
				t.Errorf("%s: %s %.4f, want %.4f", row.At, column, got, want)
			}
		}
	}
}
