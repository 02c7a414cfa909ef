package battery

import (
	"math"

	"sunrill/data/cores"
	"sunrill/energy/supply"
)

// Spread is how one choice fares in other weather of the same climate: one
// entry for each record, in their order.
type Spread struct {
	LeastWh []float64 // least nominal battery for the chosen panel; +Inf: none
	BuyWh   []float64 // the size that would be bought there for that panel; +Inf: none
	Bought  []Balance // of the size bought, with cut-off and reconnect: what is asked and missed
	Misses  int       // records in which that misses the target
}

// SpreadOf runs a choice through n other records, such as those of five seeds, as many
// at a time as there are cores: years take some megabytes. The records are as for Size.
func SpreadOf(n int, record func(i int) supply.Record, b Battery, o SizeOptions, c Choice) Spread {
	o.Panels = []float64{c.PanelW}
	s := Spread{make([]float64, n), make([]float64, n), make([]Balance, n), 0}
	cores.Each(n, func(i int) {
		one := newSelection(record(i), b, o)
		one.measure(0)
		g := &one.rungs[0]
		s.LeastWh[i], s.BuyWh[i] = g.trial.least(one.t)/b.UsableOfNominal(), math.Inf(1)
		if st := one.leastConnected(g); st != nil {
			s.BuyWh[i] = st.nominal
		}
		s.Bought[i] = g.run(c.BoughtWh, true).balance()
	})
	for _, run := range s.Bought {
		if !o.Target(run.Hours).meets(run) {
			s.Misses++
		}
	}
	return s
}
