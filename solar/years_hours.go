package solar

import (
	"math"
	"math/rand/v2"

	"sunrill/data"
	"sunrill/data/cores"
)

// blockYears is how many years are made of one seed; a stated rule, no source.
const blockYears = 20

// NewYears returns the hours of years of NewDays, and its warnings: blocks of blockYears
// made with seed, seed + 1 and so on, one after the other, so that the luck of no seed
// decides. Each keeps the means. They are made side by side.
//
// Days are cut into hours by Geometry.Share with cloud that comes and goes within the
// day, split by Geometry.Split, and every day has the air temperature of smoothYear.
// Without cloud within the day the share of a panel's sun above 450 W/m² comes
// out 9 to 12 % too small even from measured days (four real hourly years),
// which is what a pump on a bare panel lives on. A day's sum is kept.
func NewYears(g *Geometry, ghi, tempC [12]float64, years int, seed uint64) (*Series, []data.Warning) {
	s := NewSeries(years * HoursPerYear)
	for i, day := range smoothYear(tempC) {
		for hour := range 24 {
			s.TempC[24*i+hour] = day
		}
	}
	warnings := make([][]data.Warning, Blocks(years))
	cores.Each(len(warnings), func(k int) {
		d := NewDays(g, ghi, tempC, min(blockYears, years-k*blockYears), seed+uint64(k))
		warnings[k] = d.Warnings
		d.hours(s, g, k*blockYears*HoursPerYear)
	})
	return s, warnings[0]
}

// Blocks returns how many seeds years of weather are made of.
func Blocks(years int) int { return (years + blockYears - 1) / blockYears }

// hours fills in the hours of the days from an hour of s on, the first of a year.
func (d *Days) hours(s *Series, g *Geometry, from int) {
	random := rand.NewPCG(d.seed, cloudStream)
	to := from + 24*len(d.GHI)
	day, month := 0, 0
	for i, h := range d.GHI {
		if day == MonthStart(month+1) {
			month++
		}
		at := from + 24*i
		clouds(s.GHI[at:at+24], h, g.DailyExtra[day], d.clearest[month], g.Share[24*day:24*day+24], random)
		if day++; day == DaysPerYear {
			day, month = 0, 0
		}
	}
	g.Split(&Series{GHI: s.GHI[from:to], DNI: s.DNI[from:to], DHI: s.DHI[from:to]})
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
	keep := 1000 * h / sum // 1000 h within the tolerance of the level
	for hour := range ghi {
		ghi[hour] *= keep
	}
}

// spreadDay fills ghi with share times logistic(m + scale score), m such that
// they come to p in sum, by Newton's method from the level at which they would were the
// curve straight.
func spreadDay(ghi []float64, scores *[24]float64, p, scale float64, share []float64) {
	const tolerance = 1e-4 // of p; the day's sum is set exactly afterwards
	level := math.Log(p / (1 - p))
	var odds [24]float64 // of each hour at level 0
	for hour, part := range share {
		if part > 0 {
			odds[hour] = math.Exp(scale * scores[hour])
			level -= part * scale * scores[hour]
		}
	}
	for range 20 {
		sum, slope, all := 0.0, 0.0, math.Exp(level)
		for hour, part := range share {
			if part == 0 {
				continue
			}
			u := 1 - 1/(1+all*odds[hour])
			light := part * u
			ghi[hour] = light
			sum += light
			slope += light * (1 - u)
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
