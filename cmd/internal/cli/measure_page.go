package cli

import (
	"math"

	report "sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
)

// exampleBucket is what the page reckons with where no bucket is given.
const exampleBucket = 10 * units.Litre

var measureSources = []string{
	"errors combined by JCGM 100:2008, section 5.1, with Student's factors for 95 % (from memory)",
	"reaction 0.3 s, bucket 3 %, watts of the same meter 2 %: common practice, no source",
	"power of a curve: 9 %, ISO 9906:2012 grade 3B, taken for want of an agreed class below 1 kW; from memory",
}

func (m *measurement) document() *report.Document {
	doc := &report.Document{
		Title:    report.Sentence("Measured against the plan"),
		Subtitle: report.Plain(m.in.name()),
		Banner:   m.in.banner(),
		Answer:   m.answer(),
		Sections: m.sections(),
		Names:    m.in.names(),
		Warnings: doubts(m.in.Warnings, m.warnings),
		NotYours: m.in.notYours(),
		Sources:  measureSources,
		Cautions: cautions[:1],
		Object:   m.object(),
		Working:  m.working(),
	}
	if m.works == nil {
		doc.Title = report.Sentence("Measured, without a plan")
		if m.log != nil && !m.in.Plan.Given(dirtLossKey) {
			doc.Assumed = assumed([]energy.Assumed{{Key: dirtLossKey, Kind: units.KindShare, Value: m.in.Plan.Upkeep.FlowLossWhenDirty,
				Why: "of the first flow, at which to clean; a plan can say another", Source: "common practice, no source"}})
		}
		return doc
	}
	if m.in.Plan.Name != "" {
		doc.Title = report.Sentence("%v: measured against the plan", m.in.Plan.Name)
	}
	doc.Assumed = assumedOf(m.works, m.works.Assumed)
	doc.Warnings = append(doc.Warnings, doubts(m.works.Warnings)...)
	doc.Sources = append(append(append([]string{}, measureSources...), waterSources...), m.works.Sources...)
	return doc
}

// answer returns what was measured, what it means and when to clean.
func (m *measurement) answer() []report.Line {
	var lines shortAnswer
	lines.say("Measured", m.flowLine())
	lines.say("Finding", m.findingLine())
	lines.say("Explained", m.headLine())
	lines.say("Meter", m.meterLine())
	lines.say("Pond", m.pondLine())
	lines.say("Bucket", m.expectedLine())
	lines.say("Clean by", m.cleanLine())
	return lines
}

func (m *measurement) flowLine() report.Prose {
	if m.flow == nil {
		return report.Prose{}
	}
	r := m.flow
	s := report.Sentence("%v%v, 95 times in 100 between %v and %v", flowQuantity(r.Flow), m.inOneLine(), flowQuantity(r.Low), flowQuantity(r.High))
	switch {
	case r.Bucket == 0:
		return report.Sentence("%v: the last flow of the log.", s)
	case r.Timings == 1:
		return report.Sentence("%v: %v in %v.", s, litres(r.Bucket), seconds(r.Mean))
	}
	return report.Sentence("%v: %v in %v, the mean of %v timings.", s, litres(r.Bucket), seconds(r.Mean), r.Timings)
}

// inOneLine follows a flow that is of one line of several, each with its pump.
func (m *measurement) inOneLine() string {
	if m.lines() > 1 {
		return " in one line"
	}
	return ""
}

func (m *measurement) findingLine() report.Prose {
	if m.works == nil || m.flow == nil {
		return report.Prose{}
	}
	if !m.finding.Known {
		s := report.Sentence("nothing can be said of the cause: %v", m.finding.Why)
		if low, high := m.clean.Low.LeastFlow(), m.clean.High.LeastFlow(); m.clean.Bracket && low > 0 {
			s = report.Sentence("%v; it gives %v to %v when clean, and the measured flow takes the place of that", s, flowQuantity(low), flowQuantity(high))
		}
		return report.Sentence("%v.", s)
	}
	f := m.finding.Value
	if f.Cause == pumps.AsPlanned || f.Cause == pumps.DoubtfulTest {
		return report.Sentence("%v: %v.", f.Cause, f.Why)
	}
	return report.Sentence("%v, %v of the clean flow %v: %v.", f.Cause, report.Fraction.Of(math.Abs(f.Loss)),
		map[bool]string{true: "missing", false: "too much"}[f.Loss > 0], f.Why)
}

func (m *measurement) headLine() report.Prose {
	f := m.finding.Value
	switch {
	case !m.finding.Known || f.Added <= 0 || f.Cause == pumps.AsPlanned:
		return report.Prose{}
	case f.Cause == pumps.WeakPump && f.SlowedTo > 0:
		return report.Sentence("at %v of its speed the pump would give this flow through a clean line.", report.Fraction.Of(f.SlowedTo))
	case f.Cause == pumps.DraggingPump:
		return report.Prose{} // neither head nor speed explains a leak inside
	}
	return report.Sentence("%v of head more in the line than when clean, if the pump runs on its curve.", report.Head.Of(float64(f.HeadLost)))
}

func (m *measurement) meterLine() report.Prose {
	if m.power.Power == 0 {
		return report.Prose{}
	}
	s := report.Sentence("%v", report.Power.Of(float64(m.power.Power)))
	if m.power.Bound {
		s = report.Sentence("%v x %v are %v, so %v or less in real watts", report.Volts.Of(float64(m.volts)), report.Amps.Of(float64(m.amps)),
			report.VoltAmps.Of(float64(m.power.Power)), report.Power.Of(float64(m.power.Power)))
	}
	if !m.finding.Known || m.finding.Value.OnCurve == 0 {
		if clean, dirty := m.clean.LeastPower(), m.dirty.LeastPower(); clean > 0 && dirty > 0 {
			s = report.Sentence("%v; the plan has %v when clean and %v just before cleaning, and only a flow beside it tells more", s,
				report.Power.Of(float64(clean)), report.Power.Of(float64(dirty)))
		}
		return report.Sentence("%v.", s)
	}
	f := m.finding.Value
	s = report.Sentence("%v; on its curve the pump draws %v at this flow (within %v)", s, report.Power.Of(float64(f.OnCurve)), report.Power.Of(float64(f.Tolerance)))
	if f.Slowed > 0 && f.Loss > 0.02 {
		s = report.Sentence("%v, %v if it only turned slower", s, report.Power.Of(float64(f.Slowed)))
	}
	return report.Sentence("%v.", s)
}

// pondLine says what the measured flow means for the pond and the upkeep.
func (m *measurement) pondLine() report.Prose {
	if m.works == nil || m.flow == nil || m.doubtful() {
		return report.Prose{}
	}
	var s report.Prose
	if m.works.Pond != nil {
		s = report.Sentence("one turnover in %v with this flow", report.Hours.Of(m.turnover()))
		if n := m.lines(); n > 1 {
			s = report.Sentence("%v in each of the %v lines", s, n)
		}
		if m.works.Goal > 0 {
			goal := m.works.Goal.In(units.Hour)
			s = report.Sentence("%v, goal %v: %v", s, report.Hours.Exact(goal), map[bool]string{true: "met", false: "missed"}[m.turnover() <= goal])
		}
		s = report.Sentence("%v.", s)
	}
	dirty := m.dirty.LeastFlow()
	if dirty == 0 {
		return s
	}
	now := report.Sentence("Still above the %v%v at which the plan cleans.", flowQuantity(dirty), m.inOneLine())
	if m.flow.Flow <= dirty {
		now = report.Sentence("Below the %v%v at which the plan cleans: clean now.", flowQuantity(dirty), m.inOneLine())
	}
	if s.IsZero() {
		return now
	}
	return report.Sentence("%v %v", s, now)
}

// turnover returns the hours of one turnover with the measured flow in every
// line.
func (m *measurement) turnover() float64 {
	return pumps.TurnoverTime(m.works.Pond.Volume(), m.flow.Flow*units.Flow(m.lines())).In(units.Hour)
}

// expectedLine says what the bucket should show for the plan as it is.
func (m *measurement) expectedLine() report.Prose {
	if m.works == nil || m.clean.LeastFlow() == 0 {
		return report.Prose{}
	}
	v := m.usedBucket()
	s := report.Sentence("%v should fill%v in %v when clean", litres(v), map[bool]string{true: " from one line"}[m.lines() > 1], seconds(pumps.FillTime(v, m.clean.LeastFlow())))
	if q := m.dirty.LeastFlow(); q > 0 {
		s = report.Sentence("%v, %v just before cleaning", s, seconds(pumps.FillTime(v, q)))
	}
	if q := m.clean.LeastFlow(); pumps.FillTime(v, q) < pumps.ShortFill {
		s = report.Sentence("%v; that is too short to time: take %v or more", s, litres(pumps.GoodBucket(q)))
	}
	return report.Sentence("%v.", s)
}

func (m *measurement) usedBucket() units.Volume {
	if m.bucket > 0 {
		return m.bucket
	}
	return exampleBucket
}

func (m *measurement) cleanLine() report.Prose {
	switch {
	case m.log == nil:
		return report.Prose{}
	case !m.log.upkeep.Known:
		return report.Sentence("not known: %v.", m.log.upkeep.Why)
	case !m.log.upkeep.Value.Reach.Known:
		return report.Sentence("no day: %v.", m.log.upkeep.Value.Reach.Why)
	}
	u := m.log.upkeep.Value
	r := u.Reach.Value
	day, ok := m.log.date(r.Day)
	if !ok {
		return report.Sentence("no day in the next hundred years.")
	}
	s := report.Sentence("%v", day.Format(pageDate))
	if r.Day <= m.log.day(len(m.log.readings)-1) {
		s = report.Sentence("now: the tests came to it on %v", day.Format(pageDate))
	}
	return report.Sentence("%v%v. The flow is then %v%v, %v.", s, m.log.span(r), flowQuantity(u.LimitFlow), m.inOneLine(), u.LimitWhy)
}

const pageDate = "2 January 2006"

// span says between which days a limit is reached.
func (l *measuredLog) span(r pumps.Reach) string {
	from, ok1 := l.date(r.Earliest)
	to, ok2 := l.date(r.Latest)
	switch {
	case ok1 && ok2:
		return " (" + from.Format(pageDate) + " to " + to.Format(pageDate) + ")"
	case ok1:
		return " (" + from.Format(pageDate) + " at the earliest; the tests do not say how late)"
	case ok2:
		return " (" + to.Format(pageDate) + " at the latest; the tests do not say how early)"
	}
	return " (how sure, only three tests or more can say)"
}
