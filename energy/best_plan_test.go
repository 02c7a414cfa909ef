package energy

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"sunrill/data/cores"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// searched returns the job of a plan with its best plan, no deeper than water.
func searched(t testing.TB, in Inputs) *job {
	t.Helper()
	j := newJob(t.Context(), in, Water)
	if _, err := j.do(); err != nil {
		t.Fatal(err)
	}
	if err := j.bestPlan(); err != nil {
		t.Fatal(err)
	}
	return j
}

// everyWay runs every pump on every hose at every speed and pair of speeds, each as the
// plan of its own that it is, and returns the least cost of those with a chance of bar.
func everyWay(t *testing.T, j *job, bar, own float64, free bool) float64 {
	t.Helper()
	lanes, err := j.lanes(j.water.Choice.Index, free)
	if err != nil {
		t.Fatal(err)
	}
	leasts := make([]float64, len(lanes))
	cores.Each(len(lanes), func(i int) {
		l, least := lanes[i], math.Inf(1)
		try := func(run plan.Run, speed float64) {
			as, err := l.with(Variant{Pump: l.pump, Speed: speed, Set: func(p *plan.Plan) { p.Run = run }})
			if err != nil {
				return
			}
			p := as.water.Pumps[l.pump]
			cost := as.yearOf(&p, free)
			now := as.water.Choice.Index
			pays := l.pump == now || !as.water.Pumps[now].Present
			if !pays {
				pays = terms(as.plan).Swap(j.out.owned[now], as.owned(&p)).Pays.Value
			}
			if cost.Known && cost.Value < min(own, least) && pays && as.water.Sound(p) && as.water.ChanceUnder(run, l.pump, 0) >= bar {
				least = cost.Value
			}
		}
		if l.own != nil {
			try(l.plan.Run, 1)
		}
		for _, day := range l.speeds {
			try(hoursAt(l.plan.Run, day, day), day)
			for night := nightStep; night < 100 && len(l.plan.Run.Bands) == 0; night += nightStep {
				slow := float64(night) / 100
				if hundredth := math.Round(100 * day); slow < day && slow >= l.speeds[len(l.speeds)-1] && int(hundredth)%nightStep == 0 {
					if as, err := l.with(Variant{Pump: l.pump, Speed: slow, Set: runAt(slow)}); err == nil && as.water.Sound(as.water.Pumps[l.pump]) {
						try(hoursAt(l.plan.Run, day, slow), day)
					}
				}
			}
		}
		leasts[i] = least
	})
	least := math.Inf(1)
	for _, c := range leasts {
		least = min(least, c)
	}
	return least
}

// TestNothingIsCheaperThanTheBestPlan: of drawn plans every way is run, with no bound; none
// costs less than the best by more than makes them alike. SUNRILL_BEST sets how many.
func TestNothingIsCheaperThanTheBestPlan(t *testing.T) {
	plans, _ := strconv.Atoi(os.Getenv("SUNRILL_BEST"))
	plans = max(plans, 5)
	found := 0
	for seed, done := uint64(0), 0; done < plans; seed++ {
		price := plantest.Set("mains.price", "0.3")
		in, text := drawnPlan(t, seed, price)
		first, err := Evaluate(t.Context(), in, Water)
		if err != nil {
			continue
		}
		if i, ok := first.Chosen(); ok && first.Water.Pumps[i].Dirty.Turnover.Known { // a goal that can be met, and more or less easily
			goal := [...]float64{1, 1.15, 1.4, 2, 3}[seed%5] * first.Water.Pumps[i].Dirty.Turnover.Value.In(units.Hour)
			in, text = drawnPlan(t, seed, price, plantest.Set("pond.turnover_goal", fmt.Sprintf("%.3f h", min(max(goal, 0.25), 240))))
		}
		j := newJob(t.Context(), in, Water)
		if _, err := j.do(); err != nil {
			if !isFault(err) {
				t.Fatalf("seed %d: %v", seed, err)
			}
			continue
		}
		own, free := j.ownCost()
		if !own.Known {
			continue
		}
		done++
		if err := j.bestPlan(); err != nil {
			t.Fatal(err)
		}
		now := j.water.Pumps[j.water.Choice.Index].Surely.Value.Chance
		b, bar := j.out.BestPlan, works.ChanceYes
		if b.Known {
			found++
			if b.Value.Surely.Chance < bar {
				bar = max(works.ChanceProbably, now-sameChance)
			}
			if chance := b.Value.Surely.Chance; chance < bar || b.Value.Saves.Value <= 0 || math.Abs(float64(b.Value.PerYear+b.Value.Saves.Value)-own.Value) > 1e-9*own.Value {
				t.Errorf("seed %d: a chance of %v at %v, %v less than %v\n%s", seed, chance, b.Value.PerYear, b.Value.Saves, own.Value, text)
			}
		}
		least := everyWay(t, j, bar, own.Value, free)
		switch {
		case b.Known && float64(b.Value.PerYear) > least*(1+sameCost)*(1+1e-9):
			t.Errorf("seed %d: the best costs %v, another way %v\n%s", seed, b.Value.PerYear, least, text)
		case !b.Known && least < own.Value*(1-lessThan)*(1-1e-9):
			t.Errorf("seed %d: %s, yet a way costs %v in place of %v\n%s", seed, b.Why, least, own.Value, text)
		}
	}
	if found == 0 {
		t.Error("no plan has a better one: the draw is too one-sided")
	}
}

// TestBestPlanIsItsSettings: the plan with the keys set costs and does what was said of
// it, and nothing better is found for it.
func TestBestPlanIsItsSettings(t *testing.T) {
	for name, sets := range map[string][]plan.Setting{
		"demo":   nil,
		"ribbed": {plantest.Set("feed.2.pipe", "ribbed hose 40 mm")},
		"dear nights": {plantest.Set("feed.2.pipe", "PE 75 SDR 17"), plantest.Set("feed.1.pipe", "PE 75 SDR 17"),
			plantest.Set("mains.other_use", "0 kWh")},
		"two bands": {plantest.Set("run.band.1.hours", "22-2"), plantest.Set("run.band.1.speed", "90 %"),
			plantest.Set("run.band.2.hours", "2-6"), plantest.Set("run.band.2.speed", "95 %")},
	} {
		j := searched(t, demoInputs(t, sets...))
		if !j.out.BestPlan.Known {
			t.Errorf("%s: %s", name, j.out.BestPlan.Why)
			continue
		}
		b := j.out.BestPlan.Value
		for _, c := range b.Changes {
			sets = slices.DeleteFunc(sets, func(s plan.Setting) bool { return s.Key == c.Key })
			sets = append(sets, plantest.Set(c.Key, c.Value))
		}
		again := searched(t, demoInputs(t, sets...))
		p := again.water.Pumps[again.water.Choice.Index]
		if p.Name != b.Pump || math.Abs(p.Yearly.Value/float64(b.PerYear)-1) > 1e-9 || p.Surely.Value.Chance != b.Surely.Chance {
			t.Errorf("%s: %v is %s at %v with a chance of %v, was to be %s at %v with %v", name, b.Changes, p.Name, p.Yearly.Value,
				p.Surely.Value.Chance, b.Pump, b.PerYear, b.Surely.Chance)
		}
		if more := again.out.BestPlan; more.Known && more.Value.Hose == "" {
			t.Errorf("%s: after %v there is %+v", name, b.Changes, more.Value)
		}
	}
}

// TestBestPlanKeepsNoRisk: hours that stand still for too long are no part of it, and a
// pump that the plan names stays.
func TestBestPlanKeepsNoRisk(t *testing.T) {
	off := []plan.Setting{plantest.Set("run.band.1.hours", "8-22"), plantest.Set("run.band.1.speed", "0"), plantest.Set("pond.turnover_goal", "14 h")}
	j := searched(t, demoInputs(t, off...))
	if b := j.out.BestPlan; !j.stopsTooLong() || b.Known && b.Value.Day == 0 {
		t.Errorf("too long a stop: %v, %+v", j.stopsTooLong(), b)
	}
	j = searched(t, demoInputs(t, plantest.Set("choice.pump", "230 V 90 W")))
	if b := j.out.BestPlan; b.Known && b.Value.Pump != "230 V 90 W" {
		t.Errorf("in place of the pump that the plan names there is %s", b.Value.Pump)
	}
	in := demoInputs(t)
	in.Plan.Mains.Tiers = nil
	j = searched(t, in)
	if j.out.BestPlan.Known || j.out.BestPlan.Why == "" {
		t.Errorf("without a price: %+v", j.out.BestPlan)
	}
}

func BenchmarkBestPlan(b *testing.B) {
	j := searched(b, demoInputs(b))
	b.ReportAllocs()
	for b.Loop() {
		if err := j.bestPlan(); err != nil {
			b.Fatal(err)
		}
	}
}
