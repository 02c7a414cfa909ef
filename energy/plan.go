package energy

import (
	"context"
	"errors"
	"strings"
	"sync"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/still"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// Inputs is all that a plan is made from: the plan itself and the rows of the
// files that it names, already read.
type Inputs struct {
	Plan    *plan.Plan
	Curves  []data.CurveRows  // one for each of Plan.Pumps, without rows where there is only a label
	Climate *data.ClimateFile // of site.climate; nil where none is named
	Weather *data.Weather     // of site.weather; nil where none is named
	Made    *sky.Made         // weather that an earlier Outcome holds, for the same site; nil: it is made
	Logged  works.Logged      // of upkeep.log; the zero value where none is named
}

// Depth is how far Evaluate goes. Each depth holds what those before it hold.
type Depth int

// The depths.
const (
	Flows    Depth = iota // what flows, and its cost
	Water                 // water, verdict, energy and money; no hour of weather is made
	Sun                   // panel and battery of the plan's own hours, and the sun alone
	Decided               // the best way off the grid
	Improved              // and the best plan: what the first page says
	All                   // every way sized, and other shares of good years
)

// Outcome is what a plan comes to: what flows, what it costs, what sun and storage
// would carry it, what slowing down saves and risks. What lies beyond the depth
// asked for is zero or unknown.
type Outcome struct {
	Water *works.WaterResult
	Costs []PumpCost                // one for each of Water.Pumps
	Mains figure.Maybe[MainsBudget] // of the chosen pump
	Keep  figure.Maybe[Keep]        // unknown without a present pump
	// BestPlan is what to change in the plan on the mains, and BestOffGrid without them.
	BestPlan, BestOffGrid figure.Maybe[BestPlan]

	Rest     figure.Maybe[still.StandingTimes] // how long the pond may stand still, by month
	Solar    figure.Maybe[SolarBudget]
	Tradeoff []Strategy
	Base     int // index of Water.Pumps: whose sun and trade-off these are; -1 for none

	Warnings []data.Warning
	Assumed  []figure.Assumed
	Sources  []string
	// NoAnswer says in a sentence why the plan's question has no answer; "" where
	// it has one.
	NoAnswer units.Text

	cautions []units.Text
	owned    []PumpOwned // one for each of Water.Pumps
	terms    Terms
}

// Chosen returns the index of the pump to use, false where there is none.
func (r *Outcome) Chosen() (int, bool) { return r.Water.Choice.Index, r.Water.Choice.Index >= 0 }

// DayAndNight returns the panel and battery of the plan's own hours.
func (r *Outcome) DayAndNight() figure.Maybe[DayAndNight] {
	if !r.Solar.Known {
		return figure.Unknown[DayAndNight](r.Solar.Why)
	}
	return r.Solar.Value.DayAndNight
}

// Best returns the cheapest way to run the water off the grid.
func (r *Outcome) Best() figure.Maybe[Best] {
	if !r.Solar.Known {
		return figure.Unknown[Best](r.Solar.Why)
	}
	return r.Solar.Value.Best
}

// Daylight returns the pump on the sun alone.
func (r *Outcome) Daylight() figure.Maybe[DaylightBudget] {
	if !r.Solar.Known {
		return figure.Unknown[DaylightBudget](r.Solar.Why)
	}
	return r.Solar.Value.Daylight
}

// base returns the pump whose ways to run are compared: where the sun may carry it, the
// one for that, else the chosen one or the nearest.
func (j *job) base() int { return j.out.Base }

// job is a plan on its way to an Outcome.
type job struct {
	ctx    context.Context
	in     Inputs
	depth  Depth
	plan   *plan.Plan
	place  works.Surroundings
	water  *works.WaterResult
	tariff money.Tariff
	air    supply.Air
	light  *sky.Sky // nil where the site is not known
	store  *Storage
	target figure.Maybe[battery.SizeOptions] // of every size; unknown where there is no load or no battery
	// unreached is set where no size carries the plan's hours.
	unreached bool
	lives     units.Flow // see living
	rests     *sync.Map  // of restOf
	hard      *battery.HardTimes
	ways      []*Strategy // of which the best off the grid is one
	out       *Outcome
}

// Evaluate takes a plan to its outcome, as far as depth. It reads and prints
// nothing. The error joins every fault of the inputs as *data.Error, or is that of
// ctx, which stops it between steps and within the search for panel and battery; a
// plan that has no answer is no error: the Outcome says why.
func Evaluate(ctx context.Context, in Inputs, depth Depth) (*Outcome, error) {
	return newJob(ctx, in, depth).do()
}

func newJob(ctx context.Context, in Inputs, depth Depth) *job {
	return &job{ctx: ctx, in: in, depth: depth, plan: in.Plan, rests: &sync.Map{}, hard: &battery.HardTimes{}, out: &Outcome{}}
}

// notAsked is the reason for what lies beyond the depth asked for.
const notAsked = "not asked for"

// do takes the job through its steps, each of which needs what those before it
// found. The faults of all that can be read without another part come together,
// in the order of the plan's tables.
func (j *job) do() (*Outcome, error) {
	var faults [3]error
	j.out.BestPlan, j.out.BestOffGrid = figure.Unknown[BestPlan](notAsked), figure.Unknown[BestPlan](notAsked)
	if j.out.Solar = figure.Unknown[SolarBudget](notAsked); j.depth >= Sun {
		faults[1] = j.sky()
	}
	if faults[1] == nil {
		j.place, faults[2] = j.surroundings()
	}
	faults[0] = j.pour(j.place)
	if err := errors.Join(faults[:]...); err != nil {
		return nil, err
	}
	if j.out.Water, j.out.Base = j.water, j.water.Choice.Nearest; j.light != nil {
		j.out.Base = j.sunPump()
		j.plan = fitting(j.plan, j.out.Base)
	}
	j.costs()
	j.keep()
	j.mains()
	steps := [][]func() error{Water: {j.rest}, Sun: {j.prepare, j.solar}, Decided: {j.decide}, Improved: {j.bestPlan},
		All: {j.sizeRows}}
	for _, depth := range steps[:j.depth+1] {
		for _, step := range depth {
			if err := step(); err != nil {
				return nil, err
			}
			if err := j.ctx.Err(); err != nil { // a search that was stopped found nothing
				return nil, err
			}
		}
	}
	j.out.NoAnswer = j.noAnswer()
	j.gather()
	j.out.cautions = j.cautionsOf()
	return j.out, nil
}

// pour works out the water at a place.
func (j *job) pour(place works.Surroundings) (err error) {
	if j.air = airOf(j.plan); j.plan.Site.Mains { // else nothing is said of its cost
		j.tariff = money.TariffOf(j.plan.Mains)
	}
	j.place = place
	j.place.Flows = j.depth == Flows
	j.place.Logged, j.place.Yearly, j.place.Pays = j.in.Logged, j.yearly, j.pays
	if j.water, err = works.NewWater(j.plan, j.in.Curves, j.place); err != nil {
		return err
	}
	if j.lives = j.living(); j.light == nil {
		return nil
	}
	for _, w := range j.light.Warnings {
		if w.Key == solar.SlipKey {
			j.water.Works.Doubts = append(j.water.Works.Doubts, w)
		}
	}
	return nil
}

// gather collects what was doubted, assumed and read on the way, each once.
func (j *job) gather() {
	o := j.out
	o.Warnings, o.Assumed, o.Sources = append(j.water.Warnings, j.out.Rest.Value.Warnings...), j.water.Assumed, j.water.Sources
	o.Assumed = append(o.Assumed, assumedSlowed(o.Tradeoff)...)
	o.Assumed = append(o.Assumed, assumedAir(j.plan)...)
	if j.out.Solar.Known {
		o.Warnings = append(o.Warnings, j.light.Warnings...)
		for _, a := range j.light.Assumed {
			if ofPair := strings.HasPrefix(a.Key, "panel.") || strings.HasPrefix(a.Key, "controller."); !ofPair || j.offGrid() {
				o.Assumed = append(o.Assumed, a)
			}
		}
		o.Sources = append(o.Sources, j.light.Sources...)
		pair := j.out.DayAndNight()
		if best := j.out.Best(); best.Known { // what is doubted is what is bought
			pair = figure.Known(best.Value.Way)
		}
		if pair.Known { // else no figure stands on the battery
			o.Warnings = append(o.Warnings, j.store.Warnings...)
			o.Warnings = append(o.Warnings, pair.Value.Warnings...)
			o.Assumed = append(o.Assumed, j.store.Assumed...)
			o.Assumed = append(o.Assumed, assumedVoltage(j.plan, pair.Value.Bill)...)
			o.Sources = append(o.Sources, j.store.Sources...)
		}
		if j.target.Known {
			o.Assumed = append(o.Assumed, j.store.assumedTarget()...)
			o.Warnings = append(o.Warnings, j.store.targetDoubts()...)
			shop := &j.target.Value.Shop
			o.Warnings = append(o.Warnings, unpriced(j.plan, shop, onInverter(j.plan, j.base()))...)
			o.Assumed = append(o.Assumed, assumedMoney(j.plan, shop)...)
		}
		if d := j.out.Solar.Value.Daylight; d.Known {
			o.Warnings = append(o.Warnings, d.Value.Warnings...)
		}
	}
	o.Warnings = once(o.Warnings, func(w data.Warning) string { return w.Key + string(w.Message) })
	o.Assumed = once(o.Assumed, func(a figure.Assumed) string { return a.Key })
	o.Sources = once(o.Sources, func(s string) string { return s })
}

// once returns list without what has the key of one before it.
func once[T any](list []T, key func(T) string) []T {
	seen := map[string]bool{}
	var out []T
	for _, v := range list {
		if k := key(v); !seen[k] {
			seen[k] = true
			out = append(out, v)
		}
	}
	return out
}

// noAnswer returns why the plan's question has no answer, "" where it has one.
func (j *job) noAnswer() units.Text {
	why := units.Text(j.water.NoAnswer())
	sun := &j.out.Solar.Value
	if why == "" && j.unreached && !sun.Best.Known && !sun.Worth.Known && !sun.Own.Known {
		why = j.out.Solar.Value.DayAndNight.Why
	}
	return why
}
