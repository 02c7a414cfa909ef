package page

import (
	"cmp"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps/works"
)

// tradeRow is one way of running the water in JSON.
type tradeRow struct {
	Strategy string                  `json:"strategy"`
	Kind     energy.StrategyKind     `json:"kind"`
	Pump     string                  `json:"pump"`
	Possible bool                    `json:"possible"`
	Why      units.Text              `json:"why,omitempty"` // where it is not
	Figures  figure.Maybe[tradeFigs] `json:",inline"`
}

// tradeFigs are the figures of a way that can be run.
type tradeFigs struct {
	energy.Strategy
	Still     float64                     `json:"longest_planned_stop_h"`
	OffPerDay figure.Maybe[units.Volume]  `json:"off_grid_m3_per_day"`
	Off       figure.Maybe[works.Verdict] `json:"off_grid_,inline"`
}

func (p *PlanPage) rows() []tradeRow {
	rows := make([]tradeRow, len(p.Result.Tradeoff))
	for i, s := range p.Result.Tradeoff {
		rows[i] = tradeRow{s.Name, s.Kind, p.water.Pumps[s.Pump].Name, s.Possible(), s.Why, figure.Unknown[tradeFigs](s.Why)}
		if s.Possible() {
			rows[i].Figures = figure.Known(tradeFigs{s, s.StillHours,
				figure.Then(s.OffGrid, func(w energy.OffGridWater) units.Volume { return w.PerDay }),
				figure.Then(s.OffGrid, func(w energy.OffGridWater) works.Verdict { return w.Verdict })})
		}
	}
	return rows
}

// TradeoffDocument returns the page of the ways to run the water.
func (p *PlanPage) TradeoffDocument() *document.Document {
	doc := p.document(p.In.titled("what less flow saves and risks"), p.object())
	var lines shortAnswer
	pump := p.verdict(p.offered(), document.Prose{})
	if p.water.Choice.NoneMeets {
		pump = document.Sentence("%v.", document.Told(units.Text(Capital(string(p.why())))))
	}
	lines.say("Pump", pump)
	lines.say("Slower", p.slowerLine())
	lines.say("Valve", p.valveNote())
	lines.say("Lift", p.liftNote())
	lines.say("Cheapest", p.leastNote())
	lines.say("Smaller", p.smallerNote())
	lines.say("Standing", p.stopText())
	doc.Answer, doc.Sections = lines, append(p.tradeoffSections(), p.restSection())
	doc.Work = func() []document.Step {
		return slices.DeleteFunc(p.work(), func(s document.Step) bool {
			return strings.HasPrefix(s.Key, "solar.") || strings.HasPrefix(s.Key, "mains.")
		})
	}
	return doc
}

// tradeoffSections are the rows in tables: water and money, then sun and risk.
func (p *PlanPage) tradeoffSections() []document.Section {
	rows := p.rows()
	if len(rows) == 0 {
		return nil
	}
	slowed := slices.ContainsFunc(rows, func(r tradeRow) bool { return r.Figures.Value.Slowed.Known })
	beside := slices.Clone(rows) // where the first table said why
	for i, r := range rows {
		rows[i].Figures.Why, beside[i].Figures.Why = units.Say("%s: %s", r.Strategy, r.Why), ""
	}
	section := document.Section{Heading: "What less flow saves and risks"}
	if name := p.ofBase(); name != "" {
		section.Prose = append(section.Prose, document.Sentence("Of %v, which draws the least of those that do: each watt asks for "+
			"panel and battery.", p.water.Pumps[p.Result.Base].Name))
	}
	sun := document.Columns("strategy: strategy", "off_grid_m3_per_day: water there", "panel_w: panel", "battery_wh: battery",
		"price: price", "longest_stop_h: longest stop", "off_grid_missed_by_h: misses by", "risk: risk of a stop")
	if !p.Result.Solar.Known { // nothing is known of the water off the grid
		sun[6].Key = "missed_by_h"
		sun = append(sun[:1], sun[2:]...)
	}
	section.Tables = []document.Table{document.TableOf("tradeoff", rows, document.Columns(
		"strategy: strategy", "flow_m3_per_day: water", "turnover_h: turnover", "power_w: power",
		"kwh_per_day: energy", "wh_per_m3: per volume", "cost_per_year: a year", "goal_met: goal met")).Priced(p.money),
		document.TableOf("tradeoff_sun", beside, sun).Priced(p.money)}
	if slowed {
		section.Notes = append(section.Notes, document.Sentence("A slowed pump is taken to draw as the cube of its speed. If %v of the "+
			"full power does not fall (common practice, no source), its watts, panel, battery and cost grow: a plug-in meter at the slow "+
			"speed, or pump[].fixed_watts, settles it.", share(energy.SlowedFixed)))
	}
	onBattery := slices.ContainsFunc(rows, func(r tradeRow) bool { return r.Figures.Value.OffPerDay.Known })
	first := map[bool]string{true: "on the mains", false: "at the speed asked for"}[p.In.Plan.Site.Mains]
	section.Notes = append(section.Notes, document.Sentence("Water is that of the worst running month with the line dirty").
		When(onBattery, ", in the first table %v, in the second on the battery", first).And("; cost is of the mean of clean and "+
		"dirty, the rest the larger. A stop is planned or for want of sun; its risk is graded and never none, as a failed part can "+
		"always stop the water."))
	return []document.Section{section}
}

// that returns the first and the last of the rows that can be run and that are so, from
// fast to slow; nil where there is none.
func (p *PlanPage) that(is func(*energy.Strategy) bool) (first, last *energy.Strategy) {
	for i := range p.Result.Tradeoff {
		if s := &p.Result.Tradeoff[i]; s.Possible() && is(s) {
			first, last = cmp.Or(first, s), s
		}
	}
	return first, last
}

// row returns the first row of a kind that can be run, nil where there is none.
func (p *PlanPage) row(kind energy.StrategyKind) *energy.Strategy {
	first, _ := p.that(func(s *energy.Strategy) bool { return s.Kind == kind })
	return first
}

// canSlow reports whether the pump of the plan can be slowed.
func (p *PlanPage) canSlow() bool { return p.row(energy.Slower) != nil }

// exampleRow returns the row that stands for slowing down, nil where the pump
// does not run at that speed.
func (p *PlanPage) exampleRow() *energy.Strategy {
	first, _ := p.that(func(s *energy.Strategy) bool { return s.Kind == energy.Slower && s.Speed == energy.ExampleSpeed })
	return first
}

// slowerRow returns the slowest speed that still meets the goal; where none
// does or there is no goal, the one that stands for slowing down or the nearest
// below full speed; nil where the pump cannot be slowed.
func (p *PlanPage) slowerRow() *energy.Strategy {
	_, slowest := p.that(func(s *energy.Strategy) bool { return s.Kind == energy.Slower && verdictOf(s).Meets() })
	return cmp.Or(slowest, p.exampleRow(), p.row(energy.Slower))
}

// verdictOf returns whether a row meets the goal and by how much it misses it: on
// its battery where that is known, else on the mains.
func verdictOf(s *energy.Strategy) works.Verdict {
	if s.OffGrid.Known && s.Panel.Known {
		return s.OffGrid.Value.Verdict
	}
	return s.Verdict
}

// slowerLine is what a slower speed saves: against the plan as it runs, where that
// is not at full speed all day.
func (p *PlanPage) slowerLine() document.Prose {
	r, f, planned := p.slowerRow(), p.row(energy.FullSpeed), p.row(energy.AsPlanned)
	if r == nil {
		for _, s := range p.Result.Tradeoff {
			if s.Kind == energy.Slower {
				return document.Sentence("%v.", document.Told(s.Why))
			}
		}
	}
	of, its, at := "the", "the", ""
	if planned != nil {
		f, of, its = planned, "the plan's", "its"
		if len(p.In.Plan.Run.Bands) > 0 {
			at = " day and night"
		}
	}
	if r == nil || f == nil {
		return document.Prose{}
	}
	s := document.Sentence("%vat %v%v, %v of %v water", p.ofBase(), r.Name, at, wholePart(r.PerDay, f.PerDay), of)
	faster := p.water.Choice.Faster.Known
	if r.Energy.Known && f.Energy.Known {
		s = s.And(" for %v of %v energy", partOf(r, f, energyOf), its)
		s = s.When(r.Energy.Value >= f.Energy.Value && !faster, ", which saves nothing")
	}
	s = s.When(r.Panel.Known && r.Battery.Known, ": %v, %v", document.Power.Of(r.Panel), document.WattHours.Of(r.Battery))
	v := verdictOf(r)
	s = s.When(v.Meets() && faster, "; meets the goal").When(v.Meets() && !faster, "; still meets the goal")
	return s.When(v.Missed.Known, "; misses the goal by %v", document.Hours.Brief(v.Missed)).And(".")
}

// wholePart returns part over whole in whole per cent, above 100 too.
func wholePart[T ~float64](part, whole T) document.Quantity {
	q := document.Fraction.Rough(0)
	if whole != 0 {
		q.Value = float64(part / whole)
	}
	if q.Value > 1 {
		q.Digits = 3
	}
	return q
}

// energyOf and powerOf return what a row takes, and at most if it is slowed.
func energyOf(s *energy.Strategy) (low, high float64) {
	return float64(s.Energy.Value), float64(s.Slowed.Value.Energy)
}
func powerOf(s *energy.Strategy) (low, high float64) {
	return float64(s.Power.Value), float64(s.Slowed.Value.Power)
}

// partOf says what a row takes of what full does, as a range where it has one.
func partOf(s, full *energy.Strategy, of func(*energy.Strategy) (low, high float64)) document.Prose {
	low, high := of(s)
	whole, _ := of(full)
	if !s.Slowed.Known {
		return document.Sentence("%v", wholePart(low, whole))
	}
	return document.Sentence("%v to %v", wholePart(low, whole), wholePart(high, whole))
}

// valveNote says what a valve saves, which users get wrong.
func (p *PlanPage) valveNote() document.Prose {
	v, full := p.row(energy.Valve), p.row(energy.FullSpeed)
	if v == nil || full == nil || !v.Power.Known || !full.Power.Known || v.PerDay <= 0 {
		return document.Prose{}
	}
	s := document.Sentence("A valve closed to %v of the water still draws %v of the power", wholePart(v.PerDay, full.PerDay),
		wholePart(v.Power.Value, full.Power.Value))
	if r := p.exampleRow(); r != nil && r.Power.Known {
		return s.And("; %v moves as much for %v: never throttle to save.", r.Name, partOf(r, full, powerOf))
	}
	return s.And(": a valve saves next to nothing.")
}

// liftNote says how far the pump can be slowed at all.
func (p *PlanPage) liftNote() document.Prose {
	lift, curve := p.water.Works.Line.Restart(), p.water.Works.Pumps[p.Result.Base].Curve(1)
	s, ok := curve.LeastSpeed(lift)
	if !ok || s >= 1 || lift <= 0 {
		return document.Prose{}
	}
	var valves units.Length
	for _, f := range p.water.Works.Line.Feeds() {
		valves += f.Cracking
	}
	head, _ := curve.ShutOff()
	said := document.Sentence("The lift of %v", document.Head.Of(lift))
	said = said.When(valves > 0, ", with the check valve's %v,", document.Head.Exact(valves))
	return said.And(" is %v of the pump's shut-off head: below %v speed nothing flows, whatever the hose. The lift sets how far one can "+
		"slow.",
		wholePart(lift, head), document.Fraction.Rough(s))
}

// leastNote names the speed of least energy for each volume.
func (p *PlanPage) leastNote() document.Prose {
	full := p.row(energy.FullSpeed)
	least, _ := p.that(func(s *energy.Strategy) bool { return s.LeastWh })
	high, _ := p.that(func(s *energy.Strategy) bool { return s.LeastSlowed })
	switch {
	case least == nil || full == nil || !full.WhPerM3.Known || !p.canSlow():
		return document.Prose{}
	case least == full: // a slowed row's high end costs more yet
		return document.Sentence("Water is cheapest at full speed: slower, the same water costs more.")
	}
	s := document.Sentence("Water is cheapest at %v", least.Name)
	if high != nil && high != least {
		s = s.And(", or at %v if %v of the full power does not fall with speed: meter it", high.Name, share(energy.SlowedFixed))
	}
	return s.And(". Slower than that, the same water costs more again.")
}

// smallerNote holds the next smaller pump against the slowed one that moves
// about as much.
func (p *PlanPage) smallerNote() document.Prose {
	small, full := p.row(energy.SmallerPump), p.row(energy.FullSpeed)
	if small == nil || !small.Energy.Known || full == nil || !full.Energy.Known {
		return document.Prose{}
	}
	_, near := p.that(func(s *energy.Strategy) bool { return s.Kind == energy.Slower && s.PerDay >= 0.9*small.PerDay })
	s := document.Sentence("%v at full speed", p.water.Pumps[small.Pump].Name)
	switch {
	case near == nil || !near.Energy.Known:
		s = s.And(" takes %v less than this pump, and needs no controller.",
			document.Fraction.Rough(1-float64(small.Energy.Value/full.Energy.Value)))
	case small.Energy.Value < near.Energy.Value: // and less than its high end
		s = s.And(" does with less than this pump slowed to %v.", near.Name)
	default:
		s = s.And(" takes more than this pump slowed to %v, if that keeps its efficiency: meter it.", near.Name)
	}
	return s.And(" Enough: %v.", p.word(small.Pump))
}
