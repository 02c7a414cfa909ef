package energy

import (
	"slices"

	"sunrill/data"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/supply"
	"sunrill/solar"
)

// Level is the cheapest pair for a share of good years.
type Level struct {
	YearsInTen float64
	Years      int // of the record that it was chosen on
	Choice     figure.Maybe[battery.Choice]
}

// levels are the years in ten that are compared.
var levels = [...]float64{5, 9, 9.9}

// surerYears is how many years the surest of levels is judged by beside an easier target,
// none of them bad: fewer than where it is the target itself. A stated rule, no source.
const surerYears = 100

// ladder returns the cheapest pair at each of levels; c is that for o. Other years may be luckier:
// a pair that they make cheaper than an easier one is chosen anew by the years of that.
func (s *Storage) ladder(o battery.SizeOptions, c battery.Choice) figure.Maybe[[]Level] {
	if !o.YearsInTen.Known {
		return figure.Unknown[[]Level](o.YearsInTen.Why)
	}
	out, records := make([]Level, len(levels)), [len(levels)]supply.Record{}
	o.Ratio = c.PanelW * supply.WorstMonthRatio(s.Record)
	choose := func(i int, r supply.Record) {
		l, at := &out[i], o
		l.YearsInTen, l.Years, records[i] = levels[i], r.Hours()/solar.HoursPerYear, r
		if at.YearsInTen = figure.Known(levels[i]); levels[i] == o.YearsInTen.Value {
			l.Choice = figure.Known(c)
			return
		}
		f, why := battery.Choose(r, s.Battery, at)
		l.Choice = figure.Given(why == "", f.Chosen, why)
	}
	cores.Each(len(out), func(i int) {
		if levels[i] == o.YearsInTen.Value {
			choose(i, s.Record)
		} else {
			choose(i, s.longer(min(surerYears, plan.YearsFor(levels[i]))))
		}
	})
	cost := func(l Level) money.Money {
		return o.Shop.CostOf(l.Choice.Value.PanelW, l.Choice.Value.BoughtWh, l.Choice.Value.Life.Years()).PerYear
	}
	for i, easier := range out[:len(out)-1] {
		if surer := out[i+1]; surer.Choice.Known && easier.Choice.Known && cost(surer) < cost(easier) {
			choose(i+1, records[i])
		}
	}
	return figure.Known(out)
}

// longer returns the record made up to so many years, those given and those of a file as
// they are.
func (s *Storage) longer(years int) supply.Record {
	r := s.Record
	if s.Sky == nil || s.Sky.Years == 0 || s.Sky.Years >= years || s.plan.Given("reliability.years") {
		return r
	}
	more := s.under(s.Sky.More(years))
	r.Panel = slices.Concat(r.Panel, more.Panel)
	if r.BatteryC != nil {
		r.BatteryC = slices.Concat(r.BatteryC, more.BatteryC)
	}
	return r.Summed()
}

// assumedTarget lists how surely the load is carried, where nobody said so.
func (s *Storage) assumedTarget() []figure.Assumed {
	years, asked := s.plan.YearsInTen()
	if !asked || s.plan.Given("reliability.years_in_ten") {
		return nil
	}
	low, high := slices.Min(s.limits.Hours[:]), slices.Max(s.limits.Hours[:])
	text := units.Say("%g years in ten without a stop beyond %d h", years, low)
	if low < high {
		text = units.Say("%g years in ten without a stop beyond its month's limit, %d to %d h", years, low, high)
	}
	k, _ := plan.KeyNamed("reliability.years_in_ten")
	return []figure.Assumed{{Key: k.Path, Text: text, Why: s.limits.Why, Source: k.Source}}
}

// targetDoubts warns of years in ten that count for nothing, or that few years show.
func (s *Storage) targetDoubts() (all data.Doubts) {
	years, asked := s.plan.YearsInTen()
	if !asked {
		if s.plan.Given("reliability.years_in_ten") {
			all.Say("reliability.years_in_ten", "not used: unmet_flow, unmet_energy or longest_stop sets the target")
		}
		return all
	}
	n := s.Record.Hours() / solar.HoursPerYear
	if bad := battery.BadYears(years, s.Record.Hours()); n < plan.YearsFor(years) {
		all.Say("reliability.years_in_ten", "%g years in ten are judged by %d years, of which %d may have a longer stop; %d simulated "+
			"years say more", years, n, bad, plan.YearsFor(years))
	}
	return all
}
