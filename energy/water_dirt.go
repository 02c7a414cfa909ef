package energy

import (
	"errors"
	"math"

	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// loss sets the share of flow that is lost before a cleaning: the plan's, else
// that of its log, else the assumed one.
func (w *Waterworks) loss(p *data.Plan, logged Maybe[float64]) {
	const key = "upkeep.flow_loss_when_dirty"
	w.DirtLoss = p.Upkeep.FlowLossWhenDirty
	switch {
	case p.Given(key):
	case logged.Known:
		w.DirtLoss = logged.Value
		const tenth = 1000 // of a per cent: more digits than a bucket tells
		w.Assumed = append(w.Assumed, Assumed{Key: key, Kind: units.KindShare, Value: math.Round(w.DirtLoss*tenth) / tenth,
			Why: "as the log has it: the most that was lost between one cleaning and the next", Source: "the plan's own log"})
	default:
		if logged.Why != "" {
			w.Warnings = append(w.Warnings, data.Warning{Key: "upkeep.log", Message: logged.Why + ", so that the loss before cleaning stays assumed"})
		}
		w.Assumed = append(w.Assumed, Assumed{Key: key, Kind: units.KindShare, Value: w.DirtLoss,
			Why: "nobody measured it; a bucket and a stopwatch before cleaning tell", Source: "common practice, no source"})
	}
}

// fitDirt fits the dirt on the reference pump.
func (w *Waterworks) fitDirt(p *data.Plan) error {
	for _, i := range w.reference(p) {
		pump := w.Pumps[i]
		dirt, warnings, err := pumps.FitDirt(pump.Curve(1), w.Line, w.DirtLoss)
		switch {
		case errors.Is(err, pumps.ErrNoOperatingPoint), errors.Is(err, pumps.ErrOutsideCurve):
			continue
		case err != nil:
			return err
		}
		w.Dirt, w.DirtOn = dirt, pump.Name()
		w.Warnings = append(w.Warnings, warnings...)
		break
	}
	return nil
}

// reference returns the pumps to try the dirt on, the best first: the present
// one, the plan's choice, the one that would be chosen, and the others.
func (w *Waterworks) reference(p *data.Plan) []int {
	var first, rest []int
	for i, in := range p.Pumps {
		if in.Present {
			first = append([]int{i}, first...)
		} else if in.Name == p.Choice.Pump {
			first = append(first, i)
		} else {
			rest = append(rest, i)
		}
	}
	if len(first) == 0 && len(rest) > 1 {
		w.DirtGuessed = true
		if i, ok := w.ownReference(); ok {
			first = []int{i}
		}
	}
	return append(first, rest...)
}

// ownReference returns the pump to fit the dirt on where neither a present nor
// a chosen one is named: the one that is then chosen itself, as the smallest
// that meets the goal. The order of the pumps in the plan has no say, but
// where no pump is its own choice.
func (w *Waterworks) ownReference() (int, bool) {
	if w.Pond == nil || w.Goal == 0 || len(w.Pumps) < 2 {
		return 0, false
	}
	best, found, other, some := 0, false, 0, false
	var bestPower units.Power
	for i, pump := range w.Pumps {
		dirt, _, err := pumps.FitDirt(pump.Curve(1), w.Line, w.DirtLoss)
		if err != nil {
			continue
		}
		dirty := make([]pumps.Run, len(w.Pumps))
		for k, p := range w.Pumps {
			if dirty[k], err = p.Run(w.Speed, pumps.Soil(w.Line, dirt)); err != nil {
				return 0, false
			}
		}
		j, ok := pumps.Smallest(dirty, w.Pond, w.Goal)
		switch {
		case ok && j == i && (!found || dirty[i].LeastPower() < bestPower):
			best, bestPower, found = i, dirty[i].LeastPower(), true
		case ok && !some:
			other, some = i, true
		}
	}
	if !found {
		return other, some
	}
	return best, true
}
