package works

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// coldWarning tells where the seasons change the flow by more than three
// hundredths: the chosen pump at the coldest and the warmest month's water.
func (w *WaterResult) coldWarning() []data.Warning {
	system, single := w.Works.Line.(*pumps.System)
	if w.Works.Monthly == nil || !single || w.Choice.Index < 0 {
		return nil
	}
	months := w.Works.Monthly
	low, high := months[0], months[0]
	for _, t := range months {
		low, high = min(low, t), max(high, t)
	}
	pump := w.Works.Pumps[w.Choice.Index]
	var flow [2]float64
	for i, t := range []units.Temperature{low, high} {
		spec := system.Spec()
		spec.Temperature = t
		line, err := pumps.NewSystem(spec)
		if err != nil {
			return nil
		}
		d, status := pump.Duty(w.Works.Speed, line.WithDirt(w.Works.Dirt))
		if status != pumps.Meets {
			return nil
		}
		flow[i] = float64(d.Flow)
	}
	const material = 0.03
	if change := flow[1]/flow[0] - 1; math.Abs(change) > material {
		return []data.Warning{{Key: "water.temperature", Message: units.Sprintf("from water of %.0f C to %.0f C the flow changes by %.0f %%; the figures are for the year's mean",
			low.InCelsius(), high.InCelsius(), 100*change)}}
	}
	return nil
}

// ribWarning tells what a hose that is ribbed inside costs: the nearest pump on
// the same line with smooth bores, where that is a twentieth more or better.
func (w *WaterResult) ribWarning() []data.Warning {
	line, single := w.Works.Line.(*pumps.System)
	if !single || w.Choice.Nearest < 0 {
		return nil
	}
	spec := line.Spec()
	spec.Feeds = append([]pumps.Feed(nil), spec.Feeds...)
	for i := range spec.Feeds {
		spec.Feeds[i].Pitch = 0
	}
	smooth, err := pumps.NewSystem(spec)
	if err != nil {
		return nil // the ribbed one was made of the same
	}
	pump := w.Works.Pumps[w.Choice.Nearest]
	ribbed, one := pump.Duty(w.Works.Speed, line)
	better, two := pump.Duty(w.Works.Speed, smooth)
	if one != pumps.Meets || two != pumps.Meets || better.Flow < ribbed.Flow*1.05 {
		return nil
	}
	return []data.Warning{{Key: "feed", Message: units.Sprintf("the hose is ribbed inside: a smooth one of the same bore would carry %.0f %% more",
		100*(float64(better.Flow/ribbed.Flow)-1))}}
}
