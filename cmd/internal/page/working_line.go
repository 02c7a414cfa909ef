package page

import (
	"fmt"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// lineWork is the working of one duty point.
type lineWork struct {
	*working
	key   string // of the point: "pumps.1.duty.1"
	name  string // the pump
	line  *pumps.System
	q     units.Flow
	curve pumps.Curve
	dirt  float64 // resistance added to the line [s²/m⁵]
}

func (l *lineWork) flow() document.Input {
	return put("Q", l.q.In(units.CubicMetrePerHour), document.Flow, "flow")
}

// point works out a duty point: what each piece of pipe takes at its flow, that
// the pump gives as much, and that no other flow would balance the two.
func (l *lineWork) point() {
	heads := []document.Input{put("Hs", float64(l.line.Lift()), document.Head, "lift")}
	var resist []document.Input
	taken := l.line.FeedHeads(l.q)
	for i, f := range l.line.Feeds() {
		friction, fittings, k := l.feed(i, f, taken[i])
		heads = append(heads, friction, fittings)
		resist = append(resist, k)
	}
	bed := l.bed()
	heads = append(heads, bed)
	if l.dirt > 0 {
		kd := put("kd", l.dirt, resistanceUnit, "dirt")
		resist = append(resist, kd)
		h := l.dirt * float64(l.q) * float64(l.q)
		l.add(l.key+".dirt_head_m", "lost in the dirt, "+l.name, "hd = kd * (Q / 3600)^2", h, document.Head, "a rough obstacle: loss with the square of flow", kd, l.flow())
		heads = append(heads, put("hd", h, document.Head, "dirt"))
	}
	need := float64(l.line.HeadAt(l.q)) + l.dirt*float64(l.q)*float64(l.q)
	l.add(l.key+".head_m", "lift and losses, "+l.name, "H = "+sumOf(heads), need, document.Head, "sum of the parts", heads...)
	l.curveFigure(".curve_head_m", "what the pump gives at that flow, "+l.name, "H", document.Head, func(q units.Flow) (float64, error) {
		h, err := l.curve.Head(q)
		return float64(h), err
	})
	if h, err := l.curve.Head(l.q); err == nil {
		in := append([]document.Input{put("H", float64(h), document.Head, "what the pump gives"), heads[0], bed}, resist...)
		l.add(l.key+".flow_m3_per_h", "flow at which pump and line agree, "+l.name, fmt.Sprintf("Q = 3600 * sqrt((H - Hs - hb) / (%s))", sumOf(resist)),
			l.q.In(units.CubicMetrePerHour), document.Flow, "Darcy-Weisbach turned round", in...)
	}
}

// feed works out one piece of pipe and returns its losses and its resistance.
func (l *lineWork) feed(i int, f pumps.Feed, taken pumps.FeedHead) (friction, fittings, resist document.Input) {
	key, where := fmt.Sprintf("%s.feed_%d", l.key, i+1), fmt.Sprintf("feed %d, %s", i+1, l.name)
	water := l.line.Water()
	v, re := float64(f.Velocity(l.q)), f.Reynolds(l.q, water)
	bore := put("D", f.Bore.In(units.Millimetre), document.Bore, "bore")
	velocity := put("v", v, document.Velocity, "velocity")
	reynolds := put("Re", re, document.None, "Reynolds number")
	l.add(key+".velocity_m_per_s", "velocity, "+where, "v = Q / 3600 / (pi * (D / 1000)^2 / 4)", v, document.Velocity, fromContinuity, l.flow(), bore)
	l.add(key+".reynolds", "Reynolds number, "+where, "Re = v * (D / 1000) / nu", re, document.None, fromReynolds,
		velocity, bore, put("nu", water.Kinematic(), viscosityUnit, "kinematic viscosity"))
	factor := l.factor(key, where, f, re)
	loss := taken.Loss
	length := put("L", float64(f.Length), document.Length, "length")
	k := put("K", loss.At(f.Bore, re), document.None, "coefficients of fittings and exit")
	if loss.K1 != 0 || loss.KInf != 0 {
		l.add(key+".loss_k", "fittings, "+where, "K = Kc + K1 / Re + Ki * (1 + 25.4 / D)", k.Value, document.None, "W. B. Hooper, Chemical Engineering 88 (1981), no. 17, p. 96",
			put("Kc", loss.K, document.None, "sum of plain coefficients"), put("K1", loss.K1, document.None, "two-K, laminar part"), reynolds, put("Ki", loss.KInf, document.None, "two-K, turbulent part"), bore)
	}
	hf := float64(taken.Friction)
	hm := k.Value * v * v / (2 * units.StandardGravity)
	l.add(key+".friction_head_m", "friction, "+where, "hf = f * L / (D / 1000) * v^2 / (2 * g)", hf, document.Head, fromDarcy, factor, length, bore, velocity, gravity())
	l.add(key+".fittings_head_m", "fittings and exit, "+where, "hm = K * v^2 / (2 * g)", hm, document.Head, fromMinor, k, velocity, gravity())
	kq := (hf + hm) / (float64(l.q) * float64(l.q))
	l.add(key+".resistance_s2_per_m5", "resistance, "+where, "k = (f * L / (D / 1000) + K) / (2 * g * (pi * (D / 1000)^2 / 4)^2)", kq, resistanceUnit, fromDarcy, factor, length, bore, k, gravity())
	return put(numbered("hf", i), hf, document.Head, fmt.Sprintf("friction of feed %d", i+1)),
		put(numbered("hm", i), hm, document.Head, fmt.Sprintf("fittings of feed %d", i+1)),
		put(numbered("k", i), kq, resistanceUnit, fmt.Sprintf("feed %d", i+1))
}

// factor works out the friction factor.
func (l *lineWork) factor(key, where string, f pumps.Feed, re float64) document.Input {
	water := l.line.Water()
	out := put("f", f.FrictionFactor(l.q, water), document.None, "friction factor")
	bore := put("D", f.Bore.In(units.Millimetre), document.Bore, "bore")
	reynolds := put("Re", re, document.None, "Reynolds number")
	switch {
	case f.Pitch > 0:
		l.add(key+".friction_factor", "friction factor of the ribs, "+where, "f = max(D / s * (1 - (D / (D + 0.438 * s))^2)^2, 64 / Re)", out.Value, document.None, fromRibs,
			bore, put("s", f.Pitch.In(units.Millimetre), document.Bore, "distance of the ribs"), reynolds)
	case re < 1:
		l.add(key+".friction_factor", "friction factor, "+where, "f = 64 / Re", out.Value, document.None, "Hagen-Poiseuille", reynolds)
	default:
		l.add(key+".friction_factor", "friction factor, "+where,
			"f = 8 * ((8 / Re)^12 + ((2.457 * ln(1 / ((7 / Re)^0.9 + 0.27 * e / D)))^16 + (37530 / Re)^16)^(-1.5))^(1 / 12)", out.Value, document.None, fromChurchill,
			reynolds, put("e", f.Roughness.In(units.Millimetre), document.Bore, "roughness"), bore)
	}
	return out
}

// bed works out what the clean gravel takes, which is next to nothing.
func (l *lineWork) bed() document.Input {
	b, water := l.line.Spec().Bed, l.line.Water()
	h := float64(b.HeadLoss(l.q, water))
	if b.Present() {
		sphericity := b.Sphericity
		if sphericity == 0 {
			sphericity = 1
		}
		l.add(l.key+".bed_head_m", "lost in the clean bed, "+l.name,
			"hb = L / (rho * g) * (150 * mu * (1 - e)^2 * u / (e^3 * d^2) + 1.75 * (1 - e) * rho * u^2 / (e^3 * d))", h, document.Head, fromErgun,
			put("L", float64(b.Depth), document.Length, "depth of gravel"), put("rho", water.Density, densityUnit, "density"), gravity(),
			put("mu", water.Viscosity, thicknessUnit, "viscosity"), put("e", b.Voids, document.Fraction, "voids"),
			put("u", float64(b.RiseRate(l.q)), document.Velocity, "flow over area"), put("d", float64(b.Grain)*sphericity, document.Length, "grain"))
	}
	return put("hb", h, document.Head, "clean bed")
}

// curveFigure works out a figure of the pump's curve between its two nearest
// rows.
func (l *lineWork) curveFigure(key, what, symbol string, unit document.Unit, at func(units.Flow) (float64, error)) {
	rows := l.curve.Points()
	i := 0
	for i < len(rows)-2 && rows[i+1].Flow < l.q {
		i++
	}
	q0, q1 := rows[i].Flow, rows[i+1].Flow
	var y [4]float64
	for j := range y {
		v, err := at(q0 + (q1-q0)*units.Flow(float64(j)/3))
		if j == 3 {
			v, err = at(q1)
		}
		if err != nil {
			return
		}
		y[j] = v
	}
	result, err := at(l.q)
	if err != nil {
		return
	}
	// The curve is a cubic between two rows, so four of its values give the
	// slopes at both ends.
	from := (-11*y[0] + 18*y[1] - 9*y[2] + 2*y[3]) / 2
	to := (11*y[3] - 18*y[2] + 9*y[1] - 2*y[0]) / 2
	perHour := units.CubicMetrePerHour
	t := (float64(l.q) - float64(q0)) / float64(q1-q0)
	l.add(l.key+".between_rows", "place between two rows of the curve, "+l.name, "t = (Q - Q0) / (Q1 - Q0)", t, document.None, byDefinition,
		l.flow(), put("Q0", q0.In(perHour), document.Flow, "row below"), put("Q1", q1.In(perHour), document.Flow, "row above"))
	formula := strings.ReplaceAll("S = S0 + t * (a + t * (3 * (S1 - S0) - 2 * a - b + t * (2 * (S0 - S1) + a + b)))", "S", symbol)
	l.add(l.key+key, what, formula, result, unit, fromCurve,
		put(symbol+"0", y[0], unit, "row below"), put(symbol+"1", y[3], unit, "row above"), put("t", t, document.None, "place between them"),
		put("a", from, unit, "slope at the row below, over the distance of the rows"), put("b", to, unit, "the same at the row above"))
}

// power works out what the pump draws.
func (l *lineWork) power(key string, pump pumps.Pump, speed, result float64) {
	spec := pump.Spec()
	n := max(1, spec.Count)
	switch pump.PowerSource() {
	case pumps.CurvePower:
		if n > 1 || spec.Fixed > 0 || !l.curve.HasPower() {
			return
		}
		l.curveFigure(key, "drawn, from the curve, "+l.name, "P", document.Power, func(q units.Flow) (float64, error) {
			p, err := l.curve.Power(q)
			return float64(p), err
		})
	case pumps.LabelPower, pumps.MeteredPower:
		if spec.Fixed > 0 || pump.PowerSource() == pumps.MeteredPower && l.curve.HasPower() {
			return
		}
		full := float64(spec.Metered)
		if pump.PowerSource() == pumps.LabelPower {
			full = float64(spec.Label.Power)
		}
		l.add(l.key+key, "drawn, "+l.name, "P = n * P1 * s^3", result, document.Power, "affinity law; watts of "+pump.PowerSource().String(),
			put("n", float64(n), document.None, "pumps"), put("P1", full, document.Power, "watts of one at full speed"), put("s", speed, document.Fraction, "speed"))
	}
}

// DutyWorking works the clean and the dirty point of every pump.
func DutyWorking(works *works.Waterworks, runs []works.Run) []document.Step {
	var w working
	for i, r := range runs {
		key := fmt.Sprintf("pumps.%d", i+1)
		for k, d := range r.Clean.Crossings {
			if d.Stable && !r.Clean.Bracket {
				w.duty(works, i, fmt.Sprintf("%s.duty.%d", key, k+1), d, 0)
			}
		}
		w.dirtFit(works, runs, i)
		if r.Dirty.Status == pumps.Meets && !r.Dirty.Bracket {
			w.duty(works, i, key+".dirty", r.Dirty.Duty, works.Dirt.Resistance)
		}
		w.ends(works, r, key)
	}
	return w.steps
}

// duty works one point of pump i.
func (w *working) duty(works *works.Waterworks, i int, key string, d pumps.Duty, dirt float64) {
	pump := works.Pumps[i]
	line, single := works.Line.(*pumps.System)
	if !single {
		w.split(works.Line, key, pump.Name(), d)
		return
	}
	l := lineWork{working: w, key: key, name: pump.Name(), line: line, q: d.Flow, curve: pump.Curve(works.Speed), dirt: dirt}
	if dirt > 0 {
		l.name += " with a dirty line"
	}
	l.point()
	if d.Power > 0 {
		l.power(".power_w", pump, works.Speed, float64(d.Power))
	}
	narrow := line.Spec().Feeds[0].Bore
	for _, f := range line.Spec().Feeds {
		narrow = min(narrow, f.Bore)
	}
	w.add(key+".velocity_m_per_s", "velocity in the narrowest piece, "+l.name, "v = Q / 3600 / (pi * (D / 1000)^2 / 4)", float64(d.Velocity), document.Velocity, fromContinuity,
		l.flow(), put("D", narrow.In(units.Millimetre), document.Bore, "narrowest bore"))
}

// split works how branches share a flow.
func (w *working) split(c pumps.Circuit, key, name string, d pumps.Duty) {
	n, is := c.(*pumps.Network)
	if !is {
		return
	}
	var parts []document.Input
	for i, b := range n.Split(d.Flow) {
		parts = append(parts, put(numbered("Q", i), b.Flow.In(units.CubicMetrePerHour), document.Flow, b.Name))
	}
	w.add(key+".flow_m3_per_h", "flow, "+name, "Q = "+sumOf(parts), d.Flow.In(units.CubicMetrePerHour), document.Flow, "continuity: each branch takes the flow at which its own lift and losses equal the head before them", parts...)
}

// dirtFit works the resistance of the dirt on the pump that it was fitted on.
func (w *working) dirtFit(works *works.Waterworks, runs []works.Run, i int) {
	pump := works.Pumps[i]
	if pump.Name() != works.DirtOn || works.Dirt.Resistance == 0 {
		return
	}
	full, status := pump.Duty(1, works.Line)
	if status != pumps.Meets {
		return
	}
	q := full.Flow * units.Flow(1-works.DirtLoss)
	h, err := pump.Curve(1).Head(q)
	if err != nil {
		return
	}
	perHour := units.CubicMetrePerHour
	w.add("dirt.flow_m3_per_h", "dirty flow of "+pump.Name()+", on which the dirt is fitted", "Q = Qc * (1 - x)", q.In(perHour), document.Flow, "upkeep.flow_loss_when_dirty",
		put("Qc", full.Flow.In(perHour), document.Flow, "clean flow at full speed"), put("x", works.DirtLoss, document.Fraction, "share of flow lost when dirty"))
	w.add("dirt.resistance_s2_per_m5", "resistance of the dirt", "k = (Hp - Hl) / (Q / 3600)^2", works.Dirt.Resistance, resistanceUnit, "a rough obstacle: loss with the square of flow",
		put("Hp", float64(h), document.Head, "what the pump gives at that flow"), put("Hl", float64(works.Line.HeadAt(q)), document.Head, "what the clean line takes"), put("Q", q.In(perHour), document.Flow, "dirty flow"))
}

// ends works how far the clean flow's range lies from it.
func (w *working) ends(works *works.Waterworks, r works.Run, key string) {
	if r.Clean.Status != pumps.Meets || r.Clean.Low.Status != pumps.Meets || r.Clean.High.Status != pumps.Meets {
		return
	}
	perHour := units.CubicMetrePerHour
	q := r.Clean.Duty.Flow.In(perHour)
	for _, end := range []struct {
		key string
		o   pumps.Operation
	}{{"low", r.Clean.Low}, {"high", r.Clean.High}} {
		f := end.o.Duty.Flow.In(perHour)
		w.add(fmt.Sprintf("%s.range.%s_share", key, end.key), end.key+" end of the clean flow, over the middle, "+r.Name, "r = Qe / Q", f/q, document.Fraction,
			"ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW; from memory: the curve drawn at its tolerance meets the same line at Qe",
			put("Qe", f, document.Flow, end.key+" end"), put("Q", q, document.Flow, "middle"))
	}
}
