package cli

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/cmd/internal/page"
	"sunrill/data/reftest"
)

// referencePanel are the flags of the panel of battery_year.csv and
// battery_minimum.csv: facing south at 36.1 degrees, 0.90 of the dc power.
var referencePanel = []string{"--tilt", "36.1", "--azimuth", "180", "--panel-loss", "10%", "--battery-kind", "ideal", "--charge-eff", "90%"}

// referenceLoad returns the flags of a row's load.
func referenceLoad(row reftest.Row) []string {
	args := []string{"--load", row.Text("load_w") + "W"}
	if hours := row.Text("schedule_lst"); hours != "24h" {
		args = append(args, "--load-hours", hours)
	}
	return args
}

// TestBalanceAgainstBatteryYear runs every row of battery_year.csv (an
// independent hourly simulation on sun positions by SPA) through the command:
// weather file in, JSON out. Tolerances are the table's.
func TestBalanceAgainstBatteryYear(t *testing.T) {
	file := weatherFile(t, greensboro)
	for _, row := range reftest.Load(t, "battery_year.csv") {
		args := append([]string{"balance", "--weather", file, "--panel", row.Text("panel_w") + "W", "--battery", row.Text("battery_usable_wh") + "Wh"}, referencePanel...)
		var got page.BalanceFigures
		answer(t, &got, append(args, referenceLoad(row)...)...)
		usable := row.Float("battery_usable_wh")
		for _, c := range []struct {
			name                 string
			got, want, tolerance float64
		}{
			{"load kWh", got.LoadKWh, row.Float("load_kwh"), 0.001},
			{"panel kWh", got.PanelKWh, row.Float("pv_available_kwh"), 0.001},
			{"unmet kWh", got.UnmetKWh, row.Float("unmet_kwh"), 0.001},
			{"unmet share", got.Unmet, row.Float("unmet_fraction"), 1e-4},
			{"spilled kWh", got.SpilledKWh, row.Float("spilled_kwh"), 0.001},
			{"stop hours", got.StopHours, row.Float("loss_of_load_hours"), 0},
			{"lowest charge", got.Lowest, row.Float("min_soc_wh") / usable, 1e-4},
			{"hours", float64(got.RecordHours), 8760, 0},
		} {
			if math.Abs(c.got-c.want) > c.tolerance {
				t.Errorf("%s: %s %.6f, want %.6f", row.At, c.name, c.got, c.want)
			}
		}
	}
}

// TestBalanceOfTrace puts the panel and load of battery_trace_48h.csv in as a
// log and finds its totals and its lowest charge.
func TestBalanceOfTrace(t *testing.T) {
	const tolerance = 1e-6 // Wh, the table's
	log := "panel (W),load (W)\n"
	unmet, spilled, lowest, stops, longest, run := 0.0, 0.0, math.Inf(1), 0, 0, 0
	rows := reftest.Load(t, "battery_trace_48h.csv")
	for _, row := range rows {
		log += fmt.Sprintf("%s,%s\n", row.Text("pv_wh"), row.Text("load_wh"))
		unmet, spilled = unmet+row.Float("unmet_wh"), spilled+row.Float("spilled_wh")
		lowest = min(lowest, row.Float("soc_end_wh"))
		if run++; row.Float("unmet_wh") <= 1e-9 {
			run = 0
		} else {
			stops++
		}
		longest = max(longest, run)
	}
	file := filepath.Join(t.TempDir(), "log.csv")
	if err := os.WriteFile(file, []byte(log), 0o600); err != nil {
		t.Fatal(err)
	}
	var got page.BalanceFigures
	answer(t, &got, "balance", "--series", file, "--battery", "120Wh", "--battery-kind", "ideal", "--charge-eff", "90%")
	year := 8760 / float64(len(rows))
	for _, c := range []struct {
		name                 string
		got, want, tolerance float64
	}{
		{"unmet", got.UnmetKWh, unmet / 1000 * year, tolerance / 1000 * year * 50},
		{"spilled", got.SpilledKWh, spilled / 1000 * year, tolerance / 1000 * year * 50},
		{"lowest", got.Lowest, lowest / 120, tolerance / 120},
		{"stop hours", got.StopHours, float64(stops) * year, 1e-9},
		{"longest stop", got.LongestStop, float64(longest), 0},
		{"hours", float64(got.RecordHours), float64(len(rows)), 0},
	} {
		if math.Abs(c.got-c.want) > c.tolerance {
			t.Errorf("%s %.9f, want %.9f", c.name, c.got, c.want)
		}
	}
	// The panel's watts beside a measured log change nothing.
	var again page.BalanceFigures
	answer(t, &again, "balance", "--series", file, "--panel", "70W", "--battery", "120Wh", "--battery-kind", "ideal", "--charge-eff", "90%")
	if math.Abs(again.UnmetKWh-got.UnmetKWh) > 1e-12 || math.Abs(again.PanelKWh-got.PanelKWh) > 1e-9 {
		t.Errorf("with --panel: %+v, want %+v", again, got)
	}
}

// TestBalanceLimits checks what must hold whatever the weather: no load, no
// stop; no battery and no panel, all of the load missing; a second reading from
// any start the same.
func TestBalanceLimits(t *testing.T) {
	site := []string{"balance", "--lat", "52.4", "--lon", "13.1", "--years", "3"}
	var got page.BalanceFigures
	answer(t, &got, append(site, "--panel", "100W", "--battery", "500Wh", "--load", "0W")...)
	if got.Unmet != 0 || got.StopHours != 0 || got.LoadKWh != 0 {
		t.Errorf("no load: %+v", got)
	}
	answer(t, &got, append(site, "--panel", "0W", "--battery", "0", "--load", "20W")...)
	if got.Unmet != 1 || got.StopHours != 8760 || got.LongestStop != 3*8760 || got.RecordHours != 3*8760 {
		t.Errorf("no panel, no battery: %+v", got)
	}
	near(t, "load", got.LoadKWh, 20*8.76, 1e-12)
	var full, empty page.BalanceFigures
	answer(t, &full, append(site, "--panel", "300W", "--battery", "2kWh", "--load", "20W", "--repeat")...)
	answer(t, &empty, append(site, "--panel", "300W", "--battery", "2kWh", "--load", "20W", "--repeat", "--start-charge", "30%")...)
	near(t, "second reading", full.UnmetKWh, empty.UnmetKWh, 1e-9)
}

// TestBalanceOfAPump runs the demo's pump, whose load comes from its curve.
func TestBalanceOfAPump(t *testing.T) {
	var got struct {
		page.BalanceFigures
		Assumed []struct {
			Key string `json:"key"`
		} `json:"assumed"`
	}
	answer(t, &got, "balance", "--demo", "--panel", "400W", "--battery", "3kWh")
	if got.LoadKWh < 100 || got.LoadKWh > 1500 || !got.UnmetFlow.Known {
		t.Errorf("%+v", got.BalanceFigures)
	}
	var keys []string
	for _, a := range got.Assumed {
		keys = append(keys, a.Key)
	}
	if all := strings.Join(keys, " "); !strings.Contains(all, "battery.usable") {
		t.Errorf("assumed: %s", all)
	}
}
