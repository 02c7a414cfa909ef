package solar

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data/units"
)

// LowFactor is the share of the source's sun that is kept in the three darkest
// months where it is known to be too bright in winter.
//
// Measured over source (NASA SSE) in December: Mannheim 0.67, Brasov 0.71,
// Potsdam 0.77, Rothamsted 0.87, De Bilt 0.91; over the 2.5 degree grid Mannheim
// 0.67, Seattle 0.71, Brasov 0.76, Potsdam 0.77. In dry continental winters the
// source is not too bright: Swift Current 1.06, Petropavl 1.05, Yakima 1.03.
const LowFactor = 0.75

// lowLatitude, lowClearness, and the bounds of Europe part the places where
// the winter figure is lowered: see winterIsTooBright.
const (
	lowLatitude  = 45 * units.Degree
	lowClearness = 0.42
	europeWest   = -25 * units.Degree
	europeEast   = 40 * units.Degree
)

// winterIsTooBright reports whether the source is known or likely to be too
// bright in winter: from 45 degrees of latitude, in Europe (25 W to 40 E), and
// elsewhere where the clearness of the three darkest months together is below
// 0.42, which means the maritime winter that Europe has. At the ten stations
// above 45 degrees that were measured it parts those with a mean ratio of 0.67
// to 0.90 (five in Europe, Seattle) from those with 0.93 to 1.08 (Pullman,
// Yakima, Swift Current, Petropavl, of clearness 0.424 to 0.46).
func winterIsTooBright(site Site, ghi [12]float64) bool {
	if units.Angle(math.Abs(float64(site.Latitude))) < lowLatitude {
		return false
	}
	if inEurope(site) {
		return true
	}
	h0 := MonthlyExtraterrestrial(site.Latitude)
	sun, extra := 0.0, 0.0
	for _, m := range darkestMonths(ghi) {
		sun += ghi[m]
		extra += h0[m]
	}
	return extra > 0 && sun/extra < lowClearness
}

func inEurope(site Site) bool {
	return site.Latitude > 0 && site.Longitude >= europeWest && site.Longitude <= europeEast
}

// darkestMonths returns the three months of least sun that have any: polar
// night needs no allowance, the months beside it do.
func darkestMonths(ghi [12]float64) []int {
	var months []int
	for m, sun := range ghi {
		if sun >= leastSun {
			months = append(months, m)
		}
	}
	slices.SortStableFunc(months, func(a, b int) int { return cmp.Compare(ghi[a], ghi[b]) })
	return months[:min(3, len(months))]
}

// Quality returns how good the figures are, in a sentence.
func (c Climate) Quality() string {
	if c.MonthlyError == 0 {
		return "used as given: nothing here says how good the figures are"
	}
	return units.Sprintf("sun of single months within about %.0f %%, of the year within %.0f %% "+
		"(root mean square against 63 stations, satellite points and typical years); air within about %.1f °C",
		100*c.MonthlyError, 100*c.YearError, c.TempError)
}

// LowReason returns why the sizing figure is below the plain one, with the
// measurements it rests on, or "".
func (c Climate) LowReason() string {
	if !c.LowWinter {
		return ""
	}
	why := "in Europe above 45 degrees the source is known to be too bright in winter"
	if !inEurope(c.Site) {
		why = "in winters as dull as here, above 45 degrees, the source is likely to be too bright"
	}
	return units.Sprintf("%s: six stations measured 0.67 to 0.91 of it in December (five in Europe, Seattle). "+
		"Sizing takes %.2f of the three darkest months", why, LowFactor)
}

// Root-mean-square errors of a month's mean air temperature against about 450
// city normals [K]: at the city's own height, and at the mean height of its cells.
const (
	airError       = 1.6
	airErrorOfCell = 2.0
)

// interpolationError is the root-mean-square error of interpolating the grid
// to the 1 degree cell of a place, as a share.
const interpolationError = 0.046

// sourceError returns the root-mean-square monthly error of NASA SSE by
// latitude: 1.25 times (as for a normal spread) the mean absolute difference
// against 63 independent station, satellite-point and typical-year rows.
func sourceError(latitude units.Angle) float64 {
	switch a := math.Abs(latitude.In(units.Degree)); {
	case a < 15:
		return 1.25 * 0.07
	case a < 40:
		return 1.25 * 0.05
	case a < 47:
		return 1.25 * 0.07
	}
	return 1.25 * 0.11
}

// yearError is the root-mean-square error of the yearly sum against the
// independent rows.
const yearError = 0.047

// rate fills errors and the winter figure of a climate that rests on NASA SSE.
func (c *Climate) rate(interpolation float64) {
	c.MonthlyError = math.Hypot(sourceError(c.Site.Latitude), interpolation)
	c.YearError = yearError
	c.SizingGHI = c.GHI
	if winterIsTooBright(c.Site, c.GHI) {
		c.LowWinter = true
		for _, m := range darkestMonths(c.GHI) {
			c.SizingGHI[m] *= LowFactor
		}
	}
	if a := math.Abs(c.Site.Latitude.In(units.Degree)); a > 47 && !c.LowWinter {
		c.warn("above 47 degrees this source is uncertain by -33 to +20 % in the three darkest months")
	}
}
