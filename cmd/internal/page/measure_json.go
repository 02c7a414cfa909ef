package page

import (
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// measureObject is what measure prints as JSON.
type measureObject struct {
	Demo     bool                            `json:"demo"`
	Reading  figure.Maybe[pumps.FlowReading] `json:",inline"`
	Bucket   figure.Maybe[measureBucket]     `json:"bucket"`
	Power    figure.Maybe[units.Power]       `json:"power_w"`
	Apparent units.Power                     `json:"apparent_power_va,omitempty"`
	Pump     string                          `json:"pump,omitempty"`
	Lines    int                             `json:"lines,omitempty"` // above 1: every flow and time is of one of so many lines
	Expected figure.Maybe[measureExpected]   `json:"expected"`
	Finding  figure.Maybe[measureFinding]    `json:"finding"`
	Turnover figure.Maybe[float64]           `json:"turnover_h"`
	GoalMet  figure.Maybe[bool]              `json:"goal_met"`
	Log      figure.Maybe[measureLog]        `json:"log"`
}

type measureBucket struct {
	Bucket    units.Volume                 `json:"bucket_l"`
	Timings   int                          `json:"timings"`
	Mean      units.Duration               `json:"mean_time_s"`
	Deviation figure.Maybe[units.Duration] `json:"deviation_s"`
	Spread    figure.Maybe[float64]        `json:"spread_error_fraction"`
	Watch     float64                      `json:"watch_error_fraction"`
	Marks     float64                      `json:"bucket_error_fraction"`
}

type measureExpected struct {
	Bucket    units.Volume                 `json:"bucket_l"`
	CleanFlow units.Flow                   `json:"clean_flow_m3_per_h"`
	CleanTime units.Duration               `json:"clean_time_s"`
	DirtyFlow figure.Maybe[units.Flow]     `json:"dirty_flow_m3_per_h"`
	DirtyTime figure.Maybe[units.Duration] `json:"dirty_time_s"`
	States    []expectedState              `json:"states"`
}

// expectedState is what the bucket should show of the line in one state.
type expectedState struct {
	State  string                    `json:"state"`
	Bucket units.Volume              `json:"bucket_l"`
	Flow   units.Flow                `json:"flow_m3_per_h"`
	Time   units.Duration            `json:"time_s"`
	Power  figure.Maybe[units.Power] `json:"power_w"`
}

type measureFinding struct {
	Cause     pumps.Cause               `json:"cause"`
	Why       string                    `json:"why"`
	Loss      float64                   `json:"flow_loss_fraction"`
	Added     float64                   `json:"added_resistance_s2_per_m5"`
	HeadLost  units.Length              `json:"head_lost_m"`
	OnCurve   figure.Maybe[units.Power] `json:"power_on_curve_w"`
	Slowed    figure.Maybe[units.Power] `json:"power_if_slowed_w"`
	SlowedTo  figure.Maybe[float64]     `json:"slowed_to_fraction"`
	Tolerance figure.Maybe[units.Power] `json:"power_tolerance_w"`
}

type measureLog struct {
	Tests     int                      `json:"tests"`
	Counted   int                      `json:"tests_in_trend"`
	LimitFlow figure.Maybe[units.Flow] `json:"clean_at_flow_m3_per_h"`
	CleanOn   figure.Maybe[string]     `json:"clean_on"`
	Earliest  figure.Maybe[string]     `json:"clean_on_earliest"`
	Latest    figure.Maybe[string]     `json:"clean_on_latest"`
}

func (m *Measurement) object() measureObject {
	o := measureObject{Demo: m.In.Demo, Reading: figure.Unknown[pumps.FlowReading](noTestWhy), Bucket: figure.Unknown[measureBucket]("no bucket was timed"),
		Power: figure.Given(m.power.Power > 0, m.power.Power, "no meter was read"), Log: figure.Unknown[measureLog]("no log was given")}
	if r := m.flow; r != nil {
		o.Reading = figure.Known(*r)
		o.Bucket = figure.Given(r.Timings > 0, measureBucket{r.Bucket, r.Timings, r.Mean, figure.Given(r.Timings > 1, r.Deviation, oneTimingWhy),
			figure.Given(r.Timings > 1, r.SpreadError, oneTimingWhy), r.WatchError, r.VolumeError}, o.Bucket.Why)
	}
	if m.power.Bound {
		o.Apparent, o.Power = m.power.Power, figure.Unknown[units.Power]("volts times amps are an upper bound of the watts")
	}
	m.objectOfPlan(&o)
	if m.log != nil {
		o.Log = figure.Known(m.log.object())
	}
	return o
}

func (m *Measurement) objectOfPlan(o *measureObject) {
	if m.works == nil {
		o.Finding, o.Expected = figure.Unknown[measureFinding](noPlanWhy), figure.Unknown[measureExpected](noPlanWhy)
		o.Turnover, o.GoalMet = figure.Unknown[float64](noPlanWhy), figure.Unknown[bool](noPlanWhy)
		return
	}
	if o.Pump = m.works.Pumps[m.pump].Name(); m.lines() > 1 {
		o.Lines = m.lines()
	}
	v, q, d := m.usedBucket(), m.clean.LeastFlow(), m.dirty.LeastFlow()
	o.Expected = figure.Given(q > 0, measureExpected{v, q, pumps.FillTime(v, q), figure.Given(d > 0, d, m.dirty.Why), figure.Given(d > 0, pumps.FillTime(v, d), m.dirty.Why), m.expectedStates()}, m.clean.Why)
	o.Finding = figure.Then(m.finding, func(f pumps.Finding) measureFinding {
		return measureFinding{f.Cause, f.Why, f.Loss, f.Added, f.HeadLost, figure.Given(f.OnCurve > 0, f.OnCurve, noPowerWhy),
			figure.Given(f.Slowed > 0, f.Slowed, noSlowWhy), figure.Given(f.Slowed > 0, f.SlowedTo, noSlowWhy), figure.Given(f.OnCurve > 0, f.Tolerance, noPowerWhy)}
	})
	switch {
	case !m.works.Pond.Known:
		o.Turnover, o.GoalMet = figure.Unknown[float64](noPondWhy), figure.Unknown[bool](noPondWhy)
	case m.flow == nil:
		o.Turnover, o.GoalMet = figure.Unknown[float64](noTestWhy), figure.Unknown[bool](noTestWhy)
	case m.doubtful():
		why := m.finding.Value.Cause.String()
		o.Turnover, o.GoalMet = figure.Unknown[float64](why), figure.Unknown[bool](why)
	default:
		t, goal := m.turnover(), m.works.Pond.Value.Goal
		o.Turnover, o.GoalMet = figure.Known(t), figure.Given(goal.Known, t <= goal.Value.In(units.Hour), noGoalWhy)
	}
}

const (
	noTestWhy    = "no flow was measured"
	oneTimingWhy = "one timing has no spread"
	noPlanWhy    = "no plan to hold it against"
	noSlowWhy    = "no lower speed explains the flow"
	noPondWhy    = "the volume of the pond is not given"
	noGoalWhy    = "no goal: give pond.stocking or pond.turnover_goal"
)

func (l *measuredLog) object() measureLog {
	reach := l.upkeep.Value.Reach
	if !l.upkeep.Known {
		reach.Why = l.upkeep.Why
	}
	const scatter = "the tests are too few or scatter too much"
	day := func(at float64, why string) figure.Maybe[string] {
		if !reach.Known {
			return figure.Unknown[string](reach.Why)
		}
		d, ok := l.date(at) // beyond what anybody plans
		return figure.Given(ok, d.Format("2006-01-02"), why)
	}
	r := reach.Value
	return measureLog{len(l.readings), l.upkeep.Value.Trend.N, figure.Given(l.upkeep.Known, l.upkeep.Value.LimitFlow, l.upkeep.Why),
		day(r.Day, "not within a hundred years"), day(r.Earliest, scatter), day(r.Latest, scatter)}
}
