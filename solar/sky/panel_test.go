package sky

import (
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
	"sunrill/data/units"
)

// TestBatteryVoltageByHand: cells of 3.2 V (LiFePO4) or 2 V (lead) nearest to the DC
// pump's voltage, the chosen one's before the first one's, else to 12 V.
func TestBatteryVoltageByHand(t *testing.T) {
	dc := func(name string, v float64) plan.Pump {
		volts := units.Voltage(v)
		return plan.Pump{Name: name, Supply: "DC", Voltage: &volts}
	}
	mains := dc("mains", 230)
	mains.Supply = "AC"
	given := 36 * units.Volt
	for _, c := range []struct {
		name    string
		battery plan.Battery
		chosen  string
		pumps   []plan.Pump
		want    float64
	}{
		{"nothing said", plan.Battery{Kind: "LiFePO4"}, "", nil, 12.8},
		{"lead", plan.Battery{Kind: "flooded lead"}, "", nil, 12},
		{"24 V pump", plan.Battery{Kind: "LiFePO4"}, "", []plan.Pump{dc("a", 24)}, 25.6},
		{"the first of two", plan.Battery{Kind: "LiFePO4"}, "", []plan.Pump{dc("a", 24), dc("b", 48)}, 25.6},
		{"the chosen of two", plan.Battery{Kind: "LiFePO4"}, "b", []plan.Pump{dc("a", 24), dc("b", 48)}, 51.2}, // whole batteries of 12.8 V
		{"on the mains", plan.Battery{Kind: "LiFePO4"}, "", []plan.Pump{mains}, 12.8},
		{"less than a cell", plan.Battery{Kind: "LiFePO4"}, "", []plan.Pump{dc("a", 1)}, 3.2},
		{"no cells", plan.Battery{Kind: "ideal"}, "", []plan.Pump{dc("a", 24)}, 24},
		{"given", plan.Battery{Kind: "LiFePO4", Voltage: &given}, "", []plan.Pump{dc("a", 24)}, 36},
	} {
		p := plan.Plan{Battery: c.battery, Pumps: c.pumps}
		p.Choice.Pump = c.chosen
		reftest.Near(t, c.name, float64(BatteryVoltage(&p)), c.want, 1e-9)
	}
}

// TestControllerEfficiencyByKind: a switch passes the current as it is; a tracker has
// the plan's efficiency, else 94 % (data/keys.csv).
func TestControllerEfficiencyByKind(t *testing.T) {
	given := 0.9
	for want, list := range map[float64][]plan.Controller{
		1:    {{Kind: "PWM", Efficiency: &given}, {Kind: "none"}},
		0.9:  {{Kind: "MPPT", Efficiency: &given}, {Kind: "pump drive", Efficiency: &given}},
		0.94: {{Kind: "MPPT"}, {Kind: "pump drive"}},
	} {
		for _, c := range list {
			if got := ControllerEfficiency(c); got != want {
				t.Errorf("%+v: %g, want %g", c, got, want)
			}
		}
	}
}

// TestWorkingVoltageByHand: two panels of 18 V in series have 36 V; where nothing is
// said it is 1.4 times the battery's.
func TestWorkingVoltageByHand(t *testing.T) {
	v := 18 * units.Volt
	for series, want := range map[int]float64{0: 18, 1: 18, 2: 36} {
		p := plan.Plan{Panel: plan.Panel{WorkingVoltage: &v, InSeries: series}}
		reftest.Near(t, "in series", float64(WorkingVoltage(&p, 24)), want, 1e-12)
	}
	reftest.Near(t, "nothing said", float64(WorkingVoltage(&plan.Plan{}, 12.8)), 17.92, 1e-12)
}

// TestMeanMonthKeepsItsDigits: twelve equal months give that very figure.
func TestMeanMonthKeepsItsDigits(t *testing.T) {
	var alike, rising [12]float64
	for m := range alike {
		alike[m], rising[m] = 0.2, float64(m+1)
	}
	if got := MeanMonth(alike); got != 0.2 {
		t.Errorf("%.20g", got)
	}
	reftest.Near(t, "1 to 12", MeanMonth(rising), 6.5, 1e-12)
}

// TestPanelListsWhatItAssumed: what nobody gave and counts, and no more.
func TestPanelListsWhatItAssumed(t *testing.T) {
	for _, c := range []struct{ sets, keys string }{
		{"", "panel.tilt panel.azimuth panel.temperature_coefficient panel.operating_cell_temperature site.albedo panel.loss controller.kind controller.efficiency"},
		{"panel.tilt=30,panel.azimuth=180,site.albedo=0.2,controller.kind=MPPT", "panel.temperature_coefficient panel.operating_cell_temperature panel.loss controller.efficiency"},
		{"panel.tilt=30,panel.azimuth=180,site.albedo=0.2,panel.loss=13 %", "panel.temperature_coefficient panel.operating_cell_temperature"},
		{"panel.tilt=30,panel.azimuth=180,site.albedo=0.2,controller.kind=MPPT,panel.losses.soiling=5 %", "panel.temperature_coefficient panel.operating_cell_temperature panel.loss controller.efficiency"},
		{"panel.tilt=30,panel.azimuth=180,site.albedo=0.2,controller.kind=PWM", "panel.temperature_coefficient panel.operating_cell_temperature panel.loss panel.working_voltage"},
	} {
		var sets []string
		if c.sets != "" {
			sets = strings.Split(c.sets, ",")
		}
		s := skyOf(t, sets...)
		var keys []string
		for _, a := range s.Assumed {
			if strings.HasPrefix(a.Key, "site.") && a.Key != "site.albedo" {
				continue // the site's own
			}
			keys = append(keys, a.Key)
			if a.Key == "panel.working_voltage" {
				reftest.Near(t, "1.4 x 12.8 V", a.Value, 17.92, 1e-9)
			}
		}
		if got := strings.Join(keys, " "); got != c.keys {
			t.Errorf("%s: assumed %s, want %s", c.sets, got, c.keys)
		}
	}
}

// TestPanelFaults: a switch needs to know the panel's voltage.
func TestPanelFaults(t *testing.T) {
	none := units.Voltage(0)
	p := plantest.SteadyLoad(t, "reliability.years=1", "panel.tilt=30")
	p.Controller.Kind, p.Panel.WorkingVoltage = "PWM", &none
	if _, err := NewSky(p, SiteFiles{}, nil); plantest.FaultKeys(err) != "panel.working_voltage" {
		t.Errorf("%v with key %q", err, plantest.FaultKeys(err))
	}
}

// TestHeldByTheBattery: heat takes nothing where the current counts, on the plane of the
// plan or on another, and a panel that works below absorption in hot cells is doubted.
// By hand: 17 V at 14.0 V of absorption (3.5 V a cell) are short where cells pass
// (1 - 14/17)/0.004 = 44 K above 25 C, which 52 N does not see, 15.5 V at 24 K above.
func TestHeldByTheBattery(t *testing.T) {
	const sets = "controller.kind=PWM,panel.tilt=60,panel.azimuth=180,panel.working_voltage="
	hot := skyOf(t, strings.Split(sets+"15.5 V", ",")...)
	cool := skyOf(t, strings.Split(sets+"17 V", ",")...)
	doubts := func(s *Sky) (n int) {
		for _, w := range s.Warnings {
			if w.Key == "panel.working_voltage" && strings.Contains(w.Message.String(), "14 V") {
				n++
			}
		}
		return n
	}
	if doubts(hot) != 1 || doubts(cool) != 0 {
		t.Errorf("doubted %d and %d times, want once and never: %v", doubts(hot), doubts(cool), hot.Warnings)
	}
	for m, wh := range cool.MonthsOn(cool.Plane, cool.Weather).Yield {
		reftest.Near(t, "on its own plane", wh, cool.Months(cool.Weather).Yield[m], 1e-12)
	}
	for _, l := range cool.Losses(cool.Weather) {
		if l.Name == "heat" {
			t.Errorf("heat takes %g of a current", l.Share)
		}
	}
}
