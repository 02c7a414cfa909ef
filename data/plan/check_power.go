package plan

import (
	"fmt"
	"math"

	"sunrill/data"
	"sunrill/data/units"
)

func (c *checker) run() {
	if c.plan.Run.MonthsOff.Count() == 12 {
		c.at("run.months_off", "the pump would never run", "fewer than twelve months")
	}
	var owner [12][48]int
	for i, b := range c.plan.Run.Bands {
		at := fmt.Sprintf("run.band.%d", i+1)
		if _, given := c.plan.Origins[at+".speed"]; !given {
			c.at(at, "the band has no speed", "speed, such as 0.8, or 0 for off")
		}
		for m := range 12 {
			for h := range 48 {
				if !b.Months[m] || !b.Hours[h] {
					continue
				}
				if first := owner[m][h]; first > 0 {
					c.at(at+".hours", fmt.Sprintf("overlaps band %d in %s at %s", first, MonthNames[m], halfHour(h)), "each hour in one band")
					return
				}
				owner[m][h] = i + 1
			}
		}
	}
}

func halfHour(h int) string { return fmt.Sprintf("%02d:%02d", h/2, h%2*30) }

func (c *checker) mains() {
	m := c.plan.Mains
	if m.Price != nil && len(m.Bands) > 0 {
		c.at("mains.price", "a flat price beside price bands", "price, or [[mains.band]], or [[mains.tier]]")
	}
	if len(m.Tiers) > 0 && (m.Price != nil || len(m.Bands) > 0) {
		c.at("mains.tier.1", "price blocks beside another price", "price, or [[mains.band]], or [[mains.tier]]")
	}
	for i := range m.Bands {
		c.price(fmt.Sprintf("mains.band.%d", i+1))
	}
	if len(m.Bands) > 0 {
		c.priceBands()
	}
	c.priceTiers()
}

func (c *checker) price(item string) {
	if _, given := c.plan.Origins[item+".price"]; !given {
		c.at(item, "the price is not given", "price of one kWh as a plain number")
	}
}

// priceBands checks that each hour of each month and kind of day has one price.
func (c *checker) priceBands() {
	bands := c.plan.Mains.Bands
	for _, day := range []string{"weekdays", "weekends"} {
		for m := range 12 {
			for h := range 48 {
				owner := 0
				for i, b := range bands {
					if !b.Months[m] || !b.Hours[h] || b.Days != "all" && b.Days != day {
						continue
					}
					if owner > 0 {
						c.at(fmt.Sprintf("mains.band.%d.hours", i+1), fmt.Sprintf("overlaps band %d at %s on %s in %s", owner, halfHour(h), day, MonthNames[m]),
							"each hour in one band")
						return
					}
					owner = i + 1
				}
				if owner == 0 {
					c.at(fmt.Sprintf("mains.band.%d.hours", len(bands)), fmt.Sprintf("no band has a price at %s on %s in %s", halfHour(h), day, MonthNames[m]),
						"each hour in one band")
					return
				}
			}
		}
	}
}

// priceTiers checks that the blocks of a month's use rise and the last is open.
func (c *checker) priceTiers() {
	tiers := c.plan.Mains.Tiers
	last := units.Energy(0)
	for i, t := range tiers {
		at := fmt.Sprintf("mains.tier.%d", i+1)
		c.price(at)
		switch {
		case i == len(tiers)-1 && t.UpTo != nil:
			c.at(at+".up_to", "the last block has no upper end, or use beyond it has no price", "leave up_to out of the last block")
		case i < len(tiers)-1 && t.UpTo == nil:
			c.at(at, "only the last block has no upper end", "up_to, such as 350 kWh")
		case t.UpTo != nil && *t.UpTo <= last:
			c.at(at+".up_to", "blocks must rise", units.Sprintf("more than %.6g kWh", last.In(units.KilowattHour)))
		}
		if t.UpTo != nil {
			last = *t.UpTo
		}
	}
	if len(tiers) > 0 && c.plan.Mains.OtherUse == nil {
		c.at("mains.tier.1", "price blocks need the use of the rest of the house", "other_use in [mains], the kWh of a month without the pump")
	}
}

func (c *checker) power() {
	c.both("load", "power", "series")
	b := c.plan.Battery
	if b.CutOff != nil && b.Reconnect != nil && *b.Reconnect < *b.CutOff {
		c.at("battery.reconnect", "the load would be switched on below the charge that switches it off",
			fmt.Sprintf("the cut-off of %s or more", units.Share(*b.CutOff)))
	}
	c.cells()
	n := c.plan.Panel
	if n.OpenCircuitVoltage != nil && n.WorkingVoltage != nil && *n.OpenCircuitVoltage <= *n.WorkingVoltage {
		c.at("panel.open_circuit_voltage", "not above the working voltage", "more than "+n.WorkingVoltage.String())
	}
	if d := c.plan.Controller.OwnDraw; d != nil && n.Watts != nil && *n.Watts > 0 && *d >= *n.Watts {
		c.at("controller.own_draw", "the controller draws as much as the panel gives at best", "less than "+n.Watts.String())
	}
}

// cells refuses a battery voltage that whole cells in series do not come to.
func (c *checker) cells() {
	b := c.plan.Battery
	kind, err := data.BatteryKindOf(b.Kind)
	if err != nil || b.Voltage == nil || !kind.CellVolts.Known {
		return
	}
	const rounding = 0.01 // of labels
	cell, v := kind.CellVolts.Value, float64(*b.Voltage)
	n := math.Max(1, math.Round(v/cell))
	if math.Abs(n*cell-v) > rounding*v {
		c.at("battery.voltage", units.Sprintf("cells of %g V do not come to it", cell), units.Sprintf("%.6g V (%g cells in series) for %s", n*cell, n, kind.Kind))
	}
}

// warnings returns doubts about p that stop no answer.
func (p *Plan) warnings() []data.Warning {
	var all []data.Warning
	warn := func(key, message string) {
		o := p.Origins[key]
		all = append(all, data.Warning{File: o.File, Line: o.Line, Key: key, Message: message})
	}
	if p.Lift.Crest != nil && p.Lift.StaticHead != nil && *p.Lift.Crest < *p.Lift.StaticHead {
		warn("lift.crest", "below the static head, so it changes nothing")
	}
	for i, m := range p.Pumps {
		at := fmt.Sprintf("pump.%d.", i+1)
		if m.Curve != "" && m.LabelFlow != nil {
			warn(at+"label_flow", "not used: the curve says more")
		}
		if m.Curve != "" && m.LabelHead != nil {
			warn(at+"label_head", "not used: the curve says more")
		}
	}
	if p.Pond.Volume != nil && p.Pond.Surface != nil {
		if mean := float64(*p.Pond.Volume) / float64(*p.Pond.Surface); mean > 5 || mean < 0.05 {
			warn("pond.surface", units.Sprintf("volume over surface is a mean depth of %.3g m: check both", mean))
		}
	}
	return all
}
