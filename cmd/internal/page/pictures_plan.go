package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
)

// tradeoffPicture shows turnovers a day against energy a day for every way to
// run the water that can be done, with the goal.
func tradeoffPicture(r *energy.Outcome) (document.Picture, bool) {
	p := document.Picture{Key: "tradeoff", Chart: document.Chart{
		X: document.Axis{Key: "kwh_per_day", Label: "energy", Unit: document.KWhPerDay},
		Y: document.Axis{Key: "turnovers_per_day", Label: "turnovers a day", Unit: document.None},
	}}
	slower := document.Series{As: document.AsLine, Ink: document.InkWater}
	met := document.Series{As: document.AsPoints, Ink: document.InkBlack, Mark: document.Dot}
	missed := document.Series{As: document.AsPoints, Ink: document.InkQuiet, Mark: document.Ring}
	var full, least *energy.Strategy
	for i := range r.Tradeoff {
		s := &r.Tradeoff[i]
		if !s.Possible() || !s.Turnovers.Known || !s.Energy.Known {
			continue
		}
		x, y := s.Energy.Value.KilowattHours(), s.Turnovers.Value
		series := &missed
		if s.Meets() {
			series = &met
			if least == nil || s.Energy.Value < least.Energy.Value {
				least = s
			}
		}
		series.X, series.Y = append(series.X, x), append(series.Y, y)
		series.Labels = append(series.Labels, strings.TrimSuffix(s.Name, " pump"))
		if s.Kind == energy.FullSpeed {
			full = s
		}
		if s.Kind == energy.FullSpeed || s.Kind == energy.Slower {
			slower.X, slower.Y = append(slower.X, x), append(slower.Y, y)
		}
	}
	if full == nil || len(met.X)+len(missed.X) < 2 {
		return p, false
	}
	if len(slower.X) > 1 {
		p.Chart.Series = append(p.Chart.Series, slower)
	}
	for _, s := range []document.Series{missed, met} {
		if len(s.X) > 0 {
			p.Chart.Series = append(p.Chart.Series, s)
		}
	}
	if goal := r.Water.Pond.Value.Goal.Value; goal > 0 {
		p.Chart.Rules = []document.Rule{{Name: "goal", At: float64(units.Day / goal), Ink: document.InkAlarm}}
	}
	p.Title = tradeoffTitle(least, full)
	p.Alt = document.Sentence("Turnovers a day against energy a day, a point for each way to run the water: %v filled, which meet the goal, %v hollow, which miss it. Full speed takes %v.",
		len(met.X), len(missed.X), document.KWhPerDay.Of(full.Energy.Value.KilowattHours()))
	return p, true
}

// tradeoffTitle states the way of least energy that meets the goal, nil for none.
func tradeoffTitle(least, full *energy.Strategy) document.Prose {
	switch {
	case least == nil:
		return document.Sentence("No way of running the water meets the goal")
	case least.Kind == energy.FullSpeed:
		return document.Sentence("Full speed is the least that meets the goal")
	}
	return document.Sentence("%v meets the goal on %v of the energy", least.Name, round(document.Fraction, float64(least.Energy.Value/full.Energy.Value)))
}
