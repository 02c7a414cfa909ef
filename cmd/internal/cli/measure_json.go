package cli

import (
	"sunrill/data/units"
	"sunrill/pumps"
)

// measureObject is what measure prints as JSON.
type measureObject struct {
	Demo       bool             `json:"demo"`
	Flow       *float64         `json:"flow_m3_per_h"`
	FlowWhy    string           `json:"flow_m3_per_h_why,omitempty"`
	Low        *float64         `json:"low_flow_m3_per_h"`
	LowWhy     string           `json:"low_flow_m3_per_h_why,omitempty"`
	High       *float64         `json:"high_flow_m3_per_h"`
	HighWhy    string           `json:"high_flow_m3_per_h_why,omitempty"`
	Error      *float64         `json:"error_fraction"`
	ErrorWhy   string           `json:"error_fraction_why,omitempty"`
	Bucket     *measureBucket   `json:"bucket"`
	BucketWhy  string           `json:"bucket_why,omitempty"`
	Power      *float64         `json:"power_w"`
	PowerWhy   string           `json:"power_w_why,omitempty"`
	Apparent   *float64         `json:"apparent_power_va,omitempty"`
	Pump       string           `json:"pump,omitempty"`
	Lines      int              `json:"lines,omitempty"` // above 1: every flow and time is of one of so many lines
	Expected   *measureExpected `json:"expected"`
	ExpectWhy  string           `json:"expected_why,omitempty"`
	Finding    *measureFinding  `json:"finding"`
	FindingWhy string           `json:"finding_why,omitempty"`
	Turnover   *float64         `json:"turnover_h"`
	PondWhy    string           `json:"turnover_h_why,omitempty"`
	GoalMet    *bool            `json:"goal_met"`
	GoalWhy    string           `json:"goal_met_why,omitempty"`
	Log        *measureLog      `json:"log"`
	LogWhy     string           `json:"log_why,omitempty"`
}

type measureBucket struct {
	Bucket    float64  `json:"bucket_l"`
	Timings   int      `json:"timings"`
	Mean      float64  `json:"mean_time_s"`
	Deviation *float64 `json:"deviation_s"`
	DevWhy    string   `json:"deviation_s_why,omitempty"`
	Spread    *float64 `json:"spread_error_fraction"`
	SpreadWhy string   `json:"spread_error_fraction_why,omitempty"`
	Watch     float64  `json:"watch_error_fraction"`
	Marks     float64  `json:"bucket_error_fraction"`
}

type measureExpected struct {
	Bucket    float64         `json:"bucket_l"`
	CleanFlow float64         `json:"clean_flow_m3_per_h"`
	CleanTime float64         `json:"clean_time_s"`
	DirtyFlow *float64        `json:"dirty_flow_m3_per_h"`
	DirtyTime *float64        `json:"dirty_time_s"`
	DirtyWhy  string          `json:"dirty_why,omitempty"`
	States    []expectedState `json:"states"`
}

// expectedState is what the bucket should show of the line in one state.
type expectedState struct {
	State    string   `json:"state"`
	Flow     float64  `json:"flow_m3_per_h"`
	Time     float64  `json:"time_s"`
	Power    *float64 `json:"power_w"`
	PowerWhy string   `json:"power_w_why,omitempty"`
}

type measureFinding struct {
	Cause     string   `json:"cause"`
	Why       string   `json:"why"`
	Loss      float64  `json:"flow_loss_fraction"`
	Added     float64  `json:"added_resistance_s2_per_m5"`
	HeadLost  float64  `json:"head_lost_m"`
	OnCurve   *float64 `json:"power_on_curve_w"`
	Slowed    *float64 `json:"power_if_slowed_w"`
	SlowedTo  *float64 `json:"slowed_to_fraction"`
	Tolerance *float64 `json:"power_tolerance_w"`
	PowerWhy  string   `json:"power_why,omitempty"`
}

type measureLog struct {
	Tests     int      `json:"tests"`
	Counted   int      `json:"tests_in_trend"`
	LimitFlow *float64 `json:"clean_at_flow_m3_per_h"`
	LimitWhy  string   `json:"clean_at_flow_m3_per_h_why,omitempty"`
	CleanOn   *string  `json:"clean_on"`
	CleanWhy  string   `json:"clean_on_why,omitempty"`
	Earliest  *string  `json:"clean_on_earliest"`
	EarlyWhy  string   `json:"clean_on_earliest_why,omitempty"`
	Latest    *string  `json:"clean_on_latest"`
	LateWhy   string   `json:"clean_on_latest_why,omitempty"`
}

func (m *measurement) object() measureObject {
	o := measureObject{Demo: m.in.demo, FlowWhy: noTestWhy, LowWhy: noTestWhy, HighWhy: noTestWhy, ErrorWhy: noTestWhy, BucketWhy: "no bucket was timed", PowerWhy: "no meter was read", LogWhy: "no log was given"}
	if r := m.flow; r != nil {
		perHour := units.CubicMetrePerHour
		o.Flow, o.Low, o.High, o.Error = number(r.Flow.In(perHour)), number(r.Low.In(perHour)), number(r.High.In(perHour)), number(r.Error)
		o.FlowWhy, o.LowWhy, o.HighWhy, o.ErrorWhy = "", "", "", ""
		if r.Timings > 0 {
			o.Bucket, o.BucketWhy = newMeasureBucket(r), ""
		}
	}
	switch {
	case m.power.Bound:
		o.Apparent, o.PowerWhy = number(m.power.Power), "volts times amps are an upper bound of the watts"
	case m.power.Power > 0:
		o.Power, o.PowerWhy = number(m.power.Power), ""
	}
	m.objectOfPlan(&o)
	if m.log != nil {
		o.Log, o.LogWhy = m.log.object(), ""
	}
	return o
}

func (m *measurement) objectOfPlan(o *measureObject) {
	if m.works == nil {
		o.FindingWhy, o.ExpectWhy, o.PondWhy, o.GoalWhy = noPlanWhy, noPlanWhy, noPlanWhy, noPlanWhy
		return
	}
	o.Pump, o.FindingWhy = m.works.Pumps[m.pump].Name(), m.finding.Why
	if n := m.lines(); n > 1 {
		o.Lines = n
	}
	o.ExpectWhy = m.clean.Why
	if q := m.clean.LeastFlow(); q > 0 {
		v := m.usedBucket()
		o.ExpectWhy = ""
		o.Expected = &measureExpected{Bucket: v.In(units.Litre), CleanFlow: q.In(units.CubicMetrePerHour), CleanTime: float64(pumps.FillTime(v, q)), DirtyWhy: m.dirty.Why, States: m.expectedStates()}
		if d := m.dirty.LeastFlow(); d > 0 {
			o.Expected.DirtyFlow, o.Expected.DirtyTime, o.Expected.DirtyWhy = number(d.In(units.CubicMetrePerHour)), number(pumps.FillTime(v, d)), ""
		}
	}
	m.objectOfPond(o)
	if !m.finding.Known {
		return
	}
	f := m.finding.Value
	o.Finding = &measureFinding{Cause: f.Cause.String(), Why: f.Why, Loss: f.Loss, Added: f.Added, HeadLost: float64(f.HeadLost), PowerWhy: noPowerWhy}
	if f.OnCurve > 0 {
		o.Finding.OnCurve, o.Finding.Tolerance, o.Finding.PowerWhy = number(f.OnCurve), number(f.Tolerance), ""
	}
	if f.Slowed > 0 {
		o.Finding.Slowed, o.Finding.SlowedTo = number(f.Slowed), number(f.SlowedTo)
	}
}

const (
	noTestWhy    = "no flow was measured"
	oneTimingWhy = "one timing has no spread"
	noPlanWhy    = "no plan to hold it against"
	noPondWhy    = "the volume of the pond is not given"
	noGoalWhy    = "no goal: give pond.stocking or pond.turnover_goal"
)

func newMeasureBucket(r *pumps.FlowReading) *measureBucket {
	b := &measureBucket{Bucket: r.Bucket.In(units.Litre), Timings: r.Timings, Mean: float64(r.Mean), Watch: r.WatchError, Marks: r.VolumeError,
		DevWhy: oneTimingWhy, SpreadWhy: oneTimingWhy}
	if r.Timings > 1 {
		b.Deviation, b.Spread, b.DevWhy, b.SpreadWhy = number(r.Deviation), number(r.SpreadError), "", ""
	}
	return b
}

// objectOfPond says what the flow means for the pond.
func (m *measurement) objectOfPond(o *measureObject) {
	switch {
	case m.works.Pond == nil:
		o.PondWhy, o.GoalWhy = noPondWhy, noPondWhy
	case m.flow == nil:
		o.PondWhy, o.GoalWhy = noTestWhy, noTestWhy
	case m.doubtful():
		o.PondWhy, o.GoalWhy = m.finding.Value.Cause.String(), m.finding.Value.Cause.String()
	default:
		o.Turnover, o.GoalWhy = number(m.turnover()), noGoalWhy
		if m.works.Goal > 0 {
			met := m.turnover() <= m.works.Goal.In(units.Hour)
			o.GoalMet, o.GoalWhy = &met, ""
		}
	}
}

func (l *measuredLog) object() *measureLog {
	why := l.upkeep.Why
	o := &measureLog{Tests: len(l.readings), LimitWhy: why, CleanWhy: why, EarlyWhy: why, LateWhy: why}
	if !l.upkeep.Known {
		return o
	}
	u := l.upkeep.Value
	o.Counted, o.LimitFlow = u.Trend.N, number(u.LimitFlow.In(units.CubicMetrePerHour))
	o.CleanWhy, o.EarlyWhy, o.LateWhy = u.Reach.Why, u.Reach.Why, u.Reach.Why
	if r := u.Reach.Value; u.Reach.Known {
		const scatter = "the tests are too few or scatter too much"
		o.CleanOn, o.CleanWhy = l.isoDate(r.Day, "not within a hundred years")
		o.Earliest, o.EarlyWhy = l.isoDate(r.Earliest, scatter)
		o.Latest, o.LateWhy = l.isoDate(r.Latest, scatter)
	}
	return o
}

// isoDate returns the date so many days after the first test, or why where it
// is beyond what anybody plans.
func (l *measuredLog) isoDate(days float64, why string) (*string, string) {
	d, ok := l.date(days)
	if !ok {
		return nil, why
	}
	s := d.Format("2006-01-02")
	return &s, ""
}
