package battery

import (
	"math"

	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/supply"
)

// Autonomy is the days of storage that handbooks ask for, by the peak sun hours
// of the worst month on the panel. All four formulas are quoted from memory: the
// two books were not at hand.
type Autonomy struct {
	Critical    float64 `json:"critical"`        // Messenger & Ventre, critical loads: 18.3 - 1.9 T
	NonCritical float64 `json:"non_critical"`    // Messenger & Ventre, other loads:    4.58 - 0.48 T
	Masters99   float64 `json:"availability_99"` // Masters 2004, 99 % availability:    24.0 - 4.73 T + 0.3 T²
	Masters95   float64 `json:"availability_95"` // Masters 2004, 95 % availability:    9.43 - 1.90 T + 0.11 T²
}

// AutonomyOf returns the handbook days for T peak sun hours a day [kWh/m²].
// The formulas hold from 1 h to some 7 h; T is held to that.
func AutonomyOf(peakSunHours float64) Autonomy {
	t := min(7, max(1, peakSunHours))
	return Autonomy{
		Critical:    18.3 - 1.9*t,
		NonCritical: 4.58 - 0.48*t,
		Masters99:   24.0 - 4.73*t + 0.3*t*t,
		Masters95:   9.43 - 1.90*t + 0.11*t*t,
	}
}

// Handbook is the rule of thumb beside a size from the hours.
type Handbook struct {
	AutonomyDays figure.Maybe[float64]  `json:"autonomy_days"` // usable energy of the battery over the load of a mean day
	Asked        figure.Maybe[Autonomy] `json:"asked_autonomy_days"`
	ArrayToLoad  figure.Maybe[float64]  `json:"array_to_load"` // worst month: sun times label, before losses, over the load
	EnergyRatio  figure.Maybe[float64]  `json:"energy_ratio"`  // worst month: panel energy after losses, before charging, over the load
	ArrayMonth   int                    // 0 to 11: the worst month of ArrayToLoad, where that is known
	RatioMonth   int                    // 0 to 11: the worst month of EnergyRatio, where that is known
	Why          string                 `json:"why"` // why the two, and the days, differ from the size
}

// HandbookOf returns the handbook's figures for a panel and a battery. The
// record's panel is that of one watt; poa is the sun on the panel by month
// [kWh/m² a day], nil where not known. A is the array, L the load of a day:
//
//	A:L = min over months of watts poa / L
//
// Source: IEEE 1013-2000, clause 3.1. It counts both in Ah, of the panel's current
// at its best power; that is the same where the panel works at the battery's
// voltage or a converter makes up for the difference.
func HandbookOf(r supply.Record, b Battery, panelW float64, nominal units.Energy, poa *[12]float64) Handbook {
	h := Handbook{Why: "array to load counts the label's watts, the energy ratio what is left after heat, dirt, controller and wiring; " +
		"days of autonomy assume that the sun stays away altogether and then comes back to fill, while the hours count weak " +
		"sun as it comes"}
	const noLoad, noSun = "there is no load", "the sun on the panel is not known by month"
	day := supply.DayLoad(r)
	made, asked := supply.Judged(r)
	h.RatioMonth = supply.WorstMonth(made, asked)
	if day == 0 || h.RatioMonth < 0 {
		h.AutonomyDays, h.Asked = figure.Unknown[float64](noLoad), figure.Unknown[Autonomy](noLoad)
		h.ArrayToLoad, h.EnergyRatio = figure.Unknown[float64](noLoad), figure.Unknown[float64](noLoad)
		return h
	}
	h.AutonomyDays = figure.Known(b.Usable(nominal).In(units.WattHour) / day)
	h.EnergyRatio = figure.Known(panelW * (made[h.RatioMonth] / asked[h.RatioMonth]))
	if poa == nil {
		h.ArrayToLoad, h.Asked = figure.Unknown[float64](noSun), figure.Unknown[Autonomy](noSun)
		return h
	}
	hours := supply.MonthHours(r)
	sun := math.Inf(1)
	var perDay [12]float64
	for m := range asked {
		if asked[m] > 0 {
			perDay[m] = asked[m] / hours[m] * clock.HoursPerDay
			sun = min(sun, poa[m])
		}
	}
	h.ArrayMonth = supply.WorstMonth(*poa, perDay)
	h.ArrayToLoad, h.Asked = figure.Known(panelW*poa[h.ArrayMonth]/perDay[h.ArrayMonth]), figure.Known(AutonomyOf(sun))
	return h
}
