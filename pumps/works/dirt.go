package works

import (
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// loss sets the share of flow that is lost before a cleaning: the plan's, else
// that of its log, else the assumed one.
func (w *Waterworks) loss(p *plan.Plan, logged figure.Maybe[float64]) {
	const key = "upkeep.flow_loss_when_dirty"
	w.DirtLoss = p.Upkeep.FlowLossWhenDirty
	switch {
	case p.Given(key):
	case logged.Known:
		w.DirtLoss = logged.Value
		const tenth = 1000 // of a per cent: more digits than a bucket tells
		w.assume(figure.Assumed{Key: key, Kind: units.KindShare, Value: math.Round(w.DirtLoss*tenth) / tenth,
			Why: "as the log has it: the most that was lost between one cleaning and the next", Source: "the plan's own log"})
	default:
		w.DirtAssumed = true
		if logged.Why != "" {
			w.warn("upkeep.log", "%s", logged.Why+", so that the loss before cleaning stays assumed")
		}
		w.assume(figure.Assumed{Key: key, Kind: units.KindShare, Value: w.DirtLoss,
			Why: "nobody measured it; a bucket and a stopwatch before cleaning tell", Source: commonPractice})
	}
}

// fitDirt fits the dirt: a loss that somebody saw on the pump on which it was
// seen, an assumed one on none in particular.
func (w *Waterworks) fitDirt(p *plan.Plan) {
	if w.DirtAssumed {
		w.assumeDirt()
		return
	}
	for _, i := range w.reference(p) {
		if f := w.fitOn(i, w.DirtLoss); f.on != "" {
			w.use(f)
			return
		}
	}
}

// assumeDirt fits the assumed share of flow on w's line: it is assumed of any line.
func (w *Waterworks) assumeDirt() { w.use(w.leastDirt(w.DirtLoss)) }

// Dirt that nobody measured may be half of what is assumed or half as much
// again; common practice, no source. No share may be above what a plan may state.
const (
	dirtSpread = 0.5
	mostDirt   = 0.9
)

// DoubtedLosses returns the ends between which an assumed loss may lie.
func DoubtedLosses(share float64) [2]float64 {
	return [2]float64{(1 - dirtSpread) * share, math.Min(mostDirt, (1+dirtSpread)*share)}
}

// DirtOf returns the dirt that another share of flow would mean, fitted as the
// plan's was.
func (w *Waterworks) DirtOf(share float64) pumps.Dirt {
	if w.DirtAssumed {
		return w.leastDirt(share).Dirt
	}
	on := slices.IndexFunc(w.Pumps, func(pump pumps.Pump) bool { return pump.Name() == w.DirtOn })
	if on < 0 {
		return pumps.Dirt{}
	}
	return w.fitOn(on, share).Dirt
}

type dirtFit struct {
	Dirt     pumps.Dirt
	on       string
	warnings []data.Warning
}

func (w *Waterworks) use(f dirtFit) {
	w.Dirt, w.DirtOn = f.Dirt, f.on
	w.Warnings = append(w.Warnings, f.warnings...)
}

// fitOn returns the dirt that costs pump i share of its flow; none where the pump
// has no point to lose from.
func (w *Waterworks) fitOn(i int, share float64) dirtFit {
	pump := w.Pumps[i]
	dirt, warnings, fits := pumps.FitDirt(pump.Curve(1), w.Line, share)
	if !fits {
		return dirtFit{}
	}
	return dirtFit{dirt, pump.Name(), warnings}
}

// leastDirt returns the least dirt that costs any pump of the plan share of its
// flow, so that none loses more.
//
// An assumed share of flow is little dirt to a pump with a flat curve and metres
// of head to one with a steep curve. Nobody saw it, so neither which pump runs
// today nor which is chosen may decide; and the least is that of the pump whose
// flow depends most on the line, which says most about it.
func (w *Waterworks) leastDirt(share float64) dirtFit {
	var least dirtFit
	for i := range w.Pumps {
		f := w.fitOn(i, share)
		// A curve that rises below its duty point asks for no dirt at all to give
		// less: that says nothing about the others.
		none := least.Dirt.Resistance == 0
		if f.on != "" && (least.on == "" || f.Dirt.Resistance > 0 && (none || f.Dirt.Resistance < least.Dirt.Resistance)) {
			least = f
		}
	}
	return least
}

// leastDirts returns the resistances that leastDirt finds for shares of flow above 0.
func (w *Waterworks) leastDirts(shares []float64) []float64 {
	least := make([]float64, len(shares))
	for _, pump := range w.Pumps {
		c := pump.Curve(1)
		clean := pumps.Operate(c, w.Line).LeastFlow()
		for k, share := range shares {
			d, err := pumps.DirtAt(c, w.Line, units.Flow(1-share)*clean)
			if err == nil && d.Resistance > 0 && (least[k] == 0 || d.Resistance < least[k]) {
				least[k] = d.Resistance
			}
		}
	}
	return least
}

// DirtPoint is what the dirt takes from the pump on which it was fitted.
type DirtPoint struct {
	Flow units.Flow   // of the pump on which it was fitted, dirty and at full speed
	Head units.Length // that the dirt takes at Flow
	Each bool         // Flow is that of each of several lines
}

// DirtPoint returns what the dirt takes where it was fitted, false where there
// is none.
func (w *Waterworks) DirtPoint() (DirtPoint, bool) {
	for _, pump := range w.Pumps {
		if pump.Name() != w.DirtOn || w.Dirt.Resistance <= 0 {
			continue
		}
		q := units.Flow(1-w.DirtLoss) * pumps.Operate(pump.Curve(1), w.Line).LeastFlow()
		return DirtPoint{Flow: q, Head: units.Length(w.Dirt.Resistance * float64(q*q)), Each: pump.Lines() > 1}, true
	}
	return DirtPoint{}, false
}

// reference returns the pumps to try a stated or logged loss on, the best first:
// the present one, the plan's choice, the one that would be chosen, and the others.
func (w *Waterworks) reference(p *plan.Plan) (order []int) {
	own := w.ownReference()
	rank := func(i int) int {
		switch in := p.Pumps[i]; {
		case in.Present:
			return 0
		case in.Name == p.Choice.Pump:
			return 1
		case i == own:
			return 2
		}
		return 3
	}
	for i := range w.Pumps {
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return rank(a) - rank(b) })
	w.DirtGuessed = len(order) > 1 && rank(order[0]) > 1
	return order
}

// ownReference returns the pump to fit the dirt on where neither a present nor a chosen
// one is named: the one that is then chosen itself, as the one of least power that meets
// the goal; -1 for none. The order of the pumps in the plan has no say.
func (w *Waterworks) ownReference() int {
	goal := w.Pond.Value.GoalFlow
	best, bestWatts := -1, math.Inf(1)
	for i := range w.Pumps {
		f := w.fitOn(i, w.DirtLoss)
		smallest, least := -1, math.Inf(1)
		for k, pump := range w.Pumps {
			flow := leastFlow(pump, w.Speed, w.Line.WithDirt(f.Dirt))
			watts := float64(pump.Power(flow, w.Speed))
			if watts == 0 {
				watts = unknownWatts + float64(flow)
			}
			if goal.Known && flow >= goal.Value && watts < least {
				smallest, least = k, watts
			}
		}
		if f.on != "" && smallest == i && least < bestWatts {
			best, bestWatts = i, least
		}
	}
	return best
}
