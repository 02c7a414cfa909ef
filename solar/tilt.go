package solar

import (
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/units"
)

// Optimum is the way to lay a panel that serves its weakest month best.
type Optimum struct {
	Plane        Plane
	WorstMonth   int     // 0 to 11: the month with the least yield for its need; -1 if none has both sun and need
	WorstPerNeed float64 // its yield over its need
	YearOptimum  Plane   // what gives the most in a year facing the equator, or the settled azimuth, to show the difference
	DarkMonths   []int   // needed, but without sun: no panel serves them
}

// leastSun is the monthly mean below which a month counts as dark [kWh/m² a
// day].
const leastSun = 0.05

// leastGain is what another direction must bring over facing the equator to be
// chosen: less is the noise of mean hours.
const leastGain = 0.01

// BestPlane returns the plane whose weakest month gives the most for its need,
// to the degree of tilt and five degrees of azimuth. It faces the equator
// unless another direction brings a hundredth more: near the equator, or where
// shade takes half the day; or azimuth, where a roof or a wall has settled that.
// need is the energy wanted in each month in any unit; months that need nothing
// are left out, and nil needs the same every month. ground gives the albedo; its
// tilt and azimuth do not count.
//
// It works on the mean hours of each month of s; months without sun are listed
// and left out.
func BestPlane(g *Geometry, s *Series, panel Panel, ground Plane, azimuth *units.Angle, need *[12]float64) Optimum {
	return newMeanYear(g, s, nil).search(panel, ground, need).from(0, azimuth)
}

// MeanYear is a year of twelve mean days of weather.
type MeanYear struct {
	sun, days *Geometry
	weather   *Series
	ghi       [12]float64 // of all the weather [kWh/m² a day]
}

// DarkSpells returns the darkest spells of each month of s.
func DarkSpells(g *Geometry, s *Series) *MeanYear { return newMeanYear(g, s, s.darkDays()) }

func newMeanYear(g *Geometry, s *Series, days []bool) *MeanYear {
	ghi, _ := s.MonthlyMeans()
	return &MeanYear{g, g.meanDays(), s.meanWeather(days), ghi}
}

// Best returns the plane as BestPlane does, but by the darkest spells of each month in
// place of its mean hours: they decide how large a battery and its panel have to be, and as
// their sky is grey all over a flatter panel gets more of it. None is flatter than least.
func (y *MeanYear) Best(panel Panel, ground Plane, azimuth *units.Angle, need *[12]float64, least units.Angle) Optimum {
	return y.search(panel, ground, need).from(least.In(units.Degree), azimuth)
}

// from returns the best plane of at least so many degrees of tilt.
func (p *planeSearch) from(least float64, azimuth *units.Angle) Optimum {
	if azimuth != nil {
		p.tilts(azimuth.In(units.Degree), least, 90, 1)
		return p.best
	}
	g, panel := p.sun, p.panel
	equator := g.Site.EquatorAzimuth().In(units.Degree)
	// The worst month's yield rises to one peak with tilt: by tens, then by ones.
	p.tilts(equator, least, 90, 10)
	for _, plane := range []Plane{p.best.Plane, p.best.YearOptimum} {
		tilt := plane.Tilt.In(units.Degree)
		p.tilts(equator, max(tilt-9, least), min(tilt+9, 90), 1)
	}
	p.yearDone = true
	if g.Site.Latitude > tropics || g.Site.Latitude < -tropics {
		if panel.Shade.ByHour == [24]float64{} {
			return p.best // nothing draws the panel off the equator
		}
	}
	for turn := 30.0; turn < 360; turn += 30 {
		for tilt := max(10, least); tilt <= 90; tilt += 10 {
			p.try(tilt, math.Mod(equator+turn, 360), leastGain)
		}
	}
	if p.best.Plane.Azimuth != g.Site.EquatorAzimuth() {
		p.refine(least)
	}
	return p.best
}

// search returns the search for a need.
func (y *MeanYear) search(panel Panel, ground Plane, need *[12]float64) *planeSearch {
	search := &planeSearch{MeanYear: y, panel: panel, ground: ground,
		buffer: make([]float64, meanHours), best: Optimum{WorstMonth: -1, WorstPerNeed: -1}}
	for m := range 12 {
		search.want[m] = 1
		if need != nil {
			search.want[m] = need[m]
		}
		if y.ghi[m] < leastSun && search.want[m] > 0 {
			search.best.DarkMonths = append(search.best.DarkMonths, m)
			search.want[m] = 0
		}
	}
	return search
}

// tropics is the latitude up to which the noon sun stands on the far side of
// the zenith in some month, with some degrees to spare.
const tropics = 30 * units.Degree

// tilts tries every step degrees of tilt at an azimuth.
func (p *planeSearch) tilts(azimuth, from, to, step float64) {
	for tilt := from; tilt <= to; tilt += step {
		p.try(tilt, azimuth, 0)
	}
}

// planeSearch carries a search for the best plane.
type planeSearch struct {
	*MeanYear
	panel    Panel
	ground   Plane
	want     [12]float64
	buffer   []float64
	best     Optimum
	mostYear float64
	yearDone bool
}

// refine searches around the best plane in ever smaller steps.
func (p *planeSearch) refine(least float64) {
	for _, step := range []float64{5, 2, 1} {
		tilt, azimuth := p.best.Plane.Tilt.In(units.Degree), p.best.Plane.Azimuth.In(units.Degree)
		for dt := -2.0; dt <= 2; dt++ {
			for da := -10.0; da <= 10; da += 5 {
				p.try(clamp(tilt+dt*step, least, 90), math.Mod(azimuth+da+360, 360), 0)
			}
		}
	}
}

// try computes the plane of tilt and azimuth [degrees] and keeps it where it
// is better by more than gain.
func (p *planeSearch) try(tilt, azimuth, gain float64) {
	plane := p.ground
	plane.Tilt, plane.Azimuth = units.Angle(tilt)*units.Degree, units.Angle(azimuth)*units.Degree
	array := NewArray(p.days, plane, p.panel)
	p.buffer = array.Yield(p.buffer, p.weather)
	var perDay [12]float64
	for k, y := range p.buffer {
		perDay[k/24] += y
	}
	worst, worstMonth, year := math.Inf(1), -1, 0.0
	for m, y := range perDay {
		year += y * float64(data.MonthDays[m])
		if p.want[m] > 0 && y/p.want[m] < worst {
			worst, worstMonth = y/p.want[m], m
		}
	}
	if !p.yearDone && year > p.mostYear {
		p.mostYear, p.best.YearOptimum = year, plane
	}
	if worstMonth < 0 { // nothing needed meets any sun: the year decides
		worst = year
	}
	if worst > p.best.WorstPerNeed*(1+gain) || p.best.WorstPerNeed < 0 {
		p.best.Plane = plane
		p.best.WorstMonth, p.best.WorstPerNeed = worstMonth, worst
	}
}

// meanHours is the length of a year of twelve mean days.
const meanHours = 12 * 24

// meanDays returns the sun of the day of KleinDays of each month, 24 hours
// each.
func (g *Geometry) meanDays() *Geometry {
	m := &Geometry{Site: g.Site}
	for _, n := range KleinDays {
		from := 24 * (int(n) - 1)
		pick := func(to *[]float64, all []float64) { *to = append(*to, all[from:from+24]...) }
		pick(&m.East, g.East)
		pick(&m.North, g.North)
		pick(&m.Up, g.Up)
		pick(&m.ExtraNormal, g.ExtraNormal)
		pick(&m.ExtraHorizontal, g.ExtraHorizontal)
		pick(&m.Share, g.Share)
	}
	return m
}

// A spell that decides a battery is so many days long, and the darkest are such a share of those
// of a month: stated rules, no source. What they cost is held against other tilts by a test.
const (
	spellDays = 3
	darkShare = 0.05
)

// darkDays returns the days of the darkest spells of each calendar month; nil, for all of them,
// where there is no spell.
func (s *Series) darkDays() []bool {
	days := len(s.GHI) / 24
	if days < spellDays {
		return nil
	}
	until, dark := make([]float64, days+1), make([]bool, days+1)
	for d := range days {
		until[d+1] = until[d]
		for _, v := range s.GHI[24*d : 24*d+24] {
			until[d+1] += v
		}
	}
	month := func(d int) int { return MonthOf((s.Start/24 + d) % DaysPerYear) }
	spell := func(d int) float64 { return until[d+1] - until[max(0, d+1-spellDays)] } // that ends with day d
	var by [12][]float64
	for d := spellDays - 1; d < days; d++ {
		by[month(d)] = append(by[month(d)], spell(d))
	}
	for m := range by {
		slices.Sort(by[m])
	}
	for d := spellDays - 1; d < days; d++ {
		all := by[month(d)]
		if spell(d) <= all[int(darkShare*float64(len(all)-1))] {
			for k := range spellDays {
				dark[d-k] = true
			}
		}
	}
	return dark
}

// meanWeather returns the mean of s in each clock hour of each month, of some days unless nil.
func (s *Series) meanWeather(days []bool) *Series {
	mean := NewSeries(meanHours)
	var count [meanHours]float64
	s.eachMonth(func(month, lo, hi int) {
		for next := lo; lo < hi; lo = next {
			if next = min(hi, lo+24-lo%24); days != nil && !days[lo/24] {
				continue
			}
			for i := lo; i < next; i++ {
				k := 24*month + (s.Start+i)%24
				count[k]++
				mean.GHI[k] += s.GHI[i]
				mean.DNI[k] += s.DNI[i]
				mean.DHI[k] += s.DHI[i]
				mean.TempC[k] += s.Air(i)
			}
		}
	})
	for k, n := range count {
		if n > 0 {
			mean.GHI[k] /= n
			mean.DNI[k] /= n
			mean.DHI[k] /= n
			mean.TempC[k] /= n
		}
	}
	return mean
}
