package works

import (
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// FilterWater is what the chosen pump's clean flow does in the bed.
type FilterWater struct {
	Bed      pumps.Bed    // zero where area and depth are not known
	Volume   units.Volume // gravel and the water in it
	Flow     units.Flow   // taken here
	OfVolume figure.Maybe[float64]
	OfArea   figure.Maybe[float64]
	Rules    []data.FilterShare // for the stocking, each with its basis
	RiseRate figure.Maybe[units.Velocity]
	Contact  figure.Maybe[units.Duration] // empty-bed contact time
	Pore     figure.Maybe[units.Duration] // among the stones
	Head     figure.Maybe[units.Length]   // lost in the clean bed
}

// noBedArea is the reason where a bed's volume alone is known.
const noBedArea = "the bed's area is not given: give filter.area or filter.depth"

// filter returns what the chosen pump does in the bed, unknown where the plan
// describes none. With branches it is taken as passed by all the water.
func (w *WaterResult) filter(p *plan.Plan) figure.Maybe[FilterWater] {
	f := FilterWater{Bed: bed(p)}
	switch {
	case f.Bed.Present():
		f.Volume = f.Bed.Volume()
	case p.Filter.Volume != nil:
		f.Volume = *p.Filter.Volume
	default:
		return figure.Unknown[FilterWater]("no filter bed is described ([filter])")
	}
	f.OfVolume, f.OfArea = figure.Unknown[float64](w.Pond.Why), figure.Unknown[float64](w.Pond.Why)
	if w.Pond.Known {
		pond := w.Pond.Value
		f.OfVolume = figure.Known(float64(f.Volume / pond.Pond.Volume()))
		f.Rules = data.FilterSharesOf(pond.Stocking)
		switch {
		case !f.Bed.Present():
			f.OfArea = figure.Unknown[float64](noBedArea)
		case !pond.Pond.SurfaceKnown():
			f.OfArea = figure.Unknown[float64]("the pond's surface is not given")
		default:
			f.OfArea = figure.Known(f.Bed.Share(pond.Pond).OfArea)
		}
	}
	still := "nothing flows"
	if i := w.Choice.Nearest; i >= 0 {
		f.Flow = w.Pumps[i].Clean.Flow
	}
	f.RiseRate, f.Head = figure.Unknown[units.Velocity](still), figure.Unknown[units.Length](still)
	f.Contact, f.Pore = figure.Unknown[units.Duration](still), figure.Unknown[units.Duration](still)
	if f.Flow <= 0 {
		return figure.Known(f)
	}
	f.Contact = figure.Known(units.Duration(float64(f.Volume) / float64(f.Flow)))
	f.Pore = figure.Known(f.Contact.Value * units.Duration(p.Filter.Voids))
	f.RiseRate, f.Head = figure.Unknown[units.Velocity](noBedArea), figure.Unknown[units.Length](noBedArea)
	if f.Bed.Present() {
		f.RiseRate = figure.Known(f.Bed.RiseRate(f.Flow))
		f.Head = figure.Known(f.Bed.HeadLoss(f.Flow, WaterIn(w.Works.Line)))
	}
	return figure.Known(f)
}

// SlowRise and FastRise span the rates at which roughing filters run. Source: after
// Wegelin 1996, from memory.
const (
	SlowRise = 0.3 * units.MetrePerHour
	FastRise = 1.5 * units.MetrePerHour
)

// bedWarning tells of a bed that the water rushes through, and of one that is
// shared by branches.
func (w *WaterResult) bedWarning() []data.Warning {
	var all []data.Warning
	if !w.Filter.Known {
		return nil
	}
	f := w.Filter.Value
	if r := f.RiseRate; r.Known && r.Value > FastRise {
		all = append(all, data.Warning{Key: "filter", Message: units.Sprintf(
			"the water rises %.1f times as fast as in the fastest roughing filters (from memory): a bed so small lets fine dirt through", float64(r.Value/FastRise))})
	}
	if _, branched := w.Works.Line.(*pumps.Network); branched {
		head := "its head"
		if f.Head.Known {
			head += units.Sprintf(", %.2g mm when clean,", f.Head.Value.In(units.Millimetre))
		}
		all = append(all, data.Warning{Key: "filter", Message: "there are branches and one bed: all the water is taken to pass it, and " + head + " is left out"})
	}
	return all
}

// ReturnWater is how high the tank stands to send a pump's clean flow back
// through the return.
type ReturnWater struct {
	Flow    units.Flow // taken here; at least that much where the pump runs off its curve
	Leaves  pumps.ReturnLevel
	Clear   pumps.ReturnLevel // with nothing on the screen
	Blocked float64           // share of the screen that leaves close in Leaves
	Screen  bool              // whether there is a screen
	Fill    float64           // depth in the mouth over the bore
	// Freeboard is what is left to the rim with leaves on the screen.
	Freeboard figure.Maybe[units.Length]
	// Margin is how many times this flow the return takes before the tank
	// spills with leaves on the screen.
	Margin figure.Maybe[float64]
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

// returnSpec returns the plan's return, false where there is none.
func returnSpec(p *plan.Plan) (pumps.Return, bool) {
	in := p.Return
	r := pumps.Return{Bore: figure.OrZero(in.Bore), Length: returnLong, Fall: in.Fall, Manning: in.ManningN, EntranceK: ReturnMouthK,
		Freeboard: figure.OrZero(in.Freeboard), ScreenArea: figure.OrZero(in.ScreenArea), Blocked: in.Blocked}
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
	return r, r.Bore > 0
}

// returnOf returns what a pump's clean flow asks of the return.
func (w *WaterResult) returnOf(p *plan.Plan, clean WaterState) (figure.Maybe[ReturnWater], error) {
	spec, ok := returnSpec(p)
	switch {
	case !ok:
		return figure.Unknown[ReturnWater](NoReturn), nil
	case clean.Flow <= 0:
		return figure.Unknown[ReturnWater]("nothing flows: " + clean.Why), nil
	}
	r := ReturnWater{Flow: clean.Flow, Blocked: spec.Blocked, Screen: spec.ScreenArea > 0}
	var err error
	if r.Leaves, err = spec.Level(r.Flow); err != nil {
		return figure.Maybe[ReturnWater]{}, err
	}
	r.Fill = float64(r.Leaves.Depth / spec.Bore)
	clear := spec
	clear.Blocked = 0
	if r.Clear, err = clear.Level(r.Flow); err != nil {
		return figure.Maybe[ReturnWater]{}, err
	}
	r.Freeboard, r.Margin = figure.Unknown[units.Length](noFreeboard), figure.Unknown[float64](noFreeboard)
	if spec.Freeboard > 0 {
		r.Freeboard = figure.Known(r.Leaves.Freeboard)
		spill, err := w.spillsAt(spec)
		if err != nil {
			return figure.Maybe[ReturnWater]{}, err
		}
		if r.Margin = figure.Unknown[float64](spill.Why); spill.Known {
			r.Margin = figure.Known(float64(spill.Value / r.Flow))
		}
	}
	return figure.Known(r), nil
}

const noFreeboard = "the freeboard is not given (return.freeboard)"

// spillsAt returns the flow at which the tank spills. It is that of the return
// alone, so it is looked for once.
func (w *WaterResult) spillsAt(r pumps.Return) (figure.Maybe[units.Flow], error) {
	if w.spill.Known || w.spill.Why != "" {
		return w.spill, nil
	}
	spills := func(q units.Flow) (bool, error) {
		l, err := r.Level(q)
		return l.Spills, err
	}
	low, high := units.Flow(0), mostReturned
	if s, err := spills(high); err != nil || !s {
		w.spill = figure.Unknown[units.Flow]("more than 1000 m³/h")
		return w.spill, err
	}
	for high-low > 1e-7*high {
		mid := (low + high) / 2
		s, err := spills(mid)
		if err != nil {
			return figure.Maybe[units.Flow]{}, err
		}
		if s {
			high = mid
		} else {
			low = mid
		}
	}
	w.spill = figure.Known(low)
	return w.spill, nil
}

// returnAssumed lists what was taken of the return without being told.
func (w *WaterResult) returnAssumed(p *plan.Plan) []figure.Assumed {
	spec, ok := returnSpec(p)
	if !ok {
		return nil
	}
	var all []figure.Assumed
	add := func(key string, kind units.Kind, value float64, text, why string) {
		if !p.Given(key) {
			all = append(all, figure.Assumed{Key: key, Kind: kind, Value: value, Text: text, Why: why, Source: "common practice, no source"})
		}
	}
	if spec.ScreenArea > 0 {
		add("return.blocked", units.KindShare, spec.Blocked, "", "share of the screen that leaves close")
	}
	add("return.fall", units.KindShare, spec.Fall, "", "1 cm a metre")
	if p.Return.Length == nil {
		add("return.length", 0, 0, "long", "not given: the pipe is taken to be so long that its far end does not help")
	}
	return all
}

// tankWarnings returns the doubts about filter and return with the chosen pump.
func (w *WaterResult) tankWarnings(p *plan.Plan) []data.Warning {
	var all []data.Warning
	spec, ok := returnSpec(p)
	if !ok || w.Choice.Nearest < 0 {
		return nil
	}
	if r := w.Pumps[w.Choice.Nearest].Return; r.Known {
		all = append(all, r.Value.Leaves.Warnings...)
		if m := r.Value.Margin; m.Known && m.Value >= 1 && m.Value < 2 {
			all = append(all, data.Warning{Key: "return", Message: units.Sprintf("the return takes %.1f times this flow before the tank spills; twice is the usual margin for leaves and rain (common practice, no source)", m.Value)})
		}
		if !r.Value.Screen {
			all = append(all, data.Warning{Key: "return.screen_area", Message: "no screen is described, so leaves in it are not reckoned with; without one they end in the pipe"})
		}
	}
	if c, is := pumps.ReturnCaution(w.widestFeed(), spec); is {
		all = append(all, c)
	}
	return all
}

// widestFeed returns the widest bore between pump and filter.
func (w *WaterResult) widestFeed() units.Length {
	widest := 0.0
	for _, f := range w.Feeds() {
		widest = math.Max(widest, float64(f.Bore))
	}
	return units.Length(widest)
}

// Feeds returns every piece of pipe of the line.
func (w *WaterResult) Feeds() []pumps.Feed {
	switch c := w.Works.Line.(type) {
	case *pumps.System:
		return c.Spec().Feeds
	case *pumps.Network:
		feeds := append([]pumps.Feed(nil), c.Spec().Trunk...)
		for _, b := range c.Spec().Branches {
			feeds = append(feeds, b.Feeds...)
		}
		return feeds
	}
	return nil
}
