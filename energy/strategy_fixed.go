package energy

import (
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/money"
	"sunrill/pumps/works"
)

// SlowedFixed is the share of a pump's full power that may not fall with its
// speed (electronics, bearings, magnets), the high end where the plan does not
// give fixed_watts; the low end is none, the cube of the speed. Common practice, no
// source.
const SlowedFixed = 0.1

// Slowed is what a slowed row takes if SlowedFixed of the full power does not fall
// with the speed.
type Slowed struct {
	Power   units.Power           `json:"power_w"`     // of the pump at the row's own speed
	Energy  units.EnergyPerDay    `json:"kwh_per_day"` // at the socket, air included
	WhPerM3 figure.Maybe[float64] `json:"wh_per_m3"`
}

// atHighEnd returns pump p of w if a part of its full power does not fall with its speed, or why
// it is not asked.
func atHighEnd(w *works.WaterResult, p works.WaterPump) (works.WaterPump, units.Text) {
	switch {
	case !w.Schedule.Slows():
		return p, "it is not slowed"
	case p.Spec.FixedWatts != nil:
		return p, "the plan gives the pump's fixed_watts"
	}
	p.Pump = p.Pump.WithFixedShare(SlowedFixed) // no key: fixed_watts is the same at every flow
	w.Run(&p)
	return p, ""
}

// slowed returns the high end of what a row takes with pump p.
func (s *Strategy) slowed(p works.WaterPump) figure.Maybe[Slowed] {
	p, why := atHighEnd(s.as.water, p)
	if why != "" {
		return figure.Unknown[Slowed](why)
	}
	day := s.as.mainsOf(p).Value.PerDay
	return figure.Known(Slowed{Power: p.Power.Value, Energy: day, WhPerM3: s.perVolume(day)})
}

// perVolume returns what each cubic metre of a row takes at energy e a day [Wh/m³].
func (s *Strategy) perVolume(e units.EnergyPerDay) figure.Maybe[float64] {
	return figure.Then(s.PerYear, func(v units.Volume) float64 { return e.WattHours() * 365 / float64(v) })
}

// markLeast marks the row of least energy for each volume among full speed and
// the slower ones, at either end of a slowed pump's power. An air pump that runs
// beside them counts, so that it need not be the speed at which the pump alone does
// best.
func markLeast(rows []Strategy) {
	least, high, ranged := -1, -1, false
	atHigh := func(s Strategy) figure.Maybe[float64] {
		if s.Slowed.Known {
			return s.Slowed.Value.WhPerM3
		}
		return s.WhPerM3
	}
	for k, s := range rows {
		if s.Kind != FullSpeed && s.Kind != Slower || !s.WhPerM3.Known {
			continue
		}
		if least < 0 || s.WhPerM3.Value < rows[least].WhPerM3.Value {
			least = k
		}
		if high < 0 || atHigh(s).Value < atHigh(rows[high]).Value {
			high = k
		}
		ranged = ranged || s.Slowed.Known
	}
	if least >= 0 {
		rows[least].LeastWh = true
	}
	if ranged {
		rows[high].LeastSlowed = true
	}
}

// assumedSlowed lists what is taken of the power of the slowed rows.
func assumedSlowed(rows []Strategy) []figure.Assumed {
	for _, s := range rows {
		if s.Slowed.Known {
			return []figure.Assumed{{Key: "pump.fixed_watts", Kind: units.KindPower,
				Why: units.Say("not given: a slowed pump's power is taken as the cube of its speed, and beside it with %.0f "+
					"%% of full power that does not fall; a plug-in meter at the slow speed tells", 100*SlowedFixed),
				Source: "common practice, no source"}}
		}
	}
	return nil
}

// leastSaves is what f saves if a part of the full power of a slowed pump does not fall
// with its speed; own is what the plan costs, unless that is slowed too.
func (f *found) leastSaves(own float64) figure.Maybe[money.Money] {
	high := func(w *works.WaterResult, i int) figure.Maybe[float64] {
		p, why := atHighEnd(w, w.Pumps[i])
		if why != "" {
			return figure.Unknown[float64](why)
		}
		return f.yearOf(&p, f.free)
	}
	as, err := f.with(Variant{Pump: f.pump, Set: func(p *plan.Plan) { p.Run = f.hours() }})
	if err != nil {
		return figure.Unknown[money.Money](units.Text(err.Error()))
	}
	if now := high(f.out.Water, f.water.Choice.Index); now.Known {
		own = now.Value
	}
	return figure.Then(high(as.water, f.pump), func(cost float64) money.Money { return money.Money(own - cost) })
}
