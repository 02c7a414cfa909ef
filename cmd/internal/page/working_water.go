package page

import (
	"fmt"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// waterWorking works the figures of a page about water.
func (p *waterPage) waterWorking() []document.Step {
	var w working
	p.workPond(&w)
	for i := range p.pumps {
		p.workPump(&w, i)
	}
	if i := p.water.Choice.Nearest; i >= 0 {
		p.workLine(&w, i)
		p.workReturn(&w, i)
		p.workStops(&w, i)
		p.workBed(&w)
		p.workHoses(&w, i)
	}
	p.workSwaps(&w)
	return w.steps
}

func pumpKey(i int, rest string) string { return fmt.Sprintf("pumps.%d.%s", i+1, rest) }

// workPond works the volume where the shape gives it, its range and the goal.
func (p *waterPage) workPond(w *working) {
	if p.pond.Volume == nil {
		return
	}
	v := *p.pond.Volume
	q := p.In.Plan.Pond
	length := func(symbol string, l *units.Length, what string) document.Input {
		return put(symbol, float64(*l), document.Length, what)
	}
	const source = "geometry"
	switch {
	case q.Volume != nil:
	case q.FillFlow != nil && q.FillTime != nil:
		w.add("pond.volume_m3", "water in the pond", "V = q * t", v, document.Volume, fromContinuity,
			put("q", q.FillFlow.In(units.CubicMetrePerHour), document.Flow, "flow of the hose"), put("t", q.FillTime.In(units.Hour), document.Hours, "time to fill"))
	case q.Shape == "rectangle" && q.Length != nil && q.Width != nil && q.Depth != nil:
		w.add("pond.volume_m3", "water in the pond", "V = L * B * d", v, document.Volume, source, length("L", q.Length, "length"), length("B", q.Width, "width"), length("d", q.Depth, "depth"))
	case q.Shape == "round" && q.Diameter != nil && q.Depth != nil:
		w.add("pond.volume_m3", "water in the pond", "V = pi / 4 * D^2 * d", v, document.Volume, source, length("D", q.Diameter, "diameter"), length("d", q.Depth, "depth"))
	case q.Shape == "oval" && q.Length != nil && q.Width != nil && q.Depth != nil:
		w.add("pond.volume_m3", "water in the pond", "V = pi / 4 * L * B * d", v, document.Volume, source, length("L", q.Length, "length"), length("B", q.Width, "width"), length("d", q.Depth, "depth"))
	case q.Shape == "frustum" && q.Length != nil && q.Width != nil && q.BottomLength != nil && q.BottomWidth != nil && q.Depth != nil:
		w.add("pond.volume_m3", "water in the pond", "V = d / 6 * (L * B + l * b + (L + l) * (B + b))", v, document.Volume, "prismoidal formula",
			length("d", q.Depth, "depth"), length("L", q.Length, "length at the top"), length("B", q.Width, "width at the top"), length("l", q.BottomLength, "length at the bottom"), length("b", q.BottomWidth, "width at the bottom"))
	}
	volume := put("V", v, document.Volume, "water in the pond")
	e := put("e", q.VolumeError, document.Fraction, "error of the volume")
	w.add("pond.volume_low_m3", "low end of the volume", "V1 = V * (1 - e)", *p.pond.Low, document.Volume, byDefinition, volume, e)
	w.add("pond.volume_high_m3", "high end of the volume", "V2 = V * (1 + e)", *p.pond.High, document.Volume, byDefinition, volume, e)
	if p.pond.Goal != nil && p.pond.GoalFlow != nil {
		w.add("pond.goal_flow_m3_per_h", "flow that the goal asks for", "Q = V / T", *p.pond.GoalFlow, document.Flow, byDefinition, volume, put("T", *p.pond.Goal, document.Hours, "goal of one turnover"))
	}
}

// workPump works water, energy and money of pump i.
func (p *waterPage) workPump(w *working, i int) {
	pump := p.pumps[i]
	p.workState(w, i, "clean", pump.Clean, p.water.Pumps[i].Clean)
	p.workState(w, i, "dirty", pump.Dirty, p.water.Pumps[i].Dirty)
	if pump.Clean == nil || pump.Dirty == nil {
		return
	}
	pick := func(key, what string, result, clean, dirty *float64, unit document.Unit) {
		if result == nil || clean == nil || dirty == nil {
			return
		}
		w.add(pumpKey(i, key), what+", the larger of clean and dirty, "+pump.Name, "X = max(Xc, Xd)", *result, unit, "a budget carries the larger", put("Xc", *clean, unit, "clean"), put("Xd", *dirty, unit, "dirty"))
	}
	pick("power_w", "power", pump.Power, pump.Clean.Power, pump.Dirty.Power, document.Power)
	pick("kwh_per_day", "energy of a day", pump.PerDay, pump.Clean.PerDay, pump.Dirty.PerDay, document.KWhPerDay)
	pick("kwh_per_year", "energy of a year", pump.PerYear, pump.Clean.PerYear, pump.Dirty.PerYear, document.KWhPerYear)
	if pump.Cost != nil && pump.Clean.Cost != nil && pump.Dirty.Cost != nil {
		w.add(pumpKey(i, "cost_per_year"), "cost of a year, "+pump.Name, "C = (Cc + Cd) / 2", *pump.Cost, p.money, "the line is clean and dirty in turn", put("Cc", *pump.Clean.Cost, p.money, "clean"), put("Cd", *pump.Dirty.Cost, p.money, "dirty"))
		price := p.In.Plan.Pumps[i].Price
		if pump.Owned != nil && price != nil {
			p.workOwned(w, pumpKey(i, "ownership"), pump.Name, float64(*price)*float64(max(1, p.In.Plan.Pumps[i].Count)), p.In.Plan.Pumps[i].Life.In(units.Year), *pump.Cost, *pump.Owned, *pump.OwnedYearly)
		}
	}
	p.workEfficiency(w, i)
}

// workState works the turnover, energy and cost of a pump in one state.
func (p *waterPage) workState(w *working, i int, state string, s *waterState, r works.WaterState) {
	if s == nil {
		return
	}
	name := p.pumps[i].Name + ", " + state
	key := func(rest string) string { return pumpKey(i, state+"."+rest) }
	steady := p.steady()
	day := put("W", s.WaterPerDay, document.FlowPerDay, "water of a day in the worst running month")
	if hours, on := p.dayHours(r.Month); on {
		w.add(key("flow_m3_per_day"), "water of a day, "+name, "W = Q * t", s.WaterPerDay, document.FlowPerDay, byDefinition,
			put("Q", s.Flow, document.Flow, "flow"), put("t", hours, document.Hours, "running hours of the day"))
	}
	if p.pond.Volume != nil && s.Turnover != nil {
		volume := put("V", *p.pond.Volume, document.Volume, "water in the pond")
		w.add(key("turnover_h"), "one turnover, "+name, "T = 24 * V / W", *s.Turnover, document.Hours, byDefinition, volume, day)
		w.add(key("turnovers_per_day"), "turnovers a day, "+name, "n = W / V", *s.TurnoversPerDay, document.TurnoversPerDay, byDefinition, day, volume)
		p.workRange(w, i, key, name, s, steady)
	}
	if s.Missed != nil && p.pond.Goal != nil && s.Turnover != nil {
		w.add(key("missed_by_h"), "how much too long a turnover takes, "+name, "m = T - Tg", *s.Missed, document.Hours, byDefinition,
			put("T", *s.Turnover, document.Hours, "one turnover"), put("Tg", *p.pond.Goal, document.Hours, "goal"))
	}
	if s.ShortFlow != nil && p.pond.GoalFlow != nil {
		w.add(key("short_of_flow_m3_per_h"), "flow that lacks to the goal, "+name, "q = Qg - W / 24", *s.ShortFlow, document.Flow, byDefinition,
			put("Qg", *p.pond.GoalFlow, document.Flow, "flow that the goal asks for"), day)
	}
	p.workEnergy(w, i, key, name, s)
	if s.Cost != nil {
		p.workCost(w, key("cost_per_year"), name, r.Use, *s.Cost)
	}
}

// workRange works the ends of a turnover: of the dirty line with the least and
// the most dirt that an assumed loss may stand for.
func (p *waterPage) workRange(w *working, i int, key func(string) string, name string, s *waterState, steady bool) {
	if !steady || p.pond.Low == nil {
		return
	}
	low, high, of := s.LowFlow, s.HighFlow, "curve tolerance and error of the volume"
	if by := p.pumps[i].Doubt; by != nil && s == p.pumps[i].Dirty {
		low, high, of = by.High.LowFlow, by.Low.HighFlow, "curve tolerance, error of the volume and assumed dirt"
	}
	if s.Fastest != nil && high != nil {
		w.add(key("fastest_turnover_h"), "fastest turnover, "+name, "T = V1 / Q2", *s.Fastest, document.Hours, of+", each at its kind end",
			put("V1", *p.pond.Low, document.Volume, "low end of the volume"), put("Q2", *high, document.Flow, "high end of the flow"))
	}
	if s.Slowest != nil && low != nil {
		w.add(key("slowest_turnover_h"), "slowest turnover, "+name, "T = V2 / Q1", *s.Slowest, document.Hours, of+", each at its harsh end",
			put("V2", *p.pond.High, document.Volume, "high end of the volume"), put("Q1", *low, document.Flow, "low end of the flow"))
	}
}

// workEnergy works the energy at the socket.
func (p *waterPage) workEnergy(w *working, i int, key func(string) string, name string, s *waterState) {
	if s.PerYear == nil || s.PerDay == nil {
		return
	}
	if hours, on := p.yearHours(); on && s.Power != nil {
		w.add(key("kwh_per_year"), "energy of a year at the socket, "+name, "E = P * t / 1000 / eta", *s.PerYear, document.KWhPerYear, byDefinition,
			put("P", *s.Power, document.Power, "drawn by the pump"), put("t", hours, document.HoursPerYear, "running hours"), put("eta", p.pumps[i].PackShare, document.Fraction, "efficiency of the power pack; 1 without one"))
	} else {
		w.add(key("kwh_per_year"), "energy of a year at the socket, "+name, "E = 365 * e", *s.PerYear, document.KWhPerYear, "sum over the hour bands of the plan", put("e", *s.PerDay, document.KWhPerDay, "energy of the mean day"))
		return
	}
	w.add(key("kwh_per_day"), "energy of the mean day, "+name, "e = E / 365", *s.PerDay, document.KWhPerDay, byDefinition, put("E", *s.PerYear, document.KWhPerYear, "energy of a year"))
}

// steady reports whether the pump runs at one speed in every hour of the year.
func (p *waterPage) steady() bool {
	hours, on := p.yearHours()
	return on && hours == 8760
}

// yearHours returns the running hours of the year, and whether they are all at
// the plan's speed.
func (p *waterPage) yearHours() (float64, bool) {
	sum := 0.0
	for _, h := range p.water.Schedule.Hours() {
		switch {
		case h.Speed == 0 || h.Hours == 0:
		case h.Speed != p.water.Works.Speed:
			return 0, false
		default:
			sum += h.Hours
		}
	}
	return sum, sum > 0
}

// dayHours returns the same of a day of a month.
func (p *waterPage) dayHours(m time.Month) (float64, bool) {
	if m == 0 {
		return 0, false
	}
	sum := 0.0
	for h := range 24 {
		for _, sp := range p.water.Schedule.Spells(m, h) {
			switch {
			case sp.Speed == 0:
			case sp.Speed != p.water.Works.Speed:
				return 0, false
			default:
				sum += sp.Part
			}
		}
	}
	return sum, sum > 0
}

// workEfficiency works wire to water and its yardstick.
func (p *waterPage) workEfficiency(w *working, i int) {
	pump, s := p.pumps[i], p.water.Pumps[i].Clean
	if pump.Efficiency == nil || pump.Clean == nil || pump.Clean.Power == nil {
		return
	}
	water := works.WaterIn(p.water.Works.Line)
	ph := float64(pumps.HydraulicPower(s.Flow, s.Head, water))
	hydraulic := put("Ph", ph, document.Power, "given to the water")
	w.add(pumpKey(i, "hydraulic_w"), "power given to the water, "+pump.Name, "Ph = rho * g * Q / 3600 * H", ph, document.Power, "any textbook of pumps",
		put("rho", water.Density, densityUnit, "density"), gravity(), put("Q", pump.Clean.Flow, document.Flow, "clean flow"), put("H", pump.Clean.Head, document.Head, "head"))
	w.add(pumpKey(i, "wire_to_water_fraction"), "wire to water, "+pump.Name, "x = Ph / P", *pump.Efficiency, document.Fraction, byDefinition, hydraulic, put("P", *pump.Clean.Power, document.Power, "drawn"))
	if pump.Yardstick != nil {
		w.add(pumpKey(i, "yardstick_fraction"), "what the reference circulator reaches, "+pump.Name, "x = Ph / n / (1.7 * Ph / n + 17 * (1 - exp(-0.3 * Ph / n)))", *pump.Yardstick, document.Fraction, "Regulation (EC) No 641/2009, annex II",
			hydraulic, put("n", float64(max(1, p.In.Plan.Pumps[i].Count)), document.None, "pumps"))
	}
}

// workLine works the clean and the dirty point of pump i.
func (p *waterPage) workLine(w *working, i int) {
	works, runs := p.water.Works, p.water.Runs()
	for k := range runs {
		w.dirtFit(works, runs, k)
	}
	if r := runs[i].Clean; r.Status == pumps.Meets && !r.Bracket {
		w.duty(works, i, pumpKey(i, "clean"), r.Duty, 0)
	}
	if r := runs[i].Dirty; r.Status == pumps.Meets && !r.Bracket {
		w.duty(works, i, pumpKey(i, "dirty"), r.Duty, works.Dirt.Resistance)
	}
}

// workReturn works how high the tank stands with pump i.
func (p *waterPage) workReturn(w *working, i int) {
	r := p.water.Pumps[i].Return
	spec := p.In.Plan.Return
	bore := spec.Bore
	if row, err := data.PipeNamed(spec.Pipe); spec.Pipe != "" && err == nil {
		bore = &row.Bore
	}
	if !r.Known || bore == nil || r.Value.Leaves.Depth >= *bore {
		return
	}
	const source = "V. T. Chow, Open-Channel Hydraulics (1959), chapter 4"
	level, d := r.Value.Leaves, float64(*bore)
	s := pumps.SectionAt(*bore, level.Depth)
	q := put("Q", r.Value.Flow.In(units.CubicMetrePerHour), document.Flow, "clean flow")
	depth, width := put("y", level.Depth.In(units.Millimetre), document.Bore, "depth in the mouth"), put("D", d*1000, document.Bore, "bore of the return")
	theta := put("theta", s.Theta, radians, "angle of the wetted part")
	area := put("A", float64(s.Area), document.Area, "section of the water")
	key := func(rest string) string { return pumpKey(i, "return."+rest) }
	w.add(key("theta"), "angle of the wetted part of the mouth", "theta = 2 * acos(1 - 2 * y / D)", s.Theta, radians, "geometry", depth, width)
	w.add(key("area_m2"), "section of the water in the mouth", "A = (D / 1000)^2 / 8 * (theta - sin(theta))", float64(s.Area), document.Area, "geometry", width, theta)
	if level.ByMouth {
		qc, _ := pumps.CriticalFlow(*bore, level.Critical)
		w.add(key("critical_flow_m3_per_h"), "flow that runs critical at that depth: the flow itself", "Q = 3600 * sqrt(g * A^3 / (D / 1000 * sin(theta / 2)))", qc.In(units.CubicMetrePerHour), document.Flow, source, gravity(), area, width, theta)
	}
	mouth := float64(level.Mouth) * 1000
	w.add(key("mouth_mm"), "level that mouth and pipe need, above the invert", "E = y + 1000 * (1 + Ke) * (Q / 3600 / A)^2 / (2 * g)", mouth, document.Bore, source,
		depth, put("Ke", works.ReturnMouthK, document.None, "loss of a flush mouth"), q, area, gravity())
	screen := float64(level.Screen) * 1000
	if r.Value.Screen {
		w.add(key("screen_mm"), "level that the screen adds", "hs = 1000 * (Q / 3600 / (0.6 * As * (1 - b)))^2 / (2 * g)", screen, document.Bore, "a sharp hole, any textbook of hydraulics",
			q, put("As", float64(*spec.ScreenArea), document.Area, "holes of the screen"), put("b", r.Value.Blocked, document.Fraction, "share closed by leaves"), gravity())
	}
	w.add(key("level_mm"), "level in the tank above the invert of the mouth", "h = E + hs", level.Level.In(units.Millimetre), document.Bore, "sum of the parts", put("E", mouth, document.Bore, "mouth and pipe"), put("hs", screen, document.Bore, "screen"))
	if r.Value.Freeboard.Known && spec.Freeboard != nil {
		w.add(key("freeboard_left_mm"), "left to the rim", "x = F - h", r.Value.Freeboard.Value.In(units.Millimetre), document.Bore, byDefinition,
			put("F", spec.Freeboard.In(units.Millimetre), document.Bore, "rim above the invert"), put("h", level.Level.In(units.Millimetre), document.Bore, "level"))
	}
}

// workStops works what runs back, and what a lost return leaves.
func (p *waterPage) workStops(w *working, i int) {
	s := p.stop()
	feeds := p.water.Feeds()
	var parts []document.Input
	formula, lines := "", ""
	if n := p.water.Rest.Lines; n > 1 {
		lines, parts = "n * ", append(parts, put("n", float64(n), document.None, "lines"))
	}
	for k, f := range feeds {
		dk, lk := numbered("D", k), numbered("L", k)
		parts = append(parts, put(dk, f.Bore.In(units.Millimetre), document.Bore, fmt.Sprintf("bore of piece %d", k+1)), put(lk, float64(f.Length), document.Length, "length"))
		if k > 0 {
			formula += " + "
		}
		formula += fmt.Sprintf("(%s / 1000)^2 * %s", dk, lk)
	}
	w.add("stop.drain_back_l", "water that runs back when the pump stops", "V = 1000 * "+lines+"pi / 4 * ("+formula+")", s.DrainBack, document.Litres, "geometry", parts...)
	if s.Rise != nil && p.pond.Surface != nil {
		w.add("stop.drain_back_rise_mm", "rise of the pond by it", "r = V / S", *s.Rise, document.Bore, "geometry", put("V", s.DrainBack, document.Litres, "water that runs back"), put("S", *p.pond.Surface, document.Area, "surface"))
	}
	if s.ToBare == nil || s.Left == nil || p.pond.Low == nil || p.pumps[i].Clean == nil {
		return
	}
	low, left := put("V1", *p.pond.Low, document.Volume, "low end of the volume"), put("Vl", *s.Left, document.Volume, "below the intake")
	w.add("stop.hours_to_bare_intake_h", "time to bare the intake", "t = (V1 - Vl) / Q", *s.ToBare, document.Hours, "the flow taken as steady", low, left, put("Q", p.pumps[i].Clean.Flow, document.Flow, "clean flow"))
	if s.Quickest != nil {
		w.add("stop.least_hours_to_bare_intake_h", "the same with the hose off at the pond's edge", "t = (V1 - Vl) / Qe", *s.Quickest, document.Hours, "the flow taken as steady", low, left, put("Qe", *s.FreeFlow, document.Flow, "end of the curve"))
	}
	w.add("stop.water_left_fraction", "share of the water that stays", "x = Vl / V1", *s.LeftShare, document.Fraction, byDefinition, left, low)
}

// workBed works what the flow does in the filter.
func (p *waterPage) workBed(w *working) {
	if !p.water.Filter.Known {
		return
	}
	f := newFilterBed(p.water.Filter.Value)
	volume, flow := put("Vb", f.Volume, document.Volume, "bed"), put("Q", f.Flow, document.Flow, "clean flow")
	if f.OfVolume != nil {
		w.add("filter.of_pond_volume_fraction", "bed over pond", "x = Vb / V", *f.OfVolume, document.Fraction, byDefinition, volume, put("V", *p.pond.Volume, document.Volume, "water in the pond"))
	}
	if f.RiseRate != nil {
		w.add("filter.rise_rate_m_per_h", "rise of the water in the bed", "u = Q / A", *f.RiseRate, document.RiseRate, byDefinition, flow, put("A", float64(p.water.Filter.Value.Bed.Area), document.Area, "bed"))
	}
	if f.Contact != nil {
		w.add("filter.contact_time_min", "empty-bed contact time", "t = 60 * Vb / Q", *f.Contact, document.Minutes, byDefinition, volume, flow)
		w.add("filter.pore_time_min", "time among the stones", "tp = t * e", *f.Pore, document.Minutes, byDefinition, put("t", *f.Contact, document.Minutes, "contact time"), put("e", p.In.Plan.Filter.Voids, document.Fraction, "voids"))
	}
}

// workHoses works what a wider hose and the next pump would bring.
func (p *waterPage) workHoses(w *working, i int) {
	if p.pumps[i].Dirty == nil || p.pumps[i].Power == nil {
		return
	}
	now, power := put("Q0", p.pumps[i].Dirty.Flow, document.Flow, "dirty flow now"), put("P0", *p.pumps[i].Power, document.Power, "now")
	for k, h := range p.hoses {
		if h.Dirty == nil || h.GainPower == nil || h.Power == nil || h.Pump == p.pumps[i].Name && h.Hose == "" {
			continue
		}
		name := h.Pump
		if h.Hose != "" {
			name += " on " + h.Hose
		}
		key := fmt.Sprintf("hoses.%d.", k+1)
		w.add(key+"gain_flow_m3_per_h", "more flow when dirty with "+name, "q = Q1 - Q0", h.GainFlow, document.Flow, "duty point of that pump on that hose", put("Q1", h.Dirty.Flow, document.Flow, "dirty flow with it"), now)
		w.add(key+"gain_power_w", "more power with "+name, "dP = P1 - P0", *h.GainPower, document.Power, "duty point of that pump on that hose", put("P1", *h.Power, document.Power, "with it"), power)
	}
}
