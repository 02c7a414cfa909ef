package battery

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/bill"
	"sunrill/energy/money"
	"sunrill/energy/supply"
)

// SizeOptions say what a size has to meet and what can be bought.
type SizeOptions struct {
	Unmet float64 // share of the energy asked for that may be missed, 0 to below 1
	// UnmetFlow is the share of the water that the size bought may miss; unknown:
	// any. An hour cut off misses all of its water, so that this may ask for more
	// than Unmet does.
	UnmetFlow   figure.Maybe[float64]
	LongestStop figure.Maybe[int] // hours, in any year; unknown: any
	// YearsInTen is in how many of ten years no stop may last longer than the limit of
	// the month in which it begins; unknown: in none, or LongestStop holds.
	YearsInTen  figure.Maybe[float64]
	Limits      StopLimits
	Panels      []float64         // watts to look at; nil: those of Shop, which are a ladder of 30 where it sells any size
	Shop        bill.Shop         // what can be bought, and at what cost
	Temperature units.Temperature // where the battery stands, for its life; 0: 25 °C
	// Ratio is where the search begins: what a panel makes over its load in the worst month,
	// as of another load that was sized; 0: about what is chosen.
	Ratio float64
	// Most is the equivalent yearly cost beyond which no pair is looked for, by planning prices
	// where there are no others; 0: any.
	Most  float64
	Brief bool // where there is no choice, it is not looked into why
	// Hard is where sizes stopped too long under other loads in the same weather; nil: that is
	// not known. It changes no answer.
	Hard *HardTimes

	Ctx context.Context // ends the search early, with nothing found; nil: never
}

// Pair is a panel and the least battery that keeps it within the target, run
// without cut-off and reconnect.
type Pair struct {
	PanelW    float64
	BatteryWh float64 // exact least nominal size
	OnSaleWh  float64 // the next size on sale; +Inf where none is large enough
	Free      Balance // of BatteryWh
	Life      BatteryLife
	Price     figure.Maybe[money.Money] // at OnSaleWh
	PerYear   figure.Maybe[money.Money]
}

// Front is every useful pair, by rising panel and falling battery, and the one
// chosen.
type Front struct {
	Pairs  []Pair
	Chosen Choice
	Rule   string // how the choice was made
}

// Choice is a pair as it would be bought.
type Choice struct {
	Pair
	BoughtWh  float64 // nominal size on sale that meets the target with cut-off and reconnect
	Connected Balance // of BoughtWh, with them
}

// Size returns the front of panels and batteries that carry a record's load
// within o, and the pair to buy. The record's panel is the power of one watt of
// panel, after the controller.
//
// The record is read twice and the second reading counted, from the state that
// the first leaves. The front is without cut-off and reconnect, so that more
// battery never means more unmet; a panel that needs no less battery than a
// smaller one is dropped, as is one that lives off its first charge. Pairs are
// compared as they would be bought: with cut-off and reconnect, at a size on sale
// that meets the target; a larger one may not. The cheapest a year is chosen. An easier
// target, or one panel more to choose from, never makes the choice dearer.
//
// Errors are *data.Error, or *NothingReaches with the front so far.
func Size(r supply.Record, b Battery, o SizeOptions) (Front, error) {
	if err := errors.Join(b.Check(), o.check()); err != nil {
		return Front{}, err
	}
	s := newSelection(r, b, o)
	ok := !s.tooDark() && s.closely()
	switch f := s.front(ok, s.every()...); {
	case ok:
		f.Chosen = Account(r, b, o, f.Chosen)
		return f, nil
	case len(f.Pairs) > 0 && s.tooDark():
		return f, s.dark()
	case len(f.Pairs) > 0:
		return f, s.reaches(f.Pairs[len(f.Pairs)-1].PanelW)
	default:
		return f, s.reaches(s.panels[len(s.panels)-1])
	}
}

// Choose returns the pair that Size chooses, without a front; why says in a sentence that
// there is none. Only what it misses is counted of its balance, which Account completes.
func Choose(r supply.Record, b Battery, o SizeOptions) (f Front, why units.Text) {
	return newSelection(r, b, o).choose()
}

// Chooser returns what chooses as Choose does in one shop after another that sell the same
// as that of o at other prices.
func Chooser(r supply.Record, b Battery, o SizeOptions) func(bill.Shop) (Front, units.Text) {
	s := newSelection(r, b, o)
	return func(shop bill.Shop) (Front, units.Text) {
		s.again(shop)
		return s.choose()
	}
}

// Account completes the balance of a pair that Choose found.
func Account(r supply.Record, b Battery, o SizeOptions, c Choice) Choice {
	c.Connected = newLoaded(r, b, o.Target(r.Hours()).limits).trial(c.PanelW).whole(c.BoughtWh, true).balance()
	c.Connected.warn(b, BalanceOptions{StartCharge: 1, Repeat: true, Connected: true})
	return c
}

// Exactly completes the least battery of the panel of a pair that Choose found.
func Exactly(r supply.Record, b Battery, o SizeOptions, c Choice) Choice {
	o.Panels = []float64{c.PanelW}
	s := newSelection(r, b, o)
	s.best = c
	return s.front(true).Chosen
}

func (s *selection) choose() (f Front, why units.Text) {
	if s.tooDark() {
		return s.front(false), units.Text(s.dark().Error())
	}
	found := s.closely()
	s.o.Hard.note(s)
	if found {
		return Front{Chosen: s.best, Rule: s.rule()}, ""
	}
	if s.o.Brief {
		return Front{}, "nothing looked at reaches the target"
	}
	switch f = s.front(false, s.looked()...); {
	case len(f.Pairs) > 0:
		last := f.Pairs[len(f.Pairs)-1]
		return f, units.Say("no size on sale reaches the target: the largest panel looked at, %.0f W, needs a battery of at "+
			"least %.0f Wh", last.PanelW, last.BatteryWh)
	case s.ratio == 0:
		return f, "a month in which the pump runs has no sun"
	}
	return f, "no panel looked at keeps up with the load, whatever the battery"
}

// stopped reports whether nobody waits for the answer any more.
func (o SizeOptions) stopped() bool { return o.Ctx != nil && o.Ctx.Err() != nil }

func (o SizeOptions) check() error {
	var faults data.FaultList
	faults.Want(o.Unmet >= 0 && o.Unmet < 1, "unmet", percent(o.Unmet), "0 % to below 100 %, such as 1 %")
	faults.Want(!o.LongestStop.Known || o.LongestStop.Value >= 0, "longest-stop", fmt.Sprintf("%d h", o.LongestStop.Value), "0 h or more")
	for _, v := range o.Panels {
		faults.Want(v >= 0 && !math.IsInf(v, 0), "panel", v, "0 or more")
	}
	return faults.Err()
}

const (
	ladderRungs = 30
	ladderFirst = 1.05 // panel energy over load energy of the smallest rung
	ladderLast  = 24
)

// ladder returns the panels to look at, rising: those given, else multiples of what is
// on sale, else 30 wattages in equal ratios, from hardly more than the load's energy of a
// year to ladderLast times, beyond which sun alone is no sane supply.
func (l *loaded) ladder(o SizeOptions) []float64 {
	if len(o.Panels) > 0 {
		p := slices.Clone(o.Panels)
		slices.Sort(p)
		return slices.Compact(p)
	}
	if l.load == 0 || l.sun.Sum == 0 {
		return []float64{0}
	}
	if sale := o.Shop.Strings(); len(sale) > 0 {
		return multiples(sale, l.load/l.sun.Sum)
	}
	var rungs []float64
	for i := range ladderRungs {
		w := l.load / l.sun.Sum * ladderFirst * math.Pow(ladderLast/ladderFirst, float64(i)/(ladderRungs-1))
		rungs = append(rungs, evenWatts(w))
	}
	return slices.Compact(rungs)
}

// multiples returns whole numbers of strings on sale, for a panel that makes the load's
// energy of a year with so many watts: of small ones no more than mostStrings. Of two
// nearly alike the smaller does.
func multiples(sale []float64, even float64) (rungs []float64) {
	var all []float64
	for _, w := range sale {
		for n := max(1, math.Floor(even*ladderFirst/w)); n <= mostStrings || w == sale[len(sale)-1]; n++ {
			if all = append(all, n*w); n*w >= even*ladderLast {
				break
			}
		}
	}
	slices.Sort(all)
	for _, w := range all {
		if n := len(rungs); n == 0 || w > rungs[n-1]*nearlyAlike {
			rungs = append(rungs, w)
		}
	}
	return rungs
}

// mostStrings is how many strings are bought where larger panels are on sale: more have
// more clamps, plugs and fuses than their watts pay for; a stated rule, no source.
const mostStrings = 6

// nearlyAlike is the ratio of two panels up to which only one is looked at; a stated rule.
const nearlyAlike = 1.01

// evenWatts rounds w up to two and a half figures: 1, 5, 10, 50 W and so on.
func evenWatts(w float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(w))) / 20
	return math.Ceil(w/step-1e-9) * step
}

// threeFigures rounds w to three figures.
func threeFigures(w float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(w))-2)
	return math.Round(w/step) * step
}

// price fills Life and the costs of p with a battery of size Wh that does the work of run.
func (p *Pair) price(b Battery, o SizeOptions, size float64, run Balance) {
	p.Life = b.Life(WattHours(size), WattHours(run.PerYear(run.TakenWh)), o.standing())
	p.Price, p.PerYear = o.price(p.PanelW, size, p.Life.Years())
}

// price returns price and cost a year of a pair, or why they are not known.
func (o SizeOptions) price(panelW, wh, years float64) (price, perYear figure.Maybe[money.Money]) {
	c, why := o.Shop.CostOf(panelW, wh, years), o.Shop.NoMoney
	switch {
	case why != "":
	case math.IsInf(wh, 1):
		why = "no battery on sale is large enough"
	case math.IsInf(float64(c.Price), 1):
		why = "no controller on sale takes the panel"
	}
	return figure.Given(why == "", c.Price, why), figure.Given(why == "", c.PerYear, why)
}

// standing returns the temperature at which a battery ages.
func (o SizeOptions) standing() units.Temperature { return cmp.Or(o.Temperature, units.Celsius(25)) }
