package battery

import (
	"iter"
	"math"

	"sunrill/solar"
)

// saleStep is the least step of sizes that are run [Wh].
const saleStep = 10

// evenUpTo is the size [Wh] up to which those that are run lie at least saleStep apart;
// each doubling doubles the step. No target and no panel moves
// them, so that a target easier to meet never ends at a larger one.
const evenUpTo = 4000

// evenStep returns the step of sizes that are run near wh: a hundredth or less, but no
// less than saleStep.
func evenStep(wh float64) float64 {
	if wh <= evenUpTo {
		return saleStep
	}
	return saleStep * math.Pow(2, math.Ceil(math.Log2(wh/evenUpTo)-1e-9))
}

// evenWh rounds a size up to the next step.
func evenWh(wh float64) float64 {
	step := evenStep(wh)
	return math.Ceil(wh/step-1e-9) * step
}

// manySizes is how many sizes are run before it is asked where to end, which may take another
// course: more where each is run in few spells.
const manySizes, manyInSpells = 20, 500

// saleSizes yields sizes on sale from one on, rising, up to one that never reaches its
// cut-off, so that it meets any target. Those are run that are the next on sale from some
// step, wherever it begins.
func (s *selection) saleSizes(g *rung, from float64) iter.Seq[float64] {
	onSale := func(wh float64) float64 { return s.o.Shop.OnSale(g.w, wh) }
	beyond := func(wh float64) float64 { return onSale(evenWh(wh*(1+2e-9) + 1e-6)) }
	return func(yield func(float64) bool) {
		wh, most := onSale(from), math.Inf(1)
		if math.IsInf(wh, 1) {
			return
		}
		if step := evenStep(wh); onSale(math.Floor(wh/step+1e-9)*step) < wh*(1-1e-9) {
			wh = beyond(wh)
		}
		for n := 0; wh <= most && !math.IsInf(wh, 1) && yield(wh); n++ {
			if n == manyInSpells || n == manySizes && g.course != nil && !g.course.closed {
				most = onSale(evenWh(s.neverCut(g))) + saleStep
			}
			last := wh
			if wh = beyond(wh); wh <= last { // the only one
				return
			}
		}
	}
}

// buy returns the panel of g with the size on sale that costs least of those that meet
// the target with cut-off and reconnect, and its worth; false where none is worth less
// than most. A larger battery may miss more, so that each size is run, but never costs less.
func (s *selection) buy(g *rung, most float64) (c Choice, worth float64, ok bool) {
	first := s.o.Shop.OnSale(g.w, g.floor/s.b.UsableOfNominal())
	worth = most
	if s.worth(g.w, first, math.Inf(1)) >= most {
		return c, worth, false
	}
	taken := 0.0
	if least := s.first(g); !math.IsInf(least, 1) {
		taken = g.takenAtLeast(least, s.t)
	}
	for wh := range s.saleSizes(g, first) {
		if s.worth(g.w, wh, s.life(wh, taken)) >= worth {
			break
		}
		run, known := g.ran[wh]
		if !known {
			if st := g.passing(wh, s.t); st != nil {
				run = st.balance()
			}
			g.ran[wh] = run
		}
		if run.Hours == 0 {
			continue
		}
		if cost := s.worth(g.w, wh, s.life(wh, run.PerYear(run.TakenWh))); cost < worth {
			c, worth, ok = Choice{Pair: Pair{PanelW: g.w}, BoughtWh: wh, Connected: run}, cost, true
		}
	}
	if ok {
		c.price(s.b, s.o, c.BoughtWh, c.Connected)
	}
	return c, worth, ok
}

// life returns how long a battery lasts [years] of which so much is taken in a year [Wh].
func (s *selection) life(wh, taken float64) float64 {
	return s.b.Life(WattHours(wh), WattHours(taken), s.o.standing()).Years()
}

// takenAtLeast returns what is taken in a year from a store that meets a target [Wh].
func (t *trial) takenAtLeast(wh float64, target Target) float64 {
	c := t.at(wh*t.b.UsableOfNominal(), cellOf(t.b, wh).limIn)
	taken := c.taken - (target.Unmet*t.load+unmetLeast)/t.b.DischargeShare
	return max(0, taken) * solar.HoursPerYear / float64(t.r.Hours()) * (1 - 1e-9)
}

// leastConnected returns the least size on sale that meets the target with cut-off and
// reconnect, as it ran; nil: none, or the panel cannot keep up.
func (s *selection) leastConnected(g *rung) *store {
	for wh := range s.saleSizes(g, g.floor/s.b.UsableOfNominal()) {
		if st := g.passing(wh, s.t); st != nil {
			return st
		}
	}
	return nil
}

// neverCut returns a nominal size [Wh] whose cut-off is never reached, so that for it
// and all beyond it the cut-off changes nothing; four times the least where nothing
// need ever be full.
func (s *selection) neverCut(g *rung) float64 {
	least := g.floor / g.b.UsableOfNominal()
	above := (1 - max(0, g.b.left(g.b.CutOff, 1))) * g.b.UsableOfNominal()
	for wh := least; ; {
		c := g.at(wh*g.b.UsableOfNominal(), cellOf(g.b, wh).limIn)
		more := (c.deepest() + 1) / above
		if !c.closed || above <= 0 {
			t := s.t
			if t.limits != nil { // no stop at all keeps within any limit
				t.Unmet = 0
			}
			if exact := g.trial.least(t); !math.IsInf(exact, 1) {
				least = max(least, exact/g.b.UsableOfNominal())
			}
			return 4 * least
		}
		if more <= wh {
			return more
		}
		wh = more
	}
}
