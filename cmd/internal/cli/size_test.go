package cli

import (
	"cmp"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"sunrill/cmd/internal/page"
	"sunrill/data/figure"
	"sunrill/data/reftest"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// sizeSeen and the others are what the tests read of the objects.
type (
	sizeSeen struct {
		Target     page.SizeTarget               `json:"target"`
		Front      []page.SizePair               `json:"front"`
		Chosen     figure.Maybe[page.SizeChosen] `json:"chosen"`
		WouldReach *page.SizeWould               `json:"would_reach"`
		Spread     figure.Maybe[page.SizeSpread] `json:"spread"`
		Frost      figure.Maybe[frostSeen]       `json:"frost"`
	}
	balanceSeen struct {
		page.BalanceFigures
		Frost figure.Maybe[frostSeen] `json:"frost"`
	}
	frostSeen struct {
		Stands   string                `json:"stands"`
		Months   []int                 `json:"months_too_cold"`
		Outdoors figure.Maybe[float64] `json:"outdoors_unmet_fraction"`
		Kept     figure.Maybe[float64] `json:"frost_free_unmet_fraction"`
	}
)

// TestSizeAgainstBatteryMinimum finds the least battery of every row of
// battery_minimum.csv (by bisection and by the largest drawdown, outside this
// program) through the command: the year read twice, no hour unmet.
func TestSizeAgainstBatteryMinimum(t *testing.T) {
	const tolerance = 0.1 // Wh, the table's
	file := weatherFile(t, greensboro)
	for _, row := range reftest.Load(t, "battery_minimum.csv") {
		args := append([]string{"size", "--weather", file, "--panel", row.Text("panel_w") + "W", "--unmet", "0%"}, referencePanel...)
		var got sizeSeen
		answer(t, &got, append(args, referenceLoad(row)...)...)
		want := row.Float("min_battery_two_passes_wh")
		if len(got.Front) != 1 || math.Abs(got.Front[0].BatteryWh-want) > tolerance || got.Front[0].Unmet != 0 {
			t.Errorf("%s: %+v, want %.4f Wh", row.At, got.Front, want)
		}
		if !got.Chosen.Known || got.Chosen.Value.OnSaleWh.Value < want || got.Chosen.Value.OnSaleWh.Value > want+10 || got.Chosen.Value.Figures.StopHours != 0 {
			t.Errorf("%s: chosen %+v", row.At, got.Chosen)
		}
	}
}

// TestSizeMeetsBalance holds size to balance: every pair of the front, run by
// the other command, misses what size says and no more than the target; a
// hundredth less battery misses more.
func TestSizeMeetsBalance(t *testing.T) {
	site := []string{"--lat", "52.4", "--lon", "13.1", "--load", "20W", "--years", "4", "--battery-kind", "ideal", "--charge-eff", "90%", "--self-discharge", "2%"}
	var got sizeSeen
	answer(t, &got, append([]string{"size", "--unmet", "1%"}, site...)...)
	if len(got.Front) < 10 {
		t.Fatalf("%d pairs", len(got.Front))
	}
	for _, p := range []page.SizePair{got.Front[0], got.Front[len(got.Front)/2], got.Front[len(got.Front)-1]} {
		run := func(wh float64) (f page.BalanceFigures) {
			answer(t, &f, append([]string{"balance", "--panel", ftoa(p.PanelW.Value) + "W", "--battery", ftoa(wh) + "Wh", "--repeat"}, site...)...)
			return f
		}
		full, less := run(p.BatteryWh), run(0.99*p.BatteryWh)
		near(t, "unmet", full.Unmet, p.Unmet, 1e-6)
		if full.Unmet > 0.01*(1+1e-9) || less.Unmet <= 0.01 {
			t.Errorf("%g W with %g Wh misses %g, with a hundredth less %g: not the least", p.PanelW.Value, p.BatteryWh, full.Unmet, less.Unmet)
		}
	}
	for i, p := range got.Front {
		if i > 0 && (p.PanelW.Value <= got.Front[i-1].PanelW.Value || p.BatteryWh >= got.Front[i-1].BatteryWh) {
			t.Errorf("pair %d is dominated: %g W with %g Wh", i, p.PanelW.Value, p.BatteryWh)
		}
	}
}

func ftoa(v float64) string {
	b, _ := json.Marshal(v) // a finite number always encodes
	return string(b)
}

// TestSizeChoosesTheCheapest checks the choice against the prices of the front.
func TestSizeChoosesTheCheapest(t *testing.T) {
	var got sizeSeen
	answer(t, &got, "size", "--lat=-32.4", "--lon", "22.6", "--load", "20W", "--battery-kind", "ideal", "--years", "5",
		"--set", "panel.price_per_watt=9", "--set", "battery.price_per_wh=4", "--set", "mains.discount_rate=0", "--set", "mains.years=10")
	least := math.Inf(1)
	for _, p := range got.Front {
		price, yearly := float64(p.Price.Value), float64(p.CostPerYear.Value)
		least = min(least, yearly)
		// Without discount: the panel over 25 years, a battery without an end over ten.
		near(t, "price", price, 9*p.PanelW.Value+4*p.OnSaleWh.Value, 1e-9)
		near(t, "cost a year", yearly, 9*p.PanelW.Value/25+4*p.OnSaleWh.Value/10, 1e-9)
	}
	if float64(got.Chosen.Value.CostPerYear.Value) != least {
		t.Errorf("chosen at %g a year; the front has %g", got.Chosen.Value.CostPerYear.Value, least)
	}
	all := slices.SortedFunc(slices.Values(got.Spread.Value.BatteryWh), func(a, b figure.Maybe[float64]) int { return cmp.Compare(a.Value, b.Value) })
	if len(all) != 5 || all[0].Value > got.Chosen.Value.BatteryWh+1e-6 || all[4].Value < got.Chosen.Value.BatteryWh-1e-6 {
		t.Errorf("spread %+v around %g Wh", got.Spread, got.Chosen.Value.BatteryWh)
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
	var got sizeSeen
	answer(t, &got, "size", "--series", file, "--unmet", "0%", "--battery-kind", "ideal")
	// Sixteen dark hours of 10 W.
	near(t, "least battery", got.Front[0].BatteryWh, 160, 1e-6)
	if got.Front[0].PanelW.Known || got.Spread.Known {
		t.Errorf("%+v", got)
	}
	answer(t, &got, "size", "--series", file, "--unmet", "0%", "--battery-kind", "ideal", "--panel", "75W")
	near(t, "least battery", got.Front[0].BatteryWh, 160, 1e-6)
	near(t, "panel", got.Front[0].PanelW.Value, 75, 1e-12)
}

// TestSizeNothingReaches writes what would where nothing does.
func TestSizeNothingReaches(t *testing.T) {
	code, stdout, _ := run("size", "--lat", "52.4", "--lon", "13.1", "--load", "20W", "--panel", "20W", "--years", "2", "--format", "json")
	var got sizeSeen
	if err := json.Unmarshal([]byte(stdout), &got); err != nil {
		t.Fatal(err)
	}
	if code != 1 || got.Chosen.Known || got.WouldReach == nil || !got.WouldReach.PanelW.Known {
		t.Errorf("exit %d: %+v", code, got)
	}
}

func writeFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestSizeInTheCold: where frost would keep a lithium battery from being charged,
// the size is that of a place without, says so, and says what would be missing
// outdoors, which is what balance finds for the same pair; from a real winter and
// from simulated years alike.
func TestSizeInTheCold(t *testing.T) {
	for name, site := range map[string][]string{
		"file":            {"--weather", weatherFile(t, "VT-Burlington_International_Ap.tmy3")},
		"simulated years": {"--lat", "44.47", "--lon=-73.15", "--years", "3"},
	} {
		site = append(site, "--load", "20W", "--panel", "900W")
		var out, in sizeSeen
		answer(t, &out, append([]string{"size"}, site...)...)
		answer(t, &in, append([]string{"size", "--set", "battery.temperature=0 C"}, site...)...)
		f := out.Frost.Value
		if f.Stands != "frost-free" || f.Outdoors.Value < 0.1 || len(f.Months) < 3 || in.Frost.Known {
			t.Errorf("%s: frost %+v; with a temperature given %+v", name, f, in.Frost)
			continue
		}
		// 0 C is what no month falls below, the coldest month where it is sheltered.
		near(t, name+" least battery", out.Front[0].BatteryWh, in.Front[0].BatteryWh, 1e-9)
		var bare, kept balanceSeen
		pair := append([]string{"balance", "--repeat", "--battery", ftoa(out.Chosen.Value.OnSaleWh.Value) + "Wh"}, site...)
		answer(t, &bare, pair...)
		answer(t, &kept, append(pair, "--set", "battery.temperature=0 C")...)
		near(t, name+" missing outdoors", bare.Unmet, f.Outdoors.Value, 1e-9)
		near(t, name+" missing without frost", kept.Unmet, out.Chosen.Value.Figures.Unmet, 1e-9)
		near(t, name+" missing without frost, as balance says it", bare.Frost.Value.Kept.Value, kept.Unmet, 1e-9)
	}
	// A temperature that is given counts, whatever the weather is from.
	code, stdout, _ := run("size", "--lat", "44.47", "--lon=-73.15", "--load", "20W", "--years", "2", "--set", "battery.temperature=-10 C")
	if code != 1 || !strings.Contains(strings.Join(strings.Fields(stdout), " "), "too cold to be charged, below 0 °C, all year") {
		t.Errorf("exit %d with a battery of -10 C:\n%.400s", code, stdout)
	}
}

// TestSizeAgreesWithPlan: for one plan both commands hold the same target and buy
// the same.
func TestSizeAgreesWithPlan(t *testing.T) {
	type target struct {
		sizeSeen
		Target struct {
			page.SizeTarget
			Why string `json:"years_in_ten_why"`
		} `json:"target"`
	}
	var size target
	answer(t, &size, "size", "--demo")
	var plan struct {
		Solar struct {
			DayAndNight struct {
				PanelW      float64 `json:"panel_w"`
				BatteryWh   float64 `json:"battery_wh"`
				Price       float64 `json:"price"`
				CostPerYear float64 `json:"cost_per_year"`
				YearsInTen  float64 `json:"years_in_ten"`
			} `json:"day_and_night"`
		} `json:"solar"`
	}
	answer(t, &plan, "plan", "--demo")
	want := plan.Solar.DayAndNight
	if size.Target.YearsInTen.Value != 9 || want.YearsInTen != 9 || len(size.Target.Limits.Value) != 12 {
		t.Errorf("target %+v, the plan's is %g years in ten", size.Target, want.YearsInTen)
	}
	c := size.Chosen.Value
	near(t, "panel", c.PanelW.Value, want.PanelW, 1e-12)
	near(t, "battery", c.OnSaleWh.Value, want.BatteryWh, 1e-12)
	near(t, "price", float64(c.Price.Value), want.Price, 1e-12)
	near(t, "cost a year", float64(c.CostPerYear.Value), want.CostPerYear, 1e-12)
	// A target given is the only one, and a limit beyond every stop is none.
	var any target
	answer(t, &any, "size", "--demo", "--longest-stop", "8760h")
	if any.Target.Why == "" || any.Target.LongestStop.Value != 8760 || any.Chosen.Value.OnSaleWh.Value > want.BatteryWh {
		t.Errorf("with any stop: %+v, %+v", any.Target, any.Chosen.Value)
	}
}

// TestSizeAgreesWithOtherPlans: without prices too, on an inverter and on 12 V,
// where the sun of the winter is weak.
func TestSizeAgreesWithOtherPlans(t *testing.T) {
	for name, text := range map[string]string{
		"inverter": "[[pump]]\nname = \"tern\"\nlabel_flow = \"3000 L/h\"\nlabel_head = \"3 m\"\nlabel_power = \"45 W\"\n[inverter]\nidle = \"6 W\"\n[site]\nlatitude = 60\nlongitude = 25\n",
		"12 V":     "[[pump]]\nname = \"tern\"\nlabel_flow = \"2000 L/h\"\nlabel_head = \"2 m\"\nlabel_power = \"20 W\"\nsupply = \"DC\"\nvoltage = \"12 V\"\n[site]\nlatitude = 51\nlongitude = 0\n",
	} {
		file := t.TempDir() + "/pond.toml"
		writeFile(t, file, text+"[pond]\nvolume = \"4 m3\"\nstocking = \"light\"\n[lift]\nstatic_head = \"0.5 m\"\n[[feed]]\nbore = \"32 mm\"\nlength = \"6 m\"\n[reliability]\nyears = 4\nlongest_stop = \"8 h\"\n")
		var size sizeSeen
		answer(t, &size, "size", file)
		var plan struct {
			Solar struct {
				DayAndNight struct {
					Panel   float64                 `json:"panel_w"`
					Battery float64                 `json:"battery_wh"`
					Frost   figure.Maybe[frostSeen] `json:"frost"`
				} `json:"day_and_night"`
			} `json:"solar"`
		}
		answer(t, &plan, "plan", file)
		d, c := plan.Solar.DayAndNight, size.Chosen.Value
		if d.Panel == 0 || d.Panel != c.PanelW.Value || d.Battery != c.OnSaleWh.Value {
			t.Errorf("%s: plan buys %g W with %g Wh, size %g W with %g Wh", name, d.Panel, d.Battery, c.PanelW.Value, c.OnSaleWh.Value)
		}
		if code, page, _ := run("plan", file, "--all"); name == "inverter" && (code != 0 || !strings.Contains(page, "\nIn the cold: ")) {
			t.Errorf("%s: the plan's first lines do not say where the battery has to stand", name)
		}
		if name == "inverter" && (!size.Frost.Known || size.Frost.Value.Outdoors != d.Frost.Value.Outdoors) {
			t.Errorf("%s: frost %+v and %+v", name, size.Frost, d.Frost)
		}
	}
}

// A weather file of a year says little of the worst winter; simulated years and a
// record of three are not told so.
func TestShortRecordsAreDoubted(t *testing.T) {
	hours := func(years int) *solar.Series { return &solar.Series{GHI: make([]float64, years*solar.HoursPerYear)} }
	if w := page.ShortRecord(&sky.Sky{Weather: hours(1)}); len(w) != 1 || w[0].Key != "site.weather" {
		t.Errorf("one year: %v", w)
	}
	for _, sky := range []*sky.Sky{nil, {Weather: hours(3)}, {Weather: hours(1), Years: 1}} {
		if w := page.ShortRecord(sky); len(w) > 0 {
			t.Errorf("%+v: %v", sky, w)
		}
	}
}
