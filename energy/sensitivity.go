package energy

import (
	"math"
	"slices"
	"sort"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// Influence is what one uncertain input does to the answer when it is moved
// through its range: the chosen pump, or the nearest, with the line dirty.
type Influence struct {
	Key       string                          `json:"key"` // of the plan
	Name      string                          `json:"input"`
	Range     units.Text                      `json:"range"` // in words
	Flow      [2]figure.Maybe[units.Flow]     `json:"flow_m3_per_h"`
	Turnover  [2]figure.Maybe[units.Duration] `json:"turnover_h"`
	PanelW    [2]figure.Maybe[float64]        `json:"panel_w"` // before rounding to sizes on sale
	BatteryWh [2]figure.Maybe[float64]        `json:"battery_wh"`
	Weight    float64                         `json:"-"` // the largest change of any figure, as a share
}

// Ranges that stand for what nobody said. Common practice, no source, but for
// the watts: +9 % after ISO 9906:2012 grade 3B, from memory.
const (
	liftError   = 0.05 // m, of a tape held over water
	lossError   = 0.2  // of pipe and fittings
	wattsError  = 0.09
	worstSunErr = 0.10 // where the climate does not say
)

// moved is the answer with one input moved: by how much, as a share of what it is.
type moved struct{ flow, volume, load, sun, store float64 }

// influences moves each uncertain input through its range. Panel and battery
// follow from the load and the sun without a new search, since all of them
// scale together; sizes on sale are left out.
func (j *job) influences() error {
	i := j.base()
	if i < 0 || j.water.Pumps[i].Dirty.Flow <= 0 {
		return nil
	}
	p := j.water.Pumps[i]
	add := func(key, name string, span units.Text, low, high moved) {
		f := Influence{Key: key, Name: name, Range: span}
		j.answer(&f, 0, low)
		j.answer(&f, 1, high)
		j.out.Influences = append(j.out.Influences, f)
	}
	j.lineInfluences(p, add)
	if r := p.Dirty.Run; r.Low.LeastFlow() > 0 && r.High.LeastFlow() > 0 {
		add("pump.flow_tolerance", "pump's curve",
			units.Say("±%.0f %% in flow or %.0f %% in head", 100*p.Spec.FlowTolerance, 100*p.Spec.HeadTolerance),
			j.flowing(p, r.Low.LeastFlow()), j.flowing(p, r.High.LeastFlow()))
	}
	if p.Power.Known {
		add("pump.metered_power", "pump's watts", units.Say("±%.0f %%", 100*wattsError), moved{load: -wattsError}, moved{load: wattsError})
	}
	if pond := j.water.Pond; pond.Known {
		v := pond.Value.Pond.Volume()
		if low, high := pond.Value.Pond.Range(); high > low {
			add("pond.volume_error", "pond's volume", units.Say("±%.0f %%", 100*float64((high-low)/(2*v))),
				moved{volume: float64(low/v) - 1}, moved{volume: float64(high/v) - 1})
		}
	}
	if j.out.DayAndNight().Known {
		e := j.light.Climate.YearError
		if e <= 0 {
			e = worstSunErr
		}
		add("site.climate", "sun of the site", units.Say("±%.0f %%", 100*e), moved{sun: -e}, moved{sun: e})
		if left := j.store.Battery.EndOfLifeShare; left > 0 && left < 1 {
			add("battery.end_of_life", "battery's age", "new to worn out", moved{store: 1/left - 1}, moved{})
		}
	}
	sort.SliceStable(j.out.Influences, func(a, b int) bool { return j.out.Influences[a].Weight > j.out.Influences[b].Weight })
	return nil
}

// flowing returns what a pump comes to at another flow.
func (j *job) flowing(p works.WaterPump, q units.Flow) moved {
	m, speed := moved{flow: float64(q/p.Dirty.Flow) - 1}, j.water.Works.Speed
	if now := p.Pump.Power(p.Dirty.Flow, speed); now > 0 {
		m.load = float64(p.Pump.Power(q, speed)/now) - 1
	}
	return m
}

// lineInfluences are those of a single line: lift, pipe and dirt.
func (j *job) lineInfluences(p works.WaterPump, add func(key, name string, span units.Text, low, high moved)) {
	fitted := j.water.Works
	line := fitted.Line
	if line.Branched() {
		return
	}
	on := func(v Variant) moved {
		w, err := j.water.With(v.of(j.plan), j.place, j.base(), v.line)
		if err != nil {
			return moved{}
		}
		m := j.flowing(p, w.Pumps[j.base()].Dirty.Flow)
		if w.Pumps[j.base()].Dirty.Run.Status != pumps.Meets {
			m.load = 0
		}
		return m
	}
	lift := func(by units.Length) moved {
		return on(Variant{Set: func(p *plan.Plan) {
			h := max(0, *p.Lift.StaticHead+by)
			p.Lift.StaticHead = &h
		}})
	}
	add("lift.static_head", "lift", units.Say("{±%.0f cm}", 100*liftError), lift(-liftError), lift(liftError))
	losses := func(by float64) moved { // no key scales pipe and fittings together
		return on(Variant{line: func(w *works.Waterworks) {
			spec := line.Spec()
			spec.Feeds = slices.Clone(spec.Feeds)
			for k, f := range spec.Feeds {
				spec.Feeds[k].Length *= units.Length(by)
				spec.Feeds[k].Loss = pumps.Loss{K: f.Loss.K * by, K1: f.Loss.K1 * by, KInf: f.Loss.KInf * by}
			}
			w.Line = pumps.NewSystem(spec)
		}})
	}
	add("feed", "losses in the hose", units.Say("±%.0f %%", 100*lossError), losses(1-lossError), losses(1+lossError))
	if fitted.DirtLoss <= 0 || fitted.Dirt.Resistance <= 0 {
		return
	}
	var ends [2]moved
	var lost [2]float64
	for k, share := range works.DoubtedLosses(fitted.DirtLoss) {
		ends[k] = on(Variant{line: func(w *works.Waterworks) { w.Dirt = w.DirtOf(share) }})
		lost[k] = 100 * works.LostOf(p.Clean.Flow, p.Dirty.Flow*units.Flow(1+ends[k].flow))
	}
	add("upkeep.flow_loss_when_dirty", "dirt before cleaning", units.Say("%.3g to %.3g %% of the flow", lost[0], lost[1]), ends[0], ends[1])
}

// answer fills in end k of f, where the plan's own hours scale the turnover as it is.
func (j *job) answer(f *Influence, k int, m moved) {
	dirty, pond := &j.water.Pumps[j.base()].Dirty, j.water.Pond
	longer := (1 + m.volume) / (1 + m.flow)
	f.Flow[k] = figure.Known(dirty.Flow * units.Flow(1+m.flow))
	switch {
	case !pond.Known:
		f.Turnover[k] = figure.Unknown[units.Duration](pond.Why)
	case m.flow <= -1:
		f.Turnover[k] = figure.Unknown[units.Duration]("nothing flows")
	case dirty.Turnover.Known:
		f.Turnover[k] = figure.Known(dirty.Turnover.Value * units.Duration(longer))
	default:
		f.Turnover[k] = figure.Known(units.Duration(float64(pond.Value.Pond.Volume()) / float64(dirty.Flow) * longer))
	}
	f.Weight = max(f.Weight, math.Abs(m.flow))
	if f.Turnover[k].Known {
		f.Weight = max(f.Weight, math.Abs(longer-1))
	}
	d := j.out.DayAndNight()
	panel, store := (1+m.load)/(1+m.sun), (1+m.load)/(1+m.store)
	f.PanelW[k] = figure.Then(d, func(d DayAndNight) float64 { return d.Front.Chosen.PanelW * panel })
	f.BatteryWh[k] = figure.Then(d, func(d DayAndNight) float64 { return d.Front.Chosen.BatteryWh * store })
	if d.Known {
		f.Weight = max(f.Weight, math.Abs(panel-1), math.Abs(store-1))
	}
}
