package pumps

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// Errors of a bucket test, each meant to hold in 95 of 100 tests. Common
// practice, no source.
const (
	ReactionError = 0.3 * units.Second // by which a person starts and stops the watch early or late
	BucketError   = 0.03               // share by which the marks of a bucket may be wrong
	ShortFill     = 6 * units.Second   // below which a bucket is too small: the reaction alone is then 5 %
	GoodFill      = 10 * units.Second  // that a bucket should at least take
)

// FillTime returns how long flow q takes to fill a bucket, or to move a pond once:
// t = V/Q. q must be above 0.
func FillTime(v units.Volume, q units.Flow) units.Duration {
	return units.Duration(float64(v) / float64(q))
}

// GoodBucket returns the least bucket, in whole litres, that flow q fills in
// GoodFill or more.
func GoodBucket(q units.Flow) units.Volume {
	return units.Volume(math.Ceil(float64(q)*float64(GoodFill)/float64(units.Litre))) * units.Litre
}

// FlowReading is a flow that was measured, with its error.
type FlowReading struct {
	Flow  units.Flow `json:"flow_m3_per_h"`
	Low   units.Flow `json:"low_flow_m3_per_h"` // 95 of 100 times the flow lies between Low and High
	High  units.Flow `json:"high_flow_m3_per_h"`
	Error float64    `json:"error_fraction"` // half the width as a share of Flow

	Bucket   figure.Maybe[BucketTest] `json:"bucket"` // unknown where the flow was read from a meter
	Warnings data.Doubts
}

// BucketTest is a bucket that was timed. Spread, Watch and Marks are the parts of the
// flow's error.
type BucketTest struct {
	Bucket    units.Volume                 `json:"bucket_l"`
	Timings   int                          `json:"timings"`
	Mean      units.Duration               `json:"mean_time_s"`
	Deviation figure.Maybe[units.Duration] `json:"deviation_s"` // standard deviation of the timings
	Spread    figure.Maybe[float64]        `json:"spread_error_fraction"`
	Watch     float64                      `json:"watch_error_fraction"`
	Marks     float64                      `json:"bucket_error_fraction"`
}

// TimeBucket returns the flow of a bucket filled one time or several.
//
//	Q = V/t,  e² = (c s/(t √n))² + (0.3 s/t)² + 0.03²
//
// t is the mean and s the standard deviation of n timings, c Student's factor
// for 95 % with n-1 degrees of freedom. Of two timings, for which c is 12.7,
// half their difference takes the place of the first term, and of one there is
// none; both with a warning. The watch is counted in full however many timings
// there are, since a hand is early or late the same way each time.
//
// Source: combination of errors by JCGM 100:2008, section 5.1, from memory.
func TimeBucket(bucket units.Volume, times []units.Duration) (FlowReading, error) {
	if !(bucket > 0 && bucket <= 1e4) || len(times) == 0 {
		return FlowReading{}, &data.Error{Key: "bucket", Message: "no bucket to time",
			Found: bucket.String(), Allowed: "a volume above 0, up to 1e4 m³, filled once or more"}
	}
	t := make([]float64, len(times))
	for i, d := range times {
		if t[i] = float64(d); !(t[i] >= 0.1 && t[i] <= 1e6) {
			return FlowReading{}, &data.Error{Key: "time", Message: "no time to fill a bucket",
				Found: units.Sprintf("%g s", t[i]), Allowed: "0.1 s to 1e6 s"}
		}
	}
	mean, n := stat.Mean(t, nil), float64(len(t))
	const single = "one timing has no spread"
	deviation := stat.StdDev(t, nil)
	b := BucketTest{Bucket: bucket, Timings: len(t), Mean: units.Duration(mean), Watch: float64(ReactionError) / mean, Marks: BucketError,
		Deviation: figure.Given(len(t) > 1, units.Duration(deviation), single)}
	switch {
	case len(t) == 1:
		b.Spread = figure.Unknown[float64](single)
	case len(t) == 2:
		b.Spread = figure.Known(math.Abs(t[0]-t[1]) / 2 / mean)
	default:
		c := distuv.StudentsT{Sigma: 1, Nu: n - 1}.Quantile(0.975)
		b.Spread = figure.Known(c * deviation / mean / math.Sqrt(n))
	}
	r := FlowReading{Flow: units.Flow(float64(bucket) / mean), Bucket: figure.Known(b)}
	r.spread(math.Sqrt(b.Spread.Value*b.Spread.Value + b.Watch*b.Watch + b.Marks*b.Marks))
	r.doubt(b)
	return r, nil
}

// ReadFlow returns a flow read from a meter or a log, with an error of 5 %
// (common practice, no source).
func ReadFlow(q units.Flow) FlowReading {
	r := FlowReading{Flow: q, Bucket: figure.Unknown[BucketTest]("no bucket was timed")}
	r.spread(0.05)
	return r
}

func (r *FlowReading) spread(e float64) {
	r.Error = e
	r.Low, r.High = units.Flow(max(0, 1-e))*r.Flow, units.Flow(1+e)*r.Flow
}

// doubt warns of too few timings and of a bucket too small for the flow.
func (r *FlowReading) doubt(b BucketTest) {
	if b.Timings < 3 {
		r.Warnings.Say("bucket", "%d of at least 3 timings: the spread between them is what tells how good they are", b.Timings)
	}
	if b.Mean < ShortFill {
		r.Warnings.Say("bucket", "a bucket of {%.3g L} is too small: "+
			"it fills in %.2g s, of which the hand on the watch is %.2g %%; take one of {%.0f L} or more",
			b.Bucket.In(units.Litre), float64(b.Mean), 100*b.Watch, GoodBucket(r.Flow).In(units.Litre))
	}
}

// Cause is what a measurement says about pump and line.
type Cause int

// Causes, from a flow and, where it was metered, a power.
const (
	AsPlanned    Cause = iota // the flow is that of the clean line within the errors
	MoreFlow                  // more flows than the clean line should let through
	DirtyLine                 // less flows, on the pump's curve for power: it runs against more resistance
	WeakPump                  // less flows for less power: it turns slower, at a low voltage or with something in its rotor, or is worn
	DraggingPump              // less flows for more power: it leaks inside from wear, or its rotor rubs
	LessFlow                  // less flows, and the power does not tell why
	DoubtfulTest              // more flows than the pump can give on any line
)

// beyondBelief is how far a flow may lie above the largest of a curve or label
// before the test is doubted and not the plan (common practice, no source).
const beyondBelief = 1.5

// String returns the cause in words.
func (c Cause) String() string {
	return [...]string{"as planned", "more flow than planned", "a dirty line", "a weak pump", "a dragging pump",
		"less flow, cause open", "a doubtful test"}[c]
}

// Finding is a measurement held against a pump on its clean line.
type Finding struct {
	Cause Cause      `json:"cause"`
	Why   units.Text `json:"why"` // one sentence

	// Loss is the share of the clean flow that is missing and Added the resistance that
	// explains the flow, k of h = k Q²; both are below 0 for more flow.
	Loss     float64      `json:"flow_loss_fraction"`
	Added    float64      `json:"added_resistance_s2_per_m5"`
	HeadLost units.Length `json:"head_lost_m"` // k Q² at the measured flow

	Powers figure.Maybe[CausePowers] `json:",inline"`
}

// CausePowers are the watts that each cause would show at a measured flow: those of a
// pump on its curve against more resistance, and at the share SlowedTo of its speed
// against the clean line.
type CausePowers struct {
	OnCurve   units.Power               `json:"power_on_curve_w"`
	Tolerance units.Power               `json:"power_tolerance_w"` // within which two powers count as one
	Slowed    figure.Maybe[units.Power] `json:"power_if_slowed_w"`
	SlowedTo  figure.Maybe[float64]     `json:"slowed_to_fraction"`
}

// Explain holds a measured flow and power against pump p at speed ratio s on
// the clean circuit.
//
//	k = ( Hp(Q) - Hs(Q) )/Q²
//
// A pump on its curve against more resistance draws P(Q). One that is slower
// draws P(Q/r) r³ at the share r of its speed that the clean line needs, one
// that leaks inside about what it drew at the clean flow. Powers are told apart
// beyond 9 % of a curve's (ISO 9906:2012 grade 3B, from memory), or 2 % where the
// plan's own watts were metered, and 1 W at least (common practice, no source).
//
// Of pumps with a line each one was measured: a bucket stands under one outlet.
//
// A flow that is half as much again as the pump's largest, its error taken off,
// makes the test doubtful.
//
// Unknown where the pump has no point on the clean line or, for any other flow, there is
// only a label, and for a flow below the curve's first point.
func (p Pump) Explain(flow FlowReading, power units.Power, s float64, circuit *System) figure.Maybe[Finding] {
	p = p.OneLine()
	run := p.Run(s, circuit)
	clean := run.LeastFlow()
	if clean == 0 {
		return figure.Unknown[Finding](run.Why)
	}
	f := Finding{Loss: 1 - float64(flow.Flow/clean), Powers: figure.Unknown[CausePowers]("neither curve nor label nor meter gives the " +
		"power")}
	c := p.Curve(s)
	switch {
	case flow.Low > beyondBelief*c.Last():
		f.Cause, f.Why = DoubtfulTest, units.Say("no line lets this pump give more than about {%.0f L/h}, "+
			"so the bucket, the watch or their units are wrong, or the pump is not the plan's: fill it again",
			c.Last().In(units.LitrePerHour))
		return figure.Known(f)
	case p.labelled:
		return figure.Unknown[Finding]("a label is no curve to hold a measurement against")
	}
	if flow.Flow > c.Last() { // where nothing more can be worked out
		f.Cause, f.Why = MoreFlow, "more flows than the last point of the pump's curve: "+
			"the plan's curve or units, the bucket or the watch are wrong, or the pump is not the plan's"
		if run.Status == BeyondCurve {
			f.Cause, f.Why = AsPlanned, "the plan's pump runs off the end of its curve, and so does the measured flow"
		}
		return figure.Known(f)
	}
	var err error
	if f.Added, err = AddedResistance(c, circuit, flow.Flow); err != nil {
		return figure.Unknown[Finding](units.Text(err.Error()))
	}
	f.HeadLost = units.Length(f.Added * float64(flow.Flow*flow.Flow))
	f.powers(p, flow.Flow, s, circuit)
	switch {
	case flow.High < run.Low.LeastFlow():
		f.less(power, p.Power(clean, s))
	case run.High.Status == Meets && flow.Low > run.High.Duty.Flow:
		f.Cause, f.Why = MoreFlow, "more flows than the plan's curve and line allow: "+
			"the lift is lower or the hose wider than the plan says, or the pump is not the plan's"
	default:
		f.Cause, f.Why = AsPlanned, "the clean flow of the plan lies within the errors of test and curve"
		w := f.Powers.Value
		if off := power - w.OnCurve; power > 0 && f.Powers.Known && (off < -w.Tolerance || off > w.Tolerance) {
			f.Why += units.Say(", but the meter does not fit the %.3g W of the curve: give its watts to the plan as metered_power",
				float64(w.OnCurve))
		}
	}
	return figure.Known(f)
}

func (f *Finding) powers(p Pump, q units.Flow, s float64, circuit *System) {
	const none = "no lower speed explains the flow"
	w := CausePowers{OnCurve: p.Power(q, s), Slowed: figure.Unknown[units.Power](none), SlowedTo: figure.Unknown[float64](none)}
	if w.OnCurve == 0 {
		return
	}
	share := 0.09
	if p.PowerSource() == MeteredPower {
		share = 0.02
	}
	w.Tolerance = max(1*units.Watt, units.Power(share)*w.OnCurve)
	last := float64(p.Curve(1).Last())
	need := circuit.needs(float64(q))
	lack := func(r float64) float64 {
		c := p.Curve(r)
		return c.headAt(math.Min(float64(q), float64(c.Last()))) - need
	}
	lowest := max(0.1, float64(q)/last, s/4)
	if lack(lowest)*lack(s) <= 0 {
		r := root(lack, lowest, s, 1e-9)
		w.SlowedTo, w.Slowed = figure.Known(r/s), figure.Known(p.Power(q, r))
	}
	f.Powers = figure.Known(w)
}

// less decides why less flows than should, clean being the power at the clean
// flow.
func (f *Finding) less(got, clean units.Power) {
	f.Cause = LessFlow
	w := f.Powers.Value
	slowed := w.Slowed.Value
	switch {
	case !f.Powers.Known:
		f.Why = "nothing says what the pump draws at this flow, so that the power cannot tell a dirty line from a weak pump"
	case got == 0:
		f.Why = units.Say("a meter tells why: about %.3g W means a dirty line, clearly less a weak pump, clearly more a worn or rubbing "+
			"one",
			float64(w.OnCurve))
	case got < w.OnCurve-w.Tolerance && got > slowed+w.Tolerance:
		f.Cause = WeakPump
		f.Why = "flow and power both lie off the pump's curve, but not as far as a slower pump alone would: " +
			"part is the pump, part the line; clean it and measure again"
	case got < w.OnCurve-w.Tolerance:
		f.Cause = WeakPump
		f.Why = "flow and power both lie off the pump's curve, below it: low voltage, something in the rotor, or a worn pump"
	case got > w.OnCurve+w.Tolerance:
		f.Cause = DraggingPump
		f.Why = "the pump draws more than its curve says for this flow: it leaks inside from wear, or its rotor rubs"
	case slowed > got-w.Tolerance:
		f.Why = "the power fits a dirty line and a weak pump alike: clean the line and measure again"
	case clean < got+w.Tolerance:
		f.Cause = DirtyLine
		f.Why = units.Say("the pump draws what its curve says for this flow, so clean strainer, impeller chamber, hose and bed; "+
			"if that does not help it leaks inside from wear, which shows as %.3g W, too near to tell", float64(clean))
	default:
		f.Cause = DirtyLine
		f.Why = "the pump draws what its curve says for this flow: it works against more resistance, " +
			"so clean strainer, impeller chamber, hose and bed"
	}
}
