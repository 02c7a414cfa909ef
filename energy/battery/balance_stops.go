package battery

import (
	"math"

	"sunrill/data/clock"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Stops counts the hours of a counted reading in which the load got less than
// it asked for. A night runs from 18 to 08 by the hour.
type Stops struct {
	Hours        int     // with any shortfall
	LongestHours int     // consecutive
	Nights       int     // with a stop between 18 and 08
	ByMonth      [12]int // hours, by calendar month
	// Within is the longest stop of each month in which it began, of those that kept
	// within its limit where there is one.
	Within [12]int
}

// YearStops is what one year of a record lacked. Years are stretches of 8760
// hours from the record's first hour, counted from 1.
type YearStops struct {
	Year    int
	Hours   int
	UnmetWh float64
	Bad     bool // a stop that began in it lasted longer than its limit
}

// stopLog gathers Stops hour by hour.
type stopLog struct {
	Stops
	years     []YearStops
	seen      int // hours read
	last, run int
	lastNight int

	limits      *StopLimits // nil: none
	bad         int         // years with a stop beyond its limit
	begun, most int         // year in which the stop at hand began, and its limit
	month       int         // in which it began
}

// newLog returns the log of a record of so many hours, by limits.
func newLog(hours int, limits *StopLimits) stopLog {
	return stopLog{years: make([]YearStops, (hours+solar.HoursPerYear-1)/solar.HoursPerYear), limits: limits}.cleared()
}

// cleared returns g before its first hour.
func (g stopLog) cleared() stopLog {
	clear(g.years)
	return stopLog{years: g.years, limits: g.limits, last: -2, lastNight: -2}
}

const (
	nightFrom = 18
	nightTo   = 8
)

// add notes hour i of a record that starts at hour start of the year.
func (g *stopLog) add(start, i int, short float64) {
	g.Hours++
	g.ByMonth[supply.MonthAt(start, i)]++
	y := &g.years[i/solar.HoursPerYear]
	y.Hours++
	y.UnmetWh += short
	if g.run++; i != g.last+1 {
		g.run, g.begun, g.month, g.most = 1, i/solar.HoursPerYear, supply.MonthAt(start, i), math.MaxInt
		if g.limits != nil {
			g.most = g.limits[g.month]
		}
	}
	if g.run <= g.most {
		g.Within[g.month] = max(g.Within[g.month], g.run)
	}
	if b := &g.years[g.begun]; g.run > g.most && !b.Bad {
		b.Bad = true
		g.bad++
	}
	g.last = i
	g.LongestHours = max(g.LongestHours, g.run)
	hour := (start + i) % clock.HoursPerDay
	night := (start + i + clock.HoursPerDay/2) / clock.HoursPerDay // noon to noon
	if dark := hour < nightTo || hour >= nightFrom; dark && night != g.lastNight {
		g.lastNight = night
		g.Nights++
	}
}
