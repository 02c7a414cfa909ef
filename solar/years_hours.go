package solar

import (
	"math"
	"math/rand/v2"

	"sunrill/data"
	"sunrill/data/cores"
)

// NewYears returns the hours of NewDays: Days.Series of its days.
func NewYears(g *Geometry, ghi, tempC [12]float64, years int, seed uint64) *Series {
	return NewDays(g, ghi, tempC, years, seed).Series(g, tempC)
}

// Series cuts the days into hours by Geometry.Share with cloud that comes and
// goes within the day, splits them by Geometry.Split and gives every day the
// air temperature of smoothYear.
//
// Without cloud within the day the share of a panel's sun above 450 W/m² comes
// out 9 to 12 % too small even from measured days (four real hourly years),
// which is what a pump on a bare panel lives on. A day's sum is kept.
func (d *Days) Series(g *Geometry, tempC [12]float64) *Series {
	s := NewSeries(len(d.GHI) * 24)
	temp := smoothYear(tempC)
	years := len(d.GHI) / DaysPerYear
	n := min(cores.Number(), years)
	cores.Each(n, func(i int) { d.hours(s, g, &temp, i*years/n*DaysPerYear, (i+1)*years/n*DaysPerYear) })
	return s
}

// hours fills in the hours of the days from one, the first of a year, up to another.
func (d *Days) hours(s *Series, g *Geometry, temp *[DaysPerYear]float64, from, to int) {
	random := rand.NewPCG(d.seed, cloudStream)
	for range 24 * from { // one an hour, so that years can be made apart
		random.Uint64()
	}
	day, month := 0, 0
	for i := from; i < to; i++ {
		h := d.GHI[i]
		if day == MonthStart(month+1) {
			month++
		}
		ghi, air := s.GHI[24*i:24*i+24], s.TempC[24*i:24*i+24]
		for hour := range air {
			air[hour] = temp[day]
		}
		clouds(ghi, h, g.DailyExtra[day], d.clearest[month], g.Share[24*day:24*day+24], random)
		if day++; day == DaysPerYear {
			day, month = 0, 0
		}
	}
	g.Split(&Series{GHI: s.GHI[24*from : 24*to], DNI: s.DNI[24*from : 24*to], DHI: s.DHI[24*from : 24*to]})
}

// cloudStream parts the random numbers of hours from those of days, so that
// days stay as they are.
const cloudStream = 0x436c6f756473

// mostCloud bounds the scale of the log-odds within a day: on the clearest days
// there is no room for the published spread.
const mostCloud = 1.0

// clouds fills the 24 hours of a day of sum h from the shares of a clear one.
//
//	k = Kc/(1 + exp(-m - s e)), s = sigma(K)/(Kc p (1 - p)), p = K/Kc
//	sigma(K) = 0.1557 sin(pi K/0.933)
//	e = phi e' + sqrt(1 - phi²) noise, phi = 0.38 + 0.06 cos(7.4 K - 2.5)
//
// K is the day's clearness, Kc that of the clearest day, k the clearness of the
// hour, e its normal score and m such that the sum of the hours is h. Spread
// and persistence from hour to hour: Knight, Klein & Duffie 1991, Solar Energy
// 46(2), after Graham & Hollands 1990, both from memory.
func clouds(ghi []float64, h, extra, clearest float64, share []float64, random *rand.PCG) {
	var scores [24]float64
	k := 0.0
	if extra > 0 {
		k = h / extra
	}
	phi := 0.38 + 0.06*math.Cos(7.4*k-2.5)
	step, e, up := math.Sqrt(1-phi*phi), 0.0, false
	for hour, part := range share {
		bits := random.Uint64() // one an hour whatever the place
		if part == 0 {
			continue
		}
		noise := normal(bits)
		if e = phi*e + step*noise; !up {
			e, up = noise, true
		}
		scores[hour] = e
	}
	p := k / clearest
	if !(p > 0 && p < 1) {
		for hour, part := range share {
			ghi[hour] = 1000 * h * part
		}
		return
	}
	scale := math.Min(0.1557*math.Sin(math.Pi*k/0.933)/(clearest*p*(1-p)), mostCloud)
	spreadDay(ghi, &scores, p, scale, share)
	sum := 0.0
	for _, v := range ghi {
		sum += v
	}
	for hour := range ghi {
		ghi[hour] *= 1000 * h / sum // 1 within the tolerance of the level
	}
}

// spreadDay fills ghi with share times logistic(m + scale score), m such that
// they come to p in sum, by Newton's method from the level of an even day.
func spreadDay(ghi []float64, scores *[24]float64, p, scale float64, share []float64) {
	const tolerance = 1e-4 // of p; the day's sum is set exactly afterwards
	level := math.Log(p / (1 - p))
	for range 20 {
		sum, slope := 0.0, 0.0
		for hour, part := range share {
			if part == 0 {
				continue
			}
			u := logistic(level + scale*scores[hour])
			ghi[hour] = part * u
			sum += part * u
			slope += part * u * (1 - u)
		}
		miss := sum - p
		if math.Abs(miss) < tolerance*p {
			return
		}
		level -= clamp(miss/slope, -1, 1)
	}
}

// smoothYear returns a value for every day of the year that moves in straight
// lines from the middle of one month to the next and whose mean over each
// month is mean.
func smoothYear(mean [12]float64) [DaysPerYear]float64 {
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
			miss := mean[m] - sum/float64(data.MonthDays[m])
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
	middle := func(m int) float64 { return float64(MonthStart(m)) + float64(data.MonthDays[m])/2 }
	for m, days := range data.MonthDays {
		next := (m + 1) % 12
		from := middle(m)
		length := float64(days+data.MonthDays[next]) / 2
		for day := int(math.Ceil(from - 0.5)); float64(day)+0.5 < from+length; day++ {
			t := (float64(day) + 0.5 - from) / length
			lines[day%DaysPerYear] = knots[m] + t*(knots[next]-knots[m])
		}
	}
	return lines
}
