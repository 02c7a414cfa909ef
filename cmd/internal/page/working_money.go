package page

import (
	"fmt"
	"math"
	"strings"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/units"
	"sunrill/energy/money"
)

// workCost works what a load adds to the year's bills.
func (p *waterPage) workCost(w *working, key, name string, use clock.MonthlyHours, cost float64) {
	m := p.In.Plan.Mains
	kwh := put("E", use.PerYear().KilowattHours(), document.KWhPerYear, "energy of a year at the socket")
	switch {
	case m.OwnMeter && m.Price != nil:
		w.add(key, "cost of a year, "+name, "C = E * p + 365 * d", cost, p.money, "the plan's tariff", kwh, put("p", float64(*m.Price), p.money, "a kWh"), put("d", float64(m.DailyCharge), p.money, "a day"))
	case m.Price != nil:
		w.add(key, "cost of a year, "+name, "C = E * p", cost, p.money, "the plan's tariff", kwh, put("p", float64(*m.Price), p.money, "a kWh"))
	case len(m.Tiers) > 0 && !m.OwnMeter:
		p.workTiers(w, key, name, use, cost)
	case len(m.Bands) > 0 && !m.OwnMeter:
		p.workBands(w, key, name, use, cost)
	default:
		w.add(key, "cost of a year, "+name, "C = E * p", cost, p.money, "the plan's tariff, month by month", kwh, put("p", cost/kwh.Value, p.money, "a kWh, as the tariff comes to"))
	}
}

// workBands works the energy of each price band, and the sum of their costs.
func (p *waterPage) workBands(w *working, key, name string, use clock.MonthlyHours, cost float64) {
	var in []document.Input
	var terms []string
	for i, b := range p.In.Plan.Mains.Bands {
		days := map[string]float64{"weekdays": 5.0 / 7, "weekends": 2.0 / 7}[b.Days]
		if days == 0 {
			days = 1
		}
		kwh := 0.0
		for m := range use {
			if !b.Months[m] {
				continue
			}
			for half, on := range b.Hours {
				if on {
					kwh += use[m][half/2] / 2 * days * float64(data.MonthDays[m])
				}
			}
		}
		e, price := numbered("E", i), numbered("p", i)
		in = append(in, put(e, kwh, document.KWhPerYear, fmt.Sprintf("used in band %d", i+1)), put(price, float64(b.Price), p.money, "a kWh in it"))
		terms = append(terms, e+" * "+price)
	}
	w.add(key, "cost of a year, "+name, "C = "+strings.Join(terms, " + "), cost, p.money, "the plan's tariff; energy of each band by the hours of the clock", in...)
}

// workTiers works the bill of one month, the blocks that the pump adds on top of
// the house, and the sum of the year.
func (p *waterPage) workTiers(w *working, key, name string, use clock.MonthlyHours, cost float64) {
	m := p.In.Plan.Mains
	base := 0.0
	if m.OtherUse != nil {
		base = m.OtherUse.In(units.KilowattHour)
	}
	var months []document.Input
	for month := time.January; month <= time.December; month++ {
		kwh := use.PerMonth(month).KilowattHours()
		in := []document.Input{put("b", base, document.KilowattHours, "used by the house in a month"), put("e", kwh, document.KilowattHours, "used by the pump in the month")}
		var terms []string
		sum, low := 0.0, 0.0
		for i, t := range m.Tiers {
			price, from, to := numbered("p", i), numbered("u", i-1), numbered("u", i)
			in = append(in, put(price, float64(t.Price), p.money, fmt.Sprintf("a kWh of block %d", i+1)))
			top := math.Inf(1)
			if t.UpTo != nil {
				top = t.UpTo.In(units.KilowattHour)
			}
			sum += float64(t.Price) * math.Max(0, math.Min(top, base+kwh)-math.Max(low, base))
			end, begin := "b + e", "b"
			if t.UpTo != nil {
				end = fmt.Sprintf("min(%s, b + e)", to)
				in = append(in, put(to, top, document.KilowattHours, fmt.Sprintf("end of block %d", i+1)))
			}
			if i > 0 {
				begin = fmt.Sprintf("max(%s, b)", from)
			}
			terms = append(terms, fmt.Sprintf("%s * max(0, %s - %s)", price, end, begin))
			low = top
		}
		if month == time.January {
			w.add(strings.TrimSuffix(key, "_per_year")+"_in_january", "cost of one month: the blocks that the pump adds on top of the house, "+name, "c = "+strings.Join(terms, " + "), sum, p.money, "the plan's tariff; marginal blocks", in...)
		}
		months = append(months, put(fmt.Sprintf("c%d", month), sum, p.money, month.String()))
	}
	w.add(key, "cost of a year, "+name, "C = "+sumOf(months), cost, p.money, "sum of the months, each worked as January is", months...)
}

// workOwned works owning and running a pump over the plan's years.
func (p *waterPage) workOwned(w *working, key, name string, price, life, running, present, yearly float64) {
	m := p.In.Plan.Mains
	n, r, g := float64(m.Years), m.DiscountRate, m.PriceRise
	years := put("n", n, document.Years, "reckoned ahead")
	rate, rise := put("r", r, document.Fraction, "discount rate"), put("g", g, document.Fraction, "rise of the price a year")
	first := put("C", running, p.money, "running cost of the first year, paid at its end")
	run := 0.0
	for k, pay := 1, running; k <= m.Years; k++ {
		run += pay / math.Pow(1+r, float64(k))
		pay *= 1 + g
	}
	if r == g {
		w.add(key+"_running", "running, in today's money, "+name, "R = n * C / (1 + r)", run, p.money, fromMoney, years, first, rate)
	} else {
		w.add(key+"_running", "running, in today's money, "+name, "R = C * (1 - ((1 + g) / (1 + r))^n) / (r - g)", run, p.money, fromMoney, first, rise, rate, years)
	}
	again, terms := 0.0, []string{}
	if life > 0 {
		for j := 1.0; j*life < n*(1-1e-12); j++ {
			again += price / math.Pow(1+r, j*life)
			terms = append(terms, units.Sprintf("1 / (1 + r)^(%g * m)", j))
		}
	}
	if len(terms) > 0 {
		w.add(key+"_replacements", "new pumps on the way, in today's money, "+name, "N = P * ("+strings.Join(terms, " + ")+")", again, p.money, fromMoney,
			put("P", price, p.money, "price"), rate, put("m", life, document.Years, "life"))
	}
	w.add(key+"_present_value", "all over the years, in today's money, "+name, "PV = P + R + N", present, p.money, fromMoney, put("P", price, p.money, "price"), put("R", run, p.money, "running"), put("N", again, p.money, "new pumps"))
	recovery := money.CapitalRecovery(r, m.Years)
	w.capitalRecovery(rate, years, recovery)
	w.add(key+"_per_year", "the level sum a year that is worth the same, "+name, "A = PV * a", yearly, p.money, fromMoney, put("PV", present, p.money, "all over the years"), put("a", recovery, document.Named("1/year"), "capital recovery"))
}

// capitalRecovery works the factor that turns a sum into equal yearly payments.
func (w *working) capitalRecovery(rate, years document.Input, result float64) {
	if rate.Value == 0 {
		w.add("money.capital_recovery", "capital recovery", "a = 1 / n", result, document.Named("1/year"), fromMoney, years)
		return
	}
	w.add("money.capital_recovery", "capital recovery: equal payments that repay one", "a = r / (1 - (1 + r)^(-n))", result, document.Named("1/year"), fromMoney, rate, years)
}

// workSwaps works what another pump saves and when it pays back.
func (p *waterPage) workSwaps(w *working) {
	cost := map[string]*float64{}
	for _, pump := range p.pumps {
		cost[pump.Name] = pump.Cost
	}
	m := p.In.Plan.Mains
	for i, s := range p.swaps {
		from, to := cost[s.From], cost[s.To]
		if s.Saving == nil || from == nil || to == nil {
			continue
		}
		key, name := fmt.Sprintf("swaps.%d.", i+1), s.To+" in place of "+s.From
		w.add(key+"saving_per_year", "saved a year, "+name, "S = C0 - C1", *s.Saving, p.money, byDefinition, put("C0", *from, p.money, "cost of a year now"), put("C1", *to, p.money, "with the other pump"))
		if s.Payback == nil || s.Price == nil || *s.Saving <= 0 {
			continue
		}
		price, saving := put("P", *s.Price, p.money, "price"), put("S", *s.Saving, p.money, "saved in the first year")
		w.add(key+"payback_years", "simple payback, "+name, "t = P / S", *s.Payback, document.Years, fromMoney, price, saving)
		if s.Discounted == nil || m.DiscountRate == m.PriceRise {
			continue
		}
		w.add(key+"discounted_payback_years", "discounted payback, "+name,
			"t = k + (P - S * (1 - ((1 + g) / (1 + r))^k) / (r - g)) / (S / (1 + r) * ((1 + g) / (1 + r))^k)", *s.Discounted, document.Years, fromMoney,
			put("k", math.Floor(*s.Discounted+1e-9), document.Years, "whole years before"), price, saving,
			put("g", m.PriceRise, document.Fraction, "rise of the price a year"), put("r", m.DiscountRate, document.Fraction, "discount rate"))
	}
}
