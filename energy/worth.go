package energy

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/energy/supply"
	"sunrill/solar/sky"
)

// When the sun is the wrong answer; common practice, no source.
const (
	worthYield   = 10  // times the yearly load that a panel makes, beyond which most of it is thrown away
	worthSeason  = 0.5 // of the cost, which the bright months take at least
	brightMonths = 8
)

// Season is the bright part of the year on the sun, and a generator for the rest.
type Season struct {
	Name    string                    `json:"months"` // in which the sun carries it
	Panel   float64                   `json:"panel_w"`
	Battery float64                   `json:"battery_wh"`
	Price   figure.Maybe[money.Money] `json:"price"`
	PerYear figure.Maybe[money.Money] `json:"cost_per_year"` // of the pair alone
	// Charger carries the rest: the plan's, else one that gives a fifth of the battery in
	// an hour.
	Charger ChargerUse `json:"generator_,inline"`
	Way     Variant    `json:"-"` // that it carries, which slows in none of the other months
}

// usualCharge is the share of a battery's nominal size that a charger gives in an hour;
// common practice, no source.
const usualCharge = 0.2

// brightest returns the brightMonths in a row in which sun is the most in all.
func brightest(sun *[12]float64) (set plan.MonthSet) {
	most := math.Inf(-1)
	for m := range sun {
		sum, these := 0.0, plan.MonthSet(0)
		for k := range brightMonths {
			sum += sun[(m+k)%12]
			these |= 1 << ((m + k) % 12)
		}
		if sum > most {
			set, most = these, sum
		}
	}
	return set
}

// within returns the way of a row where it runs in some months alone, none of which may ask it
// to slow down.
func (j *job) within(s *Strategy, on plan.MonthSet) Variant {
	v := s.Variant
	if s.Kind == DarkSetback {
		slowed := s.as.plan.Run.Bands[0]
		before, _, _ := strings.Cut(s.Name, " in "+slowed.Months.String())
		if slowed.Months &= on; slowed.Months == 0 {
			v.Name, v.Kind, v.Speed, v.Set = j.nameOf(s.Pump)+"full speed", FullSpeed, 1, runAt(1)
		} else {
			v = slowIn(before, s.Pump, slowed)
		}
	}
	set := v.Set
	v.Set = func(p *plan.Plan) {
		if set != nil {
			set(p)
		}
		p.Run.MonthsOff = plan.AllYear &^ on
	}
	return v
}

// season sizes the bright part of the year for the best way s, where that costs no more than most
// a year.
func (j *job) season(s *Strategy, most float64) (figure.Maybe[Season], error) {
	if s.as.plan.Run.MonthsOff != 0 {
		return figure.Unknown[Season]("the plan does not run all the year"), nil
	}
	made, _ := s.record.PerDay(1)
	on := brightest(&made)
	t := &Strategy{Variant: j.within(s, on)}
	t.below(most)
	if err := j.work(t); err != nil {
		return figure.Maybe[Season]{}, err
	}
	if why, err := j.pairFor(t); err != nil || why != "" {
		return figure.Unknown[Season](cmp.Or(why, "it cannot be sized")), err
	}
	c := &t.choice
	power := units.Power(usualCharge * c.BoughtWh)
	if j.plan.Charger.Power != nil {
		power = *j.plan.Charger.Power
	}
	out := Season{Name: on.String(), Way: t.Variant, Panel: c.PanelW, Battery: c.BoughtWh, Price: c.Price, PerYear: c.PerYear,
		Charger: j.generator(s.record, c.PanelW, j.store.Battery, c.BoughtWh, power)}
	if price := j.plan.Charger.Price; price != nil && out.Price.Known {
		out.Price.Value += money.Money(*price)
	}
	return figure.Known(out), nil
}

// notWorthIt is what the sun is not, where it is the wrong answer.
const notWorthIt = "winter here is not worth carrying on sun: "

// ownPairGiven is why the sun is not judged.
const ownPairGiven = "panel and battery are the plan's own"

// worth judges whether the sun is worth its price for the best way s.
func (j *job) worth(s *Strategy) (err error) {
	b := &j.out.Solar.Value
	if b.Own.Known {
		b.Worth = figure.Unknown[bool](ownPairGiven)
		return nil
	}
	cost := func(perYear figure.Maybe[money.Money], panelW, wh float64) float64 {
		if perYear.Known {
			return float64(perYear.Value)
		}
		return panelW + wh
	}
	season, c, most, why := &b.Season.Value, &s.choice, math.Inf(1), wasteful(s.record, s.choice.PanelW)
	switch {
	case why != "":
		why = notWorthIt + why
	case j.depth < All && c.PerYear.Known: // it is told where it costs so little
		most = worthSeason * float64(c.PerYear.Value)
	}
	if b.Season, err = j.season(s, most); err != nil {
		return err
	}
	switch {
	case why != "":
	case season.Price.Known && c.Price.Known && season.Price.Value >= worthSeason*c.Price.Value: // the charger's is in it
	case b.Season.Known && cost(season.PerYear, season.Panel, season.Battery) < worthSeason*cost(c.PerYear, c.PanelW, c.BoughtWh):
		why = units.Say(notWorthIt+"%s alone cost less than half", season.Name)
	}
	b.Worth = figure.Maybe[bool]{Value: why == "", Known: true, Why: why}
	return nil
}

// wasteful says that a panel makes far more than its load takes, "" where it does not.
func wasteful(r supply.Record, panelW float64) units.Text {
	made, asked := supply.Judged(r)
	yield, load := 0.0, 0.0
	for m := range made {
		yield, load = yield+panelW*made[m], load+asked[m]
	}
	if yield <= worthYield*load {
		return ""
	}
	return units.Say("over the year the panel makes %.0f times what the load takes, and most of it is thrown away", yield/load)
}

// notWorth judges the sun where no pair carries any way through the year: the bright part
// of it for the way of rows that takes the least.
func (j *job) notWorth(rows []*Strategy) (err error) {
	b := &j.out.Solar.Value
	if b.Own.Known {
		b.Worth = figure.Unknown[bool](ownPairGiven)
		return nil
	}
	b.Worth, b.Season = figure.Unknown[bool](noWay), figure.Unknown[Season](noWay)
	var least *Strategy
	for _, s := range rows {
		if s.moves() && (least == nil || s.load.Use.PerYear() < least.load.Use.PerYear()) {
			least = s
		}
	}
	if least == nil {
		return nil
	}
	most := math.Inf(1)
	if panels := j.target.Value.Panels; len(panels) > 0 {
		most = slices.Max(panels)
	}
	dark := most*supply.WorstMonthRatio(least.record) < 1 || math.IsInf(most, 1) // not the shop's fault
	b.Season, err = j.season(least, math.Inf(1))
	why, size := notWorthIt+"no panel and battery looked at carry it through the year", j.plan.Battery.Size
	switch {
	case size != nil && size.At(sky.BatteryVoltage(j.plan)) == 0: // nor is it the winter's
		why = "without a battery (battery.size) no panel carries the nights"
	case !b.Season.Known && !dark:
		return err
	case size != nil:
		why = "with the plan's battery (battery.size) no panel looked at carries it through the year"
	}
	b.Worth = figure.Maybe[bool]{Known: true, Why: units.Text(why)}
	return err
}

// onMains returns what the chosen pump costs a year on the mains, the air pump included
// and its own replacement too where its price is known.
func (j *job) onMains() figure.Maybe[money.Money] {
	m := j.out.Mains
	if !m.Known {
		return figure.Unknown[money.Money](m.Why)
	}
	i, cost := j.water.Choice.Index, m.Value.Cost
	if all := j.water.Pumps[i].Yearly; cost.Known && all.Known {
		cost.Value += money.Money(all.Value) - j.out.Costs[i].Year.Value
	}
	return cost
}
