package page

import (
	"gonum.org/v1/gonum/stat/distuv"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
)

const fromMeasured = "JCGM 100:2008, section 5.1; Student's factors for 95 %, from memory"

// working works the test, and what explains it.
func (m *Measurement) working() []document.Step {
	var w working
	o := m.object()
	if o.Bucket.Known {
		m.workBucket(&w, o)
	}
	if m.power.Bound {
		w.add("apparent_power_va", "upper bound of the watts", "S = U * I", float64(m.power.Power), document.VoltAmps, byDefinition, put("U", float64(m.Volts), document.Volts, "read"), put("I", float64(m.Amps), document.Amps, "read"))
	}
	if e := o.Expected.Value; o.Expected.Known {
		bucket := put("V", e.Bucket.In(units.Litre), document.Litres, "bucket")
		w.add("expected.clean_time_s", "what the bucket should show when clean", "t = 3.6 * V / Q", float64(e.CleanTime), document.Seconds, fromContinuity, bucket, put("Q", e.CleanFlow.In(units.CubicMetrePerHour), document.Flow, "clean flow of the plan"))
		if e.DirtyTime.Known {
			w.add("expected.dirty_time_s", "what it should show just before cleaning", "t = 3.6 * V / Q", float64(e.DirtyTime.Value), document.Seconds, fromContinuity, bucket, put("Q", e.DirtyFlow.Value.In(units.CubicMetrePerHour), document.Flow, "dirty flow of the plan"))
		}
	}
	m.workFinding(&w, o)
	m.workExpected(&w)
	return w.steps
}

// workBucket works flow and error of a bucket test.
func (m *Measurement) workBucket(w *working, o measureObject) {
	b, r, perHour := o.Bucket.Value, o.Reading.Value, units.CubicMetrePerHour
	mean := put("t", float64(b.Mean), document.Seconds, "mean of the timings")
	if times := m.timings(); len(times) == b.Timings {
		w.add("bucket.mean_time_s", "mean of the timings", "t = ("+sumOf(times)+") / n", float64(b.Mean), document.Seconds, byDefinition, append(times, put("n", float64(b.Timings), document.None, "timings"))...)
	}
	w.add("flow_m3_per_h", "measured flow", "Q = 3.6 * V / t", r.Flow.In(perHour), document.Flow, fromContinuity, put("V", b.Bucket.In(units.Litre), document.Litres, "bucket"), mean)
	w.add("bucket.watch_error_fraction", "error of the hand on the watch", "ew = 0.3 / t", b.Watch, document.Fraction, "reaction of 0.3 s: common practice, no source", mean)
	spread := put("es", 0, document.Fraction, "spread of the timings")
	if b.Spread.Known {
		spread.Value = b.Spread.Value
		n := float64(b.Timings)
		if b.Timings > 2 {
			c := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975)
			w.add("bucket.spread_error_fraction", "error by the spread of the timings", "es = c * s / t / sqrt(n)", b.Spread.Value, document.Fraction, fromMeasured, put("c", c, document.None, "Student's factor"), put("s", float64(b.Deviation.Value), document.Seconds, "standard deviation"), mean, put("n", n, document.None, "timings"))
		} else if times := m.timings(); len(times) == 2 {
			w.add("bucket.spread_error_fraction", "error by the spread of the timings", "es = max(t1 - t2, t2 - t1) / 2 / t", b.Spread.Value, document.Fraction, "half the difference of two: common practice, no source", append(times, mean)...)
		}
	}
	w.add("error_fraction", "error of the flow", "e = sqrt(es^2 + ew^2 + eb^2)", r.Error, document.Fraction, fromMeasured, spread, put("ew", b.Watch, document.Fraction, "watch"), put("eb", b.Marks, document.Fraction, "marks of the bucket"))
	flow, e := put("Q", r.Flow.In(perHour), document.Flow, "measured flow"), put("e", r.Error, document.Fraction, "error")
	w.add("low_flow_m3_per_h", "low end of the flow", "Q1 = Q * max(0, 1 - e)", r.Low.In(perHour), document.Flow, byDefinition, flow, e)
	w.add("high_flow_m3_per_h", "high end of the flow", "Q2 = Q * (1 + e)", r.High.In(perHour), document.Flow, byDefinition, flow, e)
}

// timings are those of the command line.
func (m *Measurement) timings() []document.Input {
	var in []document.Input
	for i, t := range m.Times {
		in = append(in, put(numbered("t", i), float64(t), document.Seconds, "read"))
	}
	return in
}

// workFinding works what explains the flow.
func (m *Measurement) workFinding(w *working, o measureObject) {
	f := o.Finding.Value
	if !o.Finding.Known || !o.Expected.Known {
		return
	}
	flow := put("Q", o.Reading.Value.Flow.In(units.CubicMetrePerHour), document.Flow, "measured flow")
	w.add("finding.flow_loss_fraction", "share of the clean flow that is missing", "x = 1 - Q / Qc", f.Loss, document.Fraction, byDefinition, flow, put("Qc", o.Expected.Value.CleanFlow.In(units.CubicMetrePerHour), document.Flow, "clean flow of the plan"))
	if o.Turnover.Known && m.works.Pond != nil {
		formula, in := "T = V / Q", []document.Input{put("V", float64(m.works.Pond.Volume()), document.Volume, "water in the pond"), flow}
		if n := m.lines(); n > 1 {
			formula, in = "T = V / (n * Q)", append(in, put("n", float64(n), document.None, "lines, each with its pump"))
		}
		w.add("turnover_h", "one turnover at the measured flow", formula, o.Turnover.Value, document.Hours, byDefinition, in...)
	}
	head, err := m.works.Pumps[m.pump].Curve(m.works.Speed).Head(m.flow.Flow)
	if err != nil {
		return
	}
	w.add("finding.added_resistance_s2_per_m5", "resistance that explains the flow", "k = (Hp - Hs) / (Q / 3600)^2", f.Added, resistanceUnit, "loss with the square of flow",
		put("Hp", float64(head), document.Head, "what the pump gives at that flow"), put("Hs", float64(m.works.Line.HeadAt(m.flow.Flow)), document.Head, "what the clean line takes"), flow)
	w.add("finding.head_lost_m", "head that it takes", "h = k * (Q / 3600)^2", float64(f.HeadLost), document.Head, "loss with the square of flow", put("k", f.Added, resistanceUnit, "added resistance"), flow)
}

// workExpected works the clean point of the plan that the test is held against.
func (m *Measurement) workExpected(w *working) {
	if m.works == nil || m.clean.Status != pumps.Meets || m.clean.Bracket {
		return
	}
	w.duty(m.line(), 0, "expected.clean", m.clean.Duty, 0)
	perHour := units.CubicMetrePerHour
	w.add("expected.clean_flow_m3_per_h", "clean flow of the plan", "Q = 3600 * q", m.clean.Duty.Flow.In(perHour), document.Flow, "duty point, worked above", put("q", float64(m.clean.Duty.Flow), document.Named("m3/s"), "where pump and line agree"))
}
