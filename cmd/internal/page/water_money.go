package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/energy"
)

// swap is another pump in place of the present one, as JSON shows it. Sums are
// in the plan's currency.
type swap struct {
	From       string   `json:"from"`
	To         string   `json:"to"`
	Price      *float64 `json:"price"`
	PriceWhy   string   `json:"price_why,omitempty"`
	Saving     *float64 `json:"saving_per_year"`
	SavingWhy  string   `json:"saving_per_year_why,omitempty"`
	Payback    *float64 `json:"payback_years"`
	Discounted *float64 `json:"discounted_payback_years"`
	DiscWhy    string   `json:"discounted_payback_years_why,omitempty"`
	PaybackWhy string   `json:"payback_years_why,omitempty"`
	GoalMet    *bool    `json:"goal_met"`
	GoalWhy    string   `json:"goal_met_why,omitempty"`
}

func (p *waterPage) newSwaps(list []energy.Swap) []swap {
	out := []swap{}
	for _, s := range list {
		one := swap{From: p.pumps[s.From].Name, To: p.pumps[s.To].Name, Price: known(s.Price, 1), Saving: known(s.Saving, 1), SavingWhy: s.Saving.Why, PaybackWhy: s.Payback.Why, DiscWhy: s.Payback.Why, PriceWhy: s.Price.Why}
		if s.Payback.Known {
			one.Payback, one.Discounted = known(s.Payback.Value.Simple, 1), known(s.Payback.Value.Discounted, 1)
			one.DiscWhy = s.Payback.Value.Discounted.Why
			one.PaybackWhy = s.Payback.Value.Simple.Why
		}
		one.GoalWhy = p.pumps[s.To].DirtyWhy
		if d := p.pumps[s.To].Dirty; d != nil {
			one.GoalMet, one.GoalWhy = d.GoalMet, d.GoalMetWhy
		}
		out = append(out, one)
	}
	return out
}

// moneyAnswer says what the pump costs and when a swap pays.
func (p *waterPage) moneyAnswer() document.Prose {
	i := p.water.Choice.Nearest
	if i < 0 || p.pumps[i].Cost == nil {
		return document.Prose{}
	}
	s := document.Sentence("%v a year", p.money.Of(*p.pumps[i].Cost))
	for _, w := range p.swaps {
		if w.To != p.pumps[i].Name || w.Saving == nil {
			continue
		}
		switch {
		case w.Payback != nil:
			s = document.Sentence("%v; in place of %v it saves %v a year and pays back in %v", s, w.From, p.money.Of(*w.Saving), round(document.Years, *w.Payback))
		case *w.Saving > 0:
			s = document.Sentence("%v; in place of %v it saves %v a year", s, w.From, p.money.Of(*w.Saving))
		default:
			s = document.Sentence("%v, %v more than %v", s, p.money.Of(-*w.Saving), w.From)
		}
	}
	return document.Sentence("%v.", s)
}

// today says what the pump that runs today costs, where another one is chosen,
// and when the swap pays.
func (p *waterPage) today() document.Prose {
	i := p.water.Choice.Index
	if i < 0 {
		return document.Prose{}
	}
	for _, w := range p.swaps {
		if w.To != p.pumps[i].Name || w.Saving == nil || p.pumps[i].Cost == nil {
			continue
		}
		s := document.Sentence("%v costs %v a year", w.From, p.money.Of(*p.pumps[i].Cost+*w.Saving))
		if *w.Saving <= 0 {
			return document.Sentence("%v: %v costs %v more.", s, w.To, p.money.Of(-*w.Saving))
		}
		s = document.Sentence("%v: %v saves %v", s, w.To, p.money.Of(*w.Saving))
		if w.Payback == nil {
			return document.Sentence("%v.", s)
		}
		return document.Sentence("%v and pays back in %v.", s, round(document.Years, *w.Payback))
	}
	return document.Prose{}
}

// moneySection compares what the pumps cost.
func (p *waterPage) moneySection() []document.Section {
	years := p.In.Plan.Mains.Years
	priced := false
	for _, pump := range p.pumps {
		priced = priced || pump.Cost != nil
	}
	if !priced {
		return []document.Section{{Heading: "What they cost", Prose: []document.Prose{document.Sentence("Not known: %v.", p.pumps[0].CostWhy)}}}
	}
	t := document.Table{Key: "cost", Columns: []document.Column{
		{Key: "name", Heading: "pump", Unit: document.Word},
		{Key: "cost_per_year", Heading: "power a year", Unit: p.money},
		{Key: "ownership_present_value", Heading: "all, over the years", Unit: p.money},
		{Key: "ownership_per_year", Heading: "all, a year", Unit: p.money},
		{Key: "saving_per_year", Heading: "saves a year", Unit: p.money},
		{Key: "payback_years", Heading: "pays back in", Unit: document.Years},
	}}
	for _, pump := range p.pumps {
		row := []document.Cell{document.Text(pump.Name), document.NumberOr(pump.Cost, pump.CostWhy), document.NumberOr(pump.Owned, pump.OwnedWhy),
			document.NumberOr(pump.OwnedYearly, ""), document.Unknown(""), document.Unknown("")}
		for _, s := range p.swaps {
			if s.To == pump.Name {
				row[4], row[5] = document.NumberOr(s.Saving, s.SavingWhy), document.NumberOr(s.Payback, s.PaybackWhy)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	note := document.Sentence("Power is the mean of clean and dirty. All is power and pumps over %v years, each pump replaced at the end of its life, in today's money; a year of it is the level sum that is worth the same.", years)
	if len(p.swaps) > 0 {
		note = document.Sentence("%v Savings are against %v, which runs today and is counted as worth nothing.", note, p.swaps[0].From)
	}
	return []document.Section{{Heading: "What they cost", Tables: []document.Table{t}, Notes: []document.Prose{note}}}
}
