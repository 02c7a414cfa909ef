package bill

import (
	"math"

	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/money"
)

// Part is one kind of thing on a bill.
type Part int

// The parts, in the order of a bill.
const (
	Panel Part = iota
	Mounting
	Battery
	Controllers
	Inverter
	parts
)

// Bill is a panel and a battery as they are bought.
type Bill struct {
	PanelUnits    figure.Maybe[int]     `json:"panel_units"`
	PanelUnitW    figure.Maybe[float64] `json:"panel_unit_w"`
	PanelSeries   int                   `json:"panels_in_series"`
	PanelArea     figure.Maybe[float64] `json:"panel_area_m2"`
	BatteryUnits  figure.Maybe[int]     `json:"battery_units"`
	BatteryUnitWh figure.Maybe[float64] `json:"battery_unit_wh"`
	InSeries      figure.Maybe[int]     `json:"batteries_in_series"`
	BatteryV      units.Voltage         `json:"battery_v"` // nominal, of the whole battery
	Controllers   int                   `json:"controllers"`
	ControllerA   figure.Maybe[float64] `json:"controller_a"` // each

	Cost `json:"-"`
}

// Cost is what a bill comes to.
type Cost struct {
	Parts   [parts]money.Purchase // by Part, without a price where it is there already
	Price   money.Money           // +Inf: it cannot be bought
	PerYear money.Money           // the level sum a year that pays each part over its own life
}

// wattsPerM2 is what a square metre of panel is rated at (common practice, no source).
const wattsPerM2 = 210

// whyNoUnits returns why it is not known how many units are bought where so many are on sale.
func whyNoUnits(sizes int) units.Text {
	if sizes == 0 {
		return "no sizes on sale are given, so any is taken to be sold"
	}
	return "it is no whole number of what is on sale"
}

// Of returns the bill of a panel [W] with a battery [Wh nominal].
func (s *Shop) Of(panelW, batteryWh, batteryYears float64) Bill {
	volts, series, n, one := s.system(panelW)
	b := Bill{BatteryV: volts, PanelSeries: series, Controllers: n, Cost: s.cost(panelW, batteryWh, batteryYears, n, one)}
	b.ControllerA = figure.Positive(float64(one.Current), "nothing says what current it carries")
	why := whyNoUnits(len(s.Panels))
	b.PanelUnits.Why, b.PanelUnitW.Why = why, why
	why = whyNoUnits(len(s.Batteries))
	b.BatteryUnits.Why, b.BatteryUnitWh.Why, b.InSeries.Why = why, why, why
	b.PanelArea = figure.Given(!s.Measured, panelW/wattsPerM2, "the watts of the measured panel are not given")
	if unit, k := s.string(panelW); k > 0 {
		b.PanelUnits, b.PanelUnitW = figure.Known(k*s.series()), figure.Known(unit/float64(s.series()))
	}
	if s.OnlyWh.Known {
		return b
	}
	for _, u := range s.Batteries {
		wh, series := u.string(volts, s.UnitV)
		k := math.Round(batteryWh / wh)
		if fits := math.Abs(k*wh-batteryWh) <= 1e-6*wh; fits && (!b.BatteryUnits.Known || int(k)*series < b.BatteryUnits.Value) {
			b.BatteryUnits, b.InSeries = figure.Known(int(k)*series), figure.Known(series)
			b.BatteryUnitWh = figure.Known(wh / float64(series))
		}
	}
	return b
}

// CostOf returns what Of says that a pair costs.
func (s *Shop) CostOf(panelW, batteryWh, batteryYears float64) Cost {
	_, _, n, one := s.system(panelW)
	return s.cost(panelW, batteryWh, batteryYears, n, one)
}

// cost adds up the parts. A battery is taken to last half a year at least.
func (s *Shop) cost(panelW, batteryWh, batteryYears float64, n int, one Controller) (c Cost) {
	each := s.PerController
	if each == 0 {
		each = s.PerAmp * money.Money(one.Current)
	}
	if s.BatteryLife > 0 {
		batteryYears = min(batteryYears, s.BatteryLife)
	}
	w := money.Money(panelW)
	c.Parts = [parts]money.Purchase{
		Panel:       {Price: w * s.PerWatt, Life: s.PanelLife},
		Mounting:    {Price: w*s.MountingPerWatt + s.Extra, Life: s.PanelLife},
		Battery:     {Price: money.Money(batteryWh) * s.PerWh, Life: max(leastLife, batteryYears)},
		Controllers: {Price: money.Money(n) * each, Life: s.ControllerLife},
		Inverter:    {Price: s.Inverter, Life: s.InverterLife},
	}
	if n < 0 {
		c.Price, c.PerYear = money.Money(math.Inf(1)), money.Money(math.Inf(1))
		return c
	}
	for part, p := range c.Parts {
		if p.Price <= 0 {
			continue
		}
		c.PerYear += money.Level(p, s.Rate)
		if own := Part(part); s.OwnPanel && own <= Mounting || s.OwnBattery && own == Battery {
			c.Parts[part].Price = 0
		}
		c.Price += c.Parts[part].Price
	}
	return c
}

// leastLife is what any battery is taken to last [years]: a stated rule, no source.
const leastLife = 0.5
