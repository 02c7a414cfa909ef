package battery

import (
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/figure"
	"sunrill/energy/bill"
	"sunrill/energy/supply"
)

// followed returns what is chosen, and how many panels were followed through the record for it.
func followed(r supply.Record, b Battery, o SizeOptions) (f Front, panels int) {
	s := newSelection(r, b, o)
	f, _ = s.choose()
	for i := range s.rungs {
		if s.rungs[i].course != nil {
			panels++
		}
	}
	return f, panels
}

// share returns a share of what a choice costs a year.
func (o SizeOptions) share(c Choice, share float64) float64 {
	return share * float64(o.Shop.CostOf(c.PanelW, c.BoughtWh, c.Life.Years()).PerYear)
}

// TestHardTimesChangeNothing: what is chosen under a load is the same where it is known in
// which hours another load stopped too long.
func TestHardTimesChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, b, o := drawnSize(t, rapid.IntRange(0, 3).Draw(t, "panels on sale") > 0)
		o.Brief, o.LongestStop, o.YearsInTen = true, figure.Maybe[int]{}, figure.Known(7.0)
		o.Limits = Always(rapid.IntRange(0, 12).Draw(t, "bearable"))
		other := r
		if rapid.Bool().Draw(t, "a longer record") {
			other.Panel, other.BatteryC = slices.Concat(r.Panel[r.Hours()/3:], r.Panel), slices.Concat(r.BatteryC, r.BatteryC)
		}
		other.Load = supply.Times(r.Load, rapid.Float64Range(0.5, 1.5).Draw(t, "other load"))
		knowing := o
		knowing.Hard = &HardTimes{}
		f, _ := followed(other, b, knowing)
		if f.Chosen.BoughtWh == 0 {
			return
		}
		o.Most = o.share(f.Chosen, rapid.Float64Range(0.5, 1.2).Draw(t, "most"))
		knowing.Most = o.Most
		want, _ := followed(r, b, o)
		got, _ := followed(r, b, knowing)
		told := func(c Choice) []any { // what is whole of it
			return []any{c.PanelW, c.BoughtWh, c.Life, c.Connected.UnmetWh, c.Connected.TakenWh, c.Connected.Stops, c.Connected.BadYears}
		}
		if a, b := told(got.Chosen), told(want.Chosen); !reflect.DeepEqual(a, b) {
			t.Fatalf("%+v with what is known, %+v without", a, b)
		}
	})
}

// TestHardTimesSpare: a load that can be carried for no less than another is ruled out without
// a panel followed through the record.
func TestHardTimesSpare(t *testing.T) {
	r := bareRecord(1, 20*8760, func(int) float64 { return 20 })
	o := SizeOptions{Shop: plain, Unmet: 0.01, YearsInTen: figure.Known(9.0), Limits: Always(6), Brief: true}
	o.Panels = []float64{60, 80, 100, 120, 150, 200, 250, 300, 400, 500, 700, 900}
	for _, wh := range []float64{300, 600, 1200, 2400, 4800} {
		o.Shop.Batteries = append(o.Shop.Batteries, bill.Unit{Energy: WattHours(wh)})
	}
	f, _ := followed(r, lithium(t), o)
	o.Most = o.share(f.Chosen, 0.9)
	_, alone := followed(r, lithium(t), o)
	o.Hard = &HardTimes{}
	cheaper := o
	cheaper.Most = 0
	if _, panels := followed(r, lithium(t), cheaper); panels == 0 {
		t.Fatal("nothing was followed")
	}
	if f, knowing := followed(r, lithium(t), o); f.Chosen.BoughtWh > 0 || knowing >= alone {
		t.Errorf("%d panels followed with what is known, %d without; %g Wh", knowing, alone, f.Chosen.BoughtWh)
	}
}
