package works

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// SiphonReserve is the head of air over the crest of a siphon, beyond the
// water's vapour, below which air comes out of the water and the siphon may
// break. It leaves 7.7 m at sea level; handbooks hold siphons to 7 to 8 m there
// (from memory).
const SiphonReserve units.Length = 2.5

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

// unfilled returns how pump does on circuit while air stays in its siphon, where
// that may last and misses the goal that s, with the siphon full, meets.
func (w *WaterResult) unfilled(s WaterState, pump pumps.Pump, circuit pumps.Circuit, pack float64) (figure.Maybe[WaterState], error) {
	if !s.mayNotFill || !s.Meets() {
		return figure.Unknown[WaterState]("the goal rests on no siphon"), nil
	}
	open, is := pumps.OpenCrest(circuit)
	if !is {
		return figure.Unknown[WaterState]("the line has no crest of its own"), nil
	}
	now, err := w.state(pump, open, pack)
	if err != nil || now.Meets() {
		return figure.Unknown[WaterState]("the goal is met while air stays in the siphon too"), err
	}
	return figure.Known(now), nil
}

// siphon reports whether a crest that is not open to the air has to be reckoned as
// if it were, because no column of water reaches over it; and lists the siphon as
// assumed where it may stand. static is the level that the water goes to.
func (w *Waterworks) siphon(p *plan.Plan, place Surroundings, static units.Length) (breaks bool, err error) {
	if p.Lift.Crest == nil || p.Lift.Vented || *p.Lift.Crest <= static {
		return false, nil
	}
	air := pumps.Atmosphere
	where := "at sea level"
	if z := place.altitude(p); z != nil {
		if air, err = pumps.AirPressure(*z); err != nil {
			return false, err
		}
		where = units.Sprintf("at %.0f m altitude", float64(*z))
	}
	water, err := pumps.WaterAt(w.Water)
	if err != nil {
		return false, nil // the line says so
	}
	rise, holds := *p.Lift.Crest-static, SiphonHolds(air, w.Water, water)
	say := func(format string, args ...any) {
		w.Warnings = append(w.Warnings, data.Warning{Key: "lift.crest", Message: units.Sprintf(format, args...)})
	}
	if rise >= holds {
		then := "the crest is reckoned as open to the air"
		if len(p.Branches) > 0 {
			then = "what is shown does not flow: give each branch the height of the crest as its static head"
		}
		say("the crest stands %.3g m above the water it goes to, and %s the air holds up no more than %.3g m: no siphon forms, and %s",
			float64(rise), where, float64(holds), then)
		return true, nil
	}
	if rise > holds-SiphonReserve {
		say("the crest stands %.3g m above the water it goes to; %s the air holds up %.3g m, and above %.3g m air comes out of the water and the siphon may break (7 to 8 m at sea level, from memory)",
			float64(rise), where, float64(holds), float64(holds-SiphonReserve))
	}
	w.Assumed = append(w.Assumed, figure.Assumed{Key: "lift.crest", Text: "a siphon full of water",
		Why: "no vent is given, so the falling pipe is taken to draw and the pump to lift no higher than the static head; until it has filled, less flows"})
	return false, nil
}
