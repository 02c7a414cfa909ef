package solar

import "math"

// NewYears returns the hours of NewDays: Days.Series of its days.
func NewYears(g *Geometry, ghi, tempC [12]float64, years int, seed uint64) (*Series, error) {
	d, err := NewDays(g, ghi, tempC, years, seed)
	if err != nil {
		return nil, err
	}
	return d.Series(g, tempC), nil
}

// Series cuts the days into hours by Geometry.Share, splits them by
// Geometry.Split and gives every day the air temperature of SmoothYear. Cloud
// that comes and goes within the day is left out: against three real hourly
// years the share of a panel's sun above 100 to 450 W/m² came out within 4 %
// without it.
func (d *Days) Series(g *Geometry, tempC [12]float64) *Series {
	s := NewSeries(len(d.GHI) * 24)
	temp := SmoothYear(tempC)
	day := 0
	for i, h := range d.GHI {
		share := g.Share[24*day : 24*day+24]
		ghi, air := s.GHI[24*i:24*i+24], s.TempC[24*i:24*i+24]
		for hour := range ghi {
			ghi[hour] = 1000 * h * share[hour]
			air[hour] = temp[day]
		}
		if day++; day == DaysPerYear {
			day = 0
		}
	}
	g.Split(s)
	return s
}

// SmoothYear returns a value for every day of the year that moves in straight
// lines from the middle of one month to the next and whose mean over each
// month is mean.
func SmoothYear(mean [12]float64) [DaysPerYear]float64 {
	var smooth [DaysPerYear]float64
	knots := mean
	for range 60 { // each round at least halves the miss
		smooth = betweenMonths(knots)
		worst := 0.0
		for m := range mean {
			sum := 0.0
			for _, v := range smooth[MonthStart(m):MonthStart(m+1)] {
				sum += v
			}
			miss := mean[m] - sum/float64(MonthDays[m])
			knots[m] += miss
			worst = math.Max(worst, math.Abs(miss))
		}
		if worst < 1e-12 {
			break
		}
	}
	return smooth
}

// betweenMonths returns the straight lines through knots at mid-month.
func betweenMonths(knots [12]float64) [DaysPerYear]float64 {
	var lines [DaysPerYear]float64
	middle := func(m int) float64 { return float64(MonthStart(m)) + float64(MonthDays[m])/2 }
	for m, days := range MonthDays {
		next := (m + 1) % 12
		from := middle(m)
		length := float64(days+MonthDays[next]) / 2
		for day := int(math.Ceil(from - 0.5)); float64(day)+0.5 < from+length; day++ {
			t := (float64(day) + 0.5 - from) / length
			lines[day%DaysPerYear] = knots[m] + t*(knots[next]-knots[m])
		}
	}
	return lines
}
