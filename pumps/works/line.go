package works

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// line returns the system that the plan's lift, feeds and branches make. A bed belongs
// to one line: with branches its loss, a fraction of a millimetre, is left out.
func (w *Waterworks) line(p *plan.Plan, place Surroundings) (*pumps.System, error) {
	feeds, exit, faults := w.feeds(p.Feeds, "feed", len(p.Branches) == 0)
	spec := pumps.SystemSpec{StaticHead: figure.OrZero(p.Lift.StaticHead), Crest: figure.OrZero(p.Lift.Crest), Vented: p.Lift.Vented,
		Feeds: feeds, Exit: exit, Temperature: w.Water}
	for i, b := range p.Branches {
		feeds, exit, more := w.feeds(b.Feeds, fmt.Sprintf("branch.%d.feed", i+1), true)
		faults = append(faults, more...)
		if len(feeds) > 0 {
			feeds[0].Loss.K += b.ValveK
		}
		branch := pumps.SystemSpec{Name: cmp.Or(b.Name, fmt.Sprintf("branch %d", i+1)), StaticHead: spec.StaticHead,
			Feeds: feeds, Exit: exit}
		if b.StaticHead != nil {
			branch.StaticHead = *b.StaticHead
		}
		spec.Branches = append(spec.Branches, branch)
	}
	static := spec.StaticHead // of the water that it goes to
	if len(p.Branches) == 0 {
		spec.Bed = bed(p)
	} else {
		static = slices.MinFunc(spec.Branches, func(a, b pumps.SystemSpec) int {
			return cmp.Compare(a.StaticHead, b.StaticHead)
		}).StaticHead
		if spec.Crest > 0 && spec.Vented {
			spec.Crest = 0
			w.warn("lift.crest", "a crest that is open to air is not reckoned with where there are branches: give each branch the height "+
				"of its own highest vented point")
		}
	}
	if w.Water.InCelsius() > pumps.WarmestWater { // else below freezing is taken as 0 C
		faults = append(faults, data.Outside("water.temperature", w.Water, "0 °C to 45 °C, where the formulas of water hold"))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	spec.Vented = (spec.Vented || w.siphonBreaks(p, place, static)) && len(p.Branches) == 0
	return pumps.NewSystem(spec), nil
}

// bed returns the filter of a plan, none where its area or depth is not known.
func bed(p *plan.Plan) pumps.Bed {
	f := p.Filter
	b := pumps.Bed{Grain: f.Grain, Voids: f.Voids, Area: figure.OrZero(f.Area), Depth: figure.OrZero(f.Depth)}
	switch volume := figure.OrZero(f.Volume); {
	case f.Area != nil && f.Depth != nil:
	case f.Volume != nil && f.Area != nil:
		b.Depth = units.Length(float64(volume) / float64(b.Area))
	case f.Volume != nil && f.Depth != nil:
		b.Area = units.Area(float64(volume) / float64(b.Depth))
	default:
		return pumps.Bed{}
	}
	return b
}

// smoothPlastic is the roughness of clean drawn plastic and of glass, taken
// where a bore is given without one. Source: the classic table of roughness of
// drawn tubing, as in Idelchik.
const smoothPlastic = 0.0015 * units.Millimetre

// feeds turns the runs of a line into those of package pumps. exit reports
// whether the exit loss has still to be added: a loss_k on the last run
// includes it.
//
// prefix is the plan key of the list, and last says that its end is the end of
// the line.
func (w *Waterworks) feeds(list []plan.Feed, prefix string, last bool) (feeds []pumps.Feed, exit bool, faults []error) {
	exit = last
	for i, in := range list {
		f, err := w.feed(in, fmt.Sprintf("%s.%d", prefix, i+1))
		if err != nil {
			faults = append(faults, err)
		}
		feeds = append(feeds, f)
		if i == len(list)-1 && last {
			exit = in.LossK == nil && !namesExit(in.Fittings)
		}
	}
	for i, in := range list {
		if k := pumps.BoreChange(feeds, i); k > 0.005 && in.LossK == nil {
			feeds[i].Loss.K += k
			w.Assumed = append(w.Assumed, figure.Assumed{Key: fmt.Sprintf("%s.%d.bore", prefix, i+1),
				Text: units.Say("K %.2g for the change of "+
					"bore", k),
				Why: "where the line widens or narrows at once", Source: "Borda and Carnot, any textbook of hydraulics; Crane TP-410"})
		}
	}
	if exit && len(list) > 0 {
		why := units.Text("the exit loss, counted once beside the fittings")
		if len(list[len(list)-1].Fittings) == 0 {
			why = "no fittings given: only the exit loss is counted, so the flow comes out high"
		}
		w.assume(figure.Assumed{Key: fmt.Sprintf("%s.%d.loss_k", prefix, len(list)),
			Text: units.Say("%.1f", pumps.ExitLoss), Why: why,
			Source: "velocity head given up at an open end, any textbook of hydraulics"})
	}
	return feeds, exit, faults
}

func (w *Waterworks) feed(in plan.Feed, key string) (pumps.Feed, error) {
	f := pumps.Feed{Length: *in.Length, Bore: figure.OrZero(in.Bore), Roughness: smoothPlastic}
	f.Loss.K = figure.OrZero(in.LossK)
	assume := func(rest string, v units.Length, why units.Text, source string) {
		w.assume(figure.Assumed{Key: key + rest, Kind: units.KindBore, Value: float64(v), Why: why, Source: source})
	}
	if in.Pipe != "" {
		row, err := data.PipeNamed(in.Pipe)
		if err != nil {
			return f, at(key+".pipe", err)
		}
		f.Bore, f.Roughness, f.Pitch = row.Bore, row.Roughness, row.Pitch
		w.source("Pipe " + row.Name + ": " + row.Source)
	}
	if in.Roughness != nil {
		f.Roughness = *in.Roughness
	} else if in.Pipe == "" {
		assume(".roughness", smoothPlastic, "smooth plastic, as no pipe of the table is named", "Idelchik, drawn tubing")
	}
	if in.RibPitch != nil {
		f.Pitch = *in.RibPitch
	} else if f.Pitch > 0 {
		assume(".rib_pitch", f.Pitch, "an example: measure from rib to rib of your own hose, as the friction goes with it", "no source")
	}
	if f.Pitch > 0 {
		w.source("Ribbed hose: R. C. Hawthorne and H. C. von Helms, Product Engineering, 1963, from memory")
	}
	for _, part := range in.Parts {
		f.Parts += pumps.PartLoss(part.Head, part.Flow)
	}
	var walls data.FaultList
	walls.Want(f.Roughness <= f.Bore/10, key+".roughness", f.Roughness, "0 mm to a tenth of the bore")
	walls.Want(f.Pitch <= f.Bore, key+".rib_pitch", f.Pitch, "0 mm to one bore")
	faults := []error{walls.Err()}
	for _, in := range in.Fittings {
		row, err := data.FittingNamed(in.Name)
		if err != nil {
			faults = append(faults, at(key+".fittings", err))
			continue
		}
		loss := pumps.Loss{K: row.K, K1: row.K1, KInf: row.KInf}
		if row.Bore > 0 { // the velocity head goes with the fourth power of the bore
			loss.K /= math.Pow(row.Bore, 4)
		}
		f.Loss = f.Loss.Plus(in.Count, loss)
		f.Cracking += units.Length(float64(in.Count) * row.Opens)
		w.source("Fitting " + row.Name + ": " + row.Source)
	}
	return f, errors.Join(faults...)
}

// namesExit reports whether the list has the exit loss among its fittings, so
// that it must not be added a second time.
func namesExit(list []plan.Fitting) bool {
	return slices.ContainsFunc(list, func(in plan.Fitting) bool {
		row, err := data.FittingNamed(in.Name)
		return err == nil && row.Name == "exit"
	})
}

// source notes where a row came from, once.
func (n *Notes) source(s string) {
	if !slices.Contains(n.Sources, s) {
		n.Sources = append(n.Sources, s)
	}
}

func at(key string, err error) error {
	return data.Changed(err, func(f *data.Error) *data.Error {
		f.Key = key
		return f
	})
}

// siphonReserve is the head of air over the crest of a siphon, beyond the
// water's vapour, below which air comes out of the water and the siphon may
// break. It leaves 7.7 m at sea level; handbooks hold siphons to 7 to 8 m there
// (from memory).
const siphonReserve units.Length = 2.5

// SiphonHolds returns how far the crest of a full siphon may stand above the
// water it delivers to before the column breaks [m]:
//
//	h = (P - u) / (rho g)
//
// P is the pressure of the air, u that of water vapour.
// Friction behind the crest raises the pressure at it and is left out, which errs
// towards too soon; speed lowers it by no more than the outlet gives back. Range
// 0 to 40 °C. Source: Bernoulli's equation; u as in VapourPressure.
func SiphonHolds(air pumps.Pascal, t units.Temperature, w pumps.Water) units.Length {
	vapour := pumps.Atmosphere * pumps.Pascal(pumps.VapourPressure(t))
	return units.Length(float64(air-vapour) / (w.Density * units.StandardGravity))
}

// siphonBreaks reports whether a crest that is not open to the air has to be taken as
// if it were, because no column of water reaches over it; and lists the siphon as
// assumed where it may stand. static is the level that the water goes to.
func (w *Waterworks) siphonBreaks(p *plan.Plan, place Surroundings, static units.Length) bool {
	if p.Lift.Crest == nil || p.Lift.Vented || *p.Lift.Crest <= static {
		return false
	}
	air, where, altitude := pumps.Atmosphere, units.Text("at sea level"), place.Altitude
	if altitude == nil {
		altitude = p.Site.Altitude
	}
	if altitude != nil {
		air = pumps.AirPressure(*altitude)
		where = units.Say("at {%.0f m} altitude", float64(*altitude))
	}
	rise, holds := *p.Lift.Crest-static, SiphonHolds(air, w.Water, pumps.WaterAt(w.Water))
	if rise >= holds {
		then := "the crest is reckoned as open to the air"
		if len(p.Branches) > 0 {
			then = "what is shown does not flow: give each branch the height of the crest as its static head"
		}
		w.warn("lift.crest", "the crest stands {%.3g m} above the water it goes to, and %s the air holds up no more than {%.3g m}: no "+
			"siphon forms, and %s",
			float64(rise), where, float64(holds), then)
		return true
	}
	if rise > holds-siphonReserve {
		w.warn("lift.crest", "the crest stands {%.3g m} above the water it goes to; %s the air holds up {%.3g m}, and above {%.3g m} "+
			"air comes out of the water and "+
			"the siphon may break ({7 to 8 m} at sea level, from memory)",
			float64(rise), where, float64(holds), float64(holds-siphonReserve))
	}
	w.assume(figure.Assumed{Key: "lift.crest", Text: "a siphon full of water",
		Why: "no vent is given, so the falling pipe is taken to draw and the pump to lift no higher than the static head; until it has " +
			"filled, less flows"})
	return false
}
