package works

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// FilterWater is what the chosen pump's clean flow does in the bed.
type FilterWater struct {
	Bed      pumps.Bed                    // zero where area and depth are not known
	Volume   units.Volume                 `json:"volume_m3"` // gravel and the water in it
	Flow     units.Flow                   `json:"flow_m3_per_h"`
	OfVolume figure.Maybe[float64]        `json:"of_pond_volume_fraction"`
	OfArea   figure.Maybe[float64]        `json:"of_pond_surface_fraction"`
	Rules    []data.FilterShare           // for the stocking, each with its basis
	RiseRate figure.Maybe[units.Velocity] `json:"rise_rate_m_per_h"`
	Contact  figure.Maybe[units.Duration] `json:"contact_time_min"` // of the empty bed
	Pore     figure.Maybe[units.Duration] `json:"pore_time_min"`    // among the stones
	Head     figure.Maybe[units.Length]   `json:"clean_bed_head_mm"`
}

const noBedArea = "the bed's area is not given: give filter.area or filter.depth"

// filter returns what the chosen pump does in the bed, unknown where the plan
// describes none. With branches it is taken as passed by all the water.
func (w *WaterResult) filter(p *plan.Plan) figure.Maybe[FilterWater] {
	f := FilterWater{Bed: bed(p), Volume: figure.OrZero(p.Filter.Volume)}
	if f.Bed.Present() {
		f.Volume = f.Bed.Volume()
	} else if p.Filter.Volume == nil {
		return figure.Unknown[FilterWater]("no filter bed is described ([filter])")
	}
	f.OfVolume = figure.Then(w.Pond, func(pond PondWater) float64 { return float64(f.Volume / pond.Volume) })
	f.OfArea = figure.Then(w.Pond, func(pond PondWater) float64 { return float64(f.Bed.Area / pond.Pond.Surface()) })
	if pond := w.Pond.Value; w.Pond.Known && !f.Bed.Present() {
		f.OfArea = figure.Unknown[float64](noBedArea)
	} else if w.Pond.Known && !pond.Surface.Known {
		f.OfArea = figure.Unknown[float64]("the pond's surface is not given")
	}
	f.Rules = data.FilterSharesOf(w.Pond.Value.Stocking)
	f.Flow = w.Pumps[w.Choice.Nearest].Clean.Flow
	flows := figure.Given(f.Flow > 0, f.Flow, "nothing flows")
	f.Contact = figure.Then(flows, func(q units.Flow) units.Duration { return units.Duration(float64(f.Volume) / float64(q)) })
	f.Pore = figure.Then(f.Contact, func(t units.Duration) units.Duration { return t * units.Duration(p.Filter.Voids) })
	if !f.Bed.Present() && flows.Known {
		flows = figure.Unknown[units.Flow](noBedArea)
	}
	f.RiseRate = figure.Then(flows, f.Bed.RiseRate)
	f.Head = figure.Then(flows, func(q units.Flow) units.Length { return f.Bed.HeadLoss(q, w.Works.Line.Water()) })
	return figure.Known(f)
}

// fastRise is the fastest rate at which roughing filters run. Source: after
// Wegelin 1996, from memory.
const fastRise = 1.5 * units.MetrePerHour

// doubtBed tells of a bed that the water rushes through, and of one that is
// shared by branches.
func (w *WaterResult) doubtBed() {
	f := w.Filter.Value
	if r := f.RiseRate; r.Known && r.Value > fastRise {
		w.warn("filter", "the water rises %.1f times as fast as in the fastest roughing filters (from memory): a bed so small lets fine "+
			"dirt through",
			float64(r.Value/fastRise))
	}
	if w.Works.Line.Branched() && w.Filter.Known {
		head := units.Text("its head")
		if f.Head.Known {
			head += units.Say(", {%.2g mm} when clean,", f.Head.Value.In(units.Millimetre))
		}
		w.warn("filter", "there are branches and one bed: all the water is taken to pass it, and %s is left out", head)
	}
}

// ReturnWater is how high the tank stands to send a pump's clean flow back
// through the return, and with nothing on the screen.
type ReturnWater struct {
	Flow      units.Flow                 `json:"flow_m3_per_h"` // at least that much where the pump runs off its curve
	Clear     units.Length               `json:"clear_level_mm"`
	Level     units.Length               `json:"level_mm"` // with leaves on the screen
	Blocked   figure.Maybe[float64]      `json:"screen_blocked_fraction"`
	Fill      figure.Maybe[float64]      `json:"depth_in_pipe_fraction"` // depth in the mouth over the bore
	Freeboard figure.Maybe[units.Length] `json:"freeboard_left_mm"`
	Spills    bool                       `json:"spills"`
	// Margin is how many times this flow the return takes before the tank
	// spills with leaves on the screen.
	Margin figure.Maybe[float64] `json:"spill_flow_over_flow"`
	Remedy string                // where it spills
	Leaves pumps.ReturnLevel
}

// What is taken where the plan leaves the return open.
const (
	// ReturnMouthK is the entrance loss of a flush, sharp mouth, as in the table of fittings.
	ReturnMouthK = 0.5
	// returnLong makes a pipe so long that its far end has no say.
	returnLong = 100 * units.Metre
	// mostReturned is how far the flow that spills is looked for.
	mostReturned = 1000 * units.CubicMetrePerHour
)

// NoReturn is the reason where the plan describes no return.
const NoReturn = "no return is described ([return])"

const noFreeboard = "the freeboard is not given (return.freeboard)"

func returnSpec(p *plan.Plan) (pumps.Return, bool) {
	in := p.Return
	r := pumps.Return{Bore: figure.OrZero(in.Bore), Length: returnLong, Fall: in.Fall, Manning: in.ManningN, EntranceK: ReturnMouthK,
		Freeboard: figure.OrZero(in.Freeboard), ScreenArea: figure.OrZero(in.ScreenArea), Blocked: in.Blocked,
		LipWidth: figure.OrZero(in.LipWidth)}
	if in.Length != nil {
		r.Length = *in.Length
	}
	if in.Pipe != "" {
		row, err := data.PipeNamed(in.Pipe)
		if err != nil {
			return r, false // the plan's check refused it
		}
		r.Bore = row.Bore
	}
	return r, r.Bore > 0 || r.LipWidth > 0
}

// returnOf returns what a pump's clean flow asks of the return.
func (w *WaterResult) returnOf(p *plan.Plan, clean WaterState) figure.Maybe[ReturnWater] {
	spec, ok := returnSpec(p)
	switch {
	case !ok:
		return figure.Unknown[ReturnWater](NoReturn)
	case clean.Flow <= 0:
		return figure.Unknown[ReturnWater]("nothing flows: " + clean.Why)
	}
	leaves, bare := spec.Level(clean.Flow), spec
	bare.Blocked = 0
	r := ReturnWater{Flow: clean.Flow, Clear: bare.Level(clean.Flow).Level, Level: leaves.Level,
		Blocked:   figure.Given(spec.ScreenArea > 0, spec.Blocked, "the return has no screen"),
		Freeboard: figure.Given(spec.Freeboard > 0, leaves.Freeboard, noFreeboard),
		Spills:    leaves.Spills, Remedy: spec.Remedy(leaves), Leaves: leaves}
	r.Fill = figure.Given(spec.Bore > 0, float64(leaves.Depth/spec.Bore), "the return is a lip, not a pipe")
	r.Margin = figure.Then(w.spill, func(q units.Flow) float64 { return float64(q / r.Flow) })
	return figure.Known(r)
}

// spillOf returns the flow at which the tank spills, whatever pump runs.
func spillOf(p *plan.Plan) figure.Maybe[units.Flow] {
	spec, ok := returnSpec(p)
	if !ok || spec.Freeboard == 0 {
		return figure.Unknown[units.Flow](noFreeboard)
	}
	at, spills := spec.SpillsAt(mostReturned)
	return figure.Given(spills, at, "more than {1000 m³/h}")
}

// doubtTank lists what was taken of the return without being told, and doubts about it
// with the chosen pump.
func (w *WaterResult) doubtTank(p *plan.Plan) {
	spec, ok := returnSpec(p)
	if !ok {
		return
	}
	if spec.ScreenArea > 0 && !p.Given("return.blocked") {
		w.assume(figure.Assumed{Key: "return.blocked", Kind: units.KindShare, Value: spec.Blocked,
			Why: "share of the screen that leaves close", Source: commonPractice})
	}
	pipe := spec.LipWidth == 0
	if pipe && !p.Given("return.fall") {
		w.assume(figure.Assumed{Key: "return.fall", Kind: units.KindShare, Value: spec.Fall, Why: "1 cm a metre", Source: commonPractice})
	}
	if pipe && p.Return.Length == nil {
		w.assume(figure.Assumed{Key: "return.length", Text: "long",
			Why: "not given: the pipe is taken to be so long that its far end does not help", Source: commonPractice})
	}
	if r := w.Pumps[w.Choice.Nearest].Return; r.Known {
		w.Warnings = append(w.Warnings, r.Value.Leaves.Warnings...)
		if m := r.Value.Margin; m.Known && m.Value >= 1 && m.Value < 2 {
			w.warn("return", "the return takes %.1f times this flow before the tank spills; twice is the usual margin for leaves and rain "+
				"(common practice, no source)", m.Value)
		}
		if !r.Value.Blocked.Known {
			w.warn("return.screen_area", "no screen is described, so leaves in it are not reckoned with; without one they end in the pipe")
		}
	}
	widest := units.Length(0)
	for _, f := range w.Works.Line.Feeds() {
		widest = max(widest, f.Bore)
	}
	if pipe && spec.Bore <= widest { // a caution and never an error: the level above the invert decides
		w.warn("return.bore", "the return ({%.0f mm}) is no wider than the feed ({%.0f mm}): the pump drives the feed with a tall head "+
			"of water, the return has only the little that the tank can rise, so the same flow needs a much wider pipe",
			spec.Bore.In(units.Millimetre), widest.In(units.Millimetre))
	}
}
