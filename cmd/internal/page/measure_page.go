package page

import (
	"math"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
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
	doc := &document.Document{
		Title:    document.Sentence("Measured against the plan"),
		Subtitle: document.Plain(m.In.name()),
		Banner:   m.In.banner(),
		Answer:   m.answer(),
		Sections: m.sections(),
		Names:    m.In.names(),
		Warnings: doubts(m.In.Warnings, m.warnings),
		NotYours: m.In.NotYours,
		Sources:  measureSources,
		Cautions: cautions[:1],
		Object:   object,
		Work:     func() []document.Step { return m.figures(object).work() },
	}
	if m.works == nil {
		doc.Title = document.Sentence("Measured, without a plan")
		if m.log != nil && !m.In.Plan.Given(dirtLossKey) {
			doc.Assumed = assumed([]figure.Assumed{{Key: dirtLossKey, Kind: units.KindShare, Value: m.In.Plan.Upkeep.FlowLossWhenDirty,
				Why: "of the first flow, at which to clean; a plan can say another", Source: "common practice, no source"}})
		}
		return doc
	}
	if m.In.Plan.Name != "" {
		doc.Title = document.Sentence("%v: measured against the plan", m.In.Plan.Name)
	}
	doc.Assumed = assumedOf(m.works, m.works.Assumed)
	doc.Warnings = append(doc.Warnings, doubts(m.works.Warnings)...)
	doc.Sources = append(append(append([]string{}, measureSources...), waterSources...), m.works.Sources...)
	return doc
}

// answer returns what was measured, what it means and when to clean.
func (m *Measurement) answer() []document.Line {
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

func (m *Measurement) flowLine() document.Prose {
	if m.flow == nil {
		return document.Prose{}
	}
	r := m.flow
	s := document.Sentence("%v%v, 95 times in 100 between %v and %v", flowQuantity(r.Flow), m.inOneLine(), flowQuantity(r.Low), flowQuantity(r.High))
	switch {
	case r.Bucket == 0:
		return document.Sentence("%v: the last flow of the log.", s)
	case r.Timings == 1:
		return document.Sentence("%v: %v in %v.", s, litres(r.Bucket), seconds(r.Mean))
	}
	return document.Sentence("%v: %v in %v, the mean of %v timings.", s, litres(r.Bucket), seconds(r.Mean), r.Timings)
}

// inOneLine follows a flow that is of one line of several, each with its pump.
func (m *Measurement) inOneLine() string {
	if m.lines() > 1 {
		return " in one line"
	}
	return ""
}

func (m *Measurement) findingLine() document.Prose {
	if m.works == nil || m.flow == nil {
		return document.Prose{}
	}
	if !m.finding.Known {
		s := document.Sentence("nothing can be said of the cause: %v", m.finding.Why)
		if low, high := m.clean.Low.LeastFlow(), m.clean.High.LeastFlow(); m.clean.Bracket && low > 0 {
			s = document.Sentence("%v; it gives %v to %v when clean, and the measured flow takes the place of that", s, flowQuantity(low), flowQuantity(high))
		}
		return document.Sentence("%v.", s)
	}
	f := m.finding.Value
	if f.Cause == pumps.AsPlanned || f.Cause == pumps.DoubtfulTest {
		return document.Sentence("%v: %v.", f.Cause, f.Why)
	}
	return document.Sentence("%v, %v of the clean flow %v: %v.", f.Cause, document.Fraction.Of(math.Abs(f.Loss)),
		map[bool]string{true: "missing", false: "too much"}[f.Loss > 0], f.Why)
}

func (m *Measurement) headLine() document.Prose {
	f := m.finding.Value
	switch {
	case !m.finding.Known || f.Added <= 0 || f.Cause == pumps.AsPlanned:
		return document.Prose{}
	case f.Cause == pumps.WeakPump && f.SlowedTo > 0:
		return document.Sentence("at %v of its speed the pump would give this flow through a clean line.", document.Fraction.Of(f.SlowedTo))
	case f.Cause == pumps.DraggingPump:
		return document.Prose{} // neither head nor speed explains a leak inside
	}
	return document.Sentence("%v of head more in the line than when clean, if the pump runs on its curve.", document.Head.Of(float64(f.HeadLost)))
}

func (m *Measurement) meterLine() document.Prose {
	if m.power.Power == 0 {
		return document.Prose{}
	}
	s := document.Sentence("%v", document.Power.Of(float64(m.power.Power)))
	if m.power.Bound {
		s = document.Sentence("%v x %v are %v, so %v or less in real watts", document.Volts.Of(float64(m.Volts)), document.Amps.Of(float64(m.Amps)),
			document.VoltAmps.Of(float64(m.power.Power)), document.Power.Of(float64(m.power.Power)))
	}
	if !m.finding.Known || m.finding.Value.OnCurve == 0 {
		if clean, dirty := m.clean.LeastPower(), m.dirty.LeastPower(); clean > 0 && dirty > 0 {
			s = document.Sentence("%v; the plan has %v when clean and %v just before cleaning, and only a flow beside it tells more", s,
				document.Power.Of(float64(clean)), document.Power.Of(float64(dirty)))
		}
		return document.Sentence("%v.", s)
	}
	f := m.finding.Value
	s = document.Sentence("%v; on its curve the pump draws %v at this flow (within %v)", s, document.Power.Of(float64(f.OnCurve)), document.Power.Of(float64(f.Tolerance)))
	if f.Slowed > 0 && f.Loss > 0.02 {
		s = document.Sentence("%v, %v if it only turned slower", s, document.Power.Of(float64(f.Slowed)))
	}
	return document.Sentence("%v.", s)
}

// pondLine says what the measured flow means for the pond and the upkeep.
func (m *Measurement) pondLine() document.Prose {
	if m.works == nil || m.flow == nil || m.doubtful() {
		return document.Prose{}
	}
	var s document.Prose
	if m.works.Pond.Known {
		s = document.Sentence("one turnover in %v with this flow", document.Hours.Of(m.turnover()))
		if n := m.lines(); n > 1 {
			s = document.Sentence("%v in each of the %v lines", s, n)
		}
		if m.works.Pond.Value.Goal.Known {
			goal := m.works.Pond.Value.Goal.Value.In(units.Hour)
			s = document.Sentence("%v, goal %v: %v", s, document.Hours.Exact(goal), map[bool]string{true: "met", false: "missed"}[m.turnover() <= goal])
		}
		s = document.Sentence("%v.", s)
	}
	dirty := m.dirty.LeastFlow()
	if dirty == 0 {
		return s
	}
	now := document.Sentence("Still above the %v%v at which the plan cleans.", flowQuantity(dirty), m.inOneLine())
	if m.flow.Flow <= dirty {
		now = document.Sentence("Below the %v%v at which the plan cleans: clean now.", flowQuantity(dirty), m.inOneLine())
	}
	if s.IsZero() {
		return now
	}
	return document.Sentence("%v %v", s, now)
}

// turnover returns the hours of one turnover with the measured flow in every
// line.
func (m *Measurement) turnover() float64 {
	return pumps.TurnoverTime(m.works.Pond.Value.Volume, m.flow.Flow*units.Flow(m.lines())).In(units.Hour)
}

// expectedLine says what the bucket should show for the plan as it is.
func (m *Measurement) expectedLine() document.Prose {
	if m.works == nil || m.clean.LeastFlow() == 0 {
		return document.Prose{}
	}
	v := m.usedBucket()
	s := document.Sentence("%v should fill%v in %v when clean", litres(v), map[bool]string{true: " from one line"}[m.lines() > 1], seconds(pumps.FillTime(v, m.clean.LeastFlow())))
	if q := m.dirty.LeastFlow(); q > 0 {
		s = document.Sentence("%v, %v just before cleaning", s, seconds(pumps.FillTime(v, q)))
	}
	if q := m.clean.LeastFlow(); pumps.FillTime(v, q) < pumps.ShortFill {
		s = document.Sentence("%v; that is too short to time: take %v or more", s, litres(pumps.GoodBucket(q)))
	}
	return document.Sentence("%v.", s)
}

func (m *Measurement) usedBucket() units.Volume {
	if m.Bucket > 0 {
		return m.Bucket
	}
	return exampleBucket
}

func (m *Measurement) cleanLine() document.Prose {
	switch {
	case m.log == nil:
		return document.Prose{}
	case !m.log.upkeep.Known:
		return document.Sentence("not known: %v.", m.log.upkeep.Why)
	case !m.log.upkeep.Value.Reach.Known:
		return document.Sentence("no day: %v.", m.log.upkeep.Value.Reach.Why)
	}
	u := m.log.upkeep.Value
	r := u.Reach.Value
	day, ok := m.log.date(r.Day)
	if !ok {
		return document.Sentence("no day in the next hundred years.")
	}
	s := document.Sentence("%v", day.Format(pageDate))
	if r.Day <= m.log.day(len(m.log.readings)-1) {
		s = document.Sentence("now: the tests came to it on %v", day.Format(pageDate))
	}
	return document.Sentence("%v%v. The flow is then %v%v, %v.", s, m.log.span(r), flowQuantity(u.LimitFlow), m.inOneLine(), u.LimitWhy)
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
