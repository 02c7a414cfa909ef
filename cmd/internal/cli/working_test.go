package cli

import (
	"encoding/json"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"sunrill/cmd/internal/page"
)

// workedPage is what a test reads of a page with its working.
type workedPage struct {
	Working []workedStep `json:"working"`
	page    map[string]any
}

type workedStep struct {
	Key, What, Formula, Unit, Source string
	Inputs                           []struct {
		Symbol, Unit, What string
		Value              float64
	}
	Result float64
}

// workedCases are the pages whose working is checked: the least number of
// steps, and keys that have to be among them. A key ends in a figure of the
// short answer or of the contract's JSON.
var workedCases = map[string]struct {
	args  string
	least int
	keys  string
}{
	"duty": {"duty --demo", 60, `pumps.1.duty.1.flow_m3_per_h pumps.2.duty.1.head_m pumps.2.duty.1.power_w pumps.3.duty.1.velocity_m_per_s
		pumps.2.duty.1.feed_2.reynolds pumps.2.duty.1.feed_2.friction_factor pumps.2.duty.1.feed_2.friction_head_m pumps.2.duty.1.feed_2.fittings_head_m
		dirt.resistance_s2_per_m5 pumps.2.dirty.flow_m3_per_h pumps.2.dirty.head_m pumps.2.dirty.power_w`},
	"sun":               {"sun --demo", 5, `year.ghi_kwh_per_m2_day year.poa_kwh_per_m2_day year.yield_wh_per_w_day year.yield_wh_per_w_year`},
	"balance":           {"balance --demo --panel 450W --battery 2816Wh", 2, `unmet_fraction battery.usable_wh`},
	"balance of a load": {"balance --lat 52.4 --lon 13.1 --panel 120W --battery 600Wh --load 20W --load-hours 8-16 --battery-kind ideal --repeat", 2, `unmet_fraction`},
	"size": {"size --demo", 15, `chosen.battery_wh chosen.usable_wh chosen.battery_on_sale_ah chosen.unmet_fraction
		chosen.price chosen.cost_per_year chosen.battery_life_years`},
	"plan": {"plan --demo", 150, `mains.kwh_per_day mains.kwh_per_year mains.cost_per_year mains.carbon_kg_per_year
		solar.day_and_night.load_w solar.day_and_night.turnover_h solar.day_and_night.load_kwh_per_day solar.day_and_night.battery_ah solar.day_and_night.price solar.day_and_night.cost_per_year
		solar.day_and_night.unmet_fraction
		solar.daylight_only.months.6.turnovers_per_day
		solar.daylight_only.water_m3_per_year ` + waterKeys},
	"tradeoff":               {"tradeoff --demo", 60, `tradeoff.2.wh_per_m3 tradeoff.2.turnovers_per_day tradeoff.4.missed_by_h pumps.3.dirty.turnover_h`},
	"measure":                {"measure --demo --bucket 20L --time 25.1s --time 25.6s --time 24.9s --meter 79W", 5, `flow_m3_per_h error_fraction low_flow_m3_per_h high_flow_m3_per_h`},
	"measure without a plan": {"measure --bucket 12L --time 19.8s --time 20.3s", 5, `flow_m3_per_h error_fraction`},
	"compare":                {"compare --demo", 80, `pond.goal_flow_m3_per_h ` + waterKeys},
}

// waterKeys are the figures about water of compare and plan.
const waterKeys = `pumps.3.clean.flow_m3_per_h pumps.3.dirty.flow_m3_per_h pumps.3.clean.power_w pumps.3.power_w pumps.3.dirty.turnover_h pumps.3.dirty.turnovers_per_day
	pumps.1.dirty.missed_by_h pumps.1.dirty.short_of_flow_m3_per_h pumps.3.kwh_per_day
	pumps.3.kwh_per_year pumps.3.cost_per_year pumps.1.equivalent_cost_per_year pumps.3.equivalent_cost_per_year money.capital_recovery
	stop.hours_to_bare_intake_h stop.least_hours_to_bare_intake_h stop.water_left_fraction`

func TestWorkingRecomputes(t *testing.T) {
	for name, c := range workedCases {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			worked := readWorked(t, c.args)
			if len(worked.Working) < c.least {
				t.Errorf("%d steps, want %d at least", len(worked.Working), c.least)
			}
			have := map[string]bool{}
			for _, s := range worked.Working {
				if have[s.Key] {
					t.Errorf("%s is worked twice", s.Key)
				}
				have[s.Key] = true
				s.check(t)
				s.hold(t, worked.page)
			}
			for _, key := range strings.Fields(c.keys) {
				if !have[key] {
					t.Errorf("no step works %s", key)
				}
			}
		})
	}
}

// words splits a command line at spaces outside quotes.
func words(line string) []string {
	var all []string
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 0 {
			all = append(all, strings.Fields(part)...)
		} else if n := len(all) - 1; strings.HasSuffix(line[:strings.Index(line, part)-1], "=") {
			all[n] += part
		} else {
			all = append(all, part)
		}
	}
	return all
}

func readWorked(t *testing.T, args string) workedPage {
	t.Helper()
	code, out, errOut := run(append(words(args), "--working", "--format", "json")...)
	if code > 1 {
		t.Fatalf("exit %d: %s", code, errOut)
	}
	var page workedPage
	if err := json.Unmarshal([]byte(out), &page); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(out), &page.page); err != nil {
		t.Fatal(err)
	}
	return page
}

// check recomputes a step from its own inputs.
func (s workedStep) check(t *testing.T) {
	t.Helper()
	symbols := map[string]float64{}
	for _, in := range s.Inputs {
		symbols[in.Symbol] = in.Value
	}
	left, right, found := strings.Cut(s.Formula, " = ")
	if !found || !regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_]*$`).MatchString(left) {
		t.Errorf("%s: formula %q has no left side", s.Key, s.Formula)
		return
	}
	if s.Source == "" || s.What == "" {
		t.Errorf("%s has no source or no words", s.Key)
	}
	if len(symbols) != len(s.Inputs) {
		t.Errorf("%s: one symbol stands for two inputs", s.Key)
	}
	for symbol := range symbols {
		if !regexp.MustCompile(`\b` + symbol + `\b`).MatchString(right) {
			t.Errorf("%s: %s is not in %s", s.Key, symbol, right)
		}
	}
	got, err := page.Evaluate(right, symbols)
	if err != nil {
		t.Errorf("%s: %v", s.Key, err)
		return
	}
	if math.Abs(got-s.Result) > 1e-9*(math.Abs(s.Result)+1e-6) {
		t.Errorf("%s: %s comes to %.15g, printed %.15g %s", s.Key, s.Formula, got, s.Result, s.Unit)
	}
}

// hold checks that the result is the page's own figure, where the page has one
// of that key.
func (s workedStep) hold(t *testing.T, page map[string]any) {
	t.Helper()
	if v, found := figureAt(page, s.Key); found && math.Abs(v-s.Result) > 1e-12*math.Abs(v) {
		t.Errorf("%s: worked %.15g, the page has %.15g", s.Key, s.Result, v)
	}
}

// figureAt returns the number at a key such as pumps.2.clean.turnover_h.
func figureAt(page any, key string) (float64, bool) {
	for _, part := range strings.Split(key, ".") {
		switch v := page.(type) {
		case map[string]any:
			page = v[part]
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i < 1 || i > len(v) {
				return 0, false
			}
			page = v[i-1]
		default:
			return 0, false
		}
	}
	v, is := page.(float64)
	return v, is
}

// TestWorkingOfOtherPlans recomputes the working where a plan departs from the
// demo: other tariffs, hours, pumps, panels, and lines.
func TestWorkingOfOtherPlans(t *testing.T) {
	for name, args := range map[string]string{
		"a label, a round pond and an own meter": "compare --label-flow 3000L/h --label-head 2.2m --label-power 40W --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4 --set pond.shape=round --set pond.diameter=3m --set pond.depth=0.8m --stocking light --set mains.price=2 --set mains.own_meter=true --set mains.daily_charge=1 --set pump.1.price=900",
		"price bands":                            "compare --label-flow 3000L/h --label-head 2.2m --label-power 40W --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4 --volume 5m3 --stocking light --set mains.band.1.hours=22-6 --set mains.band.1.price=1 --set mains.band.2.hours=6-22 --set mains.band.2.price=3",
		"flat price":                             "plan --demo --set mains.price=2.5",
		"no rise":                                "plan --demo --set mains.price_rise=5% --set mains.discount_rate=5%",
		"no interest":                            "plan --demo --set mains.price_rise=0% --set mains.discount_rate=0%",
		"three quarters speed":                   "plan --demo --set run.speed=0.9",
		"night hours":                            "plan --demo --set run.band.1.hours=22-6 --set run.band.1.speed=0.8",
		"winter off":                             "plan --demo --set run.months_off=jun,jul",
		"air pump":                               "plan --demo --set air.power=4W",
		"metered":                                "plan --demo --set pump.2.metered_power=60W",
		"two in parallel":                        "plan --demo --set pump.1.count=2",
		"the AC pump":                            "plan --demo --pump \"230 V 90 W\"",
		"its inverter":                           "plan --demo --pump \"230 V 90 W\" --set inverter.rated=300W --set panel.sizes=2000W",
		"thin cable":                             "plan --demo --set cable.run=80m --set cable.area=1.5mm2",
		"PWM":                                    "plan --demo --set controller.kind=PWM",
		"limited charging":                       "plan --demo --set battery.charge_rate=0.1",
		"shade":                                  "sun --demo --set site.shade=10%",
		"cold place":                             "sun --lat 60 --lon 25",
		"one loss":                               "sun --lat 60 --lon 25 --set panel.loss=20%",
		"lead":                                   "balance --demo --panel 450W --battery 6kWh --set battery.kind=\"flooded lead\" --set battery.voltage=24V",
		"tropics, heavy":                         "plan --demo --set site.latitude=1 --set site.longitude=36 --set pond.stocking=heavy",
		"label":                                  "duty --label-flow 3000L/h --label-head 2.2m --static-head 0.9m --pipe-bore 25mm --pipe-length 10m --loss-k 4",
		"ribbed hose":                            "duty --demo --set feed.1.rib_pitch=4mm",
		"nothing lifts":                          "compare --demo --set lift.static_head=3.5m",
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			worked := readWorked(t, args)
			if len(worked.Working) == 0 {
				t.Error("nothing is worked")
			}
			for _, s := range worked.Working {
				s.check(t)
				s.hold(t, worked.page)
			}
		})
	}
}
