package energy

import (
	"cmp"
	"math"

	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/money"
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
}

// usualCharge is the share of a battery's nominal size that a charger gives in an hour;
// common practice, no source.
const usualCharge = 0.2

// bright returns the eight months in a row in which the panel makes the most.
func bright(made *[12]float64) (set plan.MonthSet) {
	most, first := math.Inf(-1), 0
	for m := range made {
		sum := 0.0
		for k := range brightMonths {
			sum += made[(m+k)%12]
		}
		if sum > most {
			most, first = sum, m
		}
	}
	for k := range brightMonths {
		set[(first+k)%12] = true
	}
	return set
}

// season sizes the bright part of the year for the best way s.
func (j *job) season(s *Strategy) (figure.Maybe[Season], error) {
	if s.as.plan.Run.MonthsOff != (plan.MonthSet{}) {
		return figure.Unknown[Season]("the plan does not run all the year"), nil
	}
	made, _ := s.record.PerDay(1)
	on := bright(&made)
	t := &Strategy{Variant: s.Variant}
	t.Set = func(p *plan.Plan) {
		if s.Set != nil {
			s.Set(p)
		}
		for m := range on {
			p.Run.MonthsOff[m] = !on[m]
		}
	}
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
	out := Season{Name: on.String(), Panel: c.PanelW, Battery: c.BoughtWh, Price: c.Price, PerYear: c.PerYear,
		Charger: j.generator(s.record, c.PanelW, j.store.Battery, c.BoughtWh, power)}
	if price := j.plan.Charger.Price; price != nil && out.Price.Known {
		out.Price.Value += money.Money(*price)
	}
	return figure.Known(out), nil
}

// worth reports whether the sun is worth its price for the best way, and why not.
func (b *Best) worth() (bool, units.Text) {
	const not = "winter here is not worth carrying on sun: "
	cost := func(perYear figure.Maybe[money.Money], panelW, wh float64) float64 {
		if perYear.Known {
			return float64(perYear.Value)
		}
		return panelW + wh
	}
	season, c := &b.Season.Value, &b.Choice
	switch {
	case b.Way.MeanRatio > worthYield:
		return false, units.Say(not+"over the year the panel makes %.0f times what the pump takes, and most of it is thrown away", b.Way.MeanRatio)
	case b.Season.Known && cost(season.PerYear, season.Panel, season.Battery) < worthSeason*cost(c.PerYear, c.PanelW, c.BoughtWh):
		return false, units.Say(not+"%s alone cost less than half", season.Name)
	}
	return true, ""
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
