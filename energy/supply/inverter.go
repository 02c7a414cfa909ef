package supply

import "sunrill/data/units"

// Inverter turns the battery's direct current into mains-like current for an
// AC pump.
type Inverter struct {
	Efficiency float64     // without the idle draw, above 0 to 1
	Idle       units.Power // drawn as long as it is switched on
	Rated      units.Power // continuous output; 0: not known
	SwitchedBy bool        // switched off with the pump, so that it idles only while the pump runs
}

// Draw returns what the inverter takes from the battery to give out:
//
//	P_in = P_out / eta + P_idle
//
// A constant idle draw describes a small inverter at a small share of its
// rating better than one efficiency does; 5 to 15 W is usual for a 500 W
// class unit (common practice, no source) and 30 to 100 W for a 5 kW one.
func (v Inverter) Draw(out units.Power) units.Power {
	if out == 0 && v.SwitchedBy {
		return 0
	}
	return out/units.Power(v.Efficiency) + v.Idle
}

// partLoadEfficiency returns the efficiency of a small stand-alone inverter at
// share p of its rating:
//
//	eta = p / (p + 0.0185 + 0.0393 p + 0.0562 p²)
//
// The loss polynomial is quoted from "Mathematical models for efficiency of
// inverters" as given in published code; p in (0, 1]. At p = 0 it is 0. It is the yardstick for
// a stated efficiency that ignores the idle draw.
func partLoadEfficiency(p float64) float64 {
	return p / (p + 0.0185 + 0.0393*p + 0.0562*p*p)
}
