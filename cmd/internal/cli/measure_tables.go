package cli

import (
	"strings"

	report "sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/pumps"
)

// sections are the tables of the page.
func (m *measurement) sections() []report.Section {
	var all []report.Section
	if m.works != nil && m.clean.LeastFlow() > 0 {
		all = append(all, report.Section{Heading: "What the bucket should show" + m.inOneLine(), Tables: []report.Table{m.expectedTable()}})
	}
	if m.flow != nil && m.flow.Timings > 0 {
		all = append(all, report.Section{Heading: "How good the test is", Tables: []report.Table{m.errorTable()}})
	}
	if t := m.planTable(); len(t.Rows) > 0 {
		all = append(all, report.Section{Heading: "What the plan can learn from it", Tables: []report.Table{t}})
	}
	if m.log != nil {
		all = append(all, report.Section{Heading: "The log", Tables: []report.Table{m.logTable()}, Notes: m.logNotes()})
	}
	return all
}

// planTable holds the lines that bring a sound measurement into the plan file.
func (m *measurement) planTable() report.Table {
	t := report.Table{Key: "for_the_plan", Columns: []report.Column{
		{Key: "under", Heading: "under", Unit: report.Word},
		{Key: "line", Heading: "line", Unit: report.Word},
		{Key: "note", Heading: "note", Unit: report.Word},
	}}
	label := m.works != nil && m.works.Pumps[m.pump].LabelOnly()
	sound := m.finding.Known && (m.finding.Value.Cause == pumps.AsPlanned || m.finding.Value.Cause == pumps.DirtyLine)
	if !sound && !label {
		return t
	}
	add := func(key, text, note string) {
		k, _ := data.KeyNamed(key)
		list, _, _ := strings.Cut(key, ".")
		under := "[" + strings.Replace(list, "[]", "]", 1) + "]"
		if list != strings.TrimSuffix(list, "[]") {
			under = "[" + under
		}
		t.Rows = append(t.Rows, []report.Cell{report.Text(under), report.Text(k.PlanLine(text)), report.Text(note)})
	}
	if m.power.Power > 0 && !m.power.Bound && m.works.Pumps[m.pump].Spec().Count <= 1 {
		add("pump[].metered_power", units.Sprintf("%.4g W", float64(m.power.Power)), map[bool]string{true: "the meter beats the label", false: "the meter beats the curve"}[label])
	}
	if label {
		return t
	}
	if m.power.Power > 0 && !m.power.Bound && m.works.Pumps[m.pump].Spec().Count <= 1 {
		add("pump[].metered_flow", units.Sprintf("%.0f L/h", m.flow.Flow.In(units.LitrePerHour)), "keeps the shape of the curve's power")
	}
	if m.finding.Value.Cause == pumps.DirtyLine {
		add(dirtLossKey, units.Sprintf("%.0f %%", 100*m.finding.Value.Loss), "if it was measured just before cleaning")
	}
	return t
}

func (m *measurement) expectedTable() report.Table {
	t := report.Table{Key: "expected", Columns: []report.Column{
		{Key: "state", Heading: "line", Unit: report.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: report.Flow},
		{Key: "bucket_l", Heading: "bucket", Unit: report.Litres},
		{Key: "time_s", Heading: "time", Unit: report.Seconds},
		{Key: "power_w", Heading: "meter", Unit: report.Power},
	}}
	bucket := report.Number(m.usedBucket().In(units.Litre))
	for _, s := range m.expectedStates() {
		t.Rows = append(t.Rows, []report.Cell{report.Text(s.State), report.Number(s.Flow), bucket, report.Number(s.Time), report.NumberOr(s.Power, s.PowerWhy)})
	}
	return t
}

// expectedStates are the lines that the bucket may meet, where water flows.
func (m *measurement) expectedStates() []expectedState {
	var all []expectedState
	for _, state := range []struct {
		name string
		run  pumps.Operation
	}{{"clean, high end of the curve", m.clean.High}, {"clean", m.clean.Operation}, {"clean, low end of the curve", m.clean.Low}, {"just before cleaning", m.dirty.Operation}} {
		q := state.run.LeastFlow()
		if q <= 0 || m.clean.Bracket && state.name == "clean" {
			continue
		}
		s := expectedState{State: state.name, Flow: q.In(units.CubicMetrePerHour), Time: float64(pumps.FillTime(m.usedBucket(), q)), Power: positive(float64(state.run.LeastPower()))}
		if s.Power == nil {
			s.PowerWhy = noPowerWhy
		}
		all = append(all, s)
	}
	return all
}

func (m *measurement) errorTable() report.Table {
	t := report.Table{Key: "test_error", Columns: []report.Column{
		{Key: "part", Heading: "part of the error", Unit: report.Word},
		{Key: "share_fraction", Heading: "share of the flow", Unit: report.Fraction},
	}}
	r := m.flow
	spread := report.Number(r.SpreadError)
	if r.Timings == 1 {
		spread = report.Unknown(oneTimingWhy)
	}
	t.Rows = [][]report.Cell{
		{report.Text("spread of the timings"), spread},
		{report.Text("hand on the watch, 0.3 s"), report.Number(r.WatchError)},
		{report.Text("marks of the bucket"), report.Number(r.VolumeError)},
		{report.Text("together"), report.Number(r.Error)},
	}
	return t
}

func (m *measurement) logTable() report.Table {
	t := report.Table{Key: "log", Columns: []report.Column{
		{Key: "date", Heading: "date", Unit: report.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: report.Flow},
		{Key: "error_fraction", Heading: "error", Unit: report.Fraction, Digits: 2},
		{Key: "power_w", Heading: "power", Unit: report.Power},
		{Key: "counts", Heading: "in the trend", Unit: report.Word},
	}}
	for i, r := range m.log.readings {
		row := m.log.file.Rows[i]
		power := report.Unknown("not read")
		if row.Power > 0 {
			power = report.Number(float64(row.Power))
		}
		counts := m.log.upkeep.Known && i >= m.log.upkeep.Value.From
		t.Rows = append(t.Rows, []report.Cell{report.Text(row.Date.Format("2006-01-02")), report.Number(r.Flow.In(units.CubicMetrePerHour)),
			report.Number(r.Error), power, report.YesNo(counts)})
	}
	return t
}

func (m *measurement) logNotes() []report.Prose {
	if !m.log.upkeep.Known {
		return nil
	}
	u := m.log.upkeep.Value
	rule := "A straight line through the added resistance, which grows evenly where each day brings as much dirt"
	if u.OfFlow {
		rule = "A straight line through the flows, since there is no pump curve to work the resistance out from"
	}
	return []report.Prose{
		report.Sentence("%v. The trend begins on %v: %v.", rule, m.log.file.Rows[u.From].Date.Format(pageDate), u.FromWhy),
		report.Sentence("The span has the line turned about the middle of the tests by the 95 % error of its slope."),
	}
}
