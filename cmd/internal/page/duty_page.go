package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// dutyObject is what duty prints as JSON.
type dutyObject struct {
	Demo       bool              `json:"demo"`
	StaticHead units.Length      `json:"static_head_m"`
	WaterTemp  units.Temperature `json:"water_temp_c"`
	Speed      float64           `json:"speed_fraction"`
	DirtLoss   float64           `json:"flow_loss_when_dirty_fraction"`
	Pumps      []dutyPump        `json:"pumps"`
}

// dutyPump is how one pump runs on the line.
type dutyPump struct {
	run         works.Run
	Name        string                   `json:"name"`
	Status      pumps.Status             `json:"status"`
	Duty        []dutyPoint              `json:"duty"`
	Why         units.Text               `json:"why,omitempty"`
	AtLeast     figure.Maybe[units.Flow] `json:"at_least_flow_m3_per_h"`
	Dirty       figure.Maybe[dutyPoint]  `json:"dirty"`
	Range       figure.Maybe[dutyRange]  `json:"range"`
	PowerSource pumps.PowerSource        `json:"power_source"`
}

type dutyPoint struct {
	Flow     units.Flow                `json:"flow_m3_per_h"`
	Head     units.Length              `json:"head_m"`
	Power    figure.Maybe[units.Power] `json:"power_w"`
	Velocity units.Velocity            `json:"velocity_m_per_s"`
	Stable   bool                      `json:"stable"`
	Bracket  string                    `json:"bracket,omitempty"` // "low" or "high" of a label
}

// dutyRange is where the clean flow may lie. Where even the weak end runs off
// the curve's end, its low end is its last point's flow and the high one is open.
type dutyRange struct {
	Flow  [2]figure.Maybe[units.Flow] `json:"flow_m3_per_h"`
	Basis string                      `json:"basis"`
}

const labelBasis = "two figures from a label are no curve: between a straight line and a parabola through them"

func point(d pumps.Duty, bracket string) dutyPoint {
	return dutyPoint{d.Flow, d.Head, figure.Given(d.Power > 0, d.Power, works.NoWatts), d.Velocity, d.Stable, bracket}
}

// newDutyPump turns a run into what the page and JSON show of it.
func newDutyPump(r works.Run) dutyPump {
	c := r.Clean
	p := dutyPump{run: r, Name: r.Name, Status: c.Status, Why: c.Why, PowerSource: c.PowerSource, Duty: []dutyPoint{},
		AtLeast: figure.Given(c.Status == pumps.BeyondCurve, c.Bound, "the pump does not run off the end of its curve"),
		Dirty:   figure.Given(r.Dirty.Status == pumps.Meets, point(r.Dirty.Duty, ""), r.Dirty.Why)}
	add := func(o pumps.Operation, bracket string) {
		for _, d := range o.Crossings {
			p.Duty = append(p.Duty, point(d, bracket))
		}
	}
	if c.Bracket {
		add(c.Low, "low")
		add(c.High, "high")
	} else {
		add(c.Operation, "")
	}
	low, high := figure.Given(c.Low.LeastFlow() > 0, c.Low.LeastFlow(), c.Low.Why), figure.Given(c.High.Status == pumps.Meets,
		c.High.Duty.Flow, c.High.Why)
	basis := "the curve may be off by " + offBy(c.Tolerance).String()
	if c.Bracket {
		basis = labelBasis
	}
	p.Range = figure.Given(low.Known || high.Known, dutyRange{[2]figure.Maybe[units.Flow]{low, high}, basis},
		"no duty point at either end of the range")
	return p
}

// offBy says how far a curve may be off.
func offBy(t pumps.Tolerance) document.Prose {
	return document.Sentence("%v in flow or %v in head", share(t.Flow), share(t.Head))
}

// between says where a clean flow may lie, of which one end is known.
func (p *dutyPump) between() document.Prose {
	switch low, high := p.Range.Value.Flow[0], p.Range.Value.Flow[1]; {
	case !high.Known:
		return document.Sentence("%v or more", document.Flow.Of(low))
	case !low.Known:
		return document.Sentence("nothing to %v", document.Flow.Of(high))
	default:
		return document.Sentence("%v to %v", document.Flow.Of(low), document.Flow.Of(high))
	}
}

// answer is the sentence of the short answer about one pump.
func (p *dutyPump) answer() document.Prose {
	d := p.stable()
	switch {
	case p.run.Clean.Bracket && p.Range.Known:
		return document.Sentence("roughly %v at the filter when clean, and perhaps a tenth outside that; only a curve can say more.",
			p.between())
	case p.AtLeast.Known && d == nil:
		return document.Sentence("at least %v: the pump runs off the end of its curve, and how much more flows the curve does not say.",
			document.Flow.Of(p.AtLeast))
	case d == nil:
		return nothing(p.run.Clean.Operation)
	}
	s := document.Sentence("%v at the filter when clean, against %v of lift and losses", document.Flow.Of(d.Flow), document.Head.Of(d.Head))
	s = s.When(d.Power.Known, ", drawing %v", document.Power.Of(d.Power))
	s = s.When(p.Dirty.Known, "; %v just before cleaning", document.Flow.Of(p.Dirty.Value.Flow))
	return s.When(p.run.Clean.NoStart, ". But once stopped it does not start again by itself: see the warnings").And(".")
}

// nothing is the answer of a pump without a duty point: why, and what to do.
func nothing(o pumps.Operation) document.Prose {
	flow, gives, asks := document.Flow.Of(o.Gap.Flow), document.Head.Of(o.Gap.Gives), document.Head.Of(o.Gap.Asks)
	switch {
	case o.Status == pumps.BelowCurve:
		return document.Sentence("less than %v, perhaps nothing: there the line asks for %v and the pump gives %v, and below its first "+
			"point the curve says nothing.", flow, asks, gives)
	case o.Gap.Flow == 0:
		what, lower := "lift", "outlet"
		if o.Gap.Crest {
			what, lower = "crest", "crest"
		}
		return document.Sentence("nothing: all that the pump can push, at no flow, is %v, and the %v alone is %v. Lower the %v or choose "+
			"a pump with more head; and make sure that the %v was measured from the pond's surface, not from the pump.", gives, what, asks,
			lower, what)
	}
	return document.Sentence("nothing: the line asks for more head than the pump gives at every flow, %v against %v at %v. Lower the "+
		"outlet, widen the pipe or choose a pump with more head.", asks, gives, flow)
}

// sure is the sentence about how sure the flow is.
func (p *dutyPump) sure() document.Prose {
	if !p.Range.Known || p.run.Clean.Bracket {
		return document.Prose{}
	}
	s := p.between().And(" when clean, as the curve may be off by %v", offBy(p.run.Clean.Tolerance))
	s = s.When(p.Range.Value.Flow[0].Known && p.Range.Value.Flow[1].Known, "; an error in lift or bore comes on top").And(".")
	return s.When(p.AtLeast.Known, " Throttle the pump, choose a smaller one, or find a longer curve.")
}

func (p *dutyPump) stable() *dutyPoint {
	if i := slices.IndexFunc(p.Duty, func(d dutyPoint) bool { return d.Stable }); i >= 0 {
		return &p.Duty[i]
	}
	return nil
}

// answerLines returns the short answer of a page about water: flow and range of one pump,
// or a line for each of several, whose ranges stand in a table.
func answerLines(list []dutyPump) []document.Line {
	var lines shortAnswer
	if len(list) == 1 {
		lines.say("Flow", list[0].answer())
		lines.say("How sure", list[0].sure())
		return lines
	}
	const mostLabel = 16 // longer names would leave no room for the sentence
	for _, p := range list {
		if len([]rune(p.Name)) > mostLabel {
			lines.say("Flow", document.Sentence("%v: %v", p.Name, p.answer()))
		} else {
			lines.say(p.Name, p.answer())
		}
	}
	return lines
}

// waterSources are the methods behind every page about water.
var waterSources = []string{
	"Friction: Darcy-Weisbach, friction factor of S. W. Churchill, Chemical Engineering 84 (1977), no. 24, p. 91",
	"Pump curve between its points: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300; nothing is extrapolated",
	"Water: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97 (density); IAPWS SR6-08 (viscosity)",
}

// NoDuty returns the reason of a page on which no pump has a duty point.
func (p *PlanPage) NoDuty() units.Text {
	all, before := units.Text("no pump has a duty point"), ": "
	for _, pump := range p.dutyPumps() {
		if pump.stable() != nil {
			return ""
		}
		all, before = all+units.Say("%s%s: %s", before, pump.Name, pump.Why), "; "
	}
	return all
}

func (p *PlanPage) dutyPumps() []dutyPump {
	var list []dutyPump
	for _, r := range p.water.Runs() {
		list = append(list, newDutyPump(r))
	}
	return list
}

// DutyDocument returns the page of what flows with each pump.
func (p *PlanPage) DutyDocument() *document.Document {
	w, list := p.water.Works, p.dutyPumps()
	object := dutyObject{p.In.Demo, w.Line.Lift(), w.Water, w.Speed, w.DirtLoss, list}
	doc := p.In.document(p.In.titled("what really flows"), object)
	doc.Answer = append(doubtLines(w), answerLines(list)...)
	doc.Sections = append([]document.Section{p.dutySection(list)}, lineSection(w, p.water.Runs(), p.water.Choice.Nearest)...)
	doc.Warnings, doc.Assumed = doubts(p.warnings()), append(assumedOf(w, w.Assumed), scope()...)
	doc.Sources = slices.Concat(waterSources, w.Sources)
	doc.Work = func() []document.Step { return p.dutyWorking(object) }
	return doc
}

// dutySection lists every crossing of the clean line, with the range of the pump's curve and
// the flow just before cleaning.
func (p *PlanPage) dutySection(list []dutyPump) document.Section {
	type row struct {
		Name  string                  `json:"name"`
		Point figure.Maybe[dutyPoint] `json:",inline"`
		Dirty figure.Maybe[dutyPoint] `json:"dirty"`
		Range figure.Maybe[dutyRange] `json:"range"`
	}
	s := document.Section{Heading: "Where each pump meets the line, clean and just before cleaning",
		Pictures: []document.Picture{p.curvesPicture(p.offered())},
		Notes:    []document.Prose{dirtNote(p.water.Works)}}
	var rows []row
	for _, p := range list {
		for _, d := range p.Duty {
			name, between := p.Name, p.Range
			switch {
			case d.Bracket != "":
				name += ", " + d.Bracket + " end"
				between = figure.Unknown[dutyRange]("the two rows of a label are its ends")
			case !d.Stable:
				name += ", unstable"
			}
			rows = append(rows, row{name, figure.Known(d), p.Dirty, between})
		}
		switch n := len(p.Duty); {
		case n == 0:
			rows = append(rows, row{p.Name, figure.Unknown[dutyPoint](units.Say("%s: %v", p.Name, p.Status)), p.Dirty, p.Range})
		case n > 1 && p.Duty[0].Bracket == "":
			s.Notes = append(s.Notes, document.Sentence("The curve of %v droops at low flow and meets the line at %v points. "+
				"Only a stable one holds: from the other the flow runs away, up or down.", p.Name, n))
		}
	}
	s.Tables = []document.Table{document.TableOf("duty", rows, document.Columns("name: pump", "flow_m3_per_h: flow", "head_m: head",
		"power_w: power", "velocity_m_per_s: velocity", "low_flow_m3_per_h=range.low_flow_m3_per_h: low end",
		"high_flow_m3_per_h=range.high_flow_m3_per_h: high end", "dirty_flow_m3_per_h=dirty.flow_m3_per_h: dirty"))}
	return s
}
