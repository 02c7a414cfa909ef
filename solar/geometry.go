package solar

import (
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

// HoursPerYear is the length of every year in this package.
const HoursPerYear = 8760

// ReferenceYear is the calendar year whose sun stands for every year. Another
// year moves a panel's yearly irradiation by under 0.01 %.
const ReferenceYear = 2023

// Geometry is the sun over a site in every hour of a year of 365 days, at the
// middle of the hour. Make it once and use it for all years of a site; it is
// read-only and safe to share.
type Geometry struct {
	Site Site

	// Unit vector towards the sun at mid-hour. Up is the cosine of the zenith
	// angle, negative below the horizon.
	East, North, Up []float64

	// ExtraNormal is Gsc times Spencer's eccentricity of the day, irradiance
	// outside the atmosphere on a plane facing the sun [W/m²]. The split and sky
	// correlations were fitted with it; the true distance differs by up to 0.11 %.
	ExtraNormal []float64

	// ExtraHorizontal is the mean over the whole hour of irradiance on a
	// horizontal plane outside the atmosphere [W/m²]. It may be above 0 where Up
	// is not: the sun rose or set in that hour.
	ExtraHorizontal []float64

	// Share is the share of each day's global irradiation that falls in each
	// hour: r_t of dayShares, normalised so that the 24 hours of a day sum to 1, or
	// are all 0 on a day without sun.
	Share []float64

	// DailyExtra is the sum of ExtraHorizontal over each day [kWh/m²].
	DailyExtra [365]float64
}

// NewGeometry returns the geometry of ReferenceYear at site, hours by its
// clock. The sun among the stars is computed every half day and run through by
// parabolas, which is exact to 1e-5 degrees.
func NewGeometry(site Site) *Geometry {
	columns := make([]float64, 6*HoursPerYear)
	column := func(i int) []float64 { return columns[i*HoursPerYear : (i+1)*HoursPerYear : (i+1)*HoursPerYear] }
	g := &Geometry{Site: site,
		East: column(0), North: column(1), Up: column(2),
		ExtraNormal: column(3), ExtraHorizontal: column(4), Share: column(5)}
	start := JulianDate(ReferenceYear, 1, 1) - float64(site.UTCOffset/units.Day)
	d := dayBuilder{g: g}
	d.sinPhi, d.cosPhi = math.Sincos(float64(site.Latitude))
	end := apparentSun(start)
	for day := range 365 {
		noon := apparentSun(start + float64(day) + 0.5)
		begin := end
		end = apparentSun(start + float64(day) + 1)
		d.fill(day, float64(site.UTCOffset/units.Hour), begin, noon, end)
	}
	return g
}

// dayBuilder fills the hours of a Geometry day by day.
type dayBuilder struct {
	g              *Geometry
	sinPhi, cosPhi float64
}

// parabola runs through three values at the start, middle and end of a day;
// at is the part of the day that has gone.
func parabola(a, b, c, at float64) float64 {
	return a + at*(4*b-3*a-c) + at*at*(2*a+2*c-4*b)
}

// fill computes the 24 hours of a day from the sun at its start, middle and
// end.
func (d *dayBuilder) fill(day int, utcOffset float64, begin, noon, end sunState) {
	g := d.g
	ws := float64(SunsetAngle(g.Site.Latitude, units.Angle(math.Atan2(noon.sinDelta, noon.cosDelta))))
	share := newDayShares(ws)
	extraNormal := float64(SolarConstant) * EccentricitySpencer(float64(day+1))
	sum, high, highest := 0.0, 24*day, -2.0
	for k := range 24 {
		i, clock := 24*day+k, float64(k)+0.5
		at := clock / 24
		sinDelta := parabola(begin.sinDelta, noon.sinDelta, end.sinDelta, at)
		cosDelta := math.Sqrt(1 - sinDelta*sinDelta)
		eqTime := parabola(begin.eqTime, noon.eqTime, end.eqTime, at)
		// Hour angle of the true sun: mean solar time and the equation of time.
		h := math.Remainder((clock-utcOffset-12)*math.Pi/12+float64(g.Site.Longitude)+eqTime, 2*math.Pi)
		sinH, cosH := math.Sincos(h)
		up := d.sinPhi*sinDelta + d.cosPhi*cosDelta*cosH
		// Seen from the ground and not from the Earth's centre the zenith angle z
		// is larger by p sin z: cos z falls by p sin² z and sin z grows by
		// p sin z cos z.
		spread := 1 + solarParallax*up
		g.East[i] = -cosDelta * sinH * spread
		g.North[i] = (sinDelta*d.cosPhi - cosDelta*cosH*d.sinPhi) * spread
		g.Up[i] = up - solarParallax*(1-up*up)
		g.ExtraNormal[i] = extraNormal
		g.ExtraHorizontal[i] = g.ExtraNormal[i] * meanUp(d.sinPhi*sinDelta, d.cosPhi*cosDelta, h)
		g.DailyExtra[day] += g.ExtraHorizontal[i] / 1000
		g.Share[i] = share.global(cosH)
		sum += g.Share[i]
		if g.Up[i] > highest {
			high, highest = i, g.Up[i]
		}
	}
	switch {
	case sum > 0:
		for i := 24 * day; i < 24*day+24; i++ {
			g.Share[i] /= sum
		}
	case g.DailyExtra[day] > 0: // the sun shows itself between two mid-hours
		g.Share[high] = 1
	}
}

// meanUp returns the mean of max(a + b cos h, 0) over the hour whose middle is
// at hour angle h, where a = sin phi sin delta and b = cos phi cos delta.
func meanUp(a, b, h float64) float64 {
	const half = math.Pi / 24
	switch {
	case a >= b: // polar day; also the pole, where b is 0
		return a + b*math.Cos(h)*sincHalfHour
	case a <= -b:
		return 0
	}
	ws := math.Acos(-a / b)
	switch {
	case math.Abs(h)+half <= ws:
		return a + b*math.Cos(h)*sincHalfHour
	case math.Abs(h)-half >= ws && 2*math.Pi-math.Abs(h)-half >= ws:
		return 0
	}
	sum := 0.0
	// The day's arc and its neighbours one turn away: an hour at midnight may
	// hold the end of one and the start of the next.
	for turn := -2 * math.Pi; turn <= 2*math.Pi; turn += 2 * math.Pi {
		from, to := math.Max(h-half, turn-ws), math.Min(h+half, turn+ws)
		if from < to {
			sum += a*(to-from) + b*(math.Sin(to)-math.Sin(from))
		}
	}
	return math.Max(sum/(2*half), 0)
}

// sincHalfHour is sin(x)/x of half an hour: the mean of a cosine over an hour
// is that at its middle times this.
var sincHalfHour = math.Sin(math.Pi/24) / (math.Pi / 24)

// MonthOf returns the month, 0 to 11, of day 0 to 364 of the year.
func MonthOf(day int) int { return int(monthOf[day]) }

// monthOf is MonthOf as a table: it is asked for every hour of many years.
var monthOf = func() (table [365]uint8) {
	day := 0
	for m, days := range data.MonthDays {
		for range days {
			table[day] = uint8(m)
			day++
		}
	}
	return table
}()

// MonthStart returns the first day, counted from 0, of month 0 to 11; month 12
// gives 365.
func MonthStart(month int) int {
	day := 0
	for _, days := range data.MonthDays[:month] {
		day += days
	}
	return day
}

// MonthlyExtra returns the mean of DailyExtra over each month [kWh/m² a day].
func (g *Geometry) MonthlyExtra() [12]float64 {
	var mean [12]float64
	for day, h := range g.DailyExtra {
		m := MonthOf(day)
		mean[m] += h / float64(data.MonthDays[m])
	}
	return mean
}
