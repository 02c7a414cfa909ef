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

// answerAt is the answer with one input moved, against the answer as it is.
type answerAt struct {
	flow   units.Flow
	volume units.Volume
	load   float64 // over the load as it is
	sun    float64 // over the sun as it is
	store  float64 // over the battery's use of its size as it is
}

// influences moves each uncertain input through its range. Panel and battery
// follow from the load and the sun without a new search, since all of them
// scale together; sizes on sale are left out.
func (j *job) influences() error {
	i := j.base()
	if i < 0 || j.water.Pumps[i].Dirty.Flow <= 0 {
		return nil
	}
	p := j.water.Pumps[i]
	base := answerAt{flow: p.Dirty.Flow, load: 1, sun: 1, store: 1}
	if j.water.Pond.Known {
		base.volume = j.water.Pond.Value.Pond.Volume()
	}
	add := func(key, name string, span units.Text, low, high answerAt) {
		f := Influence{Key: key, Name: name, Range: span}
		for k, a := range []answerAt{low, high} {
			j.answer(&f, k, a, base)
		}
		j.out.Influences = append(j.out.Influences, f)
	}
	moved := func(change func(*answerAt, float64), low, high float64) (answerAt, answerAt) {
		a, b := base, base
		change(&a, low)
		change(&b, high)
		return a, b
	}
	j.lineInfluences(i, base, add)
	if r := p.Dirty.Run; r.Low.LeastFlow() > 0 && r.High.LeastFlow() > 0 {
		a, b := base, base
		a.flow, b.flow = r.Low.LeastFlow(), r.High.LeastFlow()
		a.load, b.load = j.loadAt(p, a.flow), j.loadAt(p, b.flow)
		add("pump.flow_tolerance", "pump's curve",
			units.Say("±%.0f %% in flow or %.0f %% in head", 100*p.Spec.FlowTolerance, 100*p.Spec.HeadTolerance), a, b)
	}
	if p.Power.Known {
		a, b := moved(func(x *answerAt, e float64) { x.load *= 1 + e }, -wattsError, wattsError)
		add("pump.metered_power", "pump's watts", units.Say("±%.0f %%", 100*wattsError), a, b)
	}
	if base.volume > 0 {
		if low, high := j.water.Pond.Value.Pond.Range(); high > low {
			a, b := base, base
			a.volume, b.volume = low, high
			add("pond.volume_error", "pond's volume", units.Say("±%.0f %%", 100*float64((high-low)/(2*base.volume))), a, b)
		}
	}
	if j.out.DayAndNight().Known {
		e := j.light.Climate.YearError
		if e <= 0 {
			e = worstSunErr
		}
		a, b := moved(func(x *answerAt, e float64) { x.sun *= 1 + e }, -e, e)
		add("site.climate", "sun of the site", units.Say("±%.0f %%", 100*e), a, b)
		if s := j.store; s != nil && s.Battery.EndOfLifeShare > 0 && s.Battery.EndOfLifeShare < 1 {
			fresh := base
			fresh.store = 1 / s.Battery.EndOfLifeShare
			add("battery.end_of_life", "battery's age", "new to worn out", fresh, base)
		}
	}
	sort.SliceStable(j.out.Influences, func(a, b int) bool { return j.out.Influences[a].Weight > j.out.Influences[b].Weight })
	return nil
}

// loadAt returns the pump's watts at a flow, over those as it is when dirty.
func (j *job) loadAt(p works.WaterPump, q units.Flow) float64 {
	speed := j.water.Works.Speed
	at, now := p.Pump.Power(q, speed), p.Pump.Power(p.Dirty.Flow, speed)
	if now <= 0 {
		return 1
	}
	return float64(at / now)
}

// lineInfluences are those of a single line: lift, pipe and dirt.
func (j *job) lineInfluences(i int, base answerAt, add func(key, name string, span units.Text, low, high answerAt)) {
	line := j.water.Works.Line
	if line.Branched() {
		return
	}
	p, fitted := j.water.Pumps[i], j.water.Works
	on := func(v Variant) answerAt {
		a := base
		w, err := j.water.With(v.of(j.plan), j.place, i, v.line)
		if err != nil {
			return a
		}
		s := w.Pumps[i].Dirty
		if a.flow = s.Flow; s.Run.Status == pumps.Meets {
			a.load = j.loadAt(p, a.flow)
		}
		return a
	}
	lift := func(by units.Length) answerAt {
		return on(Variant{Set: func(p *plan.Plan) {
			h := max(0, *p.Lift.StaticHead+by)
			p.Lift.StaticHead = &h
		}})
	}
	add("lift.static_head", "lift", units.Say("{±%.0f cm}", 100*liftError), lift(-liftError), lift(liftError))
	losses := func(by float64) answerAt { // no key scales pipe and fittings together
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
	var ends [2]answerAt
	var lost [2]float64
	for k, share := range works.DoubtedLosses(fitted.DirtLoss) {
		ends[k] = on(Variant{line: func(w *works.Waterworks) { w.Dirt = w.DirtOf(share) }})
		lost[k] = 100 * works.LostOf(p.Clean.Flow, ends[k].flow)
	}
	add("upkeep.flow_loss_when_dirty", "dirt before cleaning", units.Say("%.3g to %.3g %% of the flow", lost[0], lost[1]), ends[0], ends[1])
}

// answer fills in end k of f.
func (j *job) answer(f *Influence, k int, a, base answerAt) {
	weigh := func(x, y float64) {
		if y != 0 {
			f.Weight = math.Max(f.Weight, math.Abs(x/y-1))
		}
	}
	f.Flow[k] = figure.Known(a.flow)
	weigh(float64(a.flow), float64(base.flow))
	switch {
	case base.volume <= 0:
		f.Turnover[k] = figure.Unknown[units.Duration](j.water.Pond.Why)
	case a.flow <= 0:
		f.Turnover[k] = figure.Unknown[units.Duration]("nothing flows")
	default:
		// The plan's own hours scale the turnover as it is.
		t := units.Duration(float64(a.volume) / float64(a.flow))
		if now := j.water.Pumps[j.base()].Dirty.Turnover; now.Known {
			t = now.Value * units.Duration(float64(a.volume/base.volume)*float64(base.flow)/float64(a.flow))
		}
		f.Turnover[k] = figure.Known(t)
		weigh(float64(a.volume)/float64(a.flow), float64(base.volume)/float64(base.flow))
	}
	d := j.out.DayAndNight()
	f.PanelW[k] = figure.Then(d, func(d DayAndNight) float64 { return d.Front.Chosen.PanelW * a.load / a.sun })
	f.BatteryWh[k] = figure.Then(d, func(d DayAndNight) float64 { return d.Front.Chosen.BatteryWh * a.load / a.store })
	if d.Known {
		weigh(a.load/a.sun, 1)
		weigh(a.load/a.store, 1)
	}
}
