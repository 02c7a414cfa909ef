package page

import (
	"cmp"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// measureObject is what measure prints as JSON.
type measureObject struct {
	Demo     bool                            `json:"demo"`
	Reading  figure.Maybe[pumps.FlowReading] `json:",inline"`
	Power    figure.Maybe[units.Power]       `json:"power_w"`
	Pump     string                          `json:"pump,omitempty"`
	Lines    int                             `json:"lines,omitempty"` // above 1: every flow and time is of one of so many lines
	Expected figure.Maybe[measureExpected]   `json:"expected"`
	Finding  figure.Maybe[pumps.Finding]     `json:"finding"`
	Turnover figure.Maybe[units.Duration]    `json:"turnover_h"`
	GoalMet  figure.Maybe[bool]              `json:"goal_met"`
	Log      figure.Maybe[measureLog]        `json:"log"`
}

// bucketFill is how a flow fills the bucket.
type bucketFill struct {
	Flow units.Flow     `json:"flow_m3_per_h"`
	Time units.Duration `json:"time_s"`
}

type measureExpected struct {
	Bucket units.Volume             `json:"bucket_l"`
	Clean  bucketFill               `json:"clean_,inline"`
	Dirty  figure.Maybe[bucketFill] `json:"dirty_,inline"`
	States []expectedState          `json:"states"`
}

// expectedState is what the bucket should show of the line in one state.
type expectedState struct {
	State  string       `json:"state"`
	Bucket units.Volume `json:"bucket_l"`
	bucketFill
	Power figure.Maybe[units.Power] `json:"power_w"`
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
	o := measureObject{Demo: m.In.Demo, Reading: m.flow, Power: figure.Given(m.power > 0, m.power, "no meter was read"),
		Finding: m.finding, Expected: m.expected(), Log: figure.Unknown[measureLog]("no log was given")}
	if m.works != nil {
		if o.Pump = m.works.Pumps[m.pump].Name(); m.lines() > 1 {
			o.Lines = m.lines()
		}
	}
	if m.log != nil {
		o.Log = figure.Known(m.log.object())
	}
	v := m.verdict()
	o.Turnover, o.GoalMet = v.Turnover, v.Met
	return o
}

// expected returns what the bucket should show for the plan as it is.
func (m *Measurement) expected() figure.Maybe[measureExpected] {
	if m.works == nil {
		return figure.Unknown[measureExpected](noPlanWhy)
	}
	e := measureExpected{Bucket: cmp.Or(m.Bucket, exampleBucket)}
	fill := func(o pumps.Operation) figure.Maybe[bucketFill] {
		q := o.LeastFlow()
		return figure.Given(q > 0, bucketFill{q, pumps.FillTime(e.Bucket, q)}, o.Why)
	}
	clean := fill(m.clean.Operation)
	e.Clean, e.Dirty = clean.Value, fill(m.dirty.Operation)
	for _, state := range []struct {
		name string
		run  pumps.Operation
	}{{"clean, high end of the curve", m.clean.High}, {"clean", m.clean.Operation}, {"clean, low end of the curve",
		m.clean.Low}, {"just before cleaning", m.dirty.Operation}} {
		if f := fill(state.run); f.Known && (state.name != "clean" || !m.clean.Bracket) {
			watts := state.run.LeastPower()
			e.States = append(e.States, expectedState{state.name, e.Bucket, f.Value, figure.Given(watts > 0, watts, works.NoWatts)})
		}
	}
	return figure.Given(clean.Known, e, clean.Why)
}

const noPlanWhy = "no plan to hold it against"

func (l *measuredLog) object() measureLog {
	reach := figure.Unknown[pumps.Reach](l.upkeep.Why)
	if l.upkeep.Known {
		reach = l.upkeep.Value.Reach
	}
	const scatter = "the tests are too few or scatter too much"
	day := func(at float64, why units.Text) figure.Maybe[string] {
		if !reach.Known {
			return figure.Unknown[string](reach.Why)
		}
		d, ok := l.date(at) // beyond what anybody plans
		return figure.Given(ok, d.Format(isoDate), why)
	}
	r := reach.Value
	return measureLog{len(l.readings), l.upkeep.Value.Trend.N, figure.Given(l.upkeep.Known, l.upkeep.Value.LimitFlow, l.upkeep.Why),
		day(r.Day, "not within a hundred years"), day(r.Earliest, scatter), day(r.Latest, scatter)}
}

// planTable holds the lines that bring a sound measurement into the plan file.
func (m *Measurement) planTable() document.Table {
	type row struct {
		Under string `json:"under"`
		Line  string `json:"line"`
		Note  string `json:"note"`
	}
	var rows []row
	add := func(key, text, note string) {
		k, _ := plan.KeyNamed(key)
		list, _, _ := strings.Cut(key, ".")
		under := "[" + strings.Replace(list, "[]", "]", 1) + "]"
		if list != strings.TrimSuffix(list, "[]") {
			under = "[" + under
		}
		rows = append(rows, row{under, k.PlanLine(text), note})
	}
	label := m.works != nil && m.works.Pumps[m.pump].LabelOnly()
	cause := m.finding.Value.Cause
	sound := m.finding.Known && (cause == pumps.AsPlanned || cause == pumps.DirtyLine)
	if m.power > 0 && (sound || label) && m.works.Pumps[m.pump].Spec().Count <= 1 {
		beats := "the meter beats the curve"
		if label {
			beats = "the meter beats the label"
		}
		add("pump[].metered_power", units.Sprintf("%.4g W", float64(m.power)), beats)
		if !label {
			add("pump[].metered_flow", units.Sprintf("%.0f L/h", m.flow.Value.Flow.In(units.LitrePerHour)), "keeps the shape of the "+
				"curve's power")
		}
	}
	if m.flow.Known && (sound || label) {
		if today, err := works.Running(&m.In.Plan, ""); err == nil && today == m.pump { // the line is fitted to no other
			add("measured.flow", units.Sprintf("%.0f L/h", m.flow.Value.Flow.In(units.LitrePerHour)),
				`fits the line; add line = "dirty" if it was measured just before cleaning`)
		}
	}
	if sound && !label && cause == pumps.DirtyLine {
		add(dirtLossKey, units.Sprintf("%.0f %%", 100*m.finding.Value.Loss), "if it was measured just before cleaning")
	}
	return document.TableOf("for_the_plan", rows, document.Columns("under: under", "line: line", "note: note"))
}
