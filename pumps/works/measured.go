package works

import (
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Logged is what a plan's log of dated tests says of its line.
type Logged struct {
	Loss  figure.Maybe[float64] // share of flow lost before a cleaning; the zero value where no log is named
	Clean units.Flow            // of the first test with the line clean; 0 where none is known to be
}

// CleanFlow returns the flow of the first test of a log with the line clean: the first
// after a cleaning where the log marks them, else the first of all; 0 for none.
func CleanFlow(tests []DatedFlow, marked bool) units.Flow {
	for _, t := range tests {
		if t.Cleaned || !marked {
			return t.Flow
		}
	}
	return 0
}

// measured fits the line to what was measured on the pump that runs today: the plan's
// flow, else the clean test of its log. What a person timed goes before any formula, so
// that everything follows from the fitted line.
func (w *Waterworks) measured(p *plan.Plan, clean units.Flow) error {
	m := p.Measured
	key, from := "measured.flow", "the flow that was measured"
	switch {
	case m.Flow == nil && clean <= 0:
		return nil
	case m.Flow == nil:
		m, key, from = plan.Measured{Flow: &clean, Line: "clean"}, "upkeep.log", "the clean test of the log"
	case m.Date != "":
		from += " on " + m.Date
	}
	i, err := Running(p, "")
	switch {
	case err != nil && key == "upkeep.log":
		w.warn(key, "the log's clean flow is left out: nothing says which pump it is of (present = true)")
		return nil
	case err != nil:
		return p.Placed(&data.Error{Key: key, Message: "nothing says which pump was measured", Found: m.Flow.String(),
			Allowed: "present = true on the pump that runs today"})
	}
	q, line := *m.Flow, w.Line
	if m.Line == "dirty" {
		from += ", with the line dirty"
	}
	pump := w.Pumps[i].OneLine()
	if most := pump.FreeFlow(w.Speed); q > most || q < most/10 {
		w.doubtTest(key, q, pump)
		return nil
	}
	if pump.LabelOnly() && m.Line != "dirty" { // the one thing that a box leaves open
		shape := pump.ShapeAt(w.Speed, line, q)
		w.Pumps[i], pump = w.Pumps[i].Shaped(shape), pump.Shaped(shape)
	}
	k, err := pumps.AddedResistance(pump.Curve(w.Speed), line, q)
	if err != nil || float64(line.Lift()) > float64(line.HeadAt(q))+k*float64(q*q) {
		w.doubtTest(key, q, pump)
		return nil
	}
	w.Fitted = true
	if m.Line == "dirty" {
		w.Dirt, w.DirtOn, w.DirtAssumed = pumps.Dirt{Resistance: max(0, k)}, pump.Name(), false
		if d, _ := pumps.Solve(pump.Curve(w.Speed), line); d.Flow > 0 {
			w.DirtLoss = max(0, 1-float64(q/d.Flow))
		}
		return nil
	}
	w.beside = pumps.Dirt{Resistance: k}
	w.Line = line.WithDirt(w.beside)
	w.assume(figure.Assumed{Key: key, Kind: units.KindFlow, Value: float64(q), Why: units.Say("the line is fitted to %s of %s", from,
		pump.Name()),
		Source: "the plan's own measurement"})
	return nil
}

// doubtTest says that a test cannot be right, so that nothing rests on it.
func (w *Waterworks) doubtTest(key string, q units.Flow, pump pumps.Pump) {
	most := pump.FreeFlow(w.Speed)
	told, can, name := q.In(units.LitrePerHour), most.In(units.LitrePerHour), pump.Name()
	if q < most/10 {
		slip := ""
		if minutes := 60 * q; minutes <= most && minutes >= most/10 {
			slip = units.Sprintf(" (as litres a minute they would suit: \"%.4g L/min\")", told)
		}
		w.doubt(key, "{%.0f L/h} of %s is a tenth of what the pump can, or less: look at bucket, watch and units%s, at a fouled impeller "+
			"chamber, and at a line that is all but shut. The test is left out", told, name, slip)
		return
	}
	w.doubt(key, "%s cannot have given {%.0f L/h}: with no lift and no hose it gives {%.0f L/h}; look at bucket, watch and units, and "+
		"at the pump's chamber. The test is left out", name, told, can)
}
