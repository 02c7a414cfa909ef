package page

import (
	"fmt"
	"math"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/supply"
	"sunrill/solar"
)

const (
	fromBalance  = "hour by hour: panel first, surplus charges, the rest is spilled; energy in is energy out, stored and lost"
	fromBattery  = "table of batteries (sunrill tables batteries)"
	fromHandbook = "IEEE 1013"
)

// working works the sums of a balance, and two of its hours.
func (v *BalanceView) working() []document.Step {
	var w working
	s := v.Storage
	w.usable("battery.usable_wh", s.Battery, s.NominalWh.Value)
	w.balance("", v.Balance)
	start := battery.BalanceOptions{StartCharge: v.In.Plan.Battery.StartCharge, Connected: true}
	w.storeHours(s.Record, s.Battery, s.PanelW.Value, s.NominalWh.Value, start)
	if s.Sky != nil {
		w.sunHour(s.Sky, s.Sky.Months(s.Sky.Weather).Worst())
	}
	return w.steps
}

// working works the choice, its balance and what stands beside it.
func (v *SizeView) working() []document.Step {
	if v.Size.Nothing != nil {
		return nil
	}
	var w working
	z, s := v.Size, v.Storage
	c := z.Front.Chosen
	w.least("chosen.battery_wh", s.Battery, c.BatteryWh)
	w.usable("chosen.usable_wh", s.Battery, c.BoughtWh)
	if volts := float64(s.BatteryVoltage()); volts > 0 {
		w.add("chosen.battery_on_sale_ah", "charge of the battery", "Q = E / U", c.BoughtWh/volts, document.AmpHours, byDefinition, put("E", c.BoughtWh, document.WattHours, "nominal"), put("U", volts, document.Volts, "nominal"))
	}
	w.balance("chosen.with_cut_off.", c.Connected)
	p := v.pair(c.Pair, c.BoughtWh, c.Connected)
	w.add("chosen.unmet_fraction", "share of the energy missed", "x = U / L", p.Unmet, document.Fraction, byDefinition,
		put("U", c.Connected.UnmetWh, document.WattHours, "not delivered"), put("L", c.Connected.LoadWh, document.WattHours, "asked for"))
	if p.Price.Known && p.CostPerYear.Known {
		w.storePrice("chosen.", &v.In.Plan, s.Pump != nil && s.Pump.OnInverter, c.PanelW, c.BoughtWh, c.Life.Years(), float64(p.Price.Value), float64(p.CostPerYear.Value))
	}
	w.batteryLife("chosen.", s.Battery, c)
	made, asked := s.Record.PerDay(c.PanelW)
	w.handbook("handbook.", z.Handbook, s.Battery, c, made, asked, s.SunOnPanel())
	w.spread(z)
	w.storeHours(s.Record, s.Battery, c.PanelW, c.BoughtWh, battery.FromFull())
	if s.Sky != nil {
		w.sunHour(s.Sky, s.Sky.Months(s.Sky.Weather).Worst())
	}
	return w.steps
}

func batteryShares(b battery.Battery) []document.Input {
	return []document.Input{put("u", b.UsableShare, document.Fraction, "usable"), put("c", b.ColdShare, document.Fraction, "left in the cold"), put("a", b.EndOfLifeShare, document.Fraction, "left at the end of its life")}
}

// usable works what can be used of a nominal size.
func (w *working) usable(key string, b battery.Battery, nominal float64) {
	w.add(key, "what can be used of the battery", "U = E * u * c * a", usableWh(b, nominal), document.WattHours, fromBattery,
		append([]document.Input{put("E", nominal, document.WattHours, "nominal")}, batteryShares(b)...)...)
}

// least works the nominal size from the need.
func (w *working) least(key string, b battery.Battery, nominal float64) {
	w.add(key, "least nominal size for the need", "E = N / (u * c * a)", nominal, document.WattHours, "running deficit over every hour, read twice, gives N; "+fromBattery,
		append([]document.Input{put("N", usableWh(b, nominal), document.WattHours, "usable need")}, batteryShares(b)...)...)
}

// balance works the yearly figures of b, and its account.
func (w *working) balance(key string, b battery.Balance) {
	f := newBalanceFigures(b)
	hours := put("h", float64(b.Hours), document.Hours, "hours read")
	year := func(name, what string, wh, result float64) {
		w.add(key+name, what+", a year", "Y = S / 1000 * 8760 / h", result, document.KWhPerYear, fromBalance, put("S", wh, document.WattHours, "sum of the hours"), hours)
	}
	year("load_kwh_per_year", "asked for", b.LoadWh, f.LoadKWh)
	year("panel_kwh_per_year", "made, before any is spilled", b.PanelWh, f.PanelKWh)
	year("unmet_kwh_per_year", "not delivered", b.UnmetWh, f.UnmetKWh)
	year("spilled_kwh_per_year", "spilled", b.SpilledWh, f.SpilledKWh)
	load := put("L", b.LoadWh, document.WattHours, "asked for")
	if b.LoadWh > 0 {
		w.add(key+"unmet_fraction", "share of the energy missed", "x = U / L", f.Unmet, document.Fraction, byDefinition, put("U", b.UnmetWh, document.WattHours, "not delivered"), load)
		w.add(key+"energy_ratio", "energy made over energy asked for", "r = P / L", f.EnergyRatio, document.None, byDefinition, put("P", b.PanelWh, document.WattHours, "made"), load)
	}
	if b.WaterAsked > 0 {
		w.add(key+"unmet_flow_fraction", "share of the water missed", "x = M / A", b.UnmetFlow(), document.Fraction, "an hour cut off counts in full", put("M", b.WaterMissed, document.Volume, "missed"), put("A", b.WaterAsked, document.Volume, "asked for"))
	}
	w.add(key+"stop_hours_per_year", "hours with any shortfall, a year", "H = n * 8760 / h", f.StopHours, document.HoursPerYear, "an hour with any shortfall is a stop hour", put("n", float64(b.Stops.Hours), document.Hours, "stop hours"), hours)
	w.add(key+"stop_hours_before_08_per_year", "stop hours between 00 and 08, a year", "H = n * 8760 / h", f.BeforeEight, document.HoursPerYear, byDefinition, put("n", float64(b.Stops.BeforeEight), document.Hours, "such hours in the record"), hours)
	w.add(key+"nights_with_stop_per_year", "nights with a stop, a year", "N = n * 8760 / h", f.Nights, document.Named("nights/year"), byDefinition, put("n", float64(b.Stops.Nights), document.None, "nights with a stop in the record"), hours)
	w.add(key+"account_wh", "the account: what the panel made is what was delivered, spilled, lost and stored", "P = L - U + Sp + Lc + Ld + Ls + E1 - E0", b.PanelWh, document.WattHours, fromBalance,
		load, put("U", b.UnmetWh, document.WattHours, "not delivered"), put("Sp", b.SpilledWh, document.WattHours, "spilled"), put("Lc", b.ChargeLossWh, document.WattHours, "lost in charging"),
		put("Ld", b.DischargeLossWh, document.WattHours, "lost in discharging"), put("Ls", b.SelfDischargeWh, document.WattHours, "lost by itself"), put("E1", b.EndWh, document.WattHours, "in store at the end"), put("E0", b.StartWh, document.WattHours, "at the start"))
}

// storeHours works the first hour after the first day in which the battery
// takes charge, and the first in which it gives.
func (w *working) storeHours(r supply.Record, b battery.Battery, panelW, nominal float64, o battery.BalanceOptions) {
	if nominal <= 0 {
		return
	}
	const first, most = 24, 24 * 60
	charged, given := false, false
	for i := first; i < min(r.Hours(), most) && !(charged && given); i++ {
		surplus := panelW*r.Panel[i] - r.LoadAt(i)
		if surplus == 0 || surplus > 0 && charged || surplus < 0 && given {
			continue
		}
		before, err1 := storeAfter(r, b, panelW, nominal, o, i)
		after, err2 := storeAfter(r, b, panelW, nominal, o, i+1)
		if err1 != nil || err2 != nil || after.CutOffHours != before.CutOffHours || r.BatteryC != nil && r.BatteryC[i] < b.NoChargeBelow.InCelsius() {
			continue
		}
		if surplus > 0 {
			charged = w.charging(r, b, panelW, nominal, i, before, after)
		} else {
			given = w.giving(r, b, panelW, nominal, i, before, after)
		}
	}
}

// storeAfter returns the balance of the first n hours of r.
func storeAfter(r supply.Record, b battery.Battery, panelW, nominal float64, o battery.BalanceOptions, n int) (battery.Balance, error) {
	part := supply.Record{Start: r.Start, Load: r.Load[:n], Panel: make([]float64, n)}
	for i := range part.Panel {
		part.Panel[i] = panelW * r.Panel[i]
	}
	if r.BatteryC != nil {
		part.BatteryC = r.BatteryC[:n]
	}
	o.Repeat = false
	return battery.BalanceOf(part, b, units.Energy(nominal)*units.WattHour, o)
}

// hourInputs are the panel and the load of an hour, and what it leaves of the
// store.
func (w *working) hourInputs(r supply.Record, b battery.Battery, panelW float64, i int) (panel, load, kept document.Input) {
	keep := math.Pow(1-b.SelfDischarge, units.Hour.In(units.Month))
	kept = put("k", keep, document.Fraction, "an hour leaves of the store")
	w.add("hour.kept_fraction", "what an hour's self-discharge leaves", "k = (1 - d)^(1 / 730)", keep, document.Fraction, fromBattery, put("d", b.SelfDischarge, document.Fraction, "lost in a month"))
	return put("P", panelW*r.Panel[i], document.Power, "panel, after the controller"), put("L", r.LoadAt(i), document.Power, "load"), kept
}

func hourName(r supply.Record, i int) string {
	h := (r.Start + i) % solar.HoursPerYear
	return fmt.Sprintf("hour %d of the record, from %02d:00 on day %d of the year", i+1, h%24, h/24+1)
}

// charging works an hour of surplus.
func (w *working) charging(r supply.Record, b battery.Battery, panelW, nominal float64, i int, before, after battery.Balance) bool {
	if after.EndWh <= before.EndWh {
		return false
	}
	panel, load, kept := w.hourInputs(r, b, panelW, i)
	name := hourName(r, i)
	surplus := panel.Value - load.Value
	into := surplus
	in, formula := []document.Input{panel, load}, "S = P - L"
	if b.ChargeLimit > 0 {
		into = math.Min(surplus, b.ChargeLimit*nominal)
		in, formula = append(in, put("Cm", b.ChargeLimit*nominal, document.Power, "charge limit")), "S = min(P - L, Cm)"
	}
	w.add("hour.surplus_wh", "surplus that may charge, "+name, formula, into, document.WattHours, fromBalance, in...)
	room := before.UsableWh - before.EndWh
	put1 := math.Min(b.ChargeShare*into, room)
	w.add("hour.charged_wh", "put into the store", "Q = min(e * S, U - E0)", put1, document.WattHours, fromBalance, put("e", b.ChargeShare, document.Fraction, "stored of what is sent"), put("S", into, document.WattHours, "surplus"),
		put("U", before.UsableWh, document.WattHours, "usable size"), put("E0", before.EndWh, document.WattHours, "in store before"))
	w.add("hour.spilled_wh", "spilled in that hour", "X = P - L - Q / e", after.SpilledWh-before.SpilledWh, document.WattHours, fromBalance, panel, load, put("Q", put1, document.WattHours, "put into the store"), put("e", b.ChargeShare, document.Fraction, "stored of what is sent"))
	w.add("hour.store_charged_wh", "in store after "+name, "E1 = (E0 + Q) * k", after.EndWh, document.WattHours, fromBalance, put("E0", before.EndWh, document.WattHours, "before"), put("Q", put1, document.WattHours, "put in"), kept)
	return true
}

// giving works an hour of shortfall that the store can meet.
func (w *working) giving(r supply.Record, b battery.Battery, panelW, nominal float64, i int, before, after battery.Balance) bool {
	panel, load, kept := w.hourInputs(r, b, panelW, i)
	name := hourName(r, i)
	short := load.Value - panel.Value
	if b.DischargeLimit > 0 && short > b.DischargeLimit*nominal || after.UnmetWh > before.UnmetWh || before.EndWh <= short/b.DischargeShare {
		return false
	}
	w.add("hour.shortfall_wh", "shortfall, "+name, "D = L - P", short, document.WattHours, fromBalance, load, panel)
	taken := short / b.DischargeShare
	w.add("hour.taken_wh", "taken from the store", "T = D / e", taken, document.WattHours, fromBalance, put("D", short, document.WattHours, "shortfall"), put("e", b.DischargeShare, document.Fraction, "delivered of what is taken"))
	w.add("hour.store_given_wh", "in store after "+name, "E1 = (E0 - T) * k", after.EndWh, document.WattHours, fromBalance, put("E0", before.EndWh, document.WattHours, "before"), put("T", taken, document.WattHours, "taken"), kept)
	w.add("hour.self_discharge_wh", "lost by itself in that hour", "Ls = (E0 - T) * (1 - k)", (before.EndWh-taken)*(1-kept.Value), document.WattHours, fromBalance, put("E0", before.EndWh, document.WattHours, "before"), put("T", taken, document.WattHours, "taken"), kept)
	return true
}

// storePart is something bought for the sun.
type storePart struct {
	symbol, name string
	price, life  float64 // life 0: outlives the reckoning
}

// storePrice works the price of panel and battery with what goes with them, and
// the equal yearly cost.
func (w *working) storePrice(key string, p *plan.Plan, inverter bool, panelW, wh, batteryYears, price, perYear float64) {
	if p.Panel.PricePerWatt == nil || p.Battery.PricePerWh == nil {
		return
	}
	currency := document.Money(p.Mains.Currency)
	life := math.Max(batteryYears, 0.5)
	if math.IsInf(life, 1) {
		life = 0
	}
	parts := []storePart{{"Pp", "panel", float64(*p.Panel.PricePerWatt) * panelW, p.Panel.Life.In(units.Year)}, {"Pb", "battery", float64(*p.Battery.PricePerWh) * wh, life}}
	w.add(key+"panel_price", "price of the panel", "Pp = W * p", parts[0].price, currency, "the plan's prices", put("W", panelW, document.Power, "panel"), put("p", float64(*p.Panel.PricePerWatt), currency, "a watt"))
	w.add(key+"battery_price", "price of the battery", "Pb = E * p", parts[1].price, currency, "the plan's prices", put("E", wh, document.WattHours, "nominal"), put("p", float64(*p.Battery.PricePerWh), currency, "a Wh"))
	if c := p.Controller.Price; c != nil {
		parts = append(parts, storePart{"Pc", "controller", float64(*c), p.Controller.Life.In(units.Year)})
	}
	if c := p.Inverter.Price; c != nil && inverter {
		parts = append(parts, storePart{"Pi", "inverter", float64(*c), p.Inverter.Life.In(units.Year)})
	}
	extra := put("X", float64(p.Panel.ExtraPrice), currency, "frame and the rest")
	var in []document.Input
	for _, part := range parts {
		in = append(in, put(part.symbol, part.price, currency, part.name))
	}
	in = append(in, extra)
	w.add(key+"price", "price of it all", "P = "+sumOf(in), price, currency, "the plan's prices", in...)
	n, r := float64(p.Mains.Years), p.Mains.DiscountRate
	again, formula, uses := 0.0, []string{}, []document.Input{}
	for _, part := range parts {
		if part.life <= 0 {
			continue
		}
		var terms []string
		symbol := "m" + strings.TrimPrefix(part.symbol, "P")
		for j := 1.0; j*part.life < n*(1-1e-12); j++ {
			again += part.price / math.Pow(1+r, j*part.life)
			terms = append(terms, units.Sprintf("(1 + r)^(%g * %s)", -j, symbol))
		}
		if len(terms) > 0 {
			formula = append(formula, part.symbol+" * ("+strings.Join(terms, " + ")+")")
			uses = append(uses, put(part.symbol, part.price, currency, part.name), put(symbol, part.life, document.Years, "life of the "+part.name))
		}
	}
	if len(formula) > 0 {
		w.add(key+"replacements", "what has to be bought again, in today's money", "N = "+strings.Join(formula, " + "), again, currency, fromMoney, append(uses, put("r", r, document.Fraction, "discount rate"))...)
	}
	recovery := money.CapitalRecovery(r, p.Mains.Years)
	w.capitalRecovery(put("r", r, document.Fraction, "discount rate"), put("n", n, document.Years, "reckoned ahead"), recovery)
	w.add(key+"cost_per_year", "the level sum a year that is worth the same", "A = (P + N) * a", perYear, currency, fromMoney, put("P", price, currency, "price of it all"), put("N", again, currency, "bought again"), put("a", recovery, document.Named("1/year"), "capital recovery"))
}

// batteryLife works how long the battery lasts.
func (w *working) batteryLife(key string, b battery.Battery, c battery.Choice) {
	life := c.Life
	if math.IsInf(life.Years(), 0) || life.Years() != life.ByCycles || b.FullCycles == 0 {
		if life.Years() == life.ByAge && !math.IsInf(life.ByAge, 0) {
			w.add(key+"battery_life_years", "life of the battery: it ages before its cycles are used up", "T = min(Ta, 1e9)", life.Years(), document.Years, fromBattery, put("Ta", life.ByAge, document.Years, "life standing, at its temperature"))
		}
		return
	}
	w.add(key+"battery_life_years", "life of the battery, by its cycles", "T = N / n", life.Years(), document.Years, fromBattery, put("N", b.FullCycles, document.None, "full cycles in its life"), put("n", life.CyclesPerYear, document.None, "full cycles a year"))
}

// handbook works the rules of thumb beside the size.
func (w *working) handbook(key string, h battery.Handbook, b battery.Battery, c battery.Choice, made, asked [12]float64, poa *[12]float64) {
	day := newBalanceFigures(c.Connected).LoadKWh * 1000 / solar.DaysPerYear
	if h.AutonomyDays.Known {
		w.add(key+"autonomy_days", "days that the battery carries the load alone", "d = U / L", h.AutonomyDays.Value, document.Days, "common practice, no source",
			put("U", usableWh(b, c.BoughtWh), document.WattHours, "usable"), put("L", day, document.WattHours, "load of the mean day"))
	}
	if h.EnergyRatio.Known {
		m := h.RatioMonth
		w.add(key+"energy_ratio", "energy after losses over load, worst month", "r = M / L", h.EnergyRatio.Value, document.None, byDefinition,
			put("M", made[m], document.WattHours, "made in a day of "+monthName(m)), put("L", asked[m], document.WattHours, "load of such a day"))
	}
	if h.ArrayToLoad.Known {
		m := h.ArrayMonth
		w.add(key+"array_to_load", "label's watts times sun over load, worst month", "r = W * H / L", h.ArrayToLoad.Value, document.None, fromHandbook,
			put("W", c.PanelW, document.Power, "panel"), put("H", poa[m], document.KWhPerM2Day, "sun on the panel in "+monthName(m)+", hours of full sun"), put("L", asked[m], document.WattHours, "load of a day"))
	}
}

// spread works the ends of what other made years ask for.
func (w *working) spread(z *energy.Sizing) {
	if !z.Spread.Known {
		return
	}
	o := newSizeSpread(z.Seeds, z.Spread.Value)
	var in []document.Input
	for i, wh := range o.BatteryWh {
		if !wh.Known {
			return
		}
		in = append(in, put(numbered("E", i), wh.Value, document.WattHours, fmt.Sprintf("seed %d", o.Seeds[i])))
	}
	list := strings.ReplaceAll(sumOf(in), " + ", ", ")
	if o.LeastWh[0].Known && o.LeastWh[1].Known && len(in) > 0 {
		w.add("spread.low_battery_wh", "least battery over the seeds, low end", "E = min("+list+")", o.LeastWh[0].Value, document.WattHours, "the same sizing under other made years", in...)
		w.add("spread.high_battery_wh", "least battery over the seeds, high end", "E = max("+list+")", o.LeastWh[1].Value, document.WattHours, "the same sizing under other made years", in...)
	}
}
