package battery

import (
	"fmt"
	"slices"

	"sunrill/data/figure"
	"sunrill/energy/supply"
)

// PatientStop is the stop [h] for which it is said what a longer one would spare.
const PatientStop = 24

// worthWaiting is the share of the cost up to which that is said.
const worthWaiting = 0.85

// near leaves few panels, those about as large as w: enough to say what would do,
// if not what would do best.
func (s *Selection) near(w float64) {
	const factor, most = 1.7, 3
	panels := slices.DeleteFunc(s.Panels, func(v float64) bool { return v > factor*w || v < w/factor })
	if step := (len(panels) + most - 1) / most; step > 1 {
		var kept []float64
		for i := len(panels) - 1; i >= 0; i -= step {
			kept = append(kept, panels[i])
		}
		slices.Reverse(kept)
		panels = kept
	}
	s.lookAt(panels)
}

// Patient returns what would be bought instead of c if it might stand still for
// PatientStop; unknown where that is no longer than the limit, or spares little.
func Patient(r supply.Record, b Battery, o SizeOptions, c Choice) figure.Maybe[Choice] {
	if t := o.LongestStop; !t.Known || t.Value >= PatientStop {
		return figure.Unknown[Choice](fmt.Sprintf("stops of %d h are allowed as it is", PatientStop))
	}
	o.LongestStop = figure.Known(PatientStop)
	s := NewSelection(r, b, o)
	if s.TooDark() || s.dim() {
		return figure.Unknown[Choice]("no panel makes enough in the worst month")
	}
	s.near(c.PanelW)
	if !s.Sparsely() || s.cost > worthWaiting*s.Worth(c.PanelW, c.BoughtWh, c.Life.Years()) {
		return figure.Unknown[Choice](fmt.Sprintf("stops of %d h would spare little", PatientStop))
	}
	return figure.Known(s.Best)
}
