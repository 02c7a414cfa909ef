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
	BatteryWh float64 // of a day's load, as it is on sale
	Best      Balance // of that pair, with cut-off and reconnect

	NeedPanelW  float64 // the panel that would be chosen if it were not given; 0: none
	NeedPanelWh float64 // with this battery
	LoadShare   float64 // largest share of the load that the best pair carries; 0: hardly any
	StopMonths  []int   // months, 0 to 11, in which the best pair stops
	MonthsOff   []int   // months, 0 to 11, without which it carries the load; nil: none
	Dark        *Dark   // where it is the rule for a choice that no panel meets
}

// Dark says that no panel of the built-in ladder makes as much as the load takes
// in its worst month, so that the battery would have to carry a season.
type Dark struct {
	Month int     // 0 to 11, the worst
	Ratio float64 // what the largest panel makes over the load in it
	Times float64 // the largest panel's energy of a year over the load's
}

// dark returns that no panel makes enough, with the months to stand still in.
func (s *selection) dark() error {
	most := s.panels[len(s.panels)-1]
	made, asked := supply.Judged(s.r)
	e := &NothingReaches{PanelW: most, BatteryWh: supply.DayLoad(s.r), Dark: &Dark{Times: ladderLast}}
	e.Dark.Month = supply.WorstMonth(made, asked)
	e.Dark.Ratio = most * made[e.Dark.Month] / asked[e.Dark.Month]
	e.MonthsOff = DarkOff(made, asked)
	e.runBest(s)
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
		return units.Sprintf("no panel up to %.0f W, %.0f times the load's energy of a year, makes the load of %s; that one "+
			"makes %.2g of it, and the battery would carry the season", e.PanelW, e.Dark.Times, time.Month(e.Dark.Month+1), e.Dark.Ratio)
	case e.Best.Drains():
		return e.Panel(e.PanelW) + " cannot keep up with the load and would live off the battery's first charge"
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

// reaches returns what would reach a target that nothing on sale does. most is
// the largest panel looked at.
func (s *selection) reaches(most float64) error {
	e := &NothingReaches{PanelW: most, BatteryWh: s.o.Shop.OnSale(most, supply.DayLoad(s.r))}
	if math.IsInf(e.BatteryWh, 1) {
		e.BatteryWh = s.o.Shop.OnlyWh.Value
	}
	e.free(s)
	e.runBest(s)
	e.MonthsOff = s.monthsOff(e)
	e.LoadShare = s.loadShare(e)
	return e
}

// ConnectedRun returns the balance of a pair from a full battery, with cut-off
// and reconnect, over the second of two readings.
func ConnectedRun(r supply.Record, b Battery, panel, battery float64) Balance {
	return newLoaded(r, b, nil).trial(panel).whole(battery, true).balance()
}

// runBest runs the pair that comes nearest.
func (e *NothingReaches) runBest(s *selection) {
	e.Best = s.trial(e.PanelW).whole(e.BatteryWh, true).balance()
	for m, hours := range e.Best.Stops.ByMonth {
		if hours > 0 {
			e.StopMonths = append(e.StopMonths, m)
		}
	}
}

// free finds the pair that would be chosen if no panel were given.
func (e *NothingReaches) free(s *selection) {
	if len(s.o.Panels) == 0 {
		return
	}
	o := s.o
	o.Panels = nil
	if f := newSelection(s.r, s.b, o); !f.tooDark() && f.closely() {
		e.NeedPanelW, e.NeedPanelWh = f.best.PanelW, f.best.BoughtWh
	}
}

// loadShare returns the largest whole percentage of the load, as a share, that
// the best pair carries. A load of share x asks of a pair what the whole load asks
// of the pair divided by x.
func (s *selection) loadShare(e *NothingReaches) float64 {
	const least = 5 // per cent
	for percent := 99; percent >= least; percent-- {
		x := float64(percent) / 100
		t := s.trial(e.PanelW / x)
		if t.least(s.t)*x > e.BatteryWh*s.b.UsableOfNominal() {
			continue
		}
		if run := t.run(e.BatteryWh/x, true).balance(); s.t.meets(run) && !run.Drains() {
			return x
		}
	}
	return 0
}

// monthsOff returns the months in which the load would have to stand still for
// the best pair to carry the rest: those with most stop hours, as few as do.
func (s *selection) monthsOff(e *NothingReaches) []int {
	stops := e.Best.Stops.ByMonth
	worst := slices.Clone(e.StopMonths)
	slices.SortStableFunc(worst, func(a, b int) int { return stops[b] - stops[a] })
	rest := s.r
	rest.Load = slices.Clone(rest.Load)
	for i, off := range worst {
		left := false
		for h := range rest.Load {
			if supply.MonthAt(rest.Start, h) == off {
				rest.Load[h] = 0
			}
			left = left || rest.Load[h] > 0
		}
		if !left {
			return nil
		}
		if run := newLoaded(rest, s.b, s.limits).trial(e.PanelW).run(e.BatteryWh, true).balance(); s.t.meets(run) && !run.Drains() {
			months := worst[:i+1]
			slices.Sort(months)
			return months
		}
	}
	return nil
}
