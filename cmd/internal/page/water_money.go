package page

import (
	"sunrill/cmd/internal/document"
)

// moneyAnswer says what the pump costs a year.
func (p *waterPage) moneyAnswer() document.Prose {
	i := p.water.Choice.Nearest
	if i < 0 || !p.costs[i].Year.Known {
		return document.Prose{}
	}
	all := p.water.Pumps[i].Yearly
	return document.Sentence("%v a year for power", p.money.Of(p.costs[i].Year)).When(all.Known, ", %v with new pumps as they wear out",
		p.money.Of(all)).And(".")
}

// keepAnswer says in a sentence whether to keep the pump that runs today.
func (p *waterPage) keepAnswer() document.Prose {
	k := p.keep.Value
	switch {
	case !p.keep.Known:
		return document.Prose{}
	case !k.SwapTo.Known:
		return document.Sentence("keep %v: %v.", k.Present, k.SwapTo.Why)
	case !k.Pays.Known && k.PowerSaved.Known && k.PowerSaved.Value > 0:
		return document.Sentence("%v in place of %v saves %v of power a year; whether it pays is not known: %v.", k.SwapTo.Value, k.Present,
			p.money.Of(k.PowerSaved), document.Told(k.Pays.Why))
	case !k.Pays.Known && k.PowerSaved.Known:
		return document.Sentence("keep %v: %v takes as much power or more.", k.Present, k.SwapTo.Value)
	case !k.Pays.Known:
		return document.Sentence("whether %v pays in place of %v is not known: %v.", k.SwapTo.Value, k.Present, document.Told(k.Pays.Why))
	}
	other, now := p.money.Of(k.SwapCost), p.money.Of(k.PresentCost)
	back := document.Sentence("it is %v", k.Payback.Why)
	if k.Payback.Known {
		back = document.Sentence("it is paid back in %v and lasts %v", document.Years.Rough(k.Payback), document.Years.Rough(k.Life))
	}
	switch cheaper := k.Saving.Value; {
	case k.Pays.Value:
		return document.Sentence("swap %v for %v: %v a year all told in place of %v; %v.", k.Present, k.SwapTo.Value, other, now, back)
	case cheaper > 0 && k.Payback.Known && k.Payback.Value < k.Life.Value:
		return document.Sentence("keep %v: with %v in its place you would save %v of %v a year all told, too little for the change.",
			k.Present, k.SwapTo.Value, p.money.Of(cheaper), now)
	case cheaper > 0:
		return document.Sentence("keep %v: %v would cost %v a year all told in place of %v, but %v.", k.Present, k.SwapTo.Value, other, now, back)
	}
	return document.Sentence("keep %v: %v would cost %v a year all told in place of %v.", k.Present, k.SwapTo.Value, other, now)
}

// moneySection compares what the pumps cost.
func (p *waterPage) moneySection() document.Section {
	priced := false
	for _, pump := range p.pumps {
		priced = priced || pump.Year.Known
	}
	s := document.Section{Heading: "What they cost"}
	if !priced {
		s.Prose = []document.Prose{document.Sentence("Not known: %v.", p.costs[0].Year.Why)}
		return s
	}
	s.Tables = []document.Table{document.TableOf("cost", p.pumps, document.Columns("name: pump", "cost_per_year: power a year",
		"ownership_present_value: all, over the years", "equivalent_cost_per_year: all, a year")).Priced(p.money)}
	s.Notes = []document.Prose{document.Sentence("Power is the mean of clean and dirty. All is power and pumps over %v years, each pump "+
		"replaced at the end of its "+
		"life, in today's money; a year of it is the level sum over the life of each. One that runs today is paid for until its life ends.",
		p.In.Plan.Mains.Years)}
	return s
}
