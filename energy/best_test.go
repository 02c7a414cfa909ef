package energy

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/energy/battery"
	"sunrill/energy/still"
	"sunrill/pumps/works"
)

// TestBestIsTheCheapestWay: of all ways that meet the goal on the battery none costs less
// than the best by more than makes them alike, and the plan that runs so buys the same pair.
func TestBestIsTheCheapestWay(t *testing.T) {
	for name, set := range map[string][]plan.Setting{
		"demo":          nil,
		"measured line": {plantest.Set("measured.flow", "3000 L/h")},
		"no prices":     {plantest.Set("panel.price_per_watt", "0"), plantest.Set("battery.price_per_wh", "0")},
	} {
		r, err := everything(demoInputs(t, append(set, plantest.Set("reliability.years", "4"),
			plantest.Set("reliability.longest_stop", "5 h"))...))
		if err != nil {
			t.Fatal(err)
		}
		if !r.Best().Known {
			t.Fatalf("%s: %s", name, r.Best().Why)
		}
		b := r.Best().Value
		way := &r.Tradeoff[b.Row]
		if c := b.Choice; !way.carries() || way.Panel.Value != c.PanelW || way.Battery.Value != c.BoughtWh || !b.Water.Meets() {
			t.Errorf("%s: the best is %s, %v W with %v Wh, of the row %v W with %v Wh", name, way.Name, b.Choice.PanelW, b.Choice.BoughtWh,
				way.Panel.Value, way.Battery.Value)
		}
		for i := range r.Tradeoff {
			s := &r.Tradeoff[i]
			if s.carries() && s.Pump == way.Pump && s.pairYear*(1+sameCost) < way.pairYear*(1-1e-9) {
				t.Errorf("%s: %s costs less than %s", name, s.Name, way.Name)
			}
			if s.Kind == FullSpeed && s.Pump == way.Pump && b.Choice.BoughtWh > s.Battery.Value && b.Choice.PanelW > s.Panel.Value {
				t.Errorf("%s: %s buys more than full speed", name, way.Name)
			}
		}
		if !b.Surely.Known || b.Surely.Value.Word == "" {
			t.Errorf("%s: %s has no verdict", name, way.Name)
		}
		if way.Kind != Slower {
			continue
		}
		again, err := everything(demoInputs(t, append(set, plantest.Set("reliability.years", "4"),
			plantest.Set("reliability.longest_stop", "5 h"),
			plantest.Set("run.speed", strings.Fields(way.Name)[0]+" %"), plantest.Set("choice.pump", r.Water.Pumps[way.Pump].Name))...))
		if err != nil {
			t.Fatal(err)
		}
		if name == "measured line" { // the dirt is fitted at the plan's speed
			continue
		}
		if c := again.DayAndNight().Value.Front.Chosen; c.PanelW != b.Choice.PanelW || c.BoughtWh != b.Choice.BoughtWh {
			t.Errorf("%s: planned so it buys %v W with %v Wh, as the best way %v W with %v Wh", name, c.PanelW, c.BoughtWh, b.Choice.PanelW,
				b.Choice.BoughtWh)
		}
	}
}

// TestBestProbablyDoes: a way that does as likely as not is never the best where the pump
// at full speed does, however little it costs, and a pump that the plan names stays.
func TestBestProbablyDoes(t *testing.T) {
	for _, volume := range []string{"9.2 m3", "11 m3", "11.3 m3"} {
		for _, pump := range []string{"24 V 65 W", "230 V 90 W"} {
			r, err := Evaluate(t.Context(), demoInputs(t, plantest.Set("pond.volume", volume), plantest.Set("choice.pump", pump),
				plantest.Set("site.place", "London"), plantest.Set("reliability.years", "4")), Decided)
			if err != nil {
				t.Fatal(err)
			}
			b := r.Best()
			if row := r.Tradeoff[b.Value.Row]; !b.Known || b.Value.Surely.Value.Chance < works.ChanceProbably ||
				r.Water.Pumps[row.Pump].Name != pump {
				t.Errorf("%s, %s: %s is the best, with a chance of %v (%s)", volume, pump, row.Name, b.Value.Surely.Value.Chance, b.Why)
			}
		}
	}
}

// TestNoRiskyWayIsTheBest: no row graded high or severe leads, whatever it spares.
func TestNoRiskyWayIsTheBest(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("pond.turnover_goal", "9 h"), plantest.Set("reliability.years", "2")))
	if err != nil {
		t.Fatal(err)
	}
	b := r.Best().Value
	if row := r.Tradeoff[b.Row]; row.Risk.Known && row.Risk.Value >= still.HighRisk || row.Kind == OffAtNight || row.Kind == OnTimer {
		t.Errorf("%s leads at %v risk", row.Name, row.Risk.Value)
	}
}

// TestOwnPairIsItsBalance: what the plan's own pair carries is what its balance says of a
// battery half way through its life, and the months add up to it.
func TestOwnPairIsItsBalance(t *testing.T) {
	in := demoInputs(t, plantest.Set("panel.watts", "450 W"), plantest.Set("battery.size", "2048 Wh"),
		plantest.Set("reliability.years", "4"), plantest.Set("charger.power", "500 W"), plantest.Set("battery.end_of_life", "60 %"))
	r, err := everything(in)
	if err != nil {
		t.Fatal(err)
	}
	if r.NoAnswer != "" || !r.Solar.Value.Own.Known {
		t.Fatalf("%q, own pair: %s", r.NoAnswer, r.Solar.Value.Own.Why)
	}
	own := r.Solar.Value.Own.Value
	// Worn out at 60 % a battery is half way at 80 %.
	half := 0.8
	worn := *in.Plan
	worn.Battery.EndOfLife = &half
	in.Plan = &worn
	aged, err := NewStorage(in.Plan, StorageFiles{Curves: in.Curves})
	if err != nil {
		t.Fatal(err)
	}
	run, err := aged.Balance(true)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(run.UnmetFlow()-own.Unmet) > 1e-9 || float64(run.Stops.LongestHours) != own.Longest {
		t.Errorf("the balance misses %v and stops %v h, the own pair %v and %v h", run.UnmetFlow(), run.Stops.LongestHours, own.Unmet,
			own.Longest)
	}
	if !(own.New.Unmet < own.Unmet && own.Unmet > 0 && own.New.Stops < own.Stops) {
		t.Errorf("new it misses %v and stops %v h, at mid-life %v and %v h", own.New.Unmet, own.New.Stops, own.Unmet, own.Stops)
	}
	moved, asked := 0.0, 0.0
	for m, v := range own.Months {
		days := [12]float64{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[m]
		moved += days * float64(v.PerDay)
		asked += days * float64(v.PerDay) / v.Share
	}
	if math.Abs(moved/asked-(1-own.Unmet)) > 1e-6 {
		t.Errorf("the months carry %v of the water, the year %v", moved/asked, 1-own.Unmet)
	}
	c := own.Charger.Value
	if !own.Charger.Known || c.Hours <= 0 || c.Stops != 0 || float64(c.Energy)/3600 > 500*c.Hours*(1+1e-9) {
		t.Errorf("the charger: %+v", own.Charger)
	}
	// A litre is 1e-3 m³; 0.75 L/kWh is the default.
	if kwh := float64(c.Energy) / 3.6e6; math.Abs(float64(c.Fuel)-0.75e-3*kwh) > 1e-9 {
		t.Errorf("%v m³ of fuel for %v kWh", float64(c.Fuel), kwh)
	}
}

// TestPairThatNeverCarries: one watt of panel stops every hour of forty years, which is told as
// a year without an end.
func TestPairThatNeverCarries(t *testing.T) {
	r, err := Evaluate(t.Context(), demoInputs(t, plantest.Set("panel.watts", "1 W"), plantest.Set("battery.size", "10 Wh")), Sun)
	if err != nil {
		t.Fatal(err)
	}
	if own := r.Solar.Value.Own; !own.Known || !own.Value.Never() || own.Value.Longest != 8760 {
		t.Errorf("%+v", own)
	}
}

// TestChargerWaitsForWarmth: below the temperature at which it may be charged a battery is
// not, by a generator either.
func TestChargerWaitsForWarmth(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("reliability.years", "1")))
	if err != nil {
		t.Fatal(err)
	}
	d := r.DayAndNight().Value
	record, b := d.Storage.Record, d.Storage.Battery
	warm := battery.ChargedRun(record, 100, b, 1000, 400)
	record.BatteryC = make([]float64, record.Hours())
	for i := range record.BatteryC {
		record.BatteryC[i] = b.NoChargeBelow.InCelsius() - 1
	}
	cold := battery.ChargedRun(record, 100, b, 1000, 400)
	if warm.Hours == 0 || warm.Stops != 0 || cold.Hours != 0 || cold.Stops == 0 {
		t.Errorf("warm %+v, cold %+v", warm, cold)
	}
}

// TestWinterNotWorthTheSun: far north the panel throws most of its year away, and where
// no pair carries the winter the bright months are told all the same.
func TestWinterNotWorthTheSun(t *testing.T) {
	for _, c := range []struct {
		lat   string
		worth bool
		best  bool
	}{{"-32", true, true}, {"53", false, true}, {"67", false, false}} {
		in := demoInputs(t, plantest.Set("site.latitude", c.lat), plantest.Set("site.longitude", "22"),
			plantest.Set("site.utc_offset", "1"), plantest.Set("reliability.years", "2"))
		in.Plan.Panel.Sizes, in.Plan.Battery.Sizes = nil, nil
		r, err := everything(in)
		if err != nil {
			t.Fatal(err)
		}
		s := r.Solar.Value
		if !s.Worth.Known || s.Worth.Value != c.worth || s.Best.Known != c.best || r.NoAnswer != "" {
			t.Errorf("at %s: worth %+v, best %v, %q", c.lat, s.Worth, s.Best.Known, r.NoAnswer)
		}
		if !s.Season.Known || !c.worth && s.Season.Value.Charger.Hours <= 0 {
			t.Errorf("at %s: %+v", c.lat, s.Season)
		}
	}
}

// TestDoubtsAreOfWhatIsBought: where another way than the plan's own hours is bought, the
// warnings are of its panel and battery, not of those of the plan's hours.
func TestDoubtsAreOfWhatIsBought(t *testing.T) {
	r, err := everything(demoInputs(t, plantest.Set("reliability.years", "3"), plantest.Set("battery.charge_rate", "0.05")))
	if err != nil {
		t.Fatal(err)
	}
	limits := func(all []data.Warning) (out []data.Warning) {
		for _, w := range all {
			if w.Key == "battery.charge_rate" {
				out = append(out, w)
			}
		}
		return out
	}
	own, best := r.DayAndNight().Value, r.Best().Value
	if own.Front.Chosen.PanelW == best.Choice.PanelW {
		t.Fatal("the best way buys the pair of the plan's own hours")
	}
	if want := limits(best.Way.Warnings); len(want) != 1 || !slices.Equal(limits(r.Warnings), want) {
		t.Errorf("warned of %v, not of %v", limits(r.Warnings), want)
	}
}

// TestLeftOut: a part without a price, and pumps without one, are named.
func TestLeftOut(t *testing.T) {
	var p plan.Plan
	b := Best{Way: DayAndNight{Storage: &Storage{plan: &p, Pump: &PumpLoad{OnInverter: true}}}}
	b.PerYear.Why = "without the pump's own replacement"
	if got := b.LeftOut(); !slices.Equal(got, []string{"frame", "controller", "inverter", "new pumps"}) {
		t.Errorf("%q", got)
	}
	price := plan.Money(1)
	p.Panel.MountingPerWatt, p.Controller.PricePerAmp, p.Inverter.Price, b.PerYear.Why = &price, &price, &price, ""
	if got := b.LeftOut(); len(got) > 0 {
		t.Errorf("everything has its price, and %q is left out", got)
	}
}
