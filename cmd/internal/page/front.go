package page

import (
	"slices"
	"strings"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps/works"
)

// front returns what the page opens with, as far as depth was asked for; controls only
// of a whole page.
func (p *PlanPage) front(system units.System, depth energy.Depth) *document.Front {
	c := controls{p, system}
	shown := func(make func() []document.Control) []document.Control {
		if depth < energy.Improved {
			return nil
		}
		return make()
	}
	said := append(p.checks().Sentences(), nonZero(p.goalText())...)
	f := &document.Front{More: said, Best: p.bestSetting()}
	known := p.In.Plan.Site.Mains || depth >= energy.Decided
	water := document.Group{Key: "water", Heading: "The water", Controls: shown(c.line)}
	if o := p.offered(); known {
		head := p.verdict(o, document.Prose{}) // with the figure that a move of a control changes
		if v := o.surely.Value; p.water.Pumps[o.pump].Dirty.OfLabel && v.Low.Known && v.High.Known {
			head = head.And(" The water passes once in %v to %v.", document.Hours.Brief(v.Low), document.Hours.Brief(v.High))
		} else {
			head = head.When(o.turnover.Known && !o.short, " The water passes once in %v.", p.every(o.turnover))
		}
		f.Head, f.State = head, p.offerState(o)
		f.Tiles = []document.Tile{p.waterTile(o), p.costTile(o)}
		if depth >= energy.Decided {
			f.Tiles = append(f.Tiles, p.sunTile())
		}
		f.Tiles = append(f.Tiles, p.stopTile(o))
		water.Scene, water.Pictures = p.scene(p.asOffered(o)), []document.Picture{p.curvesPicture(o)}
	}
	for i := range f.Tiles {
		f.Tiles[i].Late = !p.In.Plan.Site.Mains || f.Tiles[i].Key == "sun"
	}
	if f.Better = p.bestPlanText(p.Result.BestPlan); depth >= energy.Improved && f.Better.IsZero() {
		f.Better = document.Plain(" ") // in place of an older one
	}
	picker := c.pumps(known)
	f.Groups = []document.Group{
		{Key: "pumps", Heading: "Pumps, fish and hours", Pictures: []document.Picture{p.goalPicture()}, Picker: &picker,
			Controls: shown(c.pond)}, water}
	if p.Result.Solar.Known {
		f.Groups = append(f.Groups, document.Group{Key: "sun", Heading: "Sun and battery", Controls: shown(c.sun),
			Pictures: p.sunPictures(depth)})
	}
	bill := document.Group{Key: "money", Heading: "Money", Controls: shown(c.price)}
	if picture, ok := p.paidPicture(); ok {
		bill.Pictures = append(bill.Pictures, picture)
	}
	if len(bill.Pictures)+len(bill.Controls) > 0 {
		f.Groups = append(f.Groups, bill)
	}
	return f
}

// sunPictures are those of the panel and battery to buy, the darkest fortnight first, and
// of the sun alone.
func (p *PlanPage) sunPictures(depth energy.Depth) []document.Picture {
	var all []document.Picture
	if d := p.carried(); d.Known && depth >= energy.Decided {
		all = storagePictures(d.Value.Made, d.Value.Asked, d.Value.Darkest)
		slices.Reverse(all)
	}
	if d := p.Result.Daylight(); d.Known {
		all = append(all, daylightPicture(d.Value.Year, p.water.Pond.Value.Goal.Value))
	}
	return all
}

// state is the verdict on pump i as a mark.
func (p *PlanPage) state(i int) document.State {
	pump := p.water.Pumps[i]
	switch chance := pump.Surely.Value.Chance; {
	case pump.Dirty.Flow <= 0:
		return document.Bad
	case !pump.Surely.Known:
		return document.Undecided
	case chance < works.ChanceTooClose && !(i == p.water.Choice.Nearest && p.inPractice(i)):
		return document.Bad
	case pump.Unsound() != "":
		return document.Danger
	case chance >= works.ChanceYes:
		return document.Good
	}
	return document.Doubtful
}

// offerState is the verdict on what is offered as a mark.
func (p *PlanPage) offerState(o offer) document.State {
	switch chance := o.surely.Value.Chance; {
	case o.short, o.none:
		return document.Bad
	case !p.planned(o).IsZero():
		return document.Danger
	case !o.best:
		return p.state(o.pump)
	case chance >= works.ChanceYes && !p.notWorth():
		return document.Good
	}
	return document.Doubtful
}

// waterTile is the turnover with its range.
func (p *PlanPage) waterTile(o offer) document.Tile {
	i, goal := o.pump, p.water.Pond.Value.Goal
	pump := p.water.Pumps[i]
	t := document.Tile{Key: "water", Label: "Enough?", State: p.offerState(o), Figure: document.Plain("–"), Says: p.pace(i),
		Notes: p.enough(p.all(), o).Sentences()}
	turnover, low, high := o.turnover, o.surely.Value.Low, o.surely.Value.High
	if !turnover.Known {
		return t
	}
	t.Says = document.Plain(wordOf(o.surely)).When(pump.Unsound() != "", ", by the flow alone").
		When(!o.how.IsZero(), " %v", o.run()).And(", line dirty").When(o.short, ", but it stops")
	t.Figure = document.Sentence("every %v", p.every(turnover))
	t.Brief = t.Figure
	if !low.Known || !goal.Known {
		return t
	}
	const beyond = 2 // times what is shown, where a turnover may never end
	at, aim := turnover.Value.In(units.Hour), goal.Value.In(units.Hour)
	t.Span = &document.Span{Low: low.Value.In(units.Hour), At: at, High: beyond * max(at, aim), Goal: aim,
		Tick: document.Sentence("goal %v", document.Hours.Brief(goal)), Alt: document.Sentence("%v or more; the goal is %v.",
			p.every(low), document.Hours.Brief(goal))}
	if high.Known {
		t.Span.High = min(high.Value.In(units.Hour), t.Span.High)
		t.Span.Alt = document.Sentence("Between %v and %v; the goal is %v.", p.every(low), p.every(high), document.Hours.Brief(goal))
	}
	return t
}

// costTile is what that costs a year.
func (p *PlanPage) costTile(o offer) document.Tile {
	if best := p.Result.Best(); o.best && best.Value.PerYear.Known {
		f := document.Sentence("%v", p.money.Brief(best.Value.PerYear))
		return document.Tile{Key: "cost", Label: "Cost a year", Figure: f, Brief: f.And(" a year"),
			Says: document.Plain("panel, battery and pumps as they wear out").When(len(best.Value.LeftOut()) > 0, "%v", p.allTold())}
	}
	i := o.pump
	t := document.Tile{Key: "cost", Label: "Cost a year", Figure: p.electricity(i), Says: document.Plain("electricity"),
		Notes: p.cost(p.all()).Sentences()}
	if !p.In.Plan.Site.Mains {
		t.Label, t.Says = "Energy a year", document.Plain("what the pump alone takes")
	}
	if o.perYear > 0 {
		t.Figure, t.Says = document.Sentence("%v", document.KWhPerYear.Brief(o.perYear)), document.Plain("what it takes from the battery")
	}
	if t.Figure.IsZero() {
		t.Figure, t.Says = document.Plain("–"), document.Plain("not known")
		return t
	}
	t.Brief = t.Figure.When(p.Result.Costs[i].Year.Known, " a year")
	if _, owned := p.priced(p.all()); owned {
		t.Says = t.Says.And("; with new pumps as they wear out %v", p.withPumps(i))
	}
	return t
}

// sunTile is the panel with its battery of the best way off the grid.
func (p *PlanPage) sunTile() document.Tile {
	t := document.Tile{Key: "sun", Label: "No mains", Figure: document.Plain("–"), Says: document.Plain("not known"),
		Notes: p.noMains(document.Prose{}).Sentences()}
	if p.Result.DayAndNight().Known {
		t.Says = document.Plain("nothing found that does")
	}
	found, sun := p.Result.Best(), p.Result.Solar
	if found.Known && !p.sunOnly().IsZero() { // its picture tells it
		t.Notes = t.Notes[:len(t.Notes)-1]
	}
	if own := sun.Value.Own; sun.Known && own.Known {
		v, way := own.Value, own.Value.Way
		t.Label, t.State = "Your own panel and battery", document.Bad
		t.Figure = document.Sentence("%v, %v", document.Power.Close(v.PanelW), document.WattHours.Close(v.BatteryWh))
		unmet := v.Unmet
		if way.Known {
			unmet = way.Value.Unmet
		}
		t.Brief, t.Says = t.Figure, document.Sentence("carry %v of the water", carriedOf(unmet))
		switch {
		case way.Value.Does && way.Value.Surely.Value.Chance >= works.ChanceYes:
			t.State = document.Good
		case way.Value.Does && way.Value.Surely.Value.Chance >= works.ChanceTooClose:
			t.State = document.Doubtful
		}
		return t
	}
	if !found.Known {
		if len(t.Notes) == 0 {
			why, _, _ := strings.Cut(string(found.Why), " (") // without the keys of the plan
			why, _, _ = strings.Cut(why, "; ")
			t.Notes = []document.Prose{document.Sentence("%v.", document.Told(units.Text(Capital(why))))}
		}
		return t
	}
	b := found.Value
	t.Figure = document.Sentence("%v, %v", document.Power.Close(b.Choice.PanelW), document.WattHours.Close(b.Choice.BoughtWh))
	t.Brief, t.State, t.Says = t.Figure, document.Good, document.Plain("panel and battery")
	if b.Choice.Connected.YearsWithStop > 0 {
		t.State = document.Doubtful
	}
	if p.notWorth() {
		t.State = document.Bad
		if v := sun.Value.Season.Value; sun.Value.Season.Known {
			t.State, t.Says = document.Doubtful, document.Sentence("panel and battery, %v alone", v.Name)
			t.Figure = document.Sentence("%v, %v", document.Power.Close(v.Panel), document.WattHours.Close(v.Battery))
			t.Brief = t.Figure
		}
	}
	return t
}

// stopTile is what a stop does first.
func (p *PlanPage) stopTile(o offer) document.Tile {
	t := document.Tile{Key: "stop", Label: "Danger", State: document.Danger, Figure: document.Plain("–"),
		Says: document.Plain("if something stops"), Notes: p.danger(true).Sentences()}
	if rest := o.rest; rest.Known && p.In.Plan.Pond.Stocking != "none" {
		m, _ := rest.Value.Worst(func(time.Month) bool { return true })
		if five := m.Dusk.Five; five.Known && five.Value > 0 {
			t.Figure, t.Says = document.Sentence("%v", document.Hours.AtLeast(five)), document.Plain("of air without the pump")
		}
	}
	return t
}

// plainHose names a hose without what only a shop knows.
func plainHose(name string) string {
	name, _, _ = strings.Cut(name, " SDR")
	return name
}
