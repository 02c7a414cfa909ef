package energy

import (
	"math"
	"testing"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/money"
)

func owned(name string, running, price, life, due float64) PumpOwned {
	return PumpOwned{name, figure.Known(money.Money(running)), figure.Known(money.Money(price)), life, due}
}

// TestSwapByHand at no interest: a pump that runs for 200 a year and is due in 2 years at
// 100 for 5, against one of 90 a year for 300 that lasts 4: 200 + 20×8/10 = 216 a year
// against 90 + 75 = 165; after 2 years 80 are left of the 300, and the 100 avoided then pay them.
func TestSwapByHand(t *testing.T) {
	terms := Terms{Years: 10}
	k := terms.Swap(owned("old", 200, 100, 5, 2), owned("new", 90, 300, 4, 0))
	if k.PresentCost.Value != 216 || math.Abs(float64(k.SwapCost.Value-165)) > 1e-12 || math.Abs(k.Payback.Value-2) > 1e-9 || k.Life.Value != 4 || !k.Pays.Value {
		t.Errorf("%+v", k)
	}
	// Dearer so that it is back only after it has worn out: it does not pay, however much
	// less it draws.
	if k = terms.Swap(owned("old", 200, 100, 5, 2), owned("new", 90, 900, 4, 0)); k.Pays.Value || k.Payback.Value < 4 {
		t.Errorf("%+v", k)
	}
	// One per cent less a year is not worth the trouble.
	if k = terms.Swap(owned("old", 200, 1, 5, 2), owned("new", 198, 1, 5, 0)); k.Pays.Value {
		t.Errorf("%+v", k)
	}
	// It draws more: never paid back, and said so.
	if k = terms.Swap(owned("old", 100, 10, 5, 2), owned("new", 200, 300, 5, 0)); k.Pays.Value || k.Payback.Known || k.Payback.Why == "" {
		t.Errorf("%+v", k)
	}
}

func TestSwapWithoutPrices(t *testing.T) {
	terms := Terms{Years: 10}
	free, dear := owned("old", 200, 0, 5, 2), owned("new", 90, 300, 4, 0)
	free.Price = figure.Unknown[money.Money]("no price")
	if k := terms.Swap(free, dear); k.PresentCost.Value != 200 || !k.Pays.Value {
		t.Errorf("%+v", k)
	}
	dear.Price = free.Price
	if k := terms.Swap(free, dear); k.Pays.Known || k.Pays.Why != "no price" || k.Payback.Known {
		t.Errorf("%+v", k)
	}
	dear.Running = figure.Unknown[money.Money]("no watts")
	if k := terms.Swap(free, dear); k.SwapCost.Why != "no watts" {
		t.Errorf("%+v", k)
	}
}

func TestDueIn(t *testing.T) {
	for _, c := range []struct{ life, age, want float64 }{{5, -1, 2.5}, {5, 1, 4}, {5, 9, 1}, {1, -1, 1}} {
		var age *units.Duration
		if years := units.Duration(c.age) * units.Year; c.age >= 0 {
			age = &years
		}
		if got := DueIn(c.life, age); got != c.want {
			t.Errorf("%+v: %g", c, got)
		}
	}
}
