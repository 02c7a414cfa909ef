package page

import (
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

// storagePictures show a panel and a battery of known size on the hours of a record:
// what they make and give in the mean day of each month [Wh], and the battery in its
// darkest fortnight.
func storagePictures(made, asked [12]float64, darkest figure.Maybe[battery.Fortnight]) []document.Picture {
	all := []document.Picture{needPicture(made, asked)}
	if darkest.Known {
		all = append(all, fortnightPicture(darkest.Value))
	}
	return all
}

// monthPicture is a picture with a column a month.
func monthPicture(key string, y document.Axis, series ...document.Series) document.Picture {
	return document.Picture{Key: key, Chart: document.Chart{Names: plan.MonthNames[:], Y: y, Series: series}}
}

// needPicture shows by month what the load asks for against what a panel gives, both
// in Wh a day, and what is short.
func needPicture(madeWh, askedWh [12]float64) document.Picture {
	var gives, needs [12]float64
	worst, months := -1, 0
	for m := range gives {
		gives[m], needs[m] = madeWh[m]/1000, askedWh[m]/1000
		if needs[m] > gives[m] {
			months++
		}
		if needs[m] > 0 && (worst < 0 || gives[m]/needs[m] < gives[worst]/needs[worst]) {
			worst = m
		}
	}
	p := monthPicture("months", document.Axis{Label: "energy", Unit: document.KWhPerDay},
		document.Series{Name: "panel gives", As: document.AsBars, Ink: document.InkSunFill, Y: gives[:]},
		document.Series{Name: "need", As: document.AsSteps, Ink: document.InkBlack, Y: needs[:]})
	p.Alt = document.Sentence("A column a month of what the panel gives, with the need as a line across.")
	if worst < 0 {
		p.Title = document.Sentence("Nothing is asked of the panel")
		return p
	}
	month, given, need := time.Month(worst+1), document.KWhPerDay.Of(gives[worst]), document.KWhPerDay.Of(needs[worst])
	p.Title = document.Sentence("%v is the tightest month: the panel gives %v times the need", month,
		document.None.Of(gives[worst]/needs[worst]))
	p.Alt = p.Alt.And(" In %v it gives %v for a need of %v.", month, given, need)
	if months > 0 {
		p.Title = document.Sentence("The panel falls short in %v of 12 months, most in %v: %v of %v", months, month, given, need)
	}
	return p
}

// fortnightPicture shows the battery through the darkest fortnight of a record.
func fortnightPicture(f battery.Fortnight) document.Picture {
	const hoursPerDay = 24
	charge := document.Series{Name: "charge", As: document.AsLine, Ink: document.InkStore}
	var stops []document.Series
	for i, h := range f.Hours {
		from, to := float64(i)/hoursPerDay, float64(i+1)/hoursPerDay
		charge.X, charge.Y = append(charge.X, to), append(charge.Y, h.Charge)
		switch n := len(stops) - 1; {
		case h.Short <= 0:
		case n >= 0 && stops[n].X[1] >= from-1e-9:
			stops[n].X[1] = to
		default:
			stops = append(stops, document.Series{Name: "stops", As: document.AsThick, Ink: document.InkAlarm, X: []float64{from, to},
				Y: []float64{0, 0}})
		}
	}
	p := document.Picture{Key: "fortnight", Chart: document.Chart{
		X:      document.Axis{Label: "day of the fortnight", Unit: document.None, To: 14, Every: 2},
		Y:      document.Axis{Label: "charge", Unit: document.Fraction, To: 1},
		Series: append([]document.Series{charge}, stops...),
	}}
	lowest, short := document.Fraction.Rough(f.Lowest), document.Hours.Exact(f.Stops)
	p.Title = document.Sentence("In the darkest fortnight the battery falls to %v and nothing stops", lowest)
	p.Alt = document.Sentence("The charge of the battery through fourteen days: up by day, down by night, at the lowest %v.", lowest)
	if f.Stops > 0 {
		p.Title = document.Sentence("In the darkest fortnight power is short for %v", short)
		p.Alt = p.Alt.And(" The %v in which power is short are marked along the foot.", short)
	}
	return p
}

// daylightPicture shows the water by month of a pump without a battery.
func daylightPicture(y supply.DaylightYear, goal units.Duration) document.Picture {
	turnovers := document.Series{Name: "on the sun alone", As: document.AsBars, Ink: document.InkWaterFill}
	for _, m := range y.Months {
		turnovers.Y = append(turnovers.Y, m.Turnovers)
	}
	least := time.Month(y.Least + 1)
	mean, still := document.None.Of(turnovers.Y[y.Least]), document.Hours.Brief(y.Months[y.Least].Night)
	months := monthPicture("daylight_months", document.Axis{Label: "turnovers a day", Unit: document.None},
		turnovers)
	months.Alt = document.Sentence("A column a month of turnovers a day without a battery; %v is the least with %v.", least, mean)
	if goal > 0 {
		perDay := float64(units.Day / goal)
		months.Alt = months.Alt.And(" A line marks the goal of %v.", document.None.Of(perDay))
		months.Chart.Rules = []document.Rule{{Name: "goal", At: perDay, Ink: document.InkAlarm}}
	}
	months.Title = document.Sentence("On the sun alone no water flows in %v", least)
	if per := turnovers.Y[y.Least]; per > 0 {
		months.Title = document.Sentence("On the sun alone the water passes once in %v in %v",
			document.Hours.Brief(units.Day/units.Duration(per)), least).When(goal > 0, ", goal %v,", document.Hours.Brief(goal)).
			And(" and stands still for %v of a night", still)
	}
	return months
}
