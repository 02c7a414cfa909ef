package energy

import (
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// OffGridWater is what a pump moves on the battery with the line dirty, in its
// worst running month. A DC pump that follows its voltage runs at what battery
// and cable leave it, which may be less or more than its curve's speed.
type OffGridWater struct {
	Speed  figure.Maybe[float64]    `json:"speed_fraction"` // the fastest it really runs, a share of the curve's
	Drop   float64                  // the share of the voltage lost in the cable at Speed
	Flow   figure.Maybe[units.Flow] `json:"flow_m3_per_h"`
	PerDay units.Volume             `json:"flow_m3_per_day"`
	works.Verdict
}

// Faster reports whether the battery's voltage runs the pump above its rated speed.
func (w OffGridWater) Faster() bool { return w.Speed.Known && w.Speed.Value > 1 }

// offGridOf returns the water of a year on the battery.
func offGridOf(w *works.WaterResult, dirty supply.YearLoad) OffGridWater {
	out := OffGridWater{Speed: figure.Unknown[float64](noSpeed), Flow: figure.Unknown[units.Flow](noSpeed),
		PerDay: units.Volume(math.Inf(1))}
	for _, d := range dirty.Draws {
		if d.Speed > out.Speed.Value {
			out.Speed, out.Drop, out.Flow = figure.Known(d.Speed), d.Drop(), figure.Known(d.Duty.Flow)
		}
	}
	for m := time.January; m <= time.December; m++ {
		if dirty.RunningMonths.Has(m) {
			out.PerDay = min(out.PerDay, dirty.WaterPerDay[m-1])
		}
	}
	if math.IsInf(float64(out.PerDay), 1) {
		out.PerDay = 0
	}
	out.Verdict = works.Judge(w.Pond, out.PerDay, noWater)
	return out
}

// noSpeed is the reason where a pump has no one speed.
const noSpeed = "it follows the sun"

// noWater is the reason where there is no turnover off the grid.
const noWater = "no water flows"

// cableDoubt warns of a given cable to pump i that loses more than is usual.
func (s *Storage) cableDoubt(p *plan.Plan, i int, load *PumpLoad) {
	c := p.Cable
	if c.Run == nil || c.Area == nil {
		return
	}
	var worst supply.Draw
	var asked float64 // the speed at which it is worst
	for _, year := range []supply.YearLoad{load.Clean, load.Dirty} {
		for speed, d := range year.Draws {
			if d.Drop() > worst.Drop() || d.Drop() == worst.Drop() && speed > asked {
				worst, asked = d, speed
			}
		}
	}
	if worst.Drop() <= data.UsualDrop {
		return
	}
	text := units.Say("{%.3g m} of %.3g mm2 lose %.0f %% of the voltage on the way to the pump, over the %.0f %% that is usual "+
		"(common practice, no source)",
		float64(*c.Run), c.Area.In(units.SquareMillimetre), 100*worst.Drop(), 100*data.UsualDrop)
	way := onBattery(p, i)
	if worst.Speed < way.Motor.Lossless(asked, way.Feed())*(1-1e-6) {
		text += units.Say("; the pump runs at %.0f %% of its curve's speed for it", 100*worst.Speed)
		if load.OffGrid.Misses() {
			text += " and misses the goal on the battery"
		}
	}
	// With the current where the cable loses nothing: a thin one starves the pump and
	// so carries less.
	if least, err := supply.LeastConductor(supply.FixedWiring(), load.Full.Current, *c.Run, way.Feed()); err != nil {
		text += "; " + units.Text(err.Error())
	} else if load.Full.Current > 0 {
		text += units.Say("; %g mm2 keeps within it", least.Area.In(units.SquareMillimetre))
	}
	s.warn("cable.area", "%s", text)
}

// fullDraw returns the draw of pump i with the largest current in its cable if that lost
// nothing, at full speed too, which the dial may be turned to: cable and fuse carry that.
func fullDraw(p *plan.Plan, w *works.WaterResult, i int) (most supply.Draw) {
	bare := *p
	bare.Cable.Run = nil
	for _, line := range []*pumps.System{w.Works.Line, w.Works.Dirty()} {
		chain, err := batteryChain(&bare, i, w.Works.Pumps[i], line, supply.Air{})
		if err != nil {
			return supply.Draw{}
		}
		speeds := []float64{1}
		for _, h := range w.Schedule.Hours() {
			speeds = append(speeds, h.Speed)
		}
		for _, speed := range speeds {
			if d, err := chain.At(speed); err == nil && d.Current > most.Current {
				most = d
			}
		}
	}
	return most
}
