package energy

import (
	"cmp"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/still"
)

// rest works out how long the pond may stand still, by month.
func (j *job) rest() (err error) {
	j.out.Rest, err = j.restOf(j.water.Choice.Nearest)
	return err
}

// restOf returns how long the pond may stand still that pump i runs: drawn once where the
// same falls back.
func (j *job) restOf(i int) (figure.Maybe[still.StandingTimes], error) {
	at := j.fall(i)
	if known, is := j.rests.Load(at); is {
		rest, _ := known.(figure.Maybe[still.StandingTimes])
		return rest, nil
	}
	rest, err := j.standing(i)
	if err == nil {
		j.rests.Store(at, rest)
	}
	return rest, err
}

// standing returns how long the pond may stand still that pump i runs, by month.
func (j *job) standing(i int) (figure.Maybe[still.StandingTimes], error) {
	pond, months := j.water.Pond.Value, j.water.Works.Monthly
	var none figure.Maybe[still.StandingTimes]
	switch {
	case !j.water.Pond.Known:
		return figure.Unknown[still.StandingTimes](j.water.Pond.Why), nil
	case pond.Stocking == "":
		return figure.Unknown[still.StandingTimes]("the stocking is not given (pond.stocking)"), nil
	case months == nil:
		// The mean that serves the friction would be far too kind in summer.
		return figure.Unknown[still.StandingTimes]("how warm the water gets is not known (site.place, or water.temperature by month)"), nil
	}
	s := still.Standing{Volume: pond.Volume, Surface: pond.Pond.Surface(), Water: *months, Fall: j.fall(i), Rates: still.TableOxygenRates()}
	for m := range s.Ice {
		s.Ice[m] = j.place.Air != nil && j.place.Air[m].InCelsius() < 0
	}
	s.Bed = still.Gravel{Volume: j.water.Filter.Value.Volume, Voids: j.plan.Filter.Voids, Grain: j.plan.Filter.Grain}
	if z := cmp.Or(j.plan.Site.Altitude, j.place.Altitude); z != nil {
		s.Altitude = *z
	}
	s.Lives = j.lives
	err := s.Stocked(pond.Stocking, figure.OrZero(j.plan.Pond.FishMass),
		units.Mass(figure.OrZero(j.plan.Pond.FeedPerDay))*units.Mass(units.Day))
	if err != nil {
		return none, err
	}
	if j.out.Rest.Known {
		s.Like = &j.out.Rest.Value
	}
	return unlessFault(still.StandsFor(s))
}

// fall returns what the return brings back into the pond from pump i: from the plan's drop, else
// from anything between the water and the height that the pump lifts to, over the round
// lip of a pipe or a sharp one.
func (j *job) fall(i int) still.Fall {
	f := still.Fall{High: min(3, j.water.Works.Line.Lift()), Lip: still.Span{Low: 0.45, High: 0.8}}
	if d := j.plan.Return.Drop; d != nil {
		f.Low, f.High = *d, *d
	}
	if j.plan.Return.LipWidth != nil {
		f.Lip.Low = 0.8
	}
	f.Flow = j.water.Pumps[i].Dirty.Flow
	return f
}

// living returns the flow of the pump that runs day and night today, where fish live by it:
// that of the plan as it is, which no other way to run it changes.
func (j *job) living() (flow units.Flow) {
	for i, p := range j.water.Pumps {
		if j.plan.Pumps[i].Present && j.plan.Pond.Stocking != "none" && j.water.Schedule.LongestPause() == 0 {
			flow = p.Dirty.Flow
		}
	}
	return flow
}

// bearable returns the longest stops that are bearable, by month, and why: how long the
// water may stand, in months off and where that is not known as a bare load.
func (j *job) bearable(rest figure.Maybe[still.StandingTimes]) stopLimits {
	if !rest.Known {
		return bare("how long the oxygen lasts is not known: " + rest.Why)
	}
	out := bare("neither fish nor a bed need the flow")
	for k, m := range rest.Value.Months {
		if m.Limit.Known && j.water.Schedule.RunningMonths().Has(m.Month) {
			out.Hours[k], out.Why = wholeHours(m.Limit.Value), "how long the water may stand in the month"
		}
	}
	return out
}
