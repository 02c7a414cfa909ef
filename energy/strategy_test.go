package energy

import (
	"context"
	"math"
	"reflect"
	"runtime"
	"testing"

	"sunrill/data/plan"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/solar/sky"
)

// TestPlanDoesNotDependOnCores runs the demo on one core and on several: pumps, hoses,
// months and rows are worked out side by side, and each must write only what is its own.
func TestPlanDoesNotDependOnCores(t *testing.T) {
	figures := func(cores int) [][]float64 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		r, err := everything(demoInputs(t))
		if err != nil {
			t.Fatal(err)
		}
		var all [][]float64
		for _, s := range r.Tradeoff {
			all = append(all, []float64{float64(s.PerDay), float64(s.Energy.Value), float64(s.Cost.Value), s.Panel.Value, s.Battery.Value, float64(s.Price.Value), s.Stop.Value})
		}
		for _, p := range r.Water.Pumps {
			all = append(all, []float64{p.Surely.Value.Chance, float64(p.Surely.Value.High.Value)})
		}
		for _, h := range r.Water.Hoses {
			all = append(all, []float64{h.Chance.Value, float64(h.Dirty.Value.Flow), float64(r.Water.Least.Value.Flow)})
		}
		for _, m := range r.Rest.Value.Months {
			all = append(all, []float64{float64(m.Dawn().Value), float64(m.Dusk.Five.Value), float64(m.Limit.Value)})
		}
		return all
	}
	if one, four := figures(1), figures(4); !reflect.DeepEqual(one, four) {
		t.Errorf("on one core %v\non four     %v", one, four)
	}
}

// TestSteadyFrontScales holds the ground of sharing one front: a steady load of
// any size asks for panel and battery in proportion. The second load is sized
// by a search of its own.
func TestSteadyFrontScales(t *testing.T) {
	const tolerance = 1e-4 // sizes are found to 1e-3 Wh, controller and cut-off left out
	in := demoInputs(t)
	sky, err := sky.NewSky(in.Plan, sky.SiteFiles{}, nil)
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := battery.BatteryFrom(in.Plan.Battery)
	if err != nil {
		t.Fatal(err)
	}
	yield := sky.PerWatt(sky.Weather)
	least := func(panel, watts float64) float64 {
		r := supply.Record{Start: sky.Weather.Start, Panel: yield, Load: make([]float64, len(yield))}
		for i := range r.Load {
			r.Load[i] = watts
		}
		f, err := battery.Size(r, b, battery.SizeOptions{Unmet: 0.01, Panels: []float64{panel}})
		if err != nil {
			t.Fatal(err)
		}
		return f.Pairs[0].BatteryWh
	}
	for _, by := range []float64{0.31, 2.7} {
		if got, want := least(500*by, 60*by), by*least(500, 60); math.Abs(got/want-1) > tolerance {
			t.Errorf("%g times the load and panel: %g Wh, want %g", by, got, want)
		}
	}
}

// TestRowsMeetTheTarget runs the pair of every row again, hour by hour, as
// balance would, and holds it to the plan's own target.
func TestRowsMeetTheTarget(t *testing.T) {
	in := demoInputs(t, plan.Setting{Key: "reliability.longest_stop", Text: "12 h"})
	j := newJob(context.Background(), in, All)
	r, err := j.do()
	if err != nil {
		t.Fatal(err)
	}
	sized := 0
	for i := range r.Tradeoff {
		s := &r.Tradeoff[i]
		if !s.Panel.Known || s.sunOnly() {
			continue
		}
		sized++
		load, _, err := pumpLoad(s.as.plan, s.as.water, s.Pump, s.as.air)
		if err != nil {
			t.Fatal(err)
		}
		rec := carrying(j.store.Record, load)
		rec.Panel = supply.Times(rec.Panel, s.Panel.Value)
		b, err := battery.BalanceOf(rec, j.store.Battery, battery.WattHours(s.Battery.Value), battery.BalanceOptions{StartCharge: 1, Repeat: true, Connected: true})
		if err != nil {
			t.Fatal(err)
		}
		if b.UnmetFraction() > in.Plan.Reliability.UnmetFlow || b.Stops.LongestHours > 12 {
			t.Errorf("%s: %.0f W with %.0f Wh misses %.3g %% and stops for %d h", s.Name, s.Panel.Value, s.Battery.Value, 100*b.UnmetFraction(), b.Stops.LongestHours)
		}
	}
	if sized < 8 {
		t.Errorf("only %d rows are sized", sized)
	}
}
