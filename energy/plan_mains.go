package energy

import (
	"time"

	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
)

// PumpCost is what one pump costs on the mains.
type PumpCost struct {
	Clean, Dirty figure.Maybe[money.Money] // a year
	Year         figure.Maybe[money.Money] `json:"cost_per_year"` // the mean of both
}

// MainsBudget is the chosen pump on the mains, the plan's air pump included.
type MainsBudget struct {
	Pump       string                    `json:"pump"`
	Power      figure.Maybe[units.Power] `json:"power_w"`           // of the pump while it runs, the larger of clean and dirty
	PerDay     units.EnergyPerDay        `json:"kwh_per_day"`       // mean over the year, the larger of clean and dirty
	PerYear    units.EnergyPerYear       `json:"kwh_per_year"`      // the same
	Mean       units.EnergyPerYear       `json:"mean_kwh_per_year"` // of clean and dirty, which is what Cost is of
	AirPerYear units.EnergyPerYear       `json:"air_kwh_per_year"`  // the air pump's part
	Cost       figure.Maybe[money.Money] `json:"cost_per_year"`     // the mean of clean and dirty
	PerKWh     figure.Maybe[money.Money] `json:"cost_per_kwh"`      // what that comes to
	CarbonKg   figure.Maybe[float64]     `json:"carbon_kg_per_year"`
	Pack       float64                   `json:"supply_efficiency_fraction"` // of what feeds the pump from the socket
}

// costs works out every pump's cost on the mains, the air pump left out.
func (j *job) costs() {
	for i, p := range j.water.Pumps {
		c := PumpCost{Clean: j.yearCost(p.Clean, clock.MonthlyHours{}), Dirty: j.yearCost(p.Dirty, clock.MonthlyHours{})}
		c.Year = figure.Mean(c.Clean, c.Dirty)
		j.out.Costs = append(j.out.Costs, c)
		j.out.owned = append(j.out.owned, j.owned(&j.water.Pumps[i]))
	}
	j.out.terms = terms(j.plan)
}

// mains works out the chosen pump's budget.
func (j *job) mains() {
	j.out.Mains = figure.Unknown[MainsBudget](j.water.Choice.Why)
	if i := j.water.Choice.Index; i >= 0 {
		j.out.Mains = j.mainsOf(j.water.Pumps[i])
	}
}

// mainsOf returns the budget of a pump.
func (j *job) mainsOf(p works.WaterPump) figure.Maybe[MainsBudget] {
	if !p.PerYear.Known {
		return figure.Unknown[MainsBudget](p.PerYear.Why)
	}
	air := airHours(j.air)
	m := MainsBudget{Pump: p.Spec.Name, Power: p.Power, AirPerYear: air.PerYear(),
		PerYear: p.PerYear.Value + air.PerYear(), Pack: p.Pack}
	m.PerDay, m.Mean = units.EnergyPerDay(m.PerYear/365), m.PerYear
	if kwh := figure.Mean(p.Clean.EnergyYear, p.Dirty.EnergyYear); kwh.Known {
		m.Mean = kwh.Value + air.PerYear()
	}
	m.Cost = figure.Mean(j.yearCost(p.Clean, air), j.yearCost(p.Dirty, air))
	if m.PerKWh = figure.Unknown[money.Money](m.Cost.Why); m.Cost.Known {
		m.PerKWh = figure.Unknown[money.Money]("no energy is used")
		if m.Mean > 0 {
			m.PerKWh = figure.Known(m.Cost.Value / money.Money(m.Mean.KilowattHours()))
		}
	}
	switch c := j.plan.Mains.CarbonPerKWh; {
	case !j.plan.Site.Mains:
		m.CarbonKg = figure.Unknown[float64]("there is no mains")
	case c == nil:
		m.CarbonKg = figure.Unknown[float64]("the grid's carbon is not given (mains.carbon_per_kwh)")
	default:
		m.CarbonKg = figure.Known(money.Carbon(m.PerYear, float64(*c)))
	}
	return figure.Known(m)
}

// airHours returns an air pump's energy on the mains.
func airHours(air supply.Air) clock.MonthlyHours {
	var use clock.MonthlyHours
	for m := range use {
		for h := range use[m] {
			for _, sp := range air.Hours.Spells(time.Month(m+1), h) {
				if sp.Speed > 0 {
					use[m][h] += sp.Part * air.Power.In(units.Kilowatt)
				}
			}
		}
	}
	return use
}

// yearCost returns what a pump in some state and the air pump add to a year's
// bills.
func (j *job) yearCost(s works.WaterState, air clock.MonthlyHours) figure.Maybe[money.Money] {
	if !s.EnergyYear.Known {
		return figure.Unknown[money.Money](s.EnergyYear.Why)
	}
	return j.tariff.YearCost(sumHours(s.Use, air))
}

func sumHours(a, b clock.MonthlyHours) clock.MonthlyHours {
	for m := range a {
		for h := range a[m] {
			a[m][h] += b[m][h]
		}
	}
	return a
}
