package energy

import (
	"fmt"

	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Slips of the tape and of the label that a plan's own figures show. Common
// practice, no source.
const (
	muchLift     = 0.7  // of a pump's largest head: little is left for the hose
	leastPumping = 0.02 // wire to water at its best: even tiny pumps reach more
)

// slipWarnings names what new plans most often get wrong, where the figures
// make it likely: a lift measured from the pump, a length in the wrong unit,
// and energy of a day given as watts.
func (w *Water) slipWarnings(p *data.Plan) []data.Warning {
	var all []data.Warning
	warn := func(key, format string, args ...any) {
		all = append(all, data.Warning{Key: key, Message: fmt.Sprintf(format, args...)})
	}
	length := func(v units.Length) string { return units.Format(units.KindLength, float64(v)) }
	lift := w.Works.Line.Lift()
	highest := units.Length(0)
	for i, pump := range w.Works.Pumps {
		c := pump.Curve(1)
		if h, ok := c.ShutOff(); ok {
			highest = max(highest, h)
		}
		best, draw := 0.0, 0.0
		for tenth := 1; tenth <= 10; tenth++ {
			q := c.Last() * units.Flow(tenth) / 10
			h, err := c.Head(q)
			if moved := float64(pumps.HydraulicPower(q, h, WaterIn(w.Works.Line))); err == nil && moved > best {
				best, draw = moved, float64(pump.Power(q, 1))
			}
		}
		if draw > 0 && best < leastPumping*draw {
			warn(fmt.Sprintf("pump.%d", i+1), "%s would draw %.4g W to move water that takes %.2g W at most: are its watts those of any moment, and not Wh of a day?", pump.Name(), draw, best)
		}
	}
	if lift < highest && float64(lift) > muchLift*float64(highest) {
		warn("lift.static_head", "%s is %.0f %% of the largest head of any pump: make sure that it was measured from the pond's surface, never from the pump", length(lift), 100*float64(lift/highest))
	}
	total := units.Length(0)
	for _, f := range p.Feeds {
		total += known(f.Length)
	}
	if len(p.Feeds) > 0 && len(p.Branches) == 0 && total < lift {
		warn("feed.length", "%s of hose cannot reach up the lift of %s: check both, and their units", length(total), length(lift))
	}
	return all
}
