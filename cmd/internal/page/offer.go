package page

import (
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps/works"
)

// offer is how the page says to run the water, which its verdict, its mark and its first figures
// are about: the plan as it is; without mains the plan's own panel and battery, else the best
// way on the sun.
type offer struct {
	pump     int            // index of the pumps
	how      document.Prose // at which speed and when, zero where that is as the plan says
	kind     energy.StrategyKind
	turnover figure.Maybe[units.Duration] // line dirty
	surely   figure.Maybe[works.Surely]   // of the goal
	best     bool                         // it is the best way on the sun
	own      bool                         // it is on the plan's own panel and battery
	short    bool                         // that pair does not carry it
	faster   bool                         // than at its rated speed, on the battery's voltage
}

// offered returns how the page says to run the water.
func (p *PlanPage) offered() offer {
	near, sun := p.nearest(), p.Result.Solar.Value
	o := offer{pump: p.water.Choice.Nearest, turnover: near.Dirty.Turnover, surely: near.Surely}
	switch best := p.Result.Best(); {
	case p.In.Plan.Site.Mains || !p.Result.Solar.Known:
	case sun.Own.Known && sun.Own.Value.Way.Known && !sun.Own.Value.Way.Value.Does:
		w := sun.Own.Value.Way.Value
		o = offer{turnover: w.Turnover, surely: w.Surely, own: true, short: true, kind: w.Variant.Kind}
		o.pump, o.how = p.way(w.Variant)
	case best.Known:
		b, row := best.Value, p.Result.Tradeoff[best.Value.Row].Variant
		o = offer{turnover: b.Water.Turnover, surely: b.Surely, best: true, own: sun.Own.Known, kind: row.Kind,
			faster: b.Water.Faster()}
		o.pump, o.how = p.way(row)
	}
	return o
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
