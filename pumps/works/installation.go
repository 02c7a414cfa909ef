package works

import (
	"errors"
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Waterworks is the water part of a plan, ready to run: the pumps on offer, the
// line that each of them would feed, and the pond where the plan describes it.
type Waterworks struct {
	Pumps    []pumps.Pump
	Line     *pumps.System
	Speed    float64 // share of the curves' speed outside the hour bands
	Dirt     pumps.Dirt
	DirtOn   string // name of the pump on which the dirt was fitted, "" where none could carry it
	DirtLoss float64
	// DirtAssumed is set where nobody stated or logged the loss.
	DirtAssumed bool
	Fitted      bool // the line is fitted to a flow that was measured
	// DirtGuessed is set where nothing in a plan of several pumps says on which
	// of them the stated loss was seen.
	DirtGuessed bool
	Water       units.Temperature
	Monthly     *[12]units.Temperature // of the water, where it is known by month
	Pond        figure.Maybe[PondWater]
	Notes
	Doubts []data.Warning // those of Warnings that turn the whole answer

	beside pumps.Dirt // what a measured flow tells of the clean line beside its formulas
}

// Notes are what an answer assumes and what is doubtful about it.
type Notes struct {
	Assumed  []figure.Assumed
	Warnings data.Doubts
	Sources  []string // of the methods, and of the rows of tables, that were used
}

func (n *Notes) warn(key, format string, args ...any) {
	n.Warnings.Say(key, format, args...)
}

func (n *Notes) assume(a ...figure.Assumed) { n.Assumed = append(n.Assumed, a...) }

// commonPractice is the source of what has none.
const commonPractice = "common practice, no source"

// NewWaterworks composes what p says of pumps, lift, feeds, bed, water and
// pond. curves holds the curve of each pump, without rows for one that has only
// a label; place is what is known of the surroundings. The error joins every
// fault.
//
// Dirt is one resistance, fitted once so that the reference pump loses the
// share of flow that the plan or its log states: the present pump, else the
// chosen one, else the one that would be chosen, else the first that has a duty
// point. Where the share is only assumed no pump is the reference: it is the
// least resistance that costs any of them that share.
func NewWaterworks(p *plan.Plan, curves []data.CurveRows, place Surroundings) (*Waterworks, error) {
	w := &Waterworks{Speed: p.Run.Speed}
	w.temperature(p, place)
	w.loss(p, place.Logged.Loss)
	var faults []error
	var err error
	if w.Pond, err = NewPondWater(p); err != nil {
		faults = append(faults, err)
	}
	w.assume(w.Pond.Value.Assumed...)
	if w.Line, err = w.line(p, place); err != nil {
		return nil, errors.Join(append(faults, Placed(p, err))...)
	}
	for i, in := range p.Pumps {
		pump, err := pumps.NewPump(pumpSpec(in, curves[i].Rows))
		if err != nil {
			faults = append(faults, ofPump(in.Name, curves[i], err))
			continue
		}
		if pump.PowerSource() == pumps.MeteredPower && in.MeteredFlow == nil {
			pump = pump.MeteredOn(w.Line)
		}
		w.Pumps = append(w.Pumps, pump)
		if !in.RatedContinuous {
			w.warn("pump.rated_continuous", "%s is not rated for continuous running: its motor may overheat and its life is not known "+
				"when it runs day and night", in.Name)
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	if err := errors.Join(w.impossible(p)...); err != nil {
		return nil, err
	}
	if err := w.measured(p, place.Logged.Clean); err != nil {
		return nil, err
	}
	w.assumeTolerance(p)
	w.slips(p, curves)
	if w.DirtOn == "" { // else measured
		w.fitDirt(p)
	}
	return w, nil
}

// assumeTolerance lists the curves' tolerance where a plan leaves it to the
// default.
func (w *Waterworks) assumeTolerance(p *plan.Plan) {
	assume := func(key string, why units.Text, share func(plan.Pump) float64) {
		for i, in := range p.Pumps {
			if !w.Pumps[i].LabelOnly() && !p.Given(fmt.Sprintf("pump.%d.%s", i+1, key)) {
				w.assume(figure.Assumed{Key: "pump." + key, Kind: units.KindShare, Value: share(in), Why: why,
					Source: "ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW; from memory"})
				return
			}
		}
	}
	assume("flow_tolerance", "how far a pump may lie from its curve in flow", func(in plan.Pump) float64 { return in.FlowTolerance })
	assume("head_tolerance", "how far it may lie from it in head; the worse of flow and head makes the range",
		func(in plan.Pump) float64 { return in.HeadTolerance })
}

// Placed puts the faults of err where the plan has the key that they name.
func Placed(p *plan.Plan, err error) error { return data.Changed(err, p.Placed) }

// ofPump names the pump and its curve file in every fault of err, with the line
// of the point at fault or of the first. Rows and points are both in order of flow.
func ofPump(name string, c data.CurveRows, err error) error {
	return data.Changed(err, func(f *data.Error) *data.Error {
		point := 1
		_, _ = fmt.Sscanf(f.Key, "point %d:", &point) // else of the whole curve
		if point <= len(c.Rows) {
			f.Line, f.Column = c.Rows[point-1].Line, 1
		}
		f.File, f.Key = c.File, name+": "+f.Key
		return f
	})
}

// assumedTemperature [C] is taken where neither a temperature nor a site is given.
// Between 5 and 25 C the flow of a small pump on a smooth hose moves by about
// three hundredths.
const assumedTemperature = 15

// temperature sets the water's: as given by month, else the air's means but
// not below 0 C, else the assumed one. The flow is that of the mean.
func (w *Waterworks) temperature(p *plan.Plan, place Surroundings) {
	w.Monthly = p.Water.Temperature
	mean, why := float64(assumedTemperature), units.Text("no temperature given")
	switch {
	case w.Monthly == nil && place.Air == nil:
		if place.Why != "" {
			why += ", and " + place.Why
		}
		why += "; colder water is thicker and flows a little less"
	case w.Monthly == nil:
		months := *place.Air
		for m, t := range months {
			months[m] = max(t, units.Celsius(0))
		}
		w.Monthly, why = &months, "the year's mean of the air, no month below freezing"
	}
	if w.Monthly != nil {
		mean = 0
		for _, t := range w.Monthly {
			mean += t.InCelsius()
		}
		mean /= 12
	}
	w.Water = units.Celsius(mean)
	if p.Water.Temperature == nil {
		w.assume(figure.Assumed{Key: "water.temperature", Kind: units.KindTemperature, Source: commonPractice,
			Value: float64(units.Celsius(math.Round(10*mean) / 10)), Why: why})
	}
}

func pumpSpec(in plan.Pump, rows []data.CurveRow) pumps.PumpSpec {
	spec := pumps.PumpSpec{Name: in.Name, Count: in.Count, OwnLines: in.OwnLines,
		Label:   pumps.Label{Flow: figure.OrZero(in.LabelFlow), Head: figure.OrZero(in.LabelHead), Power: figure.OrZero(in.LabelPower)},
		Metered: figure.OrZero(in.MeteredPower), MeteredAt: figure.OrZero(in.MeteredFlow), Fixed: figure.OrZero(in.FixedWatts),
		Tolerance: pumps.Tolerance{Flow: in.FlowTolerance, Head: in.HeadTolerance}}
	for _, r := range rows {
		spec.Points = append(spec.Points, pumps.Point{Flow: r.Flow, Head: r.Head, Power: r.Power})
	}
	return spec
}

// Dirty returns the line as it is before cleaning.
func (w *Waterworks) Dirty() *pumps.System { return w.Line.WithDirt(w.Dirt) }

// Surroundings is what the place adds where a plan does not say it itself.
// The zero value is an unknown place.
type Surroundings struct {
	Air         *[12]units.Temperature // means of the months
	Evaporation *[12]units.Velocity    // depth lost in a second, by month
	Altitude    *units.Length          // of the ground, nil where not known
	Why         units.Text             // why one of them is missing

	Flows bool // nothing is asked but what flows: no other hose or pump, and no stop

	// Logged is what the plan's log says of the line, if it names one.
	Logged Logged

	// Yearly returns what a pump costs a year, all told; nil where nobody asks.
	Yearly func(p *WaterPump) figure.Maybe[float64]
	// Pays reports whether a swap of pump from for pump to pays; nil where nobody asks.
	Pays func(from, to int, pumps []WaterPump) bool
}

// yearly returns what p costs a year, unknown where nobody asks.
func (s Surroundings) yearly(p *WaterPump) figure.Maybe[float64] {
	if s.Yearly == nil {
		return figure.Unknown[float64]("what it costs a year is not known")
	}
	return s.Yearly(p)
}
