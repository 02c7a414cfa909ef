package solar

import "math"

// Series is hour after hour of weather. Hour i lies at hour (Start+i) mod 8760
// of the year of a Geometry; leap days are left out. All slices have one
// length, but for a TempC of whole years, which begins anew where it ends.
type Series struct {
	Start int       // hour of the year of the first value, 0 to 8759
	GHI   []float64 // global horizontal irradiance, mean of the hour [W/m²]
	DNI   []float64 // beam on a plane facing the sun [W/m²]
	DHI   []float64 // diffuse on the horizontal [W/m²]
	TempC []float64 // air temperature [°C]
}

// NewSeries returns a series of the given number of hours, all zero, that
// starts on 1 January; every year has the same air.
func NewSeries(hours int) *Series {
	columns := make([]float64, 3*hours)
	column := func(i int) []float64 { return columns[i*hours : (i+1)*hours : (i+1)*hours] }
	return &Series{GHI: column(0), DNI: column(1), DHI: column(2), TempC: make([]float64, min(hours, HoursPerYear))}
}

// Air returns the temperature of the air in hour i [°C].
func (s *Series) Air(i int) float64 { return s.TempC[i%len(s.TempC)] }

// Hours returns the length of the record.
func (s *Series) Hours() int { return len(s.GHI) }

// leastUp is the cosine of the zenith angle (89 degrees) below which a split
// gives no beam: mid-hour geometry would turn a trace of it into a blaze.
const leastUp = leastCosZenith

// Split fills DNI and DHI of s from its GHI by ErbsHourly, clearness being
// taken over the whole hour. Beam is held to what there is outside the
// atmosphere, the rest counted as diffuse, so that
//
//	GHI = DNI cos z + DHI
//
// holds in every hour with the sun up at mid-hour, and DHI = GHI in the others.
func (g *Geometry) Split(s *Series) {
	h := s.Start
	for i, ghi := range s.GHI {
		up := g.Up[h]
		if up <= leastUp || ghi <= 0 {
			s.DNI[i], s.DHI[i] = 0, ghi
		} else {
			beam := ghi * (1 - ErbsHourly(ghi/g.ExtraHorizontal[h]))
			dni := math.Min(beam/up, g.ExtraNormal[h])
			s.DNI[i], s.DHI[i] = dni, ghi-dni*up
		}
		if h++; h == HoursPerYear {
			h = 0
		}
	}
}

// MonthlyMeans returns the mean irradiation [kWh/m² a day] and temperature
// [°C] of each calendar month over the whole record.
func (s *Series) MonthlyMeans() (ghi, tempC [12]float64) {
	var hours [12]int
	s.eachMonth(func(month, lo, hi int) {
		sun, air := ghi[month], tempC[month]
		for i := lo; i < hi; i++ {
			sun += s.GHI[i]
			air += s.Air(i)
		}
		ghi[month], tempC[month] = sun, air
		hours[month] += hi - lo
	})
	for m, n := range hours {
		if n > 0 {
			ghi[m] *= 24 / 1000.0 / float64(n)
			tempC[m] /= float64(n)
		}
	}
	return ghi, tempC
}

// Monthly returns the mean of x, one value an hour of s, over each calendar
// month, times 24: W/m² become Wh/m² a day. A month without hours gives 0.
func (s *Series) Monthly(x []float64) (perDay [12]float64) {
	return s.monthly(func(lo, hi int) []float64 { return x[lo:hi] })
}

// monthly is Monthly of what of returns of hours lo to hi-1.
func (s *Series) monthly(of func(lo, hi int) []float64) (perDay [12]float64) {
	var hours [12]int
	s.eachMonth(func(month, lo, hi int) {
		sum := perDay[month]
		for _, v := range of(lo, hi) {
			sum += v
		}
		perDay[month] = sum
		hours[month] += hi - lo
	})
	for m, n := range hours {
		if n > 0 {
			perDay[m] *= 24 / float64(n)
		}
	}
	return perDay
}

// eachMonth calls visit with the month, 0 to 11, and the hours lo to hi-1 of every
// month of the record in turn.
func (s *Series) eachMonth(visit func(month, lo, hi int)) {
	h := s.Start
	for lo := 0; lo < len(s.GHI); {
		month := MonthOf(h / 24)
		hi := min(len(s.GHI), lo+24*MonthStart(month+1)-h)
		visit(month, lo, hi)
		if h += hi - lo; h == HoursPerYear {
			h = 0
		}
		lo = hi
	}
}
