package cli

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"sunrill/data/reftest"
)

// TestSizeAgainstBatteryMinimum finds the least battery of every row of
// battery_minimum.csv (by bisection and by the largest drawdown, outside this
// program) through the command: the year read twice, no hour unmet.
func TestSizeAgainstBatteryMinimum(t *testing.T) {
	const tolerance = 0.1 // Wh, the table's
	file := weatherFile(t, greensboro)
	for _, row := range reftest.Load(t, "battery_minimum.csv") {
		args := append([]string{"size", "--weather", file, "--panel", row.Text("panel_w") + "W", "--unmet", "0%"}, referencePanel...)
		var got sizeObject
		answer(t, &got, append(args, referenceLoad(row)...)...)
		want := row.Float("min_battery_two_passes_wh")
		if len(got.Front) != 1 || math.Abs(got.Front[0].BatteryWh-want) > tolerance || got.Front[0].Unmet != 0 {
			t.Errorf("%s: %+v, want %.4f Wh", row.At, got.Front, want)
		}
		if got.Chosen == nil || *got.Chosen.OnSaleWh < want || *got.Chosen.OnSaleWh > want+10 || got.Chosen.Figures.StopHours != 0 {
			t.Errorf("%s: chosen %+v", row.At, got.Chosen)
		}
	}
}

// TestSizeMeetsBalance holds size to balance: every pair of the front, run by
// the other command, misses what size says and no more than the target; a
// hundredth less battery misses more.
func TestSizeMeetsBalance(t *testing.T) {
	site := []string{"--lat", "52.4", "--lon", "13.1", "--load", "20W", "--years", "4", "--battery-kind", "ideal", "--charge-eff", "90%", "--self-discharge", "2%"}
	var got sizeObject
	answer(t, &got, append([]string{"size", "--unmet", "1%"}, site...)...)
	if len(got.Front) < 10 {
		t.Fatalf("%d pairs", len(got.Front))
	}
	for _, p := range []sizePair{got.Front[0], got.Front[len(got.Front)/2], got.Front[len(got.Front)-1]} {
		run := func(wh float64) (f balanceFigures) {
			answer(t, &f, append([]string{"balance", "--panel", ftoa(*p.PanelW) + "W", "--battery", ftoa(wh) + "Wh", "--repeat"}, site...)...)
			return f
		}
		full, less := run(p.BatteryWh), run(0.99*p.BatteryWh)
		near(t, "unmet", full.Unmet, p.Unmet, 1e-6)
		if full.Unmet > 0.01*(1+1e-9) || less.Unmet <= 0.01 {
			t.Errorf("%g W with %g Wh misses %g, with a hundredth less %g: not the least", *p.PanelW, p.BatteryWh, full.Unmet, less.Unmet)
		}
	}
	for i, p := range got.Front {
		if i > 0 && (*p.PanelW <= *got.Front[i-1].PanelW || p.BatteryWh >= got.Front[i-1].BatteryWh) {
			t.Errorf("pair %d is dominated: %g W with %g Wh", i, *p.PanelW, p.BatteryWh)
		}
	}
}

func ftoa(v float64) string {
	b, _ := json.Marshal(v) // a finite number always encodes
	return string(b)
}

// TestSizeChoosesTheCheapest checks the choice against the prices of the front.
func TestSizeChoosesTheCheapest(t *testing.T) {
	var got sizeObject
	answer(t, &got, "size", "--lat=-32.4", "--lon", "22.6", "--load", "20W", "--battery-kind", "ideal", "--years", "5",
		"--set", "panel.price_per_watt=9", "--set", "battery.price_per_wh=4", "--set", "mains.discount_rate=0", "--set", "mains.years=10")
	least := math.Inf(1)
	for _, p := range got.Front {
		least = min(least, *p.CostPerYear)
		// Ten years without discount, nothing replaced: a tenth of the price.
		near(t, "price", *p.Price, 9**p.PanelW+4**p.OnSaleWh, 1e-9)
		near(t, "cost a year", *p.CostPerYear, *p.Price/10, 1e-9)
	}
	if *got.Chosen.CostPerYear != least {
		t.Errorf("chosen at %g a year; the front has %g", *got.Chosen.CostPerYear, least)
	}
	if got.Spread == nil || len(got.Spread.BatteryWh) != 5 || *got.Spread.LowWh > got.Chosen.BatteryWh+1e-6 || *got.Spread.HighWh < got.Chosen.BatteryWh-1e-6 {
		t.Errorf("spread %+v around %g Wh", got.Spread, got.Chosen.BatteryWh)
	}
}

// TestSizeOfALog sizes the battery for a measured panel and load.
func TestSizeOfALog(t *testing.T) {
	log := "panel (W),load (W)\n"
	for range 3 {
		for h := range 24 {
			if h >= 8 && h < 16 {
				log += "60,10\n"
			} else {
				log += "0,10\n"
			}
		}
	}
	file := t.TempDir() + "/log.csv"
	writeFile(t, file, log)
	var got sizeObject
	answer(t, &got, "size", "--series", file, "--unmet", "0%", "--battery-kind", "ideal")
	// Sixteen dark hours of 10 W.
	near(t, "least battery", got.Front[0].BatteryWh, 160, 1e-6)
	if got.Front[0].PanelW != nil || got.Spread != nil || got.SpreadWhy == "" {
		t.Errorf("%+v", got)
	}
	answer(t, &got, "size", "--series", file, "--unmet", "0%", "--battery-kind", "ideal", "--panel", "75W")
	near(t, "least battery", got.Front[0].BatteryWh, 160, 1e-6)
	near(t, "panel", *got.Front[0].PanelW, 75, 1e-12)
}

// TestSizeNothingReaches writes what would where nothing does.
func TestSizeNothingReaches(t *testing.T) {
	code, stdout, _ := run("size", "--lat", "52.4", "--lon", "13.1", "--load", "20W", "--panel", "20W", "--years", "2", "--format", "json")
	var got sizeObject
	if err := json.Unmarshal([]byte(stdout), &got); err != nil {
		t.Fatal(err)
	}
	if code != 1 || got.Chosen != nil || got.ChosenWhy == "" || got.WouldReach == nil || got.WouldReach.NeedPanelW == nil {
		t.Errorf("exit %d: %+v", code, got)
	}
}

func writeFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestSizeInTheCold runs a lithium battery through a real winter outdoors, where
// hours below 0 C charge nothing, and indoors: the page must say why the first is
// so large.
func TestSizeInTheCold(t *testing.T) {
	file := weatherFile(t, "VT-Burlington_International_Ap.tmy3")
	type page struct {
		sizeObject
		Warnings []string `json:"warnings"`
	}
	warned := func(p page) bool {
		for _, w := range p.Warnings {
			if strings.HasPrefix(w, "battery.temperature: ") {
				return true
			}
		}
		return false
	}
	var out, in page
	answer(t, &out, "size", "--weather", file, "--load", "20W", "--panel", "400W")
	answer(t, &in, "size", "--weather", file, "--load", "20W", "--panel", "400W", "--set", "battery.temperature=15 C")
	if out.IndoorsWh == nil || math.Abs(*out.IndoorsWh/in.Front[0].BatteryWh-1) > 1e-6 || in.IndoorsWh != nil || in.IndoorsWhy == "" {
		t.Errorf("outdoors says %v for indoors, where %g Wh do; indoors says %v", out.IndoorsWh, in.Front[0].BatteryWh, in.IndoorsWh)
	}
	if !warned(out) || warned(in) || out.Front[0].BatteryWh < 2*in.Front[0].BatteryWh {
		t.Errorf("outdoors %g Wh, said: %v; indoors %g Wh, said: %v", out.Front[0].BatteryWh, warned(out), in.Front[0].BatteryWh, warned(in))
	}
}

// TestSizeAgreesWithPlan: for one plan both commands hold the same target and buy
// the same.
func TestSizeAgreesWithPlan(t *testing.T) {
	var size sizeObject
	answer(t, &size, "size", "--demo")
	var plan struct {
		Solar struct {
			DayAndNight struct {
				PanelW      float64 `json:"panel_w"`
				BatteryWh   float64 `json:"battery_wh"`
				Price       float64 `json:"price"`
				CostPerYear float64 `json:"cost_per_year"`
				LongestStop int     `json:"longest_stop_target_h"`
			} `json:"day_and_night"`
		} `json:"solar"`
	}
	answer(t, &plan, "plan", "--demo")
	want := plan.Solar.DayAndNight
	if size.Target.LongestStop == nil || *size.Target.LongestStop != want.LongestStop || size.Target.LongestStopWhy == "" {
		t.Errorf("longest stop %+v, the plan's is %d h", size.Target, want.LongestStop)
	}
	c := size.Chosen
	near(t, "panel", *c.PanelW, want.PanelW, 1e-12)
	near(t, "battery", *c.OnSaleWh, want.BatteryWh, 1e-12)
	near(t, "price", *c.Price, want.Price, 1e-12)
	near(t, "cost a year", *c.CostPerYear, want.CostPerYear, 1e-12)
	// A limit beyond every stop is none: the front is then that of the water alone.
	var any sizeObject
	answer(t, &any, "size", "--demo", "--longest-stop", "8760h")
	if any.Target.LongestStopWhy != "" || any.Front[0].BatteryWh >= size.Front[0].BatteryWh {
		t.Errorf("with any stop: %+v, %+v", any.Target, any.Front[0])
	}
}
