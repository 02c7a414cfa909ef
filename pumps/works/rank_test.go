package works

import (
	"testing"

	"sunrill/data/figure"
	"sunrill/data/units"
)

func TestRanked(t *testing.T) {
	c := func(chance, yearly, watts float64) WaterPump {
		flows := WaterState{Flow: 1}
		out := WaterPump{Surely: figure.Known(Surely{Chance: chance}), Clean: flows, Dirty: flows, Yearly: figure.Unknown[float64]("no price"), Power: figure.Unknown[units.Power]("no watts")}
		if yearly > 0 {
			out.Yearly = figure.Known(yearly)
		}
		if watts > 0 {
			out.Power = figure.Known(units.Power(watts))
		}
		return out
	}
	runs := func(a WaterPump) WaterPump { a.Present = true; return a }
	unsound := func(a WaterPump) WaterPump { a.Dirty.Dry = []string{"bog"}; return a }
	for name, x := range map[string]struct {
		all        []WaterPump
		best, next int
	}{
		"none":                                  {nil, -1, -1},
		"surest before least watts":             {[]WaterPump{c(0.7, 300, 40), c(0.97, 390, 45)}, 1, 0},
		"least yearly cost of sure ones":        {[]WaterPump{c(0.92, 420, 40), c(0.97, 300, 45), c(1, 500, 90)}, 1, 0},
		"nearly sure and a tenth cheaper":       {[]WaterPump{c(0.86, 260, 40), c(0.97, 300, 45)}, 0, 1},
		"nearly sure and hardly cheaper":        {[]WaterPump{c(0.86, 280, 40), c(0.97, 300, 45)}, 1, 0},
		"alike in cost: the surer":              {[]WaterPump{c(0.92, 300, 40), c(0.99, 305, 45)}, 1, 0},
		"alike in all but watts":                {[]WaterPump{c(0.99, 300, 45), c(0.99, 301, 40)}, 1, 0},
		"alike in cost: the one that runs":      {[]WaterPump{c(0.99, 300, 40), runs(c(0.91, 305, 90))}, 1, 0},
		"dearer by more than a trifle":          {[]WaterPump{c(0.99, 300, 40), runs(c(1, 310, 90))}, 0, 1},
		"surer by what no count tells":          {[]WaterPump{c(0.985, 300, 40), c(0.99, 302, 45)}, 0, 1},
		"alike in all":                          {[]WaterPump{c(0.99, 300, 45), c(0.99, 300, 45)}, 0, 1},
		"a price unknown: least watts":          {[]WaterPump{c(0.92, 300, 50), c(0.97, 0, 45)}, 1, 0},
		"none sure: the cheapest probable":      {[]WaterPump{c(0.5, 10, 5), c(0.7, 300, 40), c(0.8, 400, 50)}, 1, 2},
		"none probable: the surest, never cost": {[]WaterPump{c(0.3, 10, 5), c(0.6, 300, 40), c(0, 1, 1)}, 1, 0},
		"none starts again: still the surest":   {[]WaterPump{unsound(c(0.95, 10, 5)), unsound(c(0.2, 1, 1))}, 0, 1},
		"a sound pump before a sure one":        {[]WaterPump{unsound(c(1, 10, 5)), c(0.7, 300, 40)}, 1, 0},
		"unknown watts come last":               {[]WaterPump{c(0.95, 0, 0), c(0.95, 0, 80)}, 1, 0},
	} {
		order := append(ranked(x.all), -1, -1)
		if order[0] != x.best || order[1] != x.next {
			t.Errorf("%s: %v; want %d, then %d", name, order, x.best, x.next)
		}
	}
}
