package energy

import (
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/solar/sky"
)

// drawnPlan is a random plan of one year, changed by sets, with the files that
// it names.
func drawnPlan(t *testing.T, seed uint64, sets ...plan.Setting) (Inputs, string) {
	t.Helper()
	c := plantest.Draw(rand.New(rand.NewPCG(seed, 11)))
	sets = append(sets, plan.Setting{Key: "reliability.years", Text: "1"})
	l, err := plan.LoadPlan(plan.PlanFile, plan.LoadOptions{Open: c.Open, ReadOptions: plan.ReadOptions{Need: plan.NeedDuty, Sets: sets}})
	if err != nil {
		t.Fatalf("seed %d: %v\n%s", seed, err, c.Text)
	}
	in := Inputs{Plan: &l.Plan, Curves: l.Curves}
	if l.Plan.Site.Climate != "" {
		climate := fileOf(t, &l, "site.climate", data.ReadClimate)
		in.Climate = &climate
	}
	if l.Plan.Site.Weather != "" {
		in.Weather = fileOf(t, &l, "site.weather", data.ReadWeather)
	}
	return in, c.Text
}

func fileOf[T any](t *testing.T, l *plan.Loaded, key string, read func(string, io.Reader) (T, error)) T {
	t.Helper()
	f, err := l.Open(key)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close() // only read
	v, err := read(l.Path(key), f)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// isFault reports whether err is about the inputs or a pump that will not do.
func isFault(err error) bool {
	var fault *data.Error
	var none *NoPump
	return errors.As(err, &fault) || errors.As(err, &none)
}

// TestRandomPlansHoldFiniteNumbers: whatever a valid plan asks, the whole job
// ends in numbers or in the reason why there are none, and dirt never speeds the
// water up.
func TestRandomPlansHoldFiniteNumbers(t *testing.T) {
	plans := uint64(40)
	if testing.Short() {
		plans = 15
	}
	budgets := 0
	for seed := range plans {
		in, text := drawnPlan(t, seed)
		r, err := everything(in)
		if err != nil {
			if !isFault(err) {
				t.Errorf("seed %d: %v is no fault of the plan\n%s", seed, err, text)
			}
			continue
		}
		numbers(t, seed, reflect.ValueOf(*r))
		for _, p := range r.Water.Pumps {
			if p.Dirty.Flow > p.Clean.Flow*(1+1e-9) {
				t.Errorf("seed %d: %s moves %g clean and %g dirty", seed, p.Spec.Name, p.Clean.Flow, p.Dirty.Flow)
			}
		}
		if len(r.Cautions()) == 0 {
			t.Errorf("seed %d: no caution", seed)
		}
		if r.Solar.Known {
			budgets++
		}
	}
	if budgets == 0 {
		t.Error("no plan has a budget of the sun: the draw is too one-sided")
	}
}

// numbers fails on a NaN in an exported field, however deep.
func numbers(t *testing.T, seed uint64, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) {
			t.Fatalf("seed %d: NaN in a result", seed)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			numbers(t, seed, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				numbers(t, seed, v.Field(i))
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			numbers(t, seed, v.Index(i))
		}
	}
}

// TestRandomStorage holds what balance and size say of random plans to their own
// meaning: energy closes; each battery of a front meets the target and one a
// hundredth smaller does not; the losses of a panel, multiplied, are its yield.
func TestRandomStorage(t *testing.T) {
	plans := uint64(40)
	if testing.Short() {
		plans = 15
	}
	sized, ran := 0, 0
	for seed := range plans {
		// Few plans name a load, a panel and a battery: here many do.
		var sets []plan.Setting
		if seed%2 == 0 {
			sets = append(sets, plan.Setting{Key: "load.power", Text: "20 W"})
		}
		if seed%3 == 0 {
			sets = append(sets, plan.Setting{Key: "panel.watts", Text: "150 W"}, plan.Setting{Key: "battery.size", Text: "700 Wh"})
		}
		in, text := drawnPlan(t, seed, sets...)
		s, err := NewStorage(in.Plan, StorageFiles{SiteFiles: sky.SiteFiles{Climate: in.Climate, Weather: in.Weather}, Curves: in.Curves})
		if err != nil {
			if !isFault(err) {
				t.Errorf("seed %d: %v is no fault of the plan\n%s", seed, err, text)
			}
			continue
		}
		lossesMakeTheYield(t, seed, s)
		if b, err := s.Balance(seed%2 == 0); err == nil {
			ran++
			energyCloses(t, seed, b)
		} else if !isFault(err) {
			t.Errorf("seed %d: %v", seed, err)
		}
		z, err := s.Size()
		switch {
		case err != nil && !isFault(err):
			t.Errorf("seed %d: %v", seed, err)
		case err == nil && z.Nothing == nil:
			sized++
			frontIsTight(t, seed, s, z)
		}
	}
	if sized == 0 || ran == 0 {
		t.Errorf("%d plans sized and %d balanced: the draw is too one-sided", sized, ran)
	}
}

func energyCloses(t *testing.T, seed uint64, b battery.Balance) {
	t.Helper()
	in := b.PanelWh + b.StartWh
	out := b.Delivered() + b.SpilledWh + b.ChargeLossWh + b.DischargeLossWh + b.SelfDischargeWh + b.EndWh
	if math.Abs(in-out) > 1e-6*(in+out+1) {
		t.Errorf("seed %d: %g Wh come in, %g Wh go out", seed, in, out)
	}
}

// frontIsTight runs each pair of a front, and a battery 1 % smaller.
func frontIsTight(t *testing.T, seed uint64, s *Storage, z *Sizing) {
	t.Helper()
	for i, p := range z.Front.Pairs {
		r := s.Record
		r.Panel = supply.Times(r.Panel, p.PanelW)
		unmet := func(wh float64) float64 {
			b, err := battery.BalanceOf(r, s.Battery, battery.WattHours(wh), battery.BalanceOptions{StartCharge: 1, Repeat: true})
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			return b.UnmetFraction()
		}
		if got := unmet(p.BatteryWh); got > z.Options.Unmet+1e-6 {
			t.Errorf("seed %d: %g W with %g Wh misses %g, at most %g", seed, p.PanelW, p.BatteryWh, got, z.Options.Unmet)
		}
		bound := z.Options.LongestStop.Known // then the stop may be what asks for the size
		if p.BatteryWh > 1 && !bound && unmet(0.99*p.BatteryWh) <= z.Options.Unmet {
			t.Errorf("seed %d: %g W would do with less than %g Wh", seed, p.PanelW, p.BatteryWh)
		}
		if i > 0 && (p.PanelW <= z.Front.Pairs[i-1].PanelW || p.BatteryWh >= z.Front.Pairs[i-1].BatteryWh) {
			t.Errorf("seed %d: pair %d does not belong on the front", seed, i)
		}
	}
}

// lossesMakeTheYield: what falls on the panel, less each loss in turn, is what
// reaches the battery.
func lossesMakeTheYield(t *testing.T, seed uint64, s *Storage) {
	t.Helper()
	if s.Sky == nil || s.Sky.Weather.Hours()%8760 != 0 {
		return
	}
	losses := s.Sky.Losses(s.Sky.Weather)
	_, poa, _, yield := s.Sky.Months(s.Sky.Weather).Year()
	left := poa
	for _, l := range losses {
		left *= 1 - l.Share
	}
	if poa > 0 && math.Abs(left-yield) > 1e-6*poa {
		t.Errorf("seed %d: %g kWh/m² a day less %v is %g Wh a day a watt, the months say %g", seed, poa, losses, left, yield)
	}
}
