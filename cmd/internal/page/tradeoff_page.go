package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/energy"
	"sunrill/energy/still"
)

// tradeoffObject is what tradeoff prints as JSON.
type tradeoffObject struct {
	Demo        bool                 `json:"demo"`
	Pond        pondObject           `json:"pond"`
	Chosen      figure.Maybe[string] `json:"chosen"`
	Answered    bool                 `json:"answered"`
	AnsweredWhy string               `json:"answered_why,omitempty"`
	Currency    string               `json:"currency"`
	Tradeoff    []planRow            `json:"tradeoff"`
	Stop        planStop             `json:"stop"`
}

// TradeoffDocument returns the page of the ways to run the water.
func (p *PlanPage) TradeoffDocument() *document.Document {
	doc := &document.Document{
		Title:    document.Sentence("What less flow saves and risks"),
		Subtitle: document.Plain(p.In.name()),
		Banner:   p.In.banner(),
		Answer:   p.tradeoffAnswer(),
		Sections: append(p.tradeoffSections(), p.restSection()...),
		Names:    p.In.names(),
		Warnings: doubts(p.warnings()),
		Assumed:  assumedOf(p.water.Works, p.Result.Assumed),
		Cautions: p.takeCare(),
		Sources:  p.sources(),
		Work:     p.tradeoffWorking,
		Object: tradeoffObject{Demo: p.In.Demo, Pond: pondObject{p.water.Pond}, Chosen: p.chosen(), Answered: p.Result.NoAnswer == "", AnsweredWhy: p.Result.NoAnswer,
			Currency: p.In.Plan.Mains.Currency, Tradeoff: p.Rows, Stop: p.newStop()},
	}
	if p.In.Plan.Name != "" {
		doc.Title = document.Sentence("%v: what less flow saves and risks", p.In.Plan.Name)
	}
	return doc
}

func (p *PlanPage) tradeoffAnswer() []document.Line {
	var lines shortAnswer
	lines.say("Pump", p.use())
	lines.say("Slower", p.slowerLine())
	for _, n := range p.tradeoffNotes() {
		lines.say(n.Label, n.Text)
	}
	lines.say("Standing", p.stillLine())
	return lines
}

// tradeoffSections are the rows in two tables: water and money, then sun and
// risk.
func (p *PlanPage) tradeoffSections() []document.Section {
	if len(p.Rows) == 0 {
		return nil
	}
	water := document.Table{Key: "tradeoff", Columns: []document.Column{
		{Key: "strategy", Heading: "strategy", Unit: document.Word},
		{Key: "flow_m3_per_day", Heading: "water", Unit: document.FlowPerDay},
		{Key: "turnovers_per_day", Heading: "turn- overs", Unit: document.TurnoversPerDay},
		{Key: "turnover_h", Heading: "one in", Unit: document.Hours},
		{Key: "power_w", Heading: "power", Unit: document.Power},
		{Key: "kwh_per_day", Heading: "energy", Unit: document.KWhPerDay},
		{Key: "wh_per_m3", Heading: "per volume", Unit: document.WhPerVolume},
		{Key: "cost_per_year", Heading: "a year", Unit: p.money},
		{Key: "goal_met", Heading: "goal", Unit: document.Word},
	}}
	sun := document.Table{Key: "tradeoff_sun", Columns: []document.Column{
		{Key: "strategy", Heading: "strategy", Unit: document.Word},
		{Key: "off_grid_m3_per_day", Heading: "water there", Unit: document.FlowPerDay},
		{Key: "panel_w", Heading: "panel", Unit: document.Power},
		{Key: "battery_wh", Heading: "battery", Unit: document.WattHours},
		{Key: "price", Heading: "price", Unit: p.money},
		{Key: "longest_stop_h", Heading: "longest stop", Unit: document.Hours},
		{Key: "off_grid_missed_by_h", Heading: "misses by", Unit: document.Hours},
		{Key: "risk", Heading: "risk of a stop", Unit: document.Word},
	}}
	there := p.Result.Solar.Known
	if !there { // nothing is known of the water off the grid
		sun.Columns = append(sun.Columns[:1:1], sun.Columns[2:]...)
		sun.Columns[5] = document.Column{Key: "missed_by_h", Heading: "misses by", Unit: document.Hours}
	}
	for _, r := range p.Rows {
		w, s := r.cells()
		if !there {
			s = append(s[:1:1], s[2:]...)
			if r.Possible {
				s[5] = document.NumberOr(r.Missed, "")
			}
		}
		water.Rows, sun.Rows = append(water.Rows, w), append(sun.Rows, s)
	}
	section := document.Section{Heading: "What less flow saves and risks", Tables: []document.Table{water}}
	if slowed, is := p.slowedTable(); is {
		section.Tables = append(section.Tables, slowed)
	}
	section.Tables = append(section.Tables, sun)
	if picture, ok := tradeoffPicture(p.Result); ok {
		section.Pictures = []document.Picture{picture}
	}
	if better := p.betterNote(); !better.IsZero() {
		section.Notes = append(section.Notes, better)
	}
	for _, n := range p.tradeoffNotes() {
		section.Notes = append(section.Notes, n.Text)
	}
	if note := p.slowedNote(); !note.IsZero() {
		section.Notes = append(section.Notes, note)
	}
	section.Notes = append(section.Notes, document.Sentence("Water is that of the worst running month with the line dirty, in the first table on the mains, in the second on the battery through the cable; watts, energy, panel and battery are the larger of clean and dirty. A stop is one that is planned or, with panel and battery, one for want of sun; its risk is graded and never none, as a failed part can always stop the water."))
	return []document.Section{section}
}

// betterNote names for each row one that is better in every respect.
func (p *PlanPage) betterNote() document.Prose {
	var all []string
	for _, r := range p.Rows {
		if r.Dominated != "" {
			all = append(all, r.Dominated+" than "+r.Strategy)
		}
	}
	if len(all) == 0 {
		return document.Prose{}
	}
	return document.Sentence("Better in every respect: %v.", strings.Join(all, "; "))
}

// cells are the cells of a row in both tables.
func (r planRow) cells() (water, sun []document.Cell) {
	name := document.Text(r.Strategy)
	if !r.Possible {
		water, sun = []document.Cell{name, document.Unknown(r.Strategy + ": " + r.Why)}, []document.Cell{name}
		for len(water) < 9 {
			water = append(water, document.Unknown(""))
		}
		for len(sun) < 8 {
			sun = append(sun, document.Unknown(""))
		}
		return water, sun
	}
	goal := document.Unknown(r.GoalWhy)
	if r.GoalMet != nil {
		goal = document.Text(map[bool]string{true: "met", false: "missed"}[*r.GoalMet])
	}
	water = []document.Cell{name, document.NumberOr(r.PerDay, ""), document.NumberOr(r.Turnovers, ""), document.NumberOr(r.Turnover, r.TurnWhy), document.NumberOr(r.Power, ""),
		document.NumberOr(r.Energy, r.EnergyWhy), document.NumberOr(r.WhPerM3, ""), document.NumberOr(r.Cost, r.CostWhy), goal}
	risk := document.Unknown(r.RiskWhy)
	if r.Risk != nil {
		risk = document.Text(*r.Risk)
	}
	sun = []document.Cell{name, document.NumberOr(r.OffPerDay, ""), document.NumberOr(r.Panel, r.PanelWhy), document.NumberOr(r.Battery, ""), document.NumberOr(r.Price, r.PriceWhy), document.NumberOr(r.Stop, ""),
		document.NumberOr(r.OffMissed, ""), risk}
	return water, sun
}

// row returns the first row of a kind that can be run.
func (p *PlanPage) row(kind energy.StrategyKind) *planRow {
	for i := range p.Rows {
		if p.Rows[i].Kind == string(kind) && p.Rows[i].Possible {
			return &p.Rows[i]
		}
	}
	return nil
}

// exampleRow returns the row that stands for slowing down, nil where the pump
// does not run at that speed.
func (p *PlanPage) exampleRow() *planRow {
	for i, s := range p.Result.Tradeoff {
		if s.Kind == energy.Slower && s.Speed == energy.ExampleSpeed && p.Rows[i].Possible {
			return &p.Rows[i]
		}
	}
	return nil
}

// tradeoffNotes say what the trade knows and users get wrong, each by this
// plan's own figures.
func (p *PlanPage) tradeoffNotes() []document.Line {
	var lines shortAnswer
	lines.say("Valve", p.valveNote())
	lines.say("Lift", p.liftNote())
	lines.say("Winter", p.winterNote())
	lines.say("Cheapest", p.leastNote())
	lines.say("Smaller", p.smallerNote())
	advice := still.StopAdvice(p.canSlow(), p.In.Plan.Air.Power != nil)
	lines.say("First", document.Sentence("%v.", Capital(strings.Join(advice[:2], "; "))))
	return lines
}

func (p *PlanPage) valveNote() document.Prose {
	v, full := p.row(energy.Valve), p.row(energy.FullSpeed)
	if v == nil || full == nil || v.Power == nil || full.Power == nil || *v.PerDay <= 0 {
		return document.Prose{}
	}
	s := document.Sentence("A valve closed to %v of the water still draws %v of the power", round(document.Fraction, fractionOf(*v.PerDay, *full.PerDay)), round(document.Fraction, fractionOf(*v.Power, *full.Power)))
	if r := p.exampleRow(); r != nil && r.Power != nil {
		return document.Sentence("%v; %v moves as much for %v: never throttle to save.", s, r.Strategy, ofFull(r.Power, r.HighPower, *full.Power))
	}
	return document.Sentence("%v: a valve saves next to nothing.", s)
}

// liftNote says how far the pump can be slowed at all.
func (p *PlanPage) liftNote() document.Prose {
	i := p.water.Choice.Nearest
	if i < 0 {
		return document.Prose{}
	}
	lift := p.water.Works.Line.Restart()
	s, ok := p.water.Works.Pumps[i].Curve(1).LeastSpeed(lift)
	if !ok || s >= 1 || lift <= 0 {
		return document.Prose{}
	}
	head, _ := p.water.Works.Pumps[i].Curve(1).ShutOff()
	return document.Sentence("The lift of %v is %v of the pump's shut-off head: below %v speed nothing flows, whatever the hose. The lift sets how far one can slow.",
		document.Head.Of(float64(lift)), round(document.Fraction, float64(lift/head)), round(document.Fraction, s))
}

// winterNote says what standing still through the dark months saves and risks.
func (p *PlanPage) winterNote() document.Prose {
	r, d := p.row(energy.OffInWinter), p.solar.DayAndNight
	if r == nil || r.Panel == nil || r.Battery == nil {
		return document.Prose{}
	}
	s := document.Sentence("%v, %v with %v would do", Capital(r.Strategy), document.Power.Of(*r.Panel), document.WattHours.Of(*r.Battery))
	if d != nil {
		s = document.Sentence("%v instead of %v", s, p.pairText(d))
	}
	s = document.Sentence("%v (--set run.months_off=%v). The filter's bacteria die when it stands and take weeks to come back: feed little until they have", s, strings.TrimPrefix(r.Strategy, "off in "))
	if p.In.Plan.Pond.Stocking != "none" {
		s = document.Sentence("%v. Fish stay behind in still, cold water: keep a hole open in the ice and air running, drain what can freeze", s)
	}
	return document.Sentence("%v.", s)
}

// leastNote names the speed of least energy for each volume.
func (p *PlanPage) leastNote() document.Prose {
	full := p.row(energy.FullSpeed)
	var least, high *planRow
	for i, r := range p.Rows {
		if r.LeastWh {
			least = &p.Rows[i]
		}
		if r.LeastHighWh {
			high = &p.Rows[i]
		}
	}
	if least == nil || least.WhPerM3 == nil || full == nil || full.WhPerM3 == nil || !p.canSlow() {
		return document.Prose{}
	}
	if least.Kind == string(energy.FullSpeed) { // a slowed row's high end costs more yet
		return document.Sentence("Water is cheapest at full speed, %v: slower, each litre costs more.", document.WhPerVolume.Of(*full.WhPerM3))
	}
	s := document.Sentence("Water is cheapest at %v: %v against %v at full speed", least.Strategy, document.WhPerVolume.Of(*least.WhPerM3), document.WhPerVolume.Of(*full.WhPerM3))
	switch {
	case high == nil:
		return document.Sentence("%v. Slower than that, each litre costs more again.", s)
	case high == least && least.HighWh != nil:
		return document.Sentence("%v, or %v if %v of the full power does not fall with speed. Slower than that, each litre costs more again.", s, document.WhPerVolume.Of(*least.HighWh), share(energy.SlowedFixed))
	case high == full:
		return document.Sentence("%v, by the cube of speed; if %v of the full power does not fall with it, at full speed already. Meter it before trusting the low figure.", s, share(energy.SlowedFixed))
	case high.HighWh == nil:
		return document.Sentence("%v.", s)
	}
	return document.Sentence("%v, by the cube of speed; if %v of the full power does not fall with it, at %v, %v. Slower than that, each litre costs more again: meter it before trusting the low figure.",
		s, share(energy.SlowedFixed), high.Strategy, document.WhPerVolume.Of(*high.HighWh))
}

// smallerNote holds the next smaller pump against the slowed one that moves
// about as much.
func (p *PlanPage) smallerNote() document.Prose {
	small := p.row(energy.SmallerPump)
	if small == nil || small.Energy == nil || small.PerDay == nil {
		return document.Prose{}
	}
	var near *planRow
	for i, r := range p.Rows {
		if r.Kind != string(energy.Slower) || r.Energy == nil || *r.PerDay < 0.9**small.PerDay {
			continue
		}
		if near == nil || *r.PerDay < *near.PerDay {
			near = &p.Rows[i]
		}
	}
	s := document.Sentence("%v at full speed moves %v for %v", small.Pump, document.FlowPerDay.Of(*small.PerDay), document.KWhPerDay.Of(*small.Energy))
	switch {
	case near == nil:
		full := p.row(energy.FullSpeed)
		if full == nil || full.Energy == nil {
			return document.Prose{}
		}
		return document.Sentence("%v, %v less than this pump: a smaller pump is the saving that needs no controller.", s, round(document.Fraction, 1-fractionOf(*small.Energy, *full.Energy)))
	case *small.Energy < *near.Energy: // and less than its high end
		return document.Sentence("%v; this pump slowed to %v needs %v for %v: the smaller pump wins.", s, near.Strategy, upTo(near), document.FlowPerDay.Of(*near.PerDay))
	}
	return document.Sentence("%v; this pump slowed to %v needs %v for %v, if it keeps its efficiency: measure the watts before trusting that.", s, near.Strategy, upTo(near), document.FlowPerDay.Of(*near.PerDay))
}
