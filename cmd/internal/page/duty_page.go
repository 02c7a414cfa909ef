package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// dutyObject is what duty prints as JSON.
type dutyObject struct {
	Demo       bool       `json:"demo"`
	StaticHead float64    `json:"static_head_m"`
	WaterTemp  float64    `json:"water_temp_c"`
	Speed      float64    `json:"speed_fraction"`
	DirtLoss   float64    `json:"flow_loss_when_dirty_fraction"`
	Pumps      []DutyPump `json:"pumps"`
}

// DutyPump is how one pump runs on the line.
type DutyPump struct {
	Name        string      `json:"name"`
	Status      string      `json:"status"`
	Duty        []dutyPoint `json:"duty"`
	Why         string      `json:"why,omitempty"`
	AtLeast     *float64    `json:"at_least_flow_m3_per_h,omitempty"`
	Dirty       *dutyPoint  `json:"dirty"`
	DirtyWhy    string      `json:"dirty_why,omitempty"`
	Range       *dutyRange  `json:"range"`
	RangeWhy    string      `json:"range_why,omitempty"`
	PowerSource string      `json:"power_source"`
	Notes       []string    `json:"notes"`

	// What the page says of it in its own units.
	tolerance                pumps.Tolerance
	status, low, high, dirty pumps.Status
	gap                      pumps.Gap
	noStart, startInDoubt    bool
}

type dutyPoint struct {
	Flow     float64  `json:"flow_m3_per_h"`
	Head     float64  `json:"head_m"`
	Power    *float64 `json:"power_w"`
	PowerWhy string   `json:"power_w_why,omitempty"`
	Velocity float64  `json:"velocity_m_per_s"`
	Stable   bool     `json:"stable"`
	Bracket  string   `json:"bracket,omitempty"` // "low" or "high" of a label
}

// dutyRange is where the clean flow may lie. Where even the weak end runs off
// the curve's end, Low is its last point's flow and High is open.
type dutyRange struct {
	Low     *float64 `json:"low_flow_m3_per_h"`
	LowWhy  string   `json:"low_flow_m3_per_h_why,omitempty"`
	High    *float64 `json:"high_flow_m3_per_h"`
	HighWhy string   `json:"high_flow_m3_per_h_why,omitempty"`
	Basis   string   `json:"basis"`
}

const (
	noPowerWhy = "neither curve nor label nor meter gives the power"
	labelBasis = "two figures from a label are no curve: between a straight line and a parabola through them"
)

func point(d pumps.Duty) dutyPoint {
	p := dutyPoint{Flow: d.Flow.In(units.CubicMetrePerHour), Head: float64(d.Head), Velocity: float64(d.Velocity), Stable: d.Stable}
	if d.Power > 0 {
		w := float64(d.Power)
		p.Power = &w
	} else {
		p.PowerWhy = noPowerWhy
	}
	return p
}

// NewDutyPump turns a run into what the page and JSON show of it.
func NewDutyPump(r works.Run) DutyPump {
	p := DutyPump{Name: r.Name, Status: r.Clean.Status.String(), Why: r.Clean.Why, PowerSource: r.Clean.PowerSource.String(),
		Duty: []dutyPoint{}, Notes: []string{}, tolerance: r.Clean.Tolerance,
		status: r.Clean.Status, low: r.Clean.Low.Status, high: r.Clean.High.Status, dirty: r.Dirty.Status,
		gap: r.Clean.Gap, noStart: r.Clean.NoStart, startInDoubt: r.Clean.StartInDoubt}
	p.addCrossings(r.Clean)
	if r.Clean.Status == pumps.BeyondCurve {
		q := r.Clean.Bound.In(units.CubicMetrePerHour)
		p.AtLeast = &q
	}
	if r.Dirty.Status == pumps.Meets {
		d := point(r.Dirty.Duty)
		p.Dirty = &d
	} else {
		p.DirtyWhy = r.Dirty.Why
	}
	p.addRange(r.Clean)
	for _, w := range r.Clean.Warnings {
		p.Notes = append(p.Notes, w.String())
	}
	return p
}

func (p *DutyPump) addCrossings(r pumps.Run) {
	add := func(o pumps.Operation, bracket string) {
		for _, d := range o.Crossings {
			c := point(d)
			c.Bracket = bracket
			p.Duty = append(p.Duty, c)
		}
	}
	if r.Bracket {
		add(r.Low, "low")
		add(r.High, "high")
		return
	}
	add(r.Operation, "")
}

func (p *DutyPump) addRange(r pumps.Run) {
	low, lowWhy := bound(r.Low)
	high, highWhy := bound(r.High)
	if r.Low.Status == pumps.BeyondCurve {
		low, lowWhy = new(float64), ""
		*low = r.Low.Bound.In(units.CubicMetrePerHour)
	}
	if low == nil && high == nil {
		p.RangeWhy = "no duty point at either end of the range"
		return
	}
	basis := "the curve may be off by " + offBy(r.Tolerance).String()
	if r.Bracket {
		basis = labelBasis
	}
	p.Range = &dutyRange{low, lowWhy, high, highWhy, basis}
}

// offBy says how far a curve may be off.
func offBy(t pumps.Tolerance) document.Prose {
	return document.Sentence("%v in flow or %v in head", share(t.Flow), share(t.Head))
}

// bound returns the flow of one end of a range, or nil and why there is none.
func bound(o pumps.Operation) (*float64, string) {
	if o.Status != pumps.Meets {
		return nil, o.Why
	}
	q := o.Duty.Flow.In(units.CubicMetrePerHour)
	return &q, ""
}

// answer is the sentence of the short answer about one pump.
func (p *DutyPump) answer() document.Prose {
	switch {
	case len(p.Duty) > 0 && p.Duty[0].Bracket != "":
		return p.labelAnswer()
	case p.stable() != nil:
		d := p.stable()
		s := document.Sentence("%v at the filter when clean, against %v of lift and losses", document.Flow.Of(d.Flow), document.Head.Of(d.Head))
		if d.Power != nil {
			s = document.Sentence("%v, drawing %v", s, document.Power.Of(*d.Power))
		}
		if p.Dirty != nil {
			s = document.Sentence("%v; %v just before cleaning", s, document.Flow.Of(p.Dirty.Flow))
		}
		if p.noStart {
			return document.Sentence("%v. But once stopped it does not start again by itself: see the warnings.", s)
		}
		if p.startInDoubt {
			return document.Sentence("%v. But once stopped it may not start again by itself: see the warnings.", s)
		}
		return document.Sentence("%v.", s)
	case p.AtLeast != nil:
		return document.Sentence("at least %v: the pump runs off the end of its curve, and how much more flows the curve does not say.", document.Flow.Of(*p.AtLeast))
	}
	return p.nothing()
}

// nothing is the answer of a pump without a duty point: why, and what to do.
func (p *DutyPump) nothing() document.Prose {
	g := p.gap
	flow, gives, asks := flowQuantity(g.Flow), document.Head.Of(float64(g.Gives)), document.Head.Of(float64(g.Asks))
	switch {
	case p.status == pumps.BelowCurve:
		return document.Sentence("less than %v, perhaps nothing: there the line asks for %v and the pump gives %v, and below its first point the curve says nothing.", flow, asks, gives)
	case g.Flow == 0 && g.Crest:
		return document.Sentence("nothing: at no flow the pump gives %v of head, and the crest stands %v up. Lower the crest or choose a pump with more head; and make sure that the crest was measured from the pond's surface, not from the pump.", gives, asks)
	case g.Flow == 0:
		return document.Sentence("nothing: all that the pump can push, at no flow, is %v, and the lift alone is %v. Lower the outlet or choose a pump with more head; and make sure that the lift was measured from the pond's surface, not from the pump.", gives, asks)
	}
	return document.Sentence("nothing: the line asks for more head than the pump gives at every flow, %v against %v at %v. Lower the outlet, widen the pipe or choose a pump with more head.", asks, gives, flow)
}

func (p *DutyPump) labelAnswer() document.Prose {
	low, high := p.Range.Low, p.Range.High
	const rough = "and perhaps a tenth outside that; only a curve can say more."
	switch {
	case low != nil && high != nil:
		return document.Sentence("roughly %v to %v at the filter when clean, %v", document.Flow.Of(*low), document.Flow.Of(*high), rough)
	case high != nil:
		return document.Sentence("anything from nothing to %v at the filter when clean, %v", document.Flow.Of(*high), rough)
	}
	return document.Sentence("at least %v at the filter when clean, %v", document.Flow.Of(*low), rough)
}

// sure is the sentence about how sure the flow is.
func (p *DutyPump) sure() document.Prose {
	r, off := p.Range, offBy(p.tolerance)
	switch {
	case r == nil || r.Basis == labelBasis:
		return document.Prose{}
	case p.AtLeast != nil:
		return document.Sentence("%v or more when clean, as the curve may be off by %v. Throttle the pump, choose a smaller one, or find a longer curve.", document.Flow.Of(*r.Low), off)
	case r.Low != nil && r.High != nil:
		return document.Sentence("%v to %v when clean, as the curve may be off by %v; an error in lift or bore comes on top.",
			document.Flow.Of(*r.Low), document.Flow.Of(*r.High), off)
	case r.Low != nil:
		return document.Sentence("%v or more when clean: the curve may be off by %v, and then the pump runs off its end.", document.Flow.Of(*r.Low), off)
	}
	return document.Sentence("up to %v when clean, perhaps nothing: the curve may be off by %v.", document.Flow.Of(*r.High), off)
}

func (p *DutyPump) stable() *dutyPoint {
	for i := range p.Duty {
		if p.Duty[i].Stable {
			return &p.Duty[i]
		}
	}
	return nil
}

// answerLines returns the short answer of a page about water: flow and range of
// one pump, or a line for each of several.
func answerLines(list []DutyPump) []document.Line {
	if len(list) == 1 {
		lines := []document.Line{{Label: "Flow", Text: list[0].answer()}}
		if sure := list[0].sure(); !sure.IsZero() {
			lines = append(lines, document.Line{Label: "How sure", Text: sure})
		}
		return lines
	}
	var lines []document.Line
	const mostLabel = 16 // longer names would leave no room for the sentence
	for _, p := range list {
		line := document.Line{Label: p.Name, Text: p.answer()}
		if len([]rune(p.Name)) > mostLabel {
			line = document.Line{Label: "Flow", Text: document.Sentence("%v: %v", p.Name, p.answer())}
		}
		lines = append(lines, line)
	}
	return append(lines, sureOfAll(list)...)
}

// sureOfAll says what the ranges of several pumps rest on.
func sureOfAll(list []DutyPump) []document.Line {
	var curves []pumps.Tolerance
	for _, p := range list {
		if p.Range != nil && p.Range.Basis != labelBasis {
			curves = append(curves, p.tolerance)
		}
	}
	if len(curves) == 0 {
		return nil
	}
	text := document.Sentence("the ranges below take every curve to be off by %v.", offBy(curves[0]))
	for _, t := range curves {
		if t != curves[0] {
			text = document.Sentence("the ranges below take each curve to be off by its own tolerance.")
		}
	}
	return []document.Line{{Label: "How sure", Text: text}}
}

// waterSources are the methods behind every page about water.
var waterSources = []string{
	"Friction: Darcy-Weisbach, friction factor of S. W. Churchill, Chemical Engineering 84 (1977), no. 24, p. 91",
	"Pump curve between its points: F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300; nothing is extrapolated",
	"Water: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97 (density); IAPWS SR6-08 (viscosity)",
}

// NoDuty returns the error of a page on which no pump has a duty point.
func NoDuty(list []DutyPump) error {
	var why []string
	for _, p := range list {
		if p.stable() != nil {
			return nil
		}
		why = append(why, p.Name+": "+p.Why)
	}
	return &NoAnswer{"no pump has a duty point: " + strings.Join(why, "; ")}
}

// DutyDocument returns the page; pump first is the one whose line is shown in
// detail.
func DutyDocument(in *Input, installed *works.Waterworks, runs []works.Run, list []DutyPump, first int) *document.Document {
	doc := &document.Document{
		Title:    document.Sentence("What really flows"),
		Subtitle: document.Plain(in.name()),
		Banner:   in.banner(),
		Answer:   append(doubtLines(installed), answerLines(list)...),
		Sections: dutySections(installed, runs, list, first),
		Names:    in.names(),
		Warnings: doubts(in.Warnings, installed.Warnings, runWarnings(runs)),
		NotYours: in.NotYours,
		Assumed:  append(assumedOf(installed, installed.Assumed), scope()...),
		Sources:  append(append([]string{}, waterSources...), installed.Sources...),
		Object: dutyObject{
			Demo: in.Demo, StaticHead: float64(installed.Line.Lift()), WaterTemp: installed.Water.InCelsius(),
			Speed: installed.Speed, DirtLoss: installed.DirtLoss, Pumps: list,
		},
	}
	doc.Sections[0].Pictures = waterPictures(installed, runs, first)
	if in.Plan.Name != "" {
		doc.Title = document.Sentence("%v: what really flows", in.Plan.Name)
	}
	return doc
}

// assumedOf lists what the water of a plan assumes, with the head that the
// assumed dirt means.
func assumedOf(installed *works.Waterworks, list []figure.Assumed) []document.Assumption {
	out := assumed(list)
	d, ok := installed.DirtPoint()
	for i := range out {
		if out[i].Key == dirtLossKey && ok {
			out[i].Why = document.Sentence("%v; it means %v", out[i].Why, dirtTakes(d))
		}
	}
	return out
}

// runWarnings returns the doubts about the clean runs: those of one pump with
// its name, those that several share once, and that about the bed once.
func runWarnings(runs []works.Run) []data.Warning {
	shared := map[data.Warning]int{}
	for _, r := range runs {
		for _, w := range r.Clean.Warnings {
			shared[w]++
		}
	}
	var all []data.Warning
	bed := false
	for _, r := range runs {
		for _, w := range r.Clean.Warnings {
			said := shared[w] == 0 || w.Key == "filter" && bed
			bed = bed || w.Key == "filter"
			if said {
				continue
			}
			if n := shared[w]; n > 1 {
				shared[w] = 0
			} else if len(runs) > 1 {
				w.Message = r.Name + ": " + w.Message
			}
			all = append(all, w)
		}
		if r.Clean.Status == pumps.BeyondCurve {
			all = append(all, data.Warning{Key: r.Name, Message: r.Clean.Why})
		}
	}
	return all
}
