package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/energy"
	"sunrill/energy/money"
)

// swapTo returns what it brings to put the pump of that name in place of the present
// one, where that is known.
func (p *waterPage) swapTo(name string) energy.Swap {
	for _, s := range p.swaps {
		if s.To == name {
			return s
		}
	}
	why := figure.Unknown[money.Money]("")
	return energy.Swap{Saving: why, Payback: figure.Unknown[money.Payback]("")}
}

// moneyAnswer says what the pump costs and when a swap pays.
func (p *waterPage) moneyAnswer() document.Prose {
	i := p.water.Choice.Nearest
	if i < 0 || !p.costs[i].Year.Known {
		return document.Prose{}
	}
	s := document.Sentence("%v a year", p.money.Of(p.costs[i].Year))
	if today := p.today(); !today.IsZero() {
		return s.And("; %v", today)
	}
	return s.And(".")
}

// today says what the pump that runs today costs, where another one is chosen,
// and when the swap pays.
func (p *waterPage) today() document.Prose {
	i := p.water.Choice.Index
	if i < 0 {
		return document.Prose{}
	}
	w := p.swapTo(p.water.Pumps[i].Name)
	if !w.Saving.Known {
		return document.Prose{}
	}
	s := document.Sentence("%v costs %v a year", w.From, p.money.Of(p.costs[i].Year.Value+w.Saving.Value))
	switch {
	case w.Saving.Value <= 0:
		return s.And(": %v costs %v more.", w.To, p.money.Of(-w.Saving.Value))
	case !w.Payback.Value.Simple.Known:
		return s.And(": %v saves %v.", w.To, p.money.Of(w.Saving))
	}
	return s.And(": %v saves %v and pays back in %v.", w.To, p.money.Of(w.Saving),
		document.Years.Rough(w.Payback.Value.Simple))
}

// moneySection compares what the pumps cost.
func (p *waterPage) moneySection() document.Section {
	priced := false
	type row struct {
		pumpObject
		energy.Swap
	}
	var rows []row
	for _, pump := range p.pumps {
		priced = priced || pump.Year.Known
		rows = append(rows, row{pump, p.swapTo(pump.Name)})
	}
	s := document.Section{Heading: "What they cost"}
	if !priced {
		s.Prose = []document.Prose{document.Sentence("Not known: %v.", p.costs[0].Year.Why)}
		return s
	}
	s.Tables = []document.Table{document.TableOf("cost", rows, document.Columns(
		"name: pump", "cost_per_year: power a year", "ownership_present_value: all, over the years", "ownership_per_year: all, a year",
		"saving_per_year: saves a year", "payback_years: pays back in")).Priced(p.money)}
	note := document.Sentence("Power is the mean of clean and dirty. All is power and pumps over %v years, each pump replaced at the end of "+
		"its life, in today's money; a year of it is the level sum that is worth the same.", p.In.Plan.Mains.Years)
	for _, w := range p.swaps[:min(1, len(p.swaps))] {
		note = note.And(" Savings are against %v, which runs today and is counted as worth nothing.", w.From)
	}
	s.Notes = []document.Prose{note}
	return s
}
