package energy

import (
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/energy/money"
	"sunrill/pumps/works"
)

// Swap is another pump in place of the present one.
type Swap struct {
	From   string                    `json:"from"`
	To     string                    `json:"to"`
	Price  figure.Maybe[money.Money] `json:"price"`
	Saving figure.Maybe[money.Money] `json:"saving_per_year"` // below zero it costs more to run

	Payback figure.Maybe[money.Payback] `json:",inline"`
	Met     figure.Maybe[bool]          `json:"goal_met"` // dirty
}

// CostsOf returns what each pump costs on the plan's mains, in the plan's order,
// the air pump left out.
func CostsOf(w *works.WaterResult, p *plan.Plan) ([]PumpCost, error) {
	j := &job{plan: p, water: w, out: &Outcome{}, tariff: TariffOf(p)}
	err := j.costs()
	return j.out.Costs, err
}

// SwapsOf returns what it brings to put each other pump in place of the present
// one; nil where no pump is the present one. The old pump is taken to be worth
// nothing and to be good for no more years.
func SwapsOf(w *works.WaterResult, p *plan.Plan, costs []PumpCost) ([]Swap, error) {
	from := -1
	for i, pump := range w.Pumps {
		if pump.Spec.Present {
			from = i
		}
	}
	if from < 0 {
		return nil, nil
	}
	var swaps []Swap
	for i, pump := range w.Pumps {
		if i == from {
			continue
		}
		s := Swap{From: w.Pumps[from].Name, To: pump.Name, Price: figure.Unknown[money.Money]("pump.price is not given"),
			Saving: costs[i].Year, Met: figure.Unknown[bool](pump.Dirty.Why)}
		if pump.Dirty.Flow > 0 {
			s.Met = pump.Dirty.Met
		}
		if pump.Spec.Price != nil {
			s.Price = figure.Known(money.Money(*pump.Spec.Price) * money.Money(pump.Number()))
		}
		if old := costs[from].Year; s.Saving.Known {
			if s.Saving = old; old.Known {
				s.Saving = figure.Known(old.Value - costs[i].Year.Value)
			}
		}
		switch {
		case !s.Saving.Known:
			s.Payback = figure.Unknown[money.Payback](s.Saving.Why)
		case !s.Price.Known:
			s.Payback = figure.Unknown[money.Payback](s.Price.Why)
		default:
			b, err := money.PaybackOf(s.Price.Value, s.Saving.Value, p.Mains.DiscountRate, p.Mains.PriceRise)
			if err != nil {
				return nil, err
			}
			s.Payback = figure.Known(b)
		}
		swaps = append(swaps, s)
	}
	return swaps, nil
}
