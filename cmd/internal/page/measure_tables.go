package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// sections are the tables of the page.
func (m *Measurement) sections() []document.Section {
	var all []document.Section
	if m.works != nil && m.clean.LeastFlow() > 0 {
		all = append(all, document.Section{Heading: "What the bucket should show" + m.inOneLine(), Tables: []document.Table{m.expectedTable()}})
	}
	if m.flow != nil && m.flow.Timings > 0 {
		all = append(all, document.Section{Heading: "How good the test is", Tables: []document.Table{m.errorTable()}})
	}
	if t := m.planTable(); len(t.Rows) > 0 {
		all = append(all, document.Section{Heading: "What the plan can learn from it", Tables: []document.Table{t}})
	}
	if m.log != nil {
		all = append(all, document.Section{Heading: "The log", Tables: []document.Table{m.logTable()}, Notes: m.logNotes()})
	}
	return all
}

// planTable holds the lines that bring a sound measurement into the plan file.
func (m *Measurement) planTable() document.Table {
	t := document.Table{Key: "for_the_plan", Columns: []document.Column{
		{Key: "under", Heading: "under", Unit: document.Word},
		{Key: "line", Heading: "line", Unit: document.Word},
		{Key: "note", Heading: "note", Unit: document.Word},
	}}
	label := m.works != nil && m.works.Pumps[m.pump].LabelOnly()
	sound := m.finding.Known && (m.finding.Value.Cause == pumps.AsPlanned || m.finding.Value.Cause == pumps.DirtyLine)
	if !sound && !label {
		return t
	}
	add := func(key, text, note string) {
		k, _ := plan.KeyNamed(key)
		list, _, _ := strings.Cut(key, ".")
		under := "[" + strings.Replace(list, "[]", "]", 1) + "]"
		if list != strings.TrimSuffix(list, "[]") {
			under = "[" + under
		}
		t.Rows = append(t.Rows, []document.Cell{document.Text(under), document.Text(k.PlanLine(text)), document.Text(note)})
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

func (m *Measurement) expectedTable() document.Table {
	return document.TableOf("expected", m.expectedStates(), []document.Column{
		{Key: "state", Heading: "line"},
		{Key: "flow_m3_per_h", Heading: "flow"},
		{Key: "bucket_l", Heading: "bucket"},
		{Key: "time_s", Heading: "time"},
		{Key: "power_w", Heading: "meter"},
	})
}

// expectedStates are the lines that the bucket may meet, where water flows.
func (m *Measurement) expectedStates() []expectedState {
	var all []expectedState
	for _, state := range []struct {
		name string
		run  pumps.Operation
	}{{"clean, high end of the curve", m.clean.High}, {"clean", m.clean.Operation}, {"clean, low end of the curve", m.clean.Low}, {"just before cleaning", m.dirty.Operation}} {
		q := state.run.LeastFlow()
		if q <= 0 || m.clean.Bracket && state.name == "clean" {
			continue
		}
		watts := state.run.LeastPower()
		all = append(all, expectedState{state.name, m.usedBucket(), q, pumps.FillTime(m.usedBucket(), q), figure.Given(watts > 0, watts, noPowerWhy)})
	}
	return all
}

func (m *Measurement) errorTable() document.Table {
	t := document.Table{Key: "test_error", Columns: []document.Column{
		{Key: "part", Heading: "part of the error", Unit: document.Word},
		{Key: "share_fraction", Heading: "share of the flow", Unit: document.Fraction},
	}}
	r := m.flow
	spread := document.Number(r.SpreadError)
	if r.Timings == 1 {
		spread = document.Unknown(oneTimingWhy)
	}
	t.Rows = [][]document.Cell{
		{document.Text("spread of the timings"), spread},
		{document.Text("hand on the watch, 0.3 s"), document.Number(r.WatchError)},
		{document.Text("marks of the bucket"), document.Number(r.VolumeError)},
		{document.Text("together"), document.Number(r.Error)},
	}
	return t
}

func (m *Measurement) logTable() document.Table {
	t := document.Table{Key: "log", Columns: []document.Column{
		{Key: "date", Heading: "date", Unit: document.Word},
		{Key: "flow_m3_per_h", Heading: "flow", Unit: document.Flow},
		{Key: "error_fraction", Heading: "error", Unit: document.Fraction, Digits: 2},
		{Key: "power_w", Heading: "power", Unit: document.Power},
		{Key: "counts", Heading: "in the trend", Unit: document.Word},
	}}
	for i, r := range m.log.readings {
		row := m.log.file.Rows[i]
		power := document.Unknown("not read")
		if row.Power > 0 {
			power = document.Number(float64(row.Power))
		}
		counts := m.log.upkeep.Known && i >= m.log.upkeep.Value.From
		t.Rows = append(t.Rows, []document.Cell{document.Text(row.Date.Format("2006-01-02")), document.Number(r.Flow.In(units.CubicMetrePerHour)),
			document.Number(r.Error), power, document.YesNo(counts)})
	}
	return t
}

func (m *Measurement) logNotes() []document.Prose {
	if !m.log.upkeep.Known {
		return nil
	}
	u := m.log.upkeep.Value
	rule := "A straight line through the added resistance, which grows evenly where each day brings as much dirt"
	if u.OfFlow {
		rule = "A straight line through the flows, since there is no pump curve to work the resistance out from"
	}
	return []document.Prose{
		document.Sentence("%v. The trend begins on %v: %v.", rule, m.log.file.Rows[u.From].Date.Format(pageDate), u.FromWhy),
		document.Sentence("The span has the line turned about the middle of the tests by the 95 % error of its slope."),
	}
}
