package energy

import (
	"slices"

	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/pumps/works"
)

// Keep is whether the pump that runs today should stay.
type Keep struct {
	Present     string                    `json:"present"`
	SwapTo      figure.Maybe[string]      `json:"swap_to"` // the cheapest other pump that probably does
	PresentCost figure.Maybe[money.Money] `json:"present_cost_per_year"`
	SwapCost    figure.Maybe[money.Money] `json:"swap_cost_per_year"`
	Saving      figure.Maybe[money.Money] `json:"saving_per_year"` // all told
	PowerSaved  figure.Maybe[money.Money] `json:"power_saving_per_year"`
	// Payback counts the purchase that the swap avoids from when it is due, and Life is how
	// long what is bought lasts [years]: none is told without the other.
	Payback figure.Maybe[float64] `json:"payback_years"`
	Life    figure.Maybe[float64] `json:"life_years"`
	Pays    figure.Maybe[bool]    `json:"pays"`
}

// PumpOwned is a pump as money sees it.
type PumpOwned struct {
	Name    string
	Running figure.Maybe[money.Money] // a year, at the socket
	Price   figure.Maybe[money.Money]
	Life    float64 // years
	Due     float64 // years until it is bought: 0 for a new one
}

// Terms are those under which years are added up.
type Terms struct {
	Years      int
	Rate, Rise float64
}

// yearly returns the equivalent yearly cost of p; unknown where its price or its bill
// is. Of a pump that runs today and has no price it is the power, at least, as Why says.
func (t Terms) yearly(p PumpOwned) figure.Maybe[money.Money] {
	switch {
	case !p.Running.Known:
		return p.Running
	case p.Price.Known:
		bought := []money.Purchase{{Price: p.Price.Value, Life: p.Life, Due: p.Due}}
		return figure.Known(money.Yearly(p.Running.Value, bought, t.Years, t.Rate, t.Rise))
	case p.Due > 0:
		return figure.Maybe[money.Money]{Value: money.Yearly(p.Running.Value, nil, t.Years, t.Rate, t.Rise), Known: true,
			Why: "its power alone: " + p.Price.Why}
	}
	return p.Price
}

// leastAge is how long a pump that runs today is taken to last at least [years].
const leastAge = 1

// DueIn returns in how many years a pump that runs today is replaced: what is left of
// its life, half of it where its age is not known, and a year at least. Common practice,
// no source.
func DueIn(life float64, age *units.Duration) float64 {
	if age == nil {
		return max(leastAge, life/2)
	}
	return max(leastAge, life-age.In(units.Year))
}

// lessThan is by how much a swap has to cost less a year to be worth the trouble;
// common practice, no source.
const lessThan = 0.02

// Swap weighs one other pump against the present one: it pays where its yearly cost is at
// least 2 % lower and what it costs, less the purchase that it avoids, is back before it
// wears out.
func (t Terms) Swap(present, other PumpOwned) Keep {
	k := Keep{Present: present.Name, SwapTo: figure.Known(other.Name), PresentCost: t.yearly(present), SwapCost: t.yearly(other),
		Life: figure.Known(other.Life)}
	k.PowerSaved = figure.Then(present.Running, func(now money.Money) money.Money { return now - other.Running.Value })
	if !other.Running.Known {
		k.PowerSaved = other.Running
	}
	for _, need := range []figure.Maybe[money.Money]{k.PresentCost, k.SwapCost} {
		if !need.Known {
			figure.Explain(&k, need.Why)
			return k
		}
	}
	k.Saving = figure.Known(k.PresentCost.Value - k.SwapCost.Value)
	cost, saved := other.Price.Value, present.Running.Value-other.Running.Value
	if k.Payback = money.Payback(cost, saved, t.Rate, t.Rise); present.Price.Known && !(k.Payback.Known && k.Payback.Value <= present.Due) {
		back := money.Payback(cost-money.Worth(present.Price.Value, t.Rate, present.Due), saved, t.Rate, t.Rise)
		k.Payback = figure.Then(back, func(years float64) float64 { return max(years, present.Due) })
	}
	k.Pays = figure.Known(k.SwapCost.Value <= k.PresentCost.Value*(1-lessThan) && k.Payback.Known && k.Payback.Value < other.Life)
	return k
}

// terms returns those of a plan.
func terms(p *plan.Plan) Terms {
	return Terms{Years: p.Mains.Years, Rate: p.Mains.DiscountRate, Rise: p.Mains.PriceRise}
}

// owned returns p as money sees it, on the mains.
func (j *job) owned(p *works.WaterPump) PumpOwned {
	in := p.Spec
	o := PumpOwned{Name: in.Name, Price: priceOf(in), Life: in.Life.In(units.Year),
		Running: figure.Mean(j.yearCost(p.Clean, clock.MonthlyHours{}), j.yearCost(p.Dirty, clock.MonthlyHours{}))}
	if in.Present {
		o.Due = DueIn(o.Life, in.Age)
	}
	return o
}

// yearly returns what p costs a year, all told.
func (j *job) yearly(p *works.WaterPump) figure.Maybe[float64] { return j.yearOf(p, false) }

// pays reports whether a swap pays; without prices it saves power or does not.
func (j *job) pays(from, to int, pumps []works.WaterPump) bool {
	k := terms(j.plan).Swap(j.owned(&pumps[from]), j.owned(&pumps[to]))
	return k.Pays.Value || !k.Pays.Known
}

// priceOf returns the price of all the pumps of an entry.
func priceOf(in plan.Pump) figure.Maybe[money.Money] {
	if in.Price == nil {
		return figure.Unknown[money.Money]("pump.price is not given")
	}
	return figure.Known(money.Money(*in.Price) * money.Money(max(1, in.Count)))
}

// keep weighs the pump that runs today against the cheapest other one that probably
// does; without prices the one of least power.
func (j *job) keep() {
	from, to := slices.IndexFunc(j.water.Pumps, func(p works.WaterPump) bool { return p.Present }), -1
	if j.out.Keep = figure.Unknown[Keep]("no pump is named as the present one (pump.present)"); from < 0 {
		return
	}
	for i, p := range j.water.Pumps {
		does := p.Surely.Value.Chance >= works.ChanceProbably && p.Unsound() == ""
		if i != from && does && (to < 0 || cheaper(p, j.water.Pumps[to])) {
			to = i
		}
	}
	present := j.owned(&j.water.Pumps[from])
	if to < 0 {
		why := units.Text("no other pump of the plan is likely to do")
		if len(j.water.Pumps) == 1 {
			why = "there is no other pump in the plan"
		}
		k := Keep{Present: present.Name, PresentCost: terms(j.plan).yearly(present)}
		figure.Explain(&k, why)
		j.out.Keep = figure.Known(k)
		return
	}
	j.out.Keep = figure.Known(terms(j.plan).Swap(present, j.owned(&j.water.Pumps[to])))
}

// cheaper reports whether a costs less a year than b, or draws less where a cost is not
// known.
func cheaper(a, b works.WaterPump) bool {
	if a.Yearly.Known && b.Yearly.Known {
		return a.Yearly.Value < b.Yearly.Value
	}
	return a.Yearly.Known || !b.Yearly.Known && works.Smaller(a, b)
}

// Paid is what had been paid for a pump after so many years, in today's money.
type Paid struct {
	Years float64
	Sum   money.Money
}

// Paid returns what p costs all told after each year of t and at each purchase, which
// makes a step. A year's running is worth what it is at the year's end.
func (t Terms) Paid(p PumpOwned) []Paid {
	all, due, running := []Paid{{}}, p.Due, p.Running.Value
	bought, ran := money.Money(0), money.Money(0)
	for year := range t.Years {
		start, end := float64(year), float64(year+1)
		worth := money.Worth(running, t.Rate, end)
		for ; p.Price.Known && p.Life > 0 && due < end; due += p.Life {
			now := ran + money.Money(due-start)*worth
			all = append(all, Paid{due, bought + now})
			bought += money.Worth(p.Price.Value, t.Rate, due)
			all = append(all, Paid{due, bought + now})
		}
		ran += worth
		all = append(all, Paid{end, bought + ran})
		running *= money.Money(1 + t.Rise)
	}
	return all
}

// Owned returns each pump of an outcome as money sees it, and the terms of its plan.
func (r *Outcome) Owned() ([]PumpOwned, Terms) { return r.owned, r.terms }

// ownCost returns what the chosen pump costs a year as planned, and whether that is
// without its price, which is not known.
func (j *job) ownCost() (cost figure.Maybe[float64], free bool) {
	i := j.water.Choice.Index
	if i < 0 {
		return figure.Unknown[float64](j.water.Choice.Why), false
	}
	pump := &j.water.Pumps[i]
	if !pump.Surely.Known {
		return figure.Unknown[float64](pump.Surely.Why), false
	}
	owned := j.owned(pump)
	if !owned.Running.Known {
		return figure.Unknown[float64](owned.Running.Why), false
	}
	free = !pump.Yearly.Known
	return j.yearOf(pump, free), free
}

// yearOf returns what p costs a year; free leaves its price out.
func (j *job) yearOf(p *works.WaterPump, free bool) figure.Maybe[float64] {
	owned := j.owned(p)
	if free {
		owned.Price = figure.Known(money.Money(0))
	}
	m := terms(j.plan).yearly(owned)
	return figure.Maybe[float64]{Value: float64(m.Value), Known: m.Known, Why: m.Why}
}
