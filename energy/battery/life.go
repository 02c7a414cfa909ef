package battery

import (
	"math"

	"sunrill/data/units"
)

// BatteryLife is how fast a battery wears in its work.
type BatteryLife struct {
	CyclesPerYear float64 // energy taken in a year over the nominal size
	ByCycles      float64 // years until the cycles are used up; +Inf where it is not worked or they are not known
	ByAge         float64 // years standing at the temperature; +Inf where not known
}

// Years returns the life [years]: the shorter of the two; +Inf where neither
// is known.
func (l BatteryLife) Years() float64 { return min(l.ByCycles, l.ByAge) }

// ageDoubling is the rise in temperature [K] that halves the life of a standing
// battery, counted from 25 °C; below that nothing is gained here. Source: a
// battery maker's note (lead); for lithium taken alike, common practice.
const ageDoubling = 10

// AgeingTemperature returns the steady temperature at which a standing battery
// ages as fast as through twelve months of its own: that of their mean rate,
//
//	25 + 10 log2(mean of 2^((t - 25) / 10)), each t taken as 25 °C at least
func AgeingTemperature(months [12]units.Temperature) units.Temperature {
	rate := 0.0
	for _, t := range months {
		rate += math.Pow(2, max(0, t.InCelsius()-25)/ageDoubling) / 12
	}
	return units.Celsius(25 + ageDoubling*math.Log2(rate))
}

// Life returns the life of b of a nominal size that gives taken from its store
// each year and stands at temperature t:
//
//	cycles a year = taken / nominal
//	by cycles     = FullCycles / cycles a year
//	by age        = CalendarYears / 2^((t - 25) / 10), t above 25 °C
//
// FullCycles counts throughput: n cycles of depth D are n D full ones. Shallow
// cycles wear less than that, so the figure is on the low side.
func (b Battery) Life(nominal, takenPerYear units.Energy, t units.Temperature) BatteryLife {
	l := BatteryLife{ByCycles: math.Inf(1), ByAge: math.Inf(1)}
	if nominal > 0 {
		l.CyclesPerYear = float64(takenPerYear / nominal)
	}
	if b.FullCycles > 0 && l.CyclesPerYear > 0 {
		l.ByCycles = b.FullCycles / l.CyclesPerYear
	}
	if b.CalendarYears > 0 {
		l.ByAge = b.CalendarYears / math.Pow(2, max(0, t.InCelsius()-25)/ageDoubling)
	}
	return l
}
