package energy

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

// drawnLeast returns the settings of a drawn load, its place, prices, sale lists and
// target.
func drawnLeast(rnd *rand.Rand) (lat, lon string, sets []string) {
	pick := func(of ...string) string { return of[rnd.IntN(len(of))] }
	set := func(format string, args ...any) { sets = append(sets, fmt.Sprintf(format, args...)) }
	place := stopSites[rnd.IntN(len(stopSites))]
	watts := 5 * math.Pow(30, rnd.Float64())
	set("load.power=%.3g W", watts)
	set("load.hours=%s", pick("0-24", "0-24", "8-16", "18-8", "20-6, 12-14"))
	set("reliability.seed=%d", rnd.IntN(1000))
	if years := pick("", "", "5", "6.7", "8"); years != "" {
		set("reliability.years=%d", 4+rnd.IntN(3))
		set("reliability.years_in_ten=%s", years)
	} else {
		set("reliability.years=%d", 2+rnd.IntN(2))
		set("reliability.unmet_energy=%.3g%%", 0.1*math.Pow(30, rnd.Float64()))
		if stop := pick("", "", "0", "1", "2", "4", "6", "8", "11", "16", "24"); stop != "" {
			set("reliability.longest_stop=%s h", stop)
		}
	}
	set("panel.price_per_watt=%.3g", 0.3*math.Pow(8, rnd.Float64()))
	set("battery.price_per_wh=%.3g", 0.1*math.Pow(8, rnd.Float64()))
	set("battery.kind=%s", pick("LiFePO4", "LiFePO4", "flooded lead", "sealed lead"))
	set("battery.temperature=20 C")
	if rnd.IntN(2) == 0 {
		set("panel.sizes=%s", pick("40 W", "80 W", "120 W, 200 W", "330 W", "50 W, 330 W, 450 W"))
	}
	if rnd.IntN(2) == 0 {
		set("battery.sizes=%s", pick("100 Ah", "7 Ah", "20 Ah, 50 Ah", "600 Wh", "150 Wh, 2 kWh"))
	}
	if rnd.IntN(2) == 0 {
		set("controller.sizes=%s", pick("10 A", "20 A 290 W; 40 A", "30 A 440 W 100 V; 60 A", "5 A, 10 A, 15 A, 20 A"))
		set("controller.%s", pick("price=40", "price_per_amp=2", "price_per_amp=6"))
		set("panel.mounting_per_watt=%.2g", 0.1+rnd.Float64())
	}
	if rnd.IntN(4) == 0 {
		set("battery.voltage=%s", map[bool]string{true: pick("24 V", "48 V"), false: pick("25.6 V", "51.2 V")}[strings.Contains(strings.Join(sets, " "), "lead")])
	}
	return place.lat, place.lon, sets
}

// TestLeastIsReallyLeast runs pairs as they would be bought, over the whole record
// twice and hour by hour, on a grid of panels and batteries: none that keeps within the
// target costs a hundredth less a year than the one chosen, and a plan chooses the same.
// SUNRILL_LEAST sets how many cases are drawn.
func TestLeastIsReallyLeast(t *testing.T) {
	cases := 20
	if n, err := strconv.Atoi(os.Getenv("SUNRILL_LEAST")); err == nil {
		cases = n
	}
	answered, stopped, bad := 0, 0, 0
	for k := range cases {
		rnd := rand.New(rand.NewPCG(uint64(k), 1))
		lat, lon, sets := drawnLeast(rnd)
		s := loadAt(t, lat, lon, sets...)
		for m, scale := 0, rnd.Float64(); m < 12; m++ { // as a pond's months are
			s.limits.Hours[m] = int(25 * scale * rnd.Float64())
		}
		o := s.sizeOptions(nil)
		f, err := battery.Size(s.Record, s.Battery, o)
		c, most := f.Chosen, math.Inf(1)
		if err != nil && !errors.Is(err, battery.ErrNothingReaches) {
			t.Fatal(err)
		}
		var none *battery.NothingReaches
		if errors.As(err, &none) && none.Dark != nil {
			continue
		}
		if err == nil {
			most = float64(c.PerYear.Value)
			answered++
			if run, ok := boughtRun(s, o, c.PanelW, c.BoughtWh); !ok {
				t.Errorf("case %d: %g W with %g Wh misses %.3g %% and stops for %d h", k, c.PanelW, c.BoughtWh, 100*run.UnmetFraction(), run.Stops.LongestHours)
			}
			g, why := battery.Choose(s.Record, s.Battery, o)
			if g.Chosen.PanelW != c.PanelW || g.Chosen.BoughtWh != c.BoughtWh {
				t.Errorf("case %d: a plan chooses %g W with %g Wh %s, a size %g W with %g Wh", k, g.Chosen.PanelW, g.Chosen.BoughtWh, why, c.PanelW, c.BoughtWh)
			}
			told := battery.Account(s.Record, s.Battery, o, g.Chosen)
			if told = battery.Exactly(s.Record, s.Battery, o, told); !reflect.DeepEqual(told.Connected, c.Connected) || told.BatteryWh != c.BatteryWh {
				t.Errorf("case %d: the account is not that of a size", k)
			}
		}
		if o.LongestStop.Known {
			stopped++
		}
		if o.YearsInTen.Known && err == nil && c.Connected.BadYears > 0 {
			bad++
		}
		w, wh, cost := cheapestOnGrid(s, o, c, 0.99*most)
		if cost < 0.99*most {
			t.Errorf("case %d: %g W with %g Wh cost %.4g a year, %g W with %g Wh %.4g (%.1f %% less)\n%s %s %q", k, c.PanelW, c.BoughtWh, most, w, wh, cost, 100-100*cost/most, lat, lon, sets)
		}
	}
	if t.Logf("%d of %d answered, %d with a longest stop, %d with a bad year", answered, cases, stopped, bad); answered < cases/2 ||
		stopped < cases/8 || bad < cases/10 {
		t.Errorf("%d of %d answered, %d with a longest stop, %d with a bad year: the test shows little", answered, cases, stopped, bad)
	}
}

// boughtRun runs a pair as it would be bought, and reports whether it keeps within a target.
func boughtRun(s *Storage, o battery.SizeOptions, w, wh float64) (battery.Balance, bool) {
	r := s.Record
	r.Panel = slices.Clone(r.Panel)
	for i := range r.Panel {
		r.Panel[i] *= w
	}
	run, err := battery.BalanceOf(r, s.Battery, battery.WattHours(wh), battery.BalanceOptions{StartCharge: 1, Connected: true, Repeat: true, Limits: &o.Limits})
	return run, err == nil && !run.Drains() && run.UnmetFraction() <= o.Unmet+1e-12 &&
		(!o.LongestStop.Known || run.Stops.LongestHours <= o.LongestStop.Value) &&
		(!o.YearsInTen.Known || run.BadYears == 0 || float64(run.BadYears+1) <= (1-o.YearsInTen.Value/10)*float64(r.Hours()/8760+1)+1e-6)
}

// cheapestOnGrid returns the pair of a grid around c that costs least of those that keep
// within the target, if it costs less than most.
func cheapestOnGrid(s *Storage, o battery.SizeOptions, c battery.Choice, most float64) (bestW, bestWh, cost float64) {
	var panels, sizes []float64
	around := func(x float64, step float64, n int) (all []float64) {
		for i := -n; i <= n; i++ {
			all = append(all, x*math.Pow(1+step, float64(i)))
		}
		return all
	}
	day := supply.DayLoad(s.Record)
	if c.PanelW == 0 {
		c.PanelW, c.BoughtWh = day/4, 3*day
	}
	ladderEnd := 24 * s.Record.LoadSum() / s.Record.PanelSums().Sum
	for k, one := range o.Shop.Strings() {
		for n := 1.0; n == 1 || (n <= 6 || k == len(o.Shop.Strings())-1) && n*one < min(ladderEnd, 3*c.PanelW); n++ {
			panels = append(panels, n*one)
		}
	}
	if len(panels) == 0 {
		panels = slices.DeleteFunc(around(c.PanelW, 0.03, 24), func(w float64) bool { return w > ladderEnd })
	}
	grid := around(c.BoughtWh, 0.025, 40)
	for _, w := range panels {
		sizes = sizes[:0]
		for _, wh := range grid {
			sizes = append(sizes, o.Shop.OnSale(w, wh))
		}
		for _, wh := range slices.Compact(sizes) {
			price := func(taken float64) float64 {
				return float64(o.Shop.CostOf(w, wh, s.Battery.Life(battery.WattHours(wh), battery.WattHours(taken), o.Temperature).Years()).PerYear)
			}
			if price(0) >= most {
				continue
			}
			if run, ok := boughtRun(s, o, w, wh); ok {
				if v := price(run.PerYear(run.TakenWh)); v < most {
					bestW, bestWh, most = w, wh, v
				}
			}
		}
	}
	if bestW == 0 {
		return 0, 0, math.Inf(1)
	}
	return bestW, bestWh, most
}
