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
	Line     pumps.Circuit // a *pumps.System, or a *pumps.Network of branches
	Speed    float64       // share of the curves' speed outside the hour bands
	Dirt     pumps.Dirt
	DirtOn   string // name of the pump on which the dirt was fitted, "" where none could carry it
	DirtLoss float64
	// DirtAssumed is set where nobody stated or logged the loss.
	DirtAssumed bool
	// DirtGuessed is set where nothing in a plan of several pumps says on which
	// of them the stated loss was seen.
	DirtGuessed bool
	Water       units.Temperature
	Pond        *pumps.Pond    // nil where the plan does not say how much water there is
	Goal        units.Duration // longest time for one turnover, 0 where nothing sets it
	Assumed     []figure.Assumed
	Warnings    []data.Warning
	Doubts      []data.Warning // those of Warnings that turn the whole answer
	Sources     []string       // of the rows of tables that were used

	pondWater figure.Maybe[PondWater]
	families  []string               // of each of the line's feeds, "" where the table has no such pipe
	Monthly   *[12]units.Temperature // of the water, where it is known by month
}

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
	w.Temperature(p, place)
	w.loss(p, place.Loss)
	faults := []error{Placed(p, w.pond(p))}
	line, err := w.line(p, place)
	if err != nil {
		return nil, errors.Join(append(faults, Placed(p, err))...)
	}
	w.Line = line
	for i, in := range p.Pumps {
		pump, err := pumps.NewPump(pumpSpec(in, curves[i].Rows))
		if err != nil {
			faults = append(faults, ofPump(in.Name, curves[i], err))
			continue
		}
		if pump.PowerSource() == pumps.MeteredPower && in.MeteredFlow == nil {
			pump = pump.MeteredOn(line)
		}
		w.Pumps = append(w.Pumps, pump)
		if caution, is := pumps.RatingCaution(in.Name, in.RatedContinuous); is {
			w.Warnings = append(w.Warnings, caution)
		}
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	if err := errors.Join(w.impossible(p)...); err != nil {
		return nil, err
	}
	w.assumeTolerance(p)
	w.slips(p)
	return w, w.fitDirt(p)
}

// goalFlow returns the mean flow that the goal asks for; the pond and the goal
// must be known.
func (w *Waterworks) goalFlow() units.Flow {
	return units.Flow(float64(w.Pond.Volume()) / float64(w.Goal))
}

// GoalPoint is what a pump must do to meet the goal before cleaning.
type GoalPoint struct {
	Goal units.Flow   // what has to flow before cleaning
	Flow units.Flow   // at which the curve has to reach Head
	Head units.Length // that the line asks for at Flow
	Dirt units.Length // of it, for the dirt; 0 where Flow leaves room for it
}

// GoalPoint returns the point that a pump's curve has to pass above to meet the
// goal day and night before cleaning, false where goal or dirt is not known. With
// dirt that somebody saw it is the goal through the dirty line. An assumed share
// is lost from what the pump moves through the clean line, so it has to move that
// much more there: whatever its curve, the dirt that costs it that share leaves
// it the goal.
//
//	Q/(1 - share) at Hs(Q/(1 - share))
func (w *Waterworks) GoalPoint() (GoalPoint, bool) {
	if w.Pond == nil || w.Goal == 0 || w.DirtOn == "" {
		return GoalPoint{}, false
	}
	q := w.goalFlow()
	if w.DirtAssumed {
		clean := q / units.Flow(1-w.DirtLoss)
		return GoalPoint{Goal: q, Flow: clean, Head: w.Line.HeadAt(clean)}, true
	}
	dirt := units.Length(w.Dirt.Resistance * float64(q*q))
	return GoalPoint{Goal: q, Flow: q, Head: w.Line.HeadAt(q) + dirt, Dirt: dirt}, true
}

// assumeTolerance lists the curves' tolerance where a plan leaves it to the
// default.
func (w *Waterworks) assumeTolerance(p *plan.Plan) {
	given := func(i int, key string) bool { return p.Given(fmt.Sprintf("pump.%d.%s", i+1, key)) }
	var flow, head *float64
	for i := range w.Pumps {
		if w.Pumps[i].LabelOnly() {
			continue
		}
		if !given(i, "flow_tolerance") {
			flow = &p.Pumps[i].FlowTolerance
		}
		if !given(i, "head_tolerance") {
			head = &p.Pumps[i].HeadTolerance
		}
	}
	const source = "ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW; from memory"
	if flow != nil {
		w.Assumed = append(w.Assumed, figure.Assumed{Key: "pump.flow_tolerance", Kind: units.KindShare, Value: *flow,
			Why: "how far a pump may lie from its curve in flow", Source: source})
	}
	if head != nil {
		w.Assumed = append(w.Assumed, figure.Assumed{Key: "pump.head_tolerance", Kind: units.KindShare, Value: *head,
			Why: "how far it may lie from it in head; the worse of flow and head makes the range", Source: source})
	}
}

// line returns the circuit that the plan's lift, feeds and branches make.
func (w *Waterworks) line(p *plan.Plan, place Surroundings) (pumps.Circuit, error) {
	feeds, exit, faults := w.feeds(p.Feeds, "feed", len(p.Branches) == 0)
	if len(p.Branches) > 0 {
		return w.network(p, place, feeds, faults)
	}
	breaks, err := w.siphon(p, place, *p.Lift.StaticHead)
	if err != nil {
		faults = append(faults, err)
	}
	spec := pumps.SystemSpec{StaticHead: *p.Lift.StaticHead, Vented: p.Lift.Vented || breaks, Temperature: w.Water, Feeds: feeds, Exit: exit, Bed: bed(p)}
	if p.Lift.Crest != nil {
		spec.Crest = *p.Lift.Crest
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	w.families = familiesOf(p.Feeds)
	s, err := pumps.NewSystem(spec)
	if err != nil {
		return nil, err
	}
	return s, nil
}

// network returns the trunk of feeds with the plan's branches behind it. A
// bed belongs to one line and is left out; its loss is a fraction of a
// millimetre.
func (w *Waterworks) network(p *plan.Plan, place Surroundings, trunk []pumps.Feed, faults []error) (pumps.Circuit, error) {
	spec := pumps.NetworkSpec{Trunk: trunk, Temperature: w.Water}
	switch {
	case p.Lift.Crest != nil && p.Lift.Vented:
		w.Warnings = append(w.Warnings, data.Warning{Key: "lift.crest", Message: "a crest that is open to air is not reckoned with where there are branches: give each branch the height of its own highest vented point"})
	case p.Lift.Crest != nil:
		spec.Crest = *p.Lift.Crest
	}
	list := p.Feeds
	for i, b := range p.Branches {
		feeds, exit, more := w.feeds(b.Feeds, fmt.Sprintf("branch.%d.feed", i+1), true)
		faults = append(faults, more...)
		branch := pumps.BranchSpec{Name: b.Name, Feeds: feeds, Exit: exit, ValveK: b.ValveK}
		if branch.Name == "" {
			branch.Name = fmt.Sprintf("branch %d", i+1)
		}
		if b.StaticHead != nil {
			branch.StaticHead = *b.StaticHead
		} else {
			branch.StaticHead = *p.Lift.StaticHead
		}
		spec.Branches = append(spec.Branches, branch)
		list = append(list[:len(list):len(list)], b.Feeds...)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	n, err := pumps.NewNetwork(spec)
	if err != nil {
		return nil, err
	}
	if _, err := w.siphon(p, place, n.Lift()); err != nil {
		return nil, err
	}
	w.families = familiesOf(list)
	return n, nil
}

// Placed puts the faults of err where the plan has the key that they name.
func Placed(p *plan.Plan, err error) error {
	var faults []error
	for _, f := range data.Faults(err) {
		faults = append(faults, p.Placed(f))
	}
	return errors.Join(faults...)
}

// ofPump names the pump and its curve file in every fault of err, with the line
// of the point at fault or of the first. Rows and points are both in order of flow.
func ofPump(name string, c data.CurveRows, err error) error {
	var faults []error
	for _, f := range data.Faults(err) {
		f := *f
		point := 1
		_, _ = fmt.Sscanf(f.Key, "point %d:", &point) // else of the whole curve
		if point <= len(c.Rows) {
			f.Line, f.Column = c.Rows[point-1].Line, 1
		}
		f.File, f.Key = c.File, name+": "+f.Key
		faults = append(faults, &f)
	}
	return errors.Join(faults...)
}

// assumedTemperature is taken where neither a temperature nor a site is given.
// Between 5 and 25 C the flow of a small pump on a smooth hose moves by about
// three hundredths.
const assumedTemperature = 15

// Temperature sets the water's: as given by month, else the air's means but
// not below 0 C, else the assumed one. The flow is reckoned at the mean.
func (w *Waterworks) Temperature(p *plan.Plan, place Surroundings) {
	air := place.Air
	assumed := figure.Assumed{Key: "water.temperature", Kind: units.KindTemperature, Source: "common practice, no source"}
	switch {
	case p.Water.Temperature != nil:
		w.Monthly = p.Water.Temperature
	case air != nil:
		months := *air
		for m, t := range months {
			months[m] = max(t, units.Celsius(0))
		}
		w.Monthly = &months
	default:
		w.Water = units.Celsius(assumedTemperature)
		assumed.Value, assumed.Why = float64(w.Water), "no temperature given"
		if place.Why != "" {
			assumed.Why += ", and " + place.Why
		}
		assumed.Why += "; colder water is thicker and flows a little less"
		w.Assumed = append(w.Assumed, assumed)
		return
	}
	var sum float64
	for _, t := range w.Monthly {
		sum += t.InCelsius()
	}
	w.Water = units.Celsius(sum / 12)
	if p.Water.Temperature == nil {
		shown := math.Round(10*w.Water.InCelsius()) / 10
		assumed.Value, assumed.Why = float64(units.Celsius(shown)), "the year's mean of the air, no month below freezing"
		w.Assumed = append(w.Assumed, assumed)
	}
}

func bed(p *plan.Plan) pumps.Bed {
	f := p.Filter
	b := pumps.Bed{Grain: f.Grain, Voids: f.Voids}
	switch {
	case f.Area != nil && f.Depth != nil:
		b.Area, b.Depth = *f.Area, *f.Depth
	case f.Volume != nil && f.Area != nil:
		b.Area, b.Depth = *f.Area, units.Length(float64(*f.Volume)/float64(*f.Area))
	case f.Volume != nil && f.Depth != nil:
		b.Area, b.Depth = units.Area(float64(*f.Volume)/float64(*f.Depth)), *f.Depth
	default:
		return pumps.Bed{}
	}
	return b
}

func pumpSpec(in plan.Pump, rows []data.CurveRow) pumps.PumpSpec {
	spec := pumps.PumpSpec{Name: in.Name, Count: in.Count}
	for _, r := range rows {
		spec.Points = append(spec.Points, pumps.Point{Flow: r.Flow, Head: r.Head, Power: r.Power})
	}
	if in.LabelFlow != nil {
		spec.Label.Flow = *in.LabelFlow
	}
	if in.LabelHead != nil {
		spec.Label.Head = *in.LabelHead
	}
	if in.LabelPower != nil {
		spec.Label.Power = *in.LabelPower
	}
	if in.MeteredPower != nil {
		spec.Metered = *in.MeteredPower
	}
	spec.MeteredAt, spec.Fixed, spec.OwnLines = figure.OrZero(in.MeteredFlow), figure.OrZero(in.FixedWatts), in.OwnLines
	spec.Tolerance = &pumps.Tolerance{Flow: in.FlowTolerance, Head: in.HeadTolerance}
	return spec
}

// Run is how one pump runs: clean, with its range, and dirty.
type Run struct {
	Name  string
	Clean pumps.Run
	Dirty pumps.Run
}

// Runs returns how every pump runs at the plan's speed.
func (w *Waterworks) Runs() ([]Run, error) {
	dirtyLine := pumps.Soil(w.Line, w.Dirt)
	var runs []Run
	var faults []error
	for _, pump := range w.Pumps {
		clean, err := pump.Run(w.Speed, w.Line)
		faults = append(faults, err)
		dirty, err := pump.Run(w.Speed, dirtyLine)
		faults = append(faults, err)
		runs = append(runs, Run{Name: pump.Name(), Clean: clean, Dirty: dirty})
	}
	return runs, errors.Join(faults...)
}

// Surroundings is what the place adds where a plan does not say it itself.
// The zero value is an unknown place.
type Surroundings struct {
	Air         *[12]units.Temperature // means of the months
	Evaporation *[12]units.Velocity    // depth lost in a second, by month
	Altitude    *units.Length          // of the ground, nil where not known
	Why         string                 // why one of them is missing

	// Loss is the share of flow lost before a cleaning by the plan's log, if it
	// names one.
	Loss figure.Maybe[float64]
}

// altitude returns that of the place, else the plan's; nil where neither says.
func (s Surroundings) altitude(p *plan.Plan) *units.Length {
	if s.Altitude != nil {
		return s.Altitude
	}
	return p.Site.Altitude
}
