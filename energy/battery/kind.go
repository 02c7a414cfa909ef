package battery

import (
	"cmp"
	"errors"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// BatteryOf returns the battery of a kind's row, at 25 °C, at the end of its
// life, without a voltage. Its cut-off is at the usable floor.
func BatteryOf(row data.BatteryKind, cold []data.ColdPoint) Battery {
	b := IdealBattery()
	b.Kind, b.Lead = row.Kind, row.Lead
	b.CellVoltage = units.Voltage(row.CellVolts.Value)
	b.UsableShare, b.EndOfLifeShare = float64(row.Usable), float64(row.EndOfLife)
	b.ChargeShare, b.DischargeShare = float64(row.ChargeEfficiency), float64(row.DischargeEfficiency)
	b.SelfDischarge = float64(row.SelfDischarge)
	b.CutOff, b.Reconnect = 1-b.UsableShare, float64(row.Reconnect)
	b.ChargeLimit, b.DischargeLimit = row.ChargeRate.Value, row.DischargeRate.Value
	b.Peukert, b.RatedHours = float64(row.Peukert), row.RatedHours.Value
	b.FullCycles = row.Cycles.Value * row.CycleDepth.Value
	b.CalendarYears = row.LifeYears.Value
	if row.LeastChargingC.Known {
		b.NoChargeBelow = units.Celsius(row.LeastChargingC.Value)
	}
	for _, p := range cold {
		if p.Kind == row.Kind || b.Lead && p.Kind == "lead" {
			b.Cold = append(b.Cold, ColdCapacity{float64(p.TempC), 1 / float64(p.SizeMultiplier)})
		}
	}
	return b
}

// BatteryFrom returns the battery of a plan: its kind's row (LiFePO4 where none
// is named) with what the plan overrides, at the coldest of the plan's battery
// temperatures, and what came from the row and counts. The cut-off
// follows the usable share unless it is given; so does the reconnect level
// where a higher cut-off would pass it.
//
// Errors are *data.Error, every fault at once.
func BatteryFrom(p plan.Battery) (b Battery, assumed []figure.Assumed, err error) {
	row, err := data.BatteryKindOf(cmp.Or(p.Kind, "LiFePO4"))
	if err != nil {
		return Battery{}, nil, err
	}
	b = BatteryOf(row, data.BatteryCold())
	ofRow := func(key string, given *float64, into *float64, a figure.Assumed) {
		a.Key, a.Why, a.Source = "battery."+key, cmp.Or(a.Why, units.Text("the row of "+b.Kind)), "table of batteries"
		switch {
		case given != nil:
			*into = *given
		case b.Kind != "ideal":
			assumed = append(assumed, a)
		}
	}
	share := func(key string, given *float64, into *float64, why units.Text) {
		ofRow(key, given, into, figure.Assumed{Kind: units.KindShare, Value: *into, Why: why})
	}
	share("usable", p.Usable, &b.UsableShare, "")
	share("charge_efficiency", p.ChargeEfficiency, &b.ChargeShare, "")
	share("discharge_efficiency", p.DischargeEfficiency, &b.DischargeShare, "")
	share("self_discharge", p.SelfDischarge, &b.SelfDischarge, "")
	ofRow("charge_rate", p.ChargeRate, &b.ChargeLimit, figure.Assumed{Text: perHour(b.ChargeLimit)})
	ofRow("discharge_rate", p.DischargeRate, &b.DischargeLimit, figure.Assumed{Text: perHour(b.DischargeLimit)})
	share("end_of_life", p.EndOfLife, &b.EndOfLifeShare,
		"what is left of the size when it is called worn out, which must still do; 100 % reckons a new one")
	if p.Peukert != nil {
		b.Peukert = *p.Peukert
	}
	setCutOff(&b, p)
	if p.CutOff == nil && b.Kind != "ideal" {
		assumed = append(assumed, figure.Assumed{Key: "battery.cut_off", Kind: units.KindShare, Value: b.CutOff,
			Why: "1 less the usable share"})
	}
	if p.Reconnect == nil && b.Reconnect > 0 {
		assumed = append(assumed, figure.Assumed{Key: "battery.reconnect", Kind: units.KindShare, Value: b.Reconnect,
			Why: units.Text("the row of " + b.Kind), Source: "table of batteries"})
	}
	if p.RatedHours != nil {
		b.RatedHours = p.RatedHours.In(units.Hour)
	}
	if p.LeastChargingTemperature != nil {
		b.NoChargeBelow = *p.LeastChargingTemperature
	}
	if p.Voltage != nil {
		b.Voltage = *p.Voltage
	}
	if p.Cycles != nil || p.CycleDepth != nil {
		b.FullCycles = fullCycles(row, p)
	}
	if p.Life != nil {
		b.CalendarYears = p.Life.In(units.Year)
	}
	if p.CapacityAt0C != nil {
		b.Cold = scaleCold(b.Cold, *p.CapacityAt0C)
	}
	if p.Temperature != nil {
		b = b.AtColdest(*p.Temperature)
	}
	return b, assumed, errors.Join(b.Check())
}

// fullCycles returns the cycles of a plan's battery counted as full ones, its
// kind's row standing in for what the plan leaves out.
func fullCycles(row data.BatteryKind, p plan.Battery) float64 {
	cycles, depth := row.Cycles.Value, row.CycleDepth.Value
	if p.Cycles != nil {
		cycles = float64(*p.Cycles)
	}
	switch {
	case p.CycleDepth != nil:
		depth = *p.CycleDepth
	case depth == 0: // the row names none: full ones
		depth = 1
	}
	return cycles * depth
}

// setCutOff sets the levels at which the load goes and comes back. A kind
// whose row names no reconnect level, the ideal one, has neither until the plan
// gives one.
func setCutOff(b *Battery, p plan.Battery) {
	limits := b.Reconnect > 0 || p.CutOff != nil || p.Reconnect != nil
	b.CutOff = 0
	if limits {
		b.CutOff = 1 - b.UsableShare
	}
	if p.CutOff != nil {
		b.CutOff = *p.CutOff
	}
	switch {
	case p.Reconnect != nil:
		b.Reconnect = *p.Reconnect
	case limits && b.Reconnect <= b.CutOff:
		b.Reconnect = b.CutOff + reconnectStep*(1-b.CutOff)
	}
}

// reconnectStep is how far, of the way from the cut-off to full, a battery is
// charged again where the row's reconnect level is no higher than the cut-off
// given. Common practice, no source.
const reconnectStep = 0.25

// scaleCold returns the curve with its losses stretched so that it gives share
// at 0 °C.
func scaleCold(curve []ColdCapacity, share float64) []ColdCapacity {
	lost := 1 - coldAt(curve, 0)
	if lost <= 0 {
		return []ColdCapacity{{25, 1}, {0, share}}
	}
	out := make([]ColdCapacity, len(curve))
	for i, c := range curve {
		out[i] = ColdCapacity{c.TempC, max(minColdShare, 1-(1-c.Share)*(1-share)/lost)}
	}
	return out
}

// minColdShare keeps a stretched curve from taking all of a battery.
const minColdShare = 0.05

// coldAt reads the curve at t [°C]: linear between its points, held at its ends.
func coldAt(curve []ColdCapacity, t float64) float64 {
	if len(curve) == 0 {
		return 1
	}
	if t >= curve[0].TempC {
		return curve[0].Share
	}
	for i := 1; i < len(curve); i++ {
		if warm, cold := curve[i-1], curve[i]; t >= cold.TempC {
			return cold.Share + (warm.Share-cold.Share)*(t-cold.TempC)/(warm.TempC-cold.TempC)
		}
	}
	return curve[len(curve)-1].Share
}

// CapacityAt returns the share of its nominal capacity that b has at a
// temperature, from its Cold table: linear between the rows and held at the
// ends, so never above what the label states.
func (b Battery) CapacityAt(t units.Temperature) float64 {
	return min(1, coldAt(b.Cold, t.InCelsius()))
}

// AtColdest returns b with the ColdShare of the coldest of twelve months.
func (b Battery) AtColdest(months [12]units.Temperature) Battery {
	coldest := months[0]
	for _, t := range months[1:] {
		coldest = min(coldest, t)
	}
	b.ColdShare = b.CapacityAt(coldest)
	return b
}

// FreezesAt returns the temperature at which a lead battery freezes at a charge, a share
// of the nominal size from 0 to 1 (data/lead_freezing.csv, linear between rows).
func FreezesAt(charge float64) units.Temperature {
	rows := data.LeadFreezing()
	k := 1
	for k < len(rows)-1 && rows[k].Charge < charge {
		k++
	}
	a, b := rows[k-1], rows[k]
	return units.Celsius(a.FreezesC + (b.FreezesC-a.FreezesC)*(charge-a.Charge)/(b.Charge-a.Charge))
}

func perHour(rate float64) units.Text {
	if rate == 0 {
		return "no limit"
	}
	return units.Say("%.3g of the size an hour", rate)
}
