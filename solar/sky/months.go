package sky

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/floats"

	"sunrill/data"
	"sunrill/solar"
)

// SunMonths is what a site and a panel give in the mean day of each month.
type SunMonths struct {
	GHI   [12]float64 // global horizontal irradiation [kWh/m² a day]
	POA   [12]float64 // on the panel, before incidence loss [kWh/m² a day]
	TempC [12]float64 // air [°C]
	Yield [12]float64 // to the battery, after every loss [Wh a day per W of panel]
}

// Year returns the means over the days of the year.
func (m SunMonths) Year() (ghi, poa, tempC, yield float64) {
	for i, days := range data.MonthDays {
		w := float64(days) / solar.DaysPerYear
		ghi += w * m.GHI[i]
		poa += w * m.POA[i]
		tempC += w * m.TempC[i]
		yield += w * m.Yield[i]
	}
	return ghi, poa, tempC, yield
}

// Worst returns the month, 0 to 11, in which each watt of panel gives least.
func (m SunMonths) Worst() int {
	worst := 0
	for i, y := range m.Yield {
		if y < m.Yield[worst] {
			worst = i
		}
	}
	return worst
}

// WorstLit returns Worst without dark months (0 to 11), unless there are no
// others.
func (m SunMonths) WorstLit(dark []int) int {
	if len(dark) < len(m.Yield) {
		for _, i := range dark {
			m.Yield[i] = math.Inf(1)
		}
	}
	return m.Worst()
}

// MonthsOn returns Months with the panel on another plane.
func (s *Sky) MonthsOn(plane solar.Plane, weather *solar.Series) SunMonths {
	turned := *s
	turned.Plane.Tilt, turned.Plane.Azimuth = plane.Tilt, plane.Azimuth
	turned.light()
	return turned.Months(weather)
}

// Months returns the monthly means of weather, which is s.Weather or what
// s.AsSource returns: sums of the hours that batteries are balanced on. A
// monthly method (Klein's) would read up to a tenth apart from them in dark
// months, and then a panel sized by the table would not be the one sized by the
// hours.
func (s *Sky) Months(weather *solar.Series) SunMonths {
	var m SunMonths
	m.GHI, m.TempC = weather.MonthlyMeans()
	if s.Years > 0 { // made to these means: print them as they were given
		snap(&m.GHI, s.Climate.SizingGHI)
		snap(&m.GHI, s.Climate.GHI)
		snap(&m.TempC, s.Climate.TempC)
	}
	for i, wh := range s.Array.MonthlyPlane(weather) {
		m.POA[i] = wh / 1000
	}
	m.Yield = weather.Monthly(s.PerWatt(weather))
	return m
}

// snap sets figures that are off those of a climate by no more than the
// rounding of sums to them.
func snap(figures *[12]float64, to [12]float64) {
	for m, v := range to {
		if math.Abs(figures[m]-v) <= 1e-9*(1+math.Abs(v)) {
			figures[m] = v
		}
	}
}

// Losses returns every loss between the sun on the panel and the battery over
// the whole of weather, in the order in which they are taken: what the glass,
// shade and snow turn away, heat, the named losses, the controller. Multiplied
// they give the yield of Months.
func (s *Sky) Losses(weather *solar.Series) []solar.Loss {
	cool := *s
	cool.Panel.Gamma = 0
	cool.light()
	sun := floats.Sum(s.Array.PlaneOfArray(nil, weather)) / 1000
	at25, yield := floats.Sum(cool.PerWatt(weather)), floats.Sum(s.PerWatt(weather))
	if at25 <= 0 {
		return s.Panel.Losses
	}
	kept := (1 - solar.LossProduct(s.Panel.Losses)) * s.Charger.Share
	var all []solar.Loss
	add := func(name string, share float64) {
		if share > 1e-9 || share < -1e-9 {
			all = append(all, solar.Loss{Name: name, Share: share})
		}
	}
	add(s.turnedAway(), 1-at25/(sun*kept))
	add("heat", 1-yield/at25)
	for _, l := range s.Panel.Losses {
		add(l.Name, l.Share)
	}
	add("controller", 1-s.Charger.Share)
	return all
}

// turnedAway names what light does not reach the cells.
func (s *Sky) turnedAway() string {
	var names []string
	if s.Panel.Incidence != solar.IncidenceNone {
		names = append(names, "slanting light")
	}
	if s.Panel.Shade != (solar.Shade{Whole: s.Panel.Shade.Whole}) {
		names = append(names, "shade")
	}
	if s.Panel.Snow != ([12]float64{}) {
		names = append(names, "snow")
	}
	return strings.Join(names, ", ")
}
