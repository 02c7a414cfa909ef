package battery

import (
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Charged is what a charger on a generator does for a pair in a mean year.
type Charged struct {
	Hours float64 // that it runs
	Wh    float64 // that it gives
	Stops float64 // hours in which the load stops all the same
}

// The charger starts where the store would not carry nearHours more of the load, and
// stops at fullEnough of the charge, as the last of it goes in slowly. Common practice, no
// source.
const (
	nearHours  = 2
	fullEnough = 0.8
)

// ChargedRun runs panel and battery through a record, read twice and the second reading
// counted, with a charger of so many watts that fills the battery when a stop nears, but not
// below the temperature at which it may be charged.
func ChargedRun(r supply.Record, panelW float64, b Battery, nominal, chargerW float64) (out Charged) {
	c, s, on := cellOf(b, nominal), 0.0, false
	cut := max(0, b.left(b.CutOff, c.cap))
	for range twice {
		out = Charged{}
		for lo := 0; lo < r.Hours(); {
			asked, _ := r.Asked(lo, r.Hours())
			for i, l := range asked {
				on = on && s < fullEnough*c.cap || s-nearHours*l/c.perTake <= cut && l > unmetLeast
				cold := r.BatteryC != nil && r.BatteryC[lo+i] < c.warm
				net := panelW*r.Panel[lo+i] - l
				if on && !cold {
					room := max(0, (c.cap-s)/c.charge-net)
					gives := min(chargerW, room, max(0, c.limIn-net))
					net += gives
					out.Hours++
					out.Wh += gives
				}
				switch {
				case net >= 0 && cold:
				case net >= 0:
					s = min(c.cap, s+c.charge*min(net, c.limIn))
				default:
					take := min(-net, c.limOut) / c.perTake
					if have := max(0, s-cut); take > have+unmetLeast {
						take = have
						out.Stops++
					}
					s -= take
				}
				s *= c.keep
			}
			lo += len(asked)
		}
	}
	years := float64(r.Hours()) / solar.HoursPerYear
	out.Hours, out.Wh, out.Stops = out.Hours/years, out.Wh/years, out.Stops/years
	return out
}
