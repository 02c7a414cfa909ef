package battery

import (
	"sunrill/data/clock"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Stops counts the hours of a counted reading in which the load got less than
// it asked for. A night runs from 18 to 08 by the hour; the hours before
// sunrise are those in which a pond is shortest of oxygen.
type Stops struct {
	Hours            int     // with any shortfall
	LongestHours     int     // consecutive
	BeforeEight      int     // between 00 and 08
	Nights           int     // with a stop between 18 and 08
	LongestNightsRun int     // consecutive such nights
	ByMonth          [12]int // hours, by calendar month
}

// YearStops is what one year of a record lacked. Years are stretches of 8760
// hours from the record's first hour, counted from 1.
type YearStops struct {
	Year    int
	Hours   int
	UnmetWh float64
}

// stopLog gathers Stops hour by hour.
type stopLog struct {
	Stops
	years               []YearStops
	seen                int // hours read
	last, run           int
	lastNight, nightRun int
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
		g.run = 1
	}
	g.last = i
	g.LongestHours = max(g.LongestHours, g.run)
	hour := (start + i) % clock.HoursPerDay
	if hour < nightTo {
		g.BeforeEight++
	}
	if hour >= nightTo && hour < nightFrom {
		return
	}
	night := (start + i + clock.HoursPerDay/2) / clock.HoursPerDay // noon to noon
	if night == g.lastNight {
		return
	}
	if g.nightRun++; night != g.lastNight+1 {
		g.nightRun = 1
	}
	g.lastNight = night
	g.Nights++
	g.LongestNightsRun = max(g.LongestNightsRun, g.nightRun)
}
