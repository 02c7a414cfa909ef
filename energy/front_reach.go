package energy

import (
	"math"

	"sunrill/solar"
)

// mostPanels is how many times the largest panel is looked at for one that
// would reach the target, in steps of reachStep.
const (
	mostPanels = 100
	reachStep  = 1.1
)

// reaches returns what would reach a target that nothing on sale does. most is
// the largest panel looked at.
func reaches(r Record, b Battery, o SizeOptions, t target, n int, most float64) error {
	largest := math.Inf(1)
	for _, s := range o.SaleWh {
		if math.IsInf(largest, 1) || s > largest {
			largest = s
		}
	}
	e := &NothingReaches{PanelW: most, BatteryWh: largest}
	panels := []float64{most}
	for w := most; w > 0 && w < mostPanels*most; w *= reachStep {
		panels = append(panels, w*reachStep)
	}
	least, _ := leastUsable(r, panels, b, t, n)
	e.NeedBatteryWh = least[0] / b.usableShare()
	for i, usable := range least {
		if usable/b.usableShare() <= largest && !math.IsInf(usable, 1) {
			if i > 0 {
				e.NeedPanelW = evenWatts(panels[i])
			}
			break
		}
	}
	if math.IsInf(largest, 1) { // sizes without end: judge the panel on a day's load
		e.BatteryWh = dayLoad(r)
	}
	s := newStore(r, most, b, e.BatteryWh, BalanceOptions{StartCharge: 1, Connected: true})
	sweep(r, n, []carrier{s})
	e.Best = s.balance()
	for m, hours := range e.Best.Stops.ByMonth {
		if hours > 0 {
			e.StopMonths = append(e.StopMonths, m)
		}
	}
	e.LoadShare = loadShare(r, b, t, n, most, e.BatteryWh)
	return e
}

func dayLoad(r Record) float64 {
	sum := 0.0
	for _, l := range r.Load {
		sum += l
	}
	return sum / float64(r.Hours()) * hoursPerDay
}

// loadShare returns the largest whole percentage of the load, as a share, that
// a panel and battery carry within t. A load of share x asks of a pair what the
// whole load asks of the pair divided by x.
func loadShare(r Record, b Battery, t target, n int, panel, battery float64) float64 {
	const least = 5 // per cent
	var panels []float64
	for x := 99; x >= least; x-- {
		panels = append(panels, panel*100/float64(x))
	}
	usable, _ := leastUsable(r, panels, b, t, n)
	for i, u := range usable {
		x := float64(99-i) / 100
		if u*x <= battery*b.usableShare() {
			return x
		}
	}
	return 0
}

// stopMonth returns the calendar month, 0 to 11, of hour i of a record.
func stopMonth(start, i int) int { return solar.MonthOf((start + i) / hoursPerDay % 365) }
