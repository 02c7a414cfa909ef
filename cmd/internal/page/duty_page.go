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
	Pumps      []DutyPump        `json:"pumps"`
}

// DutyPump is how one pump runs on the line.
type DutyPump struct {
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

// NewDutyPump turns a run into what the page and JSON show of it.
func NewDutyPump(r works.Run) DutyPump {
	c := r.Clean
	p := DutyPump{run: r, Name: r.Name, Status: c.Status, Why: c.Why, PowerSource: c.PowerSource, Duty: []dutyPoint{},
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

// ends returns the ends of the clean flow.
func (p *DutyPump) ends() (low, high figure.Maybe[units.Flow]) {
	return p.Range.Value.Flow[0], p.Range.Value.Flow[1]
}

// answer is the sentence of the short answer about one pump.
func (p *DutyPump) answer() document.Prose {
	low, high := p.ends()
	const rough = "and perhaps a tenth outside that; only a curve can say more."
	switch label := p.run.Clean.Bracket && len(p.Duty) > 0; {
	case label && low.Known && high.Known:
		return document.Sentence("roughly %v to %v at the filter when clean, %v", document.Flow.Of(low), document.Flow.Of(high), rough)
	case label && high.Known:
		return document.Sentence("anything from nothing to %v at the filter when clean, %v", document.Flow.Of(high), rough)
	case label:
		return document.Sentence("at least %v at the filter when clean, %v", document.Flow.Of(low), rough)
	case p.AtLeast.Known && p.stable() == nil:
		return document.Sentence("at least %v: the pump runs off the end of its curve, and how much more flows the curve does not say.",
			document.Flow.Of(p.AtLeast))
	case p.stable() == nil:
		return nothing(p.run.Clean.Operation)
	}
	d := p.stable()
	s := document.Sentence("%v at the filter when clean, against %v of lift and losses", document.Flow.Of(d.Flow), document.Head.Of(d.Head))
	s = s.When(d.Power.Known, ", drawing %v", document.Power.Of(d.Power))
	s = s.When(p.Dirty.Known, "; %v just before cleaning", document.Flow.Of(p.Dirty.Value.Flow))
	if p.run.Clean.NoStart {
		return s.And(". But once stopped it does not start again by itself: see the warnings.")
	}
	return s.And(".")
}

// nothing is the answer of a pump without a duty point: why, and what to do.
func nothing(o pumps.Operation) document.Prose {
	flow, gives, asks := document.Flow.Of(o.Gap.Flow), document.Head.Of(o.Gap.Gives), document.Head.Of(o.Gap.Asks)
	switch {
	case o.Status == pumps.BelowCurve:
		return document.Sentence("less than %v, perhaps nothing: there the line asks for %v and the pump gives %v, and below its first "+
			"point the curve says nothing.", flow, asks, gives)
	case o.Gap.Flow == 0 && o.Gap.Crest:
		return document.Sentence("nothing: at no flow the pump gives %v of head, and the crest stands %v up. Lower the crest or choose "+
			"a pump with more head; and make sure that the crest was measured from the pond's surface, not from the pump.", gives, asks)
	case o.Gap.Flow == 0:
		return document.Sentence("nothing: all that the pump can push, at no flow, is %v, and the lift alone is %v. Lower the outlet or "+
			"choose a pump with more head; and make sure that the lift was measured from the pond's surface, not from the "+
			"pump.", gives, asks)
	}
	return document.Sentence("nothing: the line asks for more head than the pump gives at every flow, %v against %v at %v. Lower the "+
		"outlet, widen the pipe or choose a pump with more head.", asks, gives, flow)
}

// sure is the sentence about how sure the flow is.
func (p *DutyPump) sure() document.Prose {
	off := offBy(p.run.Clean.Tolerance)
	low, high := p.ends()
	switch {
	case !p.Range.Known || p.run.Clean.Bracket:
		return document.Prose{}
	case p.AtLeast.Known:
		return document.Sentence("%v or more when clean, as the curve may be off by %v. Throttle the pump, choose a smaller one, or "+
			"find a longer curve.", document.Flow.Of(low), off)
	case low.Known && high.Known:
		return document.Sentence("%v to %v when clean, as the curve may be off by %v; an error in lift or bore comes on top.",
			document.Flow.Of(low), document.Flow.Of(high), off)
	case low.Known:
		return document.Sentence("%v or more when clean: the curve may be off by %v, and then the pump runs off its end.",
			document.Flow.Of(low), off)
	}
	return document.Sentence("up to %v when clean, perhaps nothing: the curve may be off by %v.", document.Flow.Of(high), off)
}

func (p *DutyPump) stable() *dutyPoint {
	if i := slices.IndexFunc(p.Duty, func(d dutyPoint) bool { return d.Stable }); i >= 0 {
		return &p.Duty[i]
	}
	return nil
}

// answerLines returns the short answer of a page about water: flow and range of
// one pump, or a line for each of several and what their ranges rest on.
func answerLines(list []DutyPump) []document.Line {
	var lines shortAnswer
	if len(list) == 1 {
		lines.say("Flow", list[0].answer())
		lines.say("How sure", list[0].sure())
		return lines
	}
	const mostLabel = 16 // longer names would leave no room for the sentence
	var curves []pumps.Tolerance
	for _, p := range list {
		if len([]rune(p.Name)) > mostLabel {
			lines.say("Flow", document.Sentence("%v: %v", p.Name, p.answer()))
		} else {
			lines.say(p.Name, p.answer())
		}
		if p.Range.Known && !p.run.Clean.Bracket {
			curves = append(curves, p.run.Clean.Tolerance)
		}
	}
	switch {
	case len(curves) == 0:
	case len(slices.Compact(slices.Clone(curves))) == 1:
		lines.say("How sure", document.Sentence("the ranges below take every curve to be off by %v.", offBy(curves[0])))
	default:
		lines.say("How sure", document.Sentence("the ranges below take each curve to be off by its own tolerance."))
	}
	return lines
}

// waterSources are the methods behind every page about water.
var waterSources = []string{
	"Friction: Darcy-Weisbach, friction factor of S. W. Churchill, Chemical Engineering 84 (1977), no. 24, p. 91",
	"Pump curve between its points: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300; nothing is extrapolated",
	"Water: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97 (density); IAPWS SR6-08 (viscosity)",
}

// NoDuty returns the error of a page on which no pump has a duty point.
func NoDuty(list []DutyPump) error {
	all, before := units.Text("no pump has a duty point"), ": "
	for _, p := range list {
		if p.stable() != nil {
			return nil
		}
		all, before = all+units.Say("%s%s: %s", before, p.Name, p.Why), "; "
	}
	return &NoAnswer{all}
}

// DutyDocument returns the page; pump first is the one whose line is shown in
// detail.
func DutyDocument(in *Input, installed *works.Waterworks, runs []works.Run, list []DutyPump, first int) *document.Document {
	doc := in.document(in.titled("what really flows"),
		dutyObject{in.Demo, installed.Line.Lift(), installed.Water, installed.Speed, installed.DirtLoss, list})
	doc.Answer = append(doubtLines(installed), answerLines(list)...)
	doc.Sections = dutySections(installed, runs, list, first)
	doc.Warnings = doubts(in.Warnings, installed.Warnings, runWarnings(runs))
	doc.Assumed = append(assumedOf(installed, installed.Assumed), scope()...)
	doc.Sources = slices.Concat(waterSources, installed.Sources)
	return doc
}

// dutySections are the tables of the page, the line of pump first in detail.
func dutySections(installed *works.Waterworks, runs []works.Run, list []DutyPump, first int) []document.Section {
	clean := document.Section{Heading: "Clean: where each pump meets the line", Pictures: waterPictures(installed, runs, first),
		Tables: []document.Table{dutyTable(list)}}
	for _, p := range list {
		if len(p.Duty) > 1 && p.Duty[0].Bracket == "" {
			clean.Notes = append(clean.Notes, document.Sentence("The curve of %v droops at low flow and meets the line at %v points. "+
				"Only a stable one holds: from the other the flow runs away, up or down.", p.Name, len(p.Duty)))
		}
	}
	line := lineSection(installed, runs, first)
	if len(line) > 0 && len(runs) > 1 {
		line[0].Notes = append(line[0].Notes, document.Sentence("This is the pump of the plan's choice; for another, name it: --set "+
			"\"choice.pump=%v\".", runs[(first+1)%len(runs)].Name))
	}
	return append([]document.Section{clean, {Heading: "Range, and just before cleaning", Tables: []document.Table{rangeTable(list)},
		Notes: []document.Prose{dirtNote(installed)}}}, line...)
}

// dutyTable lists every crossing of the clean line.
func dutyTable(list []DutyPump) document.Table {
	type row struct {
		Name  string                  `json:"name"`
		Point figure.Maybe[dutyPoint] `json:",inline"`
	}
	var rows []row
	for _, p := range list {
		for _, d := range p.Duty {
			name := p.Name
			if d.Bracket != "" {
				name += ", " + d.Bracket + " end"
			}
			rows = append(rows, row{name, figure.Known(d)})
		}
		if len(p.Duty) == 0 {
			rows = append(rows, row{p.Name, figure.Unknown[dutyPoint](units.Say("%s: %v", p.Name, p.Status))})
		}
	}
	return document.TableOf("duty", rows, document.Columns("name: pump", "flow_m3_per_h: flow", "head_m: head", "power_w: power",
		"velocity_m_per_s: velocity",
		"stable: stable"))
}

// rangeTable lists clean, range and dirty flow of each pump.
func rangeTable(list []DutyPump) document.Table {
	type row struct {
		Name  string                      `json:"name"`
		Flow  [2]figure.Maybe[units.Flow] `json:"flow_m3_per_h"`
		Dirty figure.Maybe[dutyPoint]     `json:"dirty_,inline"`
	}
	var rows []row
	for _, p := range list {
		r := row{p.Name, p.Range.Value.Flow, p.Dirty}
		r.Dirty.Why = units.Say("%s: %v", p.Name, p.run.Dirty.Status)
		for k, o := range []pumps.Operation{p.run.Clean.Low, p.run.Clean.High} {
			if r.Flow[k].Why = units.Say("%s: %v", p.Name, o.Status); !p.Range.Known {
				r.Flow[k].Why = units.Say("%s: %s", p.Name, p.Range.Why)
			}
		}
		rows = append(rows, r)
	}
	return document.TableOf("range", rows, document.Columns("name: pump", "low_flow_m3_per_h: clean, low", "high_flow_m3_per_h: clean, "+
		"high",
		"dirty_flow_m3_per_h: dirty", "dirty_head_m: dirty head", "dirty_power_w: dirty power"))
}
