package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"sunrill/data/units"
	"sunrill/energy/supply"
)

// ErrNothingReaches is wrapped by NothingReaches.
var ErrNothingReaches = errors.New("nothing on sale reaches the target")

// NothingReaches says that no panel looked at, with any battery on sale, meets
// the target, and what would. Whatever it names was run with cut-off and
// reconnect and met the target.
type NothingReaches struct {
	PanelW    float64 // the largest looked at
	Multiples bool    // panels are told as multiples of a measured one of unknown watts
	BatteryWh float64 // the largest on sale; that of a day's load where no sizes are listed
	Listed    bool
	Best      Balance // of that pair, with cut-off and reconnect

	NeedPanelW    float64 // a panel that would do; 0: none up to 100 times
	NeedPanelWh   float64 // with this battery
	NeedBatteryWh float64 // a battery that would do for the largest panel; +Inf: none
	LoadShare     float64 // largest share of the load that the best pair carries; 0: hardly any
	StopMonths    []int   // months, 0 to 11, in which the best pair stops
	MonthsOff     []int   // months, 0 to 11, without which it carries the load; nil: none
	Dark          *Dark   // where it is the rule for a choice that no panel meets
}

// Dark says that no panel of the built-in ladder makes as much as the load takes
// in its worst month, so that the battery would have to carry a season.
type Dark struct {
	Month int     // 0 to 11, the worst
	Ratio float64 // what the largest panel makes over the load in it
	Times float64 // the largest panel's energy of a year over the load's
}

// Dark returns that no panel makes enough, with the months to stand still in.
func (s *Selection) Dark() error {
	most := s.Panels[len(s.Panels)-1]
	made, asked := supply.Judged(s.r)
	e := &NothingReaches{PanelW: most, BatteryWh: supply.DayLoad(s.r), NeedBatteryWh: math.Inf(1), Dark: &Dark{Times: ladderLast}}
	e.Dark.Month = supply.WorstMonth(made, asked)
	e.Dark.Ratio = most * made[e.Dark.Month] / asked[e.Dark.Month]
	e.MonthsOff = DarkOff(made, asked)
	e.Best = ConnectedRun(s.r, s.b, s.n, most, e.BatteryWh)
	for m, hours := range e.Best.Stops.ByMonth {
		if hours > 0 {
			e.StopMonths = append(e.StopMonths, m)
		}
	}
	return e
}

// DarkOff returns the months without which the largest panel of the rest makes
// its load in each; nil where none are left. A load of fewer months has a smaller
// largest panel, so that the darkest are taken out one by one.
func DarkOff(made, asked [12]float64) (off []int) {
	sun := 0.0
	for _, v := range made {
		sun += v
	}
	for {
		m, load := supply.WorstMonth(made, asked), 0.0
		for _, v := range asked {
			load += v
		}
		if m < 0 {
			return nil
		}
		if ladderLast*load/sun*made[m] >= darkRatio*asked[m] {
			slices.Sort(off)
			return off
		}
		asked[m] = 0
		off = append(off, m)
	}
}

// Panel writes a panel's size.
func (e *NothingReaches) Panel(w float64) string {
	switch {
	case !e.Multiples:
		return units.Sprintf("%.0f W of panel", w)
	case w == 1:
		return "the measured panel"
	}
	return units.Sprintf("%.3g times the measured panel", w)
}

// Shortfall says how the best pair misses the target.
func (e *NothingReaches) Shortfall() string {
	switch missed := 100 * e.Best.UnmetFraction(); {
	case e.Dark != nil:
		return units.Sprintf("no panel up to %.0f W, %.0f times the load's energy of a year, makes the load of %s; that one makes %.2g of it, and the battery would carry the season", e.PanelW, e.Dark.Times, time.Month(e.Dark.Month+1), e.Dark.Ratio)
	case e.Best.Drains():
		return e.Panel(e.PanelW) + " cannot keep up with the load and would live off the battery's first charge"
	case e.Listed:
		return units.Sprintf("%s with %.0f Wh misses %.3g %% of the energy, with stops of up to %d h", e.Panel(e.PanelW), e.BatteryWh, missed, e.Best.Stops.LongestHours)
	default:
		return units.Sprintf("%s with %.0f Wh, a day's load, misses %.3g %% of the energy", e.Panel(e.PanelW), e.BatteryWh, missed)
	}
}

// Error says how far the best pair gets and which panel would reach the target.
func (e *NothingReaches) Error() string {
	s := fmt.Sprintf("%v: %s", ErrNothingReaches, e.Shortfall())
	if e.Dark != nil {
		s = "sun alone is no sane supply here: " + e.Shortfall()
	}
	if e.NeedPanelW > 0 {
		s += units.Sprintf("; %s with %.0f Wh would do", e.Panel(e.NeedPanelW), e.NeedPanelWh)
	}
	if e.LoadShare > 0 {
		s += units.Sprintf("; or %.0f %% of the load", 100*e.LoadShare)
	}
	return s
}

// Unwrap returns ErrNothingReaches.
func (e *NothingReaches) Unwrap() error { return ErrNothingReaches }

// mostPanels is how many times the largest panel is looked at for one that
// would reach the target, in steps of reachStep.
const (
	mostPanels = 100
	reachStep  = 1.1
)

// reaches returns what would reach a target that nothing on sale does. most is
// the largest panel looked at.
func reaches(r supply.Record, b Battery, o SizeOptions, most float64) error {
	t, n := o.Target(), Readings(!o.Once)
	e := &NothingReaches{PanelW: most, Listed: len(o.SaleWh) > 0, NeedBatteryWh: math.Inf(1)}
	if e.BatteryWh = supply.DayLoad(r); e.Listed {
		e.BatteryWh = slices.Max(o.SaleWh)
	}
	e.larger(r, b, o, t, n)
	e.Best = ConnectedRun(r, b, n, most, e.BatteryWh)
	var months []int
	for m, hours := range e.Best.Stops.ByMonth {
		if hours > 0 {
			months = append(months, m)
		}
	}
	e.StopMonths = months
	e.MonthsOff = monthsOff(r, b, t, n, e)
	e.LoadShare = loadShare(r, b, t, n, most, e.BatteryWh)
	return e
}

// ConnectedRun returns the balance of a pair from a full battery, with cut-off
// and reconnect.
func ConnectedRun(r supply.Record, b Battery, n int, panel, battery float64) Balance {
	s := newStore(r, panel, b, battery, BalanceOptions{StartCharge: 1, Connected: true})
	sweep(r, n, []carrier{s})
	return s.balance()
}

// larger finds the battery that the largest panel would need and the least panel
// that would do with a battery on sale; where any size is, the least that makes
// designRatio times the load in its worst month, as a choice without prices asks.
func (e *NothingReaches) larger(r supply.Record, b Battery, o SizeOptions, t Target, n int) {
	panels := []float64{e.PanelW}
	for w := e.PanelW * reachStep; w > 0 && w < mostPanels*e.PanelW; w *= reachStep {
		panels = append(panels, evenWatts(w))
	}
	least, _ := LeastUsable(r, panels, b, t, n)
	ratio := supply.WorstMonthRatio(r)
	any := o
	any.SaleWh = nil
	all := &Selection{r: r, b: b, o: any, t: t, n: n, Ratio: ratio, Panels: panels, cost: math.Inf(1)}
	listed := *all
	listed.o = o
	for i, w := range panels {
		if math.IsInf(least[i], 1) || i > 0 && !e.Listed && w*ratio < DesignRatio {
			continue
		}
		p := Pair{PanelW: w, BatteryWh: least[i] / b.UsableOfNominal()}
		if i == 0 {
			p.OnSaleWh = any.OnSale(p.BatteryWh)
			if st := all.leastConnected(p)[0]; st != nil && !st.balance().Drains() {
				e.NeedBatteryWh = st.nominal
			}
			continue
		}
		if p.OnSaleWh = o.OnSale(p.BatteryWh); math.IsInf(p.OnSaleWh, 1) {
			continue
		}
		if st := listed.leastConnected(p)[0]; st != nil && !st.balance().Drains() {
			e.NeedPanelW, e.NeedPanelWh = w, st.nominal
			return
		}
	}
}

// loadShare returns the largest whole percentage of the load, as a share, that
// a panel and battery carry within t. A load of share x asks of a pair what the
// whole load asks of the pair divided by x.
func loadShare(r supply.Record, b Battery, t Target, n int, panel, battery float64) float64 {
	const least = 5 // per cent
	var panels []float64
	for x := 99; x >= least; x-- {
		panels = append(panels, panel*100/float64(x))
	}
	usable, _ := LeastUsable(r, panels, b, t, n)
	for i, u := range usable {
		x := float64(99-i) / 100
		if u*x > battery*b.UsableOfNominal() {
			continue
		}
		if run := ConnectedRun(r, b, n, panel/x, battery/x); t.meets(run) && !run.Drains() {
			return x
		}
	}
	return 0
}

// monthsOff returns the months in which the load would have to stand still for
// the best pair to carry the rest: those with most stop hours, as few as do.
func monthsOff(r supply.Record, b Battery, t Target, n int, e *NothingReaches) []int {
	stops := e.Best.Stops.ByMonth
	worst := slices.Clone(e.StopMonths)
	slices.SortStableFunc(worst, func(a, b int) int { return stops[b] - stops[a] })
	rest := r
	rest.Load = slices.Clone(r.Load)
	for i, off := range worst {
		left := false
		for h := range rest.Load {
			if supply.MonthAt(r.Start, h) == off {
				rest.Load[h] = 0
			}
			left = left || rest.Load[h] > 0
		}
		if !left {
			return nil
		}
		if run := ConnectedRun(rest, b, n, e.PanelW, e.BatteryWh); t.meets(run) && !run.Drains() {
			months := worst[:i+1]
			slices.Sort(months)
			return months
		}
	}
	return nil
}
