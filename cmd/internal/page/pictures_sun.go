package page

import (
	"math"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/solar"
	"sunrill/solar/sky"
)

func monthAxis() document.Axis { return document.Axis{Key: "month", Label: "month"} }

// needPicture shows by month what the load asks for against what a panel
// gives, both in Wh a day, and what is short.
func needPicture(madeWh, askedWh [12]float64) document.Picture {
	const perKWh = 1000
	var gives, needs [12]float64
	for m := range gives {
		gives[m], needs[m] = madeWh[m]/perKWh, askedWh[m]/perKWh
	}
	p := document.Picture{Key: "months", Chart: document.Chart{Names: plan.MonthNames[:], X: monthAxis(),
		Y: document.Axis{Key: "energy_kwh_per_day", Label: "energy", Unit: document.KWhPerDay}}}
	short := document.Series{Key: "short", Name: "short", As: document.AsHatching, Ink: document.InkAlarm, Low: gives[:], Y: make([]float64, 12)}
	worst, missing := -1, 0
	for m := range gives {
		short.Y[m] = max(0, needs[m]-gives[m])
		if short.Y[m] > 0 {
			missing++
		}
		if needs[m] > 0 && (worst < 0 || gives[m]/needs[m] < gives[worst]/needs[worst]) {
			worst = m
		}
	}
	p.Chart.Series = []document.Series{
		{Key: "panel", Name: "panel gives", As: document.AsBars, Ink: document.InkSunFill, Y: gives[:]},
		{Key: "need", Name: "need", As: document.AsSteps, Ink: document.InkBlack, Y: needs[:]},
	}
	switch {
	case worst < 0:
		p.Title = document.Sentence("Nothing is asked of the panel")
	case missing > 0:
		p.Title = document.Sentence("The panel falls short in %v of 12 months, most in %v: %v of %v", missing, time.Month(worst+1),
			document.KWhPerDay.Of(gives[worst]), document.KWhPerDay.Of(needs[worst]))
	default:
		p.Title = document.Sentence("%v is the tightest month: the panel gives %v times the need", time.Month(worst+1), document.None.Of(gives[worst]/needs[worst]))
	}
	if missing > 0 {
		p.Chart.Series = append(p.Chart.Series, short)
	}
	p.Alt = document.Sentence("A column a month of what the panel gives, with the need as a line across.")
	if worst >= 0 {
		p.Alt = document.Sentence("%v In %v it gives %v for a need of %v.", p.Alt, time.Month(worst+1), document.KWhPerDay.Of(gives[worst]), document.KWhPerDay.Of(needs[worst]))
	}
	return p
}

// frontPicture shows the front of panel and battery near the chosen pair.
func frontPicture(f battery.Front) document.Picture {
	const reach = 5 // times the chosen battery, beyond which the front runs off the picture
	c := f.Chosen
	front := document.Series{Name: "least battery", As: document.AsLine, Ink: document.InkStore}
	for _, pair := range f.Pairs {
		if pair.BatteryWh <= reach*max(c.BatteryWh, c.BoughtWh) {
			front.X, front.Y = append(front.X, pair.PanelW), append(front.Y, pair.BatteryWh)
		}
	}
	chosen := document.Series{As: document.AsPoints, Ink: document.InkBlack, X: []float64{c.PanelW}, Y: []float64{c.BoughtWh},
		Labels: []string{units.Sprintf("%.0f W, %.0f Wh", c.PanelW, c.BoughtWh)}}
	p := document.Picture{Key: "front", Chart: document.Chart{
		X: document.Axis{Key: "panel_w", Label: "panel", Unit: document.Power},
		Y: document.Axis{Key: "battery_wh", Label: "battery, nominal", Unit: document.WattHours},
	}}
	panel, battery := document.Power.Of(c.PanelW), document.WattHours.Of(c.BoughtWh)
	p.Title = document.Sentence("%v with %v is chosen", panel, battery)
	p.Alt = document.Sentence("A point marks the pair to buy, %v with %v.", panel, battery)
	if last := len(front.X) - 1; last > 0 {
		from, to := document.WattHours.Of(front.Y[0]), document.WattHours.Of(front.Y[last])
		if front.Y[last] < front.Y[0] {
			p.Title = document.Sentence("A larger panel needs less battery; %v", p.Title)
		}
		p.Alt = document.Sentence("The least battery against the panel, from %v at %v to %v at %v. %v",
			from, document.Power.Of(front.X[0]), to, document.Power.Of(front.X[last]), p.Alt)
		// Nothing is to be seen left of the smallest panel.
		p.Chart.X.From, p.Chart.X.To = 0.9*front.X[0], front.X[len(front.X)-1]
		p.Chart.Series = append(p.Chart.Series, front)
	}
	p.Chart.Series = append(p.Chart.Series, chosen)
	return p
}

// fortnightPicture shows the battery through the darkest fortnight of a record
// of so many hours.
func fortnightPicture(f battery.Fortnight, hours int) document.Picture {
	const hoursPerDay = 24
	charge := document.Series{Name: "charge", As: document.AsLine, Ink: document.InkStore}
	least, stopped := 1.0, 0
	var stops []document.Series
	for i, h := range f.Hours {
		from, to := float64(i)/hoursPerDay, float64(i+1)/hoursPerDay
		charge.X, charge.Y = append(charge.X, to), append(charge.Y, h.Charge)
		least = min(least, h.Charge)
		if h.Short <= 0 {
			continue
		}
		stopped++
		if n := len(stops) - 1; n >= 0 && stops[n].X[1] >= from-1e-9 {
			stops[n].X[1] = to
			continue
		}
		stops = append(stops, document.Series{Name: "stops", As: document.AsThick, Ink: document.InkAlarm, X: []float64{from, to}, Y: []float64{0, 0}})
	}
	under := charge
	under.Name, under.As, under.Ink = "", document.AsBand, document.InkStoreFill
	p := document.Picture{Key: "fortnight", Chart: document.Chart{
		X:      document.Axis{Key: "time_days", Label: "day of the fortnight", Unit: document.None, To: 14, Every: 2},
		Y:      document.Axis{Key: "charge_fraction", Label: "charge", Unit: document.Fraction, To: 1},
		Series: []document.Series{under, charge},
	}}
	p.Title = document.Sentence("In the darkest fortnight of %v the battery falls to %v and nothing stops", ofYears(hours), round(document.Fraction, least))
	if stopped > 0 {
		p.Chart.Series = append(p.Chart.Series, stops...)
		p.Title = document.Sentence("In the darkest fortnight of %v the load falls short in %v", ofYears(hours), document.Hours.Exact(float64(stopped)))
	}
	p.Alt = document.Sentence("The charge of the battery through fourteen days: up by day, down by night, at the lowest %v.", round(document.Fraction, least))
	if stopped > 0 {
		p.Alt = document.Sentence("%v The %v in which the load falls short are marked along the foot.", p.Alt, document.Hours.Exact(float64(stopped)))
	}
	return p
}

// ofYears names a record by its length.
func ofYears(hours int) document.Prose {
	years := float64(hours) / solar.HoursPerYear
	switch {
	case years >= 1.5:
		return document.Sentence("%v years", document.None.Exact(math.Round(years)))
	case years >= 0.95:
		return document.Sentence("the year")
	}
	return document.Sentence("the record")
}

// storagePictures show a panel and a battery of known size on the hours of a record.
func storagePictures(made, asked [12]float64, f battery.Fortnight, has bool, hours int) []document.Picture {
	all := []document.Picture{needPicture(made, asked)}
	if has {
		all = append(all, fortnightPicture(f, hours))
	}
	return all
}

// daylightPictures show a pump without a battery: its water by month, and
// through a clear and a dull day of the month with the least.
func daylightPictures(y supply.DaylightYear, goal units.Duration) []document.Picture {
	turnovers := document.Series{Key: "turnovers_per_day", Name: "on the sun alone", As: document.AsBars, Ink: document.InkWaterFill}
	for _, m := range y.Months {
		turnovers.Y = append(turnovers.Y, m.Turnovers)
	}
	months := document.Picture{Key: "daylight_months", Chart: document.Chart{Names: plan.MonthNames[:], X: monthAxis(), Series: []document.Series{turnovers},
		Y: document.Axis{Key: "turnovers_per_day", Label: "turnovers a day", Unit: document.None}}}
	least := time.Month(y.Least + 1)
	still := document.Hours.Of(y.Months[y.Least].Night.In(units.Hour))
	mean := document.None.Of(turnovers.Y[y.Least])
	months.Title = document.Sentence("On the sun alone the pond turns over %v times a day in %v, and a night without water lasts %v", mean, least, still)
	months.Alt = document.Sentence("A column a month of turnovers a day without a battery; %v is the least with %v.", least, mean)
	if goal > 0 {
		aim := document.None.Of(float64(units.Day / goal))
		months.Title = document.Sentence("On the sun alone the pond turns over %v times a day in %v, goal %v, and a night without water lasts %v", mean, least, aim, still)
		months.Alt = document.Sentence("%v A line marks the goal of %v.", months.Alt, aim)
		months.Chart.Rules = []document.Rule{{Name: "goal", At: float64(units.Day / goal), Ink: document.InkAlarm}}
	}
	day := document.Picture{Key: "daylight_day", Chart: document.Chart{
		X: document.Axis{Key: "time_h", Label: "hour of the day", Unit: document.None, To: 24, Every: 4},
		Y: document.Axis{Key: "flow_m3_per_h", Label: "flow", Unit: document.Flow},
	}}
	clearDay := traceSeries("clear day", y.Clear, document.InkSun, document.Solid)
	dull := traceSeries("dull day", y.Dull, document.InkWater, document.Dashed)
	day.Chart.Series = []document.Series{clearDay, dull}
	first, second := volumeOf(y.Clear), volumeOf(y.Dull)
	day.Title = document.Sentence("In %v a clear day moves %v, a dull one %v", least, document.Volume.Of(first), document.Volume.Of(second))
	day.Alt = document.Sentence("Flow by the hour on the sun alone: %v through a clear day of %v, %v through a dull one.", document.Volume.Of(first), least, document.Volume.Of(second))
	return []document.Picture{months, day}
}

func traceSeries(name string, day [24]supply.TraceHour, ink document.Ink, dash document.Dash) document.Series {
	s := document.Series{Name: name, As: document.AsSteps, Ink: ink, Dash: dash}
	for h, t := range day {
		s.X, s.Y = append(s.X, float64(h)), append(s.Y, t.Flow.In(units.CubicMetrePerHour))
	}
	s.X, s.Y = append(s.X, 24), append(s.Y, s.Y[23])
	return s
}

// volumeOf returns the water of a day [m³].
func volumeOf(day [24]supply.TraceHour) float64 {
	sum := 0.0
	for _, t := range day {
		sum += float64(t.Flow) * float64(units.Hour)
	}
	return sum
}

// sunPicture shows what a watt of panel yields by month, and what is counted
// on where panels are sized on less.
func sunPicture(months, sizing sky.SunMonths, lowered bool) document.Picture {
	p := document.Picture{Key: "sun", Chart: document.Chart{Names: plan.MonthNames[:], X: monthAxis(),
		Y: document.Axis{Key: "yield_wh_per_w_day", Label: "yield", Unit: document.WhPerWattDay}}}
	p.Chart.Series = []document.Series{{Key: "source", Name: "as the source has it", As: document.AsBars, Ink: document.InkSunFill, Y: months.Yield[:]}}
	if !lowered {
		p.Chart.Series[0].Key, p.Chart.Series[0].Name = "yield", "yield"
	} else {
		p.Chart.Series = append(p.Chart.Series, document.Series{Key: "sizing", Name: "counted on", As: document.AsSteps, Ink: document.InkBlack, Y: sizing.Yield[:]})
	}
	worst, best := sizing.Worst(), 0
	for m, y := range sizing.Yield {
		if y > sizing.Yield[best] {
			best = m
		}
	}
	p.Title = document.Sentence("A watt of panel yields %v in %v and %v in %v", document.WhPerWattDay.Of(sizing.Yield[worst]), time.Month(worst+1),
		document.WhPerWattDay.Of(sizing.Yield[best]), time.Month(best+1))
	p.Alt = document.Sentence("A column a month of what each watt of panel yields in a mean day after every loss; %v is the least, %v the most.", time.Month(worst+1), time.Month(best+1))
	if lowered {
		p.Alt = document.Sentence("%v A line shows the lower yield that sizes are counted on.", p.Alt)
	}
	return p
}
