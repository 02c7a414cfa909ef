package page

import (
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/still"
	"sunrill/pumps/works"
)

// offer is how the page says to run the water, which its verdict, its mark and its first figures
// are about: the plan as it is; without mains the plan's own panel and battery, else the best
// way on the sun.
type offer struct {
	pump     int            // index of the pumps
	how      document.Prose // at which speed and when, zero where that is as the plan says
	kind     energy.StrategyKind
	speed    float64                      // outside a setback, a share of its curve's
	perYear  units.EnergyPerYear          // at the battery, 0 where it is as the plan says
	turnover figure.Maybe[units.Duration] // line dirty
	surely   figure.Maybe[works.Surely]   // of the goal
	rest     figure.Maybe[still.StandingTimes]
	best     bool // it is the best way on the sun
	own      bool // it is on the plan's own panel and battery
	short    bool // that pair does not carry it
	none     bool // nothing found carries it without mains
	faster   bool // than at its rated speed, on the battery's voltage
}

// offered returns how the page says to run the water.
func (p *PlanPage) offered() offer {
	near, sun, best := p.nearest(), p.Result.Solar.Value, p.Result.Best()
	o := offer{pump: p.water.Choice.Nearest, speed: p.water.Works.Speed, turnover: near.Dirty.Turnover, surely: near.Surely,
		rest: p.Result.Rest}
	var row energy.Strategy
	switch w, b := sun.Own.Value.Way, best.Value; {
	case p.In.Plan.Site.Mains || !p.Result.Solar.Known:
		return o
	case sun.Own.Known && w.Known && !w.Value.Does:
		row, o.turnover, o.surely, o.own, o.short = w.Value.Row, w.Value.Turnover, w.Value.Surely, true, true
	case best.Known:
		row, o.turnover, o.surely, o.own, o.best = p.Result.Tradeoff[b.Row], b.Water.Turnover, b.Surely, sun.Own.Known, true
	default:
		d := p.Result.Daylight()
		o.none = !d.Known || d.Value.Word == energy.NotEnough
		return o
	}
	o.kind, o.speed, o.faster = row.Kind, row.OffGrid.Value.Speed.Value, o.best && row.OffGrid.Value.Faster()
	o.perYear, o.rest = row.Asked()
	o.pump, o.how = p.way(row.Variant)
	return o
}

// asOffered returns the pump that is offered as it then runs, under a name that says how.
func (p *PlanPage) asOffered(o offer) works.WaterPump {
	w, line, pump := *p.water, *p.water.Works, p.water.Pumps[o.pump]
	if o.best || o.short {
		line.Speed, w.Works = o.speed, &line
		w.Run(&pump)
		pump.Name = document.Plain(pump.Name).When(!o.how.IsZero(), ", %v", o.how).String()
	}
	return pump
}

// run says how it runs in a sentence.
func (o offer) run() document.Prose {
	if o.kind == energy.NightSetback || o.kind == energy.DarkSetback {
		return document.Sentence("with the %v", o.how)
	}
	return document.Sentence("at %v", o.how)
}

// notWorth reports whether the sun is the wrong answer for a part of the year.
func (p *PlanPage) notWorth() bool {
	worth := p.Result.Solar.Value.Worth
	return p.Result.Solar.Known && worth.Known && !worth.Value
}

// way returns the pump of a way to run the water and how it runs, nothing where that is as
// the plan says.
func (p *PlanPage) way(r energy.Variant) (pump int, how document.Prose) {
	name, _, _ := strings.Cut(strings.TrimPrefix(r.Name, p.water.Pumps[r.Pump].Name+" pump, "), " (")
	switch {
	case r.Kind == energy.AsPlanned, r.Kind == energy.SmallerPump, r.Kind == energy.OtherPump,
		r.Kind == energy.FullSpeed && p.row(energy.AsPlanned) == nil:
		return r.Pump, how
	}
	return r.Pump, document.Plain(name)
}

// wayName names a way by its pump and how it runs.
func (p *PlanPage) wayName(r energy.Variant) document.Prose {
	pump, how := p.way(r)
	return document.Plain(called(p.water.Pumps[pump].Name)).When(!how.IsZero(), ", %v", how)
}

// verdict is the decision in a sentence, with what else would change it.
func (p *PlanPage) verdict(o offer, unless document.Prose) document.Prose {
	c, near := p.water.Choice, p.nearest()
	name := thePump(near.Name)
	word, why, verb := near.Surely.Value.Word, near.Unsound(), "Use"
	has := slices.ContainsFunc(p.water.Pumps, func(w works.WaterPump) bool { return w.Present })
	if has && !p.water.Pumps[o.pump].Present {
		verb = "Buy"
	} else if has {
		verb = "Keep"
	}
	switch {
	case near.Clean.Flow <= 0 && near.Dirty.Flow <= 0:
		return document.Sentence("No pump of the plan moves any water here.")
	case !p.planned(o).IsZero():
		return document.Sentence("Not as it stands: %v.", p.planned(o))
	case o.short:
		return document.Sentence("Your own panel and battery are not enough for %v", thePump(p.water.Pumps[o.pump].Name)).
			When(!o.how.IsZero(), ", even %v", o.run()).And(".")
	case o.own:
		return document.Sentence("Your own panel and battery carry %v", thePump(p.water.Pumps[o.pump].Name)).
			When(!o.how.IsZero(), " %v", o.run()).And(".")
	case o.best && (o.pump != c.Nearest || !o.how.IsZero() || p.notWorth()):
		s := document.Sentence("%v %v", verb, thePump(p.water.Pumps[o.pump].Name)).When(c.Given, ", which the plan names").
			When(!o.how.IsZero(), "%v and run it %v", map[bool]string{true: ","}[c.Given], o.run())
		if p.notWorth() {
			s = s.And("; winter here is not worth carrying on sun.")
		} else {
			s = s.And(": on the sun that costs the least.")
		}
		return s.When(o.pump != c.Nearest && !p.stranded() &&
			near.Surely.Value.Chance >= works.ChanceYes, " %v would do too.", Capital(name.String()))
	case p.stranded():
		return document.Sentence("%v needs mains or an inverter, and there is neither.", Capital(name.String()))
	case !near.Surely.Known:
		return document.Sentence("What flows is known, but not whether it is enough.")
	case c.Given && near.Surely.Value.Chance < works.ChanceTooClose && !p.inPractice(c.Nearest):
		return document.Sentence("%v, which the plan names, is not enough.", Capital(name.String()))
	case c.Index < 0, c.NoneMeets && !p.inPractice(c.Nearest) && len(near.Dirty.Dry) == 0:
		return document.Sentence("No pump of the plan is enough").When(len(p.pumps) > 1, "; %v comes nearest", name).And(".")
	case why != "":
		return document.Sentence("Not as it stands: with %v %v.", name, why)
	case p.inPractice(c.Nearest):
		return document.Sentence("%v%v is slower than the goal assumed, and not slower than is usual.", Capital(name.String()),
			map[bool]string{true: ", which the plan names,"}[c.Given])
	case o.none:
		return document.Sentence("Nothing found carries %v through the year without mains.", name)
	case near.Present && len(p.pumps) > 1 && !c.Given:
		return document.Sentence("%v %v%v.", verb, name, unless)
	case len(p.pumps) > 1:
		s := document.Sentence("%v %v", verb, name).When(c.Given, ", which the plan names")
		return s.When(!c.Given && (!near.Yearly.Known || near.Reason == works.NearlySure), ": %v",
			document.Told(near.Reason)).And("%v.", unless)
	}
	is := map[string]string{works.Likely(1): "is enough", "probably": "is probably enough",
		"too close to tell": "may be enough: it is too close to tell"}[word]
	return document.Sentence("%v %v.", Capital(name.String()), is)
}

// unless is what else to change for another pump to be the one, nothing where none is.
func (p *PlanPage) unless() document.Prose {
	switch b := p.Result.BestPlan; {
	case !b.Known || b.Value.Pump == p.nearest().Name:
		return document.Prose{}
	case b.Value.Hose != "":
		return document.Plain(", unless you change the hose too")
	}
	return document.Plain(", unless you slow another")
}
