package page

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/still"
	"sunrill/energy/supply"
)

// storagePictures show a panel and a battery of known size on the hours of a record:
// what they make and give in the mean day of each month [Wh], and the battery in its
// darkest fortnight.
func storagePictures(made, asked [12]float64, darkest figure.Maybe[battery.Fortnight], hours int) []document.Picture {
	all := []document.Picture{needPicture(made, asked)}
	if darkest.Known {
		all = append(all, fortnightPicture(darkest.Value, hours))
	}
	return all
}

// needPicture shows by month what the load asks for against what a panel gives, both
// in Wh a day, and what is short.
func needPicture(madeWh, askedWh [12]float64) document.Picture {
	var gives, needs, missing [12]float64
	worst, months := -1, 0
	for m := range gives {
		gives[m], needs[m] = madeWh[m]/1000, askedWh[m]/1000
		if missing[m] = max(0, needs[m]-gives[m]); missing[m] > 0 {
			months++
		}
		if needs[m] > 0 && (worst < 0 || gives[m]/needs[m] < gives[worst]/needs[worst]) {
			worst = m
		}
	}
	p := monthPicture("months", document.Axis{Key: "energy_kwh_per_day", Label: "energy", Unit: document.KWhPerDay},
		document.Series{Key: "panel", Name: "panel gives", As: document.AsBars, Ink: document.InkSunFill, Y: gives[:]},
		document.Series{Key: "need", Name: "need", As: document.AsSteps, Ink: document.InkBlack, Y: needs[:]})
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
		p.Chart.Series = append(p.Chart.Series,
			document.Series{Key: "short", Name: "short", As: document.AsHatching, Ink: document.InkAlarm, Low: gives[:], Y: missing[:]})
	}
	return p
}

// fortnightPicture shows the battery through the darkest fortnight of a record
// of so many hours.
func fortnightPicture(f battery.Fortnight, hours int) document.Picture {
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
	under := charge
	under.Name, under.As, under.Ink = "", document.AsBand, document.InkStoreFill
	p := document.Picture{Key: "fortnight", Chart: document.Chart{
		X:      document.Axis{Key: "time_days", Label: "day of the fortnight", Unit: document.None, To: 14, Every: 2},
		Y:      document.Axis{Key: "charge_fraction", Label: "charge", Unit: document.Fraction, To: 1},
		Series: append([]document.Series{under, charge}, stops...),
	}}
	of := document.Sentence("the record")
	switch years := recordYears(hours); {
	case years >= 1.5:
		of = document.Sentence("%v years", document.None.Exact(math.Round(years)))
	case years >= 0.95:
		of = document.Sentence("the year")
	}
	lowest, short := document.Fraction.Rough(f.Lowest), document.Hours.Exact(f.Stops)
	p.Title = document.Sentence("In the darkest fortnight of %v the battery falls to %v and nothing stops", of, lowest)
	p.Alt = document.Sentence("The charge of the battery through fourteen days: up by day, down by night, at the lowest %v.", lowest)
	if f.Stops > 0 {
		p.Title = document.Sentence("In the darkest fortnight of %v power is short for %v", of, short)
		p.Alt = p.Alt.And(" The %v in which power is short are marked along the foot.", short)
	}
	return p
}

// daylightPicture shows the water by month of a pump without a battery.
func daylightPicture(y supply.DaylightYear, goal units.Duration) document.Picture {
	turnovers := document.Series{Key: "turnovers_per_day", Name: "on the sun alone", As: document.AsBars, Ink: document.InkWaterFill}
	for _, m := range y.Months {
		turnovers.Y = append(turnovers.Y, m.Turnovers)
	}
	least := time.Month(y.Least + 1)
	mean, still := document.None.Of(turnovers.Y[y.Least]), document.Hours.Brief(y.Months[y.Least].Night)
	months := monthPicture("daylight_months", document.Axis{Key: "turnovers_per_day", Label: "turnovers a day", Unit: document.None},
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

// tradeoffPicture shows turnovers a day against energy a day for every way to
// run the water that can be done, with the goal.
func tradeoffPicture(r *energy.Outcome) (document.Picture, bool) {
	p := document.Picture{Key: "tradeoff", Chart: document.Chart{
		X: document.Axis{Key: "kwh_per_day", Label: "energy", Unit: document.KWhPerDay},
		Y: document.Axis{Key: "turnovers_per_day", Label: "turnovers a day", Unit: document.None},
	}}
	slower := document.Series{As: document.AsLine, Ink: document.InkWater}
	met := document.Series{As: document.AsPoints, Ink: document.InkBlack, Mark: document.Dot}
	missed := document.Series{As: document.AsPoints, Ink: document.InkQuiet, Mark: document.Ring}
	var full, least *energy.Strategy
	var speeds []*energy.Strategy
	for i := range r.Tradeoff {
		s := &r.Tradeoff[i]
		if !s.Possible() || !s.Turnovers.Known || !s.Energy.Known {
			continue
		}
		x, y := s.Energy.Value.KilowattHours(), s.Turnovers.Value
		series := &missed
		if s.Meets() {
			series = &met
			// What stands still for a time is no headline, unless the plan itself does so and risks little.
			risky := !s.WayRound() || s.StillHours > 0 && s.Risk.Known && s.Risk.Value >= still.HighRisk
			if !risky && (least == nil || s.Energy.Value < least.Energy.Value) {
				least = s
			}
		}
		series.X, series.Y = append(series.X, x), append(series.Y, y)
		series.Labels = append(series.Labels, strings.TrimSuffix(s.Name, " pump"))
		if s.Kind == energy.FullSpeed {
			full = s
		}
		if s.Kind == energy.FullSpeed || s.Kind == energy.Slower {
			speeds = append(speeds, s)
		}
	}
	if full == nil || len(met.X)+len(missed.X) < 2 {
		return p, false
	}
	// The slowest for the goal stands after the least that lifts.
	slices.SortFunc(speeds, func(a, b *energy.Strategy) int { return cmp.Compare(a.Energy.Value, b.Energy.Value) })
	for _, s := range speeds {
		slower.X, slower.Y = append(slower.X, s.Energy.Value.KilowattHours()), append(slower.Y, s.Turnovers.Value)
	}
	if len(slower.X) > 1 {
		p.Chart.Series = append(p.Chart.Series, slower)
	}
	for _, s := range []document.Series{missed, met} {
		if len(s.X) > 0 {
			p.Chart.Series = append(p.Chart.Series, s)
		}
	}
	if goal := r.Water.Pond.Value.Goal.Value; goal > 0 {
		p.Chart.Rules = []document.Rule{{Name: "goal", At: float64(units.Day / goal), Ink: document.InkAlarm}}
	}
	switch {
	case least == nil && len(met.X) > 0:
		p.Title = document.Sentence("What meets the goal puts the pond at risk")
	case least == nil:
		p.Title = document.Sentence("No way of running the water meets the goal")
	case least == full:
		p.Title = document.Sentence("Full speed is the least that meets the goal")
	default:
		p.Title = document.Sentence("%v meets the goal on %v of the energy", Capital(least.Name),
			document.Fraction.Rough(float64(least.Energy.Value/full.Energy.Value)))
	}
	p.Alt = document.Sentence("Turnovers a day against energy a day, a point for each way to run the water: %v filled, which meet the "+
		"goal, %v hollow, which miss it. Full speed takes %v.",
		len(met.X), len(missed.X), document.KWhPerDay.Of(full.Energy))
	return p, true
}
