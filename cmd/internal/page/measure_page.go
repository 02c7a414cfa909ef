package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// exampleBucket is what the page reckons with where no bucket is given.
const exampleBucket = 10 * units.Litre

var measureSources = []string{
	"errors combined by JCGM 100:2008, section 5.1, with Student's factors for 95 % (from memory)",
	"reaction 0.3 s, bucket 3 %, watts of the same meter 2 %: common practice, no source",
	"power of a curve: 9 %, ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW; from memory",
}

// Document returns the page.
func (m *Measurement) Document() *document.Document {
	object := m.object()
	doc := m.In.document(m.In.titled("measured against the plan"), object)
	doc.Answer, doc.Warnings = m.answer(), doubts(m.In.Warnings, m.warnings)
	if states := m.expected().Value.States; len(states) > 0 {
		doc.Sections = []document.Section{{Heading: "What the bucket should show" + m.inOneLine(), Tables: []document.Table{
			document.TableOf("expected", states, document.Columns("state: line", "flow_m3_per_h: flow", "bucket_l: bucket", "time_s: time",
				"power_w: meter"))}}}
	}
	if t := m.planTable(); len(t.Rows) > 0 {
		doc.Sections = append(doc.Sections, document.Section{Heading: "What the plan can learn from it", Tables: []document.Table{t}})
	}
	doc.Sources, doc.Cautions = measureSources, []document.Prose{caution}
	doc.Work = func() []document.Step { return newFigures(object, &m.In.Plan).work() }
	if m.works == nil {
		doc.Title = document.Sentence("Measured, without a plan")
		if m.log != nil && !m.In.Plan.Given(dirtLossKey) {
			doc.Assumed = assumed([]figure.Assumed{{Key: dirtLossKey, Kind: units.KindShare, Value: m.In.Plan.Upkeep.FlowLossWhenDirty,
				Why: "of the first flow, at which to clean; a plan can say another", Source: "common practice, no source"}})
		}
		return doc
	}
	doc.Assumed = assumedOf(m.works, m.works.Assumed)
	doc.Warnings = append(doc.Warnings, doubts(m.works.Warnings)...)
	doc.Sources = slices.Concat(measureSources, waterSources, m.works.Sources)
	return doc
}

// answer returns what was measured, what it means and when to clean.
func (m *Measurement) answer() []document.Line {
	var lines shortAnswer
	lines.say("Measured", m.flowLine())
	lines.say("Finding", m.findingLine())
	lines.say("Meter", m.meterLine())
	lines.say("Pond", m.pondLine())
	lines.say("Bucket", m.expectedLine())
	lines.say("Clean by", m.cleanLine())
	return lines
}

func (m *Measurement) flowLine() document.Prose {
	r := m.flow.Value
	if !m.flow.Known {
		return document.Prose{}
	}
	s := document.Sentence("%v%v, 95 times in 100 between %v and %v", document.Flow.Of(r.Flow), m.inOneLine(), document.Flow.Of(r.Low),
		document.Flow.Of(r.High))
	b := r.Bucket.Value
	if !r.Bucket.Known {
		return s.And(": the last flow of the log.")
	}
	s = s.And(": %v in %v", document.Litres.Of(b.Bucket), document.Seconds.Of(b.Mean))
	return s.When(b.Timings > 1, ", the mean of %v timings", b.Timings).And(".")
}

// inOneLine follows a flow that is of one line of several, each with its pump.
func (m *Measurement) inOneLine() string {
	if m.lines() > 1 {
		return " in one line"
	}
	return ""
}

func (m *Measurement) findingLine() document.Prose {
	f := m.finding.Value
	switch {
	case m.works == nil || !m.flow.Known:
		return document.Prose{}
	case !m.finding.Known:
		return document.Sentence("nothing can be said of the cause: %v.", m.finding.Why)
	case f.Cause == pumps.AsPlanned || f.Cause == pumps.DoubtfulTest:
		return document.Sentence("%v: %v.", f.Cause, f.Why)
	case f.Loss > 0:
		return document.Sentence("%v, %v of the clean flow missing: %v.", f.Cause, document.Fraction.Of(f.Loss), f.Why)
	}
	return document.Sentence("%v, %v of the clean flow too much: %v.", f.Cause, document.Fraction.Of(-f.Loss), f.Why)
}

func (m *Measurement) meterLine() document.Prose {
	if m.power == 0 {
		return document.Prose{}
	}
	s := document.Sentence("%v", document.Power.Of(m.power))
	w := m.finding.Value.Powers
	if !w.Known {
		return s.When(!m.flow.Known, "; a flow beside it tells more").And(".")
	}
	s = s.And("; on its curve the pump draws %v at this flow (within %v)", document.Power.Of(w.Value.OnCurve),
		document.Power.Of(w.Value.Tolerance))
	s = s.When(w.Value.Slowed.Known && m.finding.Value.Loss > 0.02, ", %v if it only turned slower", document.Power.Of(w.Value.Slowed))
	return s.And(".")
}

// pondLine says what the measured flow means for the pond and the upkeep.
func (m *Measurement) pondLine() document.Prose {
	if m.works == nil || !m.flow.Known || m.doubtful() {
		return document.Prose{}
	}
	var s document.Prose
	if v := m.verdict(); v.Turnover.Known {
		s = document.Sentence("one turnover in %v with this flow", document.Hours.Of(v.Turnover))
		s = s.When(m.lines() > 1, " in each of the %v lines", m.lines())
		s = s.When(v.Met.Known, ", goal %v: %v", document.Hours.Exact(m.works.Pond.Value.Goal),
			map[bool]string{true: "met", false: "missed"}[v.Met.Value])
		s = s.And(".")
	}
	dirty := m.dirty.LeastFlow()
	if dirty == 0 {
		return s
	}
	now, then := "Still above", ""
	if m.flow.Value.Flow <= dirty {
		now, then = "Below", ": clean now"
	}
	return s.When(!s.IsZero(), " ").And("%v the %v%v at which the plan cleans%v.", now, document.Flow.Of(dirty), m.inOneLine(), then)
}

// verdict holds the measured flow, in every line, against the pond.
func (m *Measurement) verdict() works.Verdict {
	switch {
	case m.works == nil:
		return works.Unjudged(noPlanWhy)
	case m.doubtful():
		return works.Unjudged(units.Text(m.finding.Value.Cause.String()))
	case !m.flow.Known:
		return works.Unjudged(m.flow.Why)
	}
	return works.Judge(m.works.Pond, units.Volume(float64(m.flow.Value.Flow)*float64(m.lines())*float64(units.Day)), "")
}

// expectedLine says what the bucket should show for the plan as it is.
func (m *Measurement) expectedLine() document.Prose {
	e := m.expected()
	if !e.Known {
		return document.Prose{}
	}
	s := document.Sentence("%v should fill", document.Litres.Of(e.Value.Bucket)).When(m.lines() > 1, " from one line")
	s = s.And(" in %v when clean", document.Seconds.Of(e.Value.Clean.Time))
	s = s.When(e.Value.Dirty.Known, ", %v just before cleaning", document.Seconds.Of(e.Value.Dirty.Value.Time))
	s = s.When(e.Value.Clean.Time < pumps.ShortFill, "; that is too short to time: take %v or more",
		document.Litres.Of(pumps.GoodBucket(e.Value.Clean.Flow)))
	return s.And(".")
}

func (m *Measurement) cleanLine() document.Prose {
	if m.log == nil {
		return document.Prose{}
	}
	u := m.log.upkeep.Value
	switch {
	case !m.log.upkeep.Known:
		return document.Sentence("not known: %v.", m.log.upkeep.Why)
	case !u.Reach.Known:
		return document.Sentence("no day: %v.", u.Reach.Why)
	}
	r := u.Reach.Value
	day, ok := m.log.date(r.Day)
	if !ok {
		return document.Sentence("no day in the next hundred years.")
	}
	s := document.Sentence("%v", day.Format(pageDate))
	if r.Day <= m.log.day(len(m.log.readings)-1) {
		s = document.Sentence("now: the tests came to it on %v", day.Format(pageDate))
	}
	first := m.log.file.Rows[0].Date.Format(pageDate)
	return s.And("%v", m.log.span(r)).When(!m.log.file.HasCleaned, ", if the line was clean on %v and nobody cleaned it since", first).
		And(". The flow is then %v%v, %v.", document.Flow.Of(u.LimitFlow), m.inOneLine(), u.LimitWhy)
}

const (
	pageDate = "2 January 2006"
	isoDate  = "2006-01-02"
)

// span says between which days a limit is reached.
func (l *measuredLog) span(r pumps.Reach) string {
	from, ok1 := l.date(r.Earliest)
	to, ok2 := l.date(r.Latest)
	if ok1 && ok2 {
		return " (" + from.Format(pageDate) + " to " + to.Format(pageDate) + ")"
	}
	return " (the tests are too few, or scatter too much, to say how surely)"
}
