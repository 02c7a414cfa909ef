package page

import (
	"slices"
	"strings"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps/works"
)

// front returns what the page opens with, as far as depth was asked for; controls only
// of a whole page.
func (p *PlanPage) front(system units.System, depth energy.Depth) *document.Front {
	c := controls{p, system}
	shown := func(make func() []document.Control) []document.Control {
		if depth < energy.All {
			return nil
		}
		return make()
	}
	f := &document.Front{Verdict: p.heading(), Tiles: []document.Tile{p.waterTile(), p.costTile()}}
	if depth >= energy.All { // the best way is one of all rows
		f.Tiles = append(f.Tiles, p.sunTile())
	}
	f.Tiles = append(f.Tiles, p.stopTile())
	picker := c.pumps()
	f.Groups = []document.Group{
		{Key: "pumps", Heading: "Pumps, fish and hours", Pictures: []document.Picture{p.goalPicture()}, Picker: &picker,
			Controls: shown(c.pond)},
		{Key: "water", Heading: "The water", Scene: p.scene(), Controls: shown(c.line),
			Pictures: waterPictures(p.water.Works, p.water.Runs(), p.water.Choice.Nearest)}}
	if p.Result.Solar.Known {
		f.Groups = append(f.Groups, document.Group{Key: "sun", Heading: "Sun and battery", Controls: shown(c.sun),
			Pictures: p.sunPictures(depth)})
	}
	bill := document.Group{Key: "money", Heading: "Money", Controls: shown(c.price)}
	if picture, ok := p.paidPicture(); ok {
		bill.Pictures = append(bill.Pictures, picture)
	}
	if picture, ok := tradeoffPicture(p.Result); ok {
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
	if d := p.carried(); d.Known && depth >= energy.All {
		all = storagePictures(d.Value.Made, d.Value.Asked, d.Value.Darkest, d.Value.Storage.Record.Hours())
		slices.Reverse(all)
		all = append(all, frontPicture(d.Value.Front))
	}
	if d := p.Result.Daylight(); d.Known {
		all = append(all, daylightPicture(d.Value.Year, p.water.Pond.Value.Goal.Value))
	}
	return all
}

// beside returns a figure of the first page in two digits, or in three where two would
// make it the goal.
func beside(u document.Unit, v, goal any) document.Quantity {
	q, g := u.Rough(v), u.Rough(goal)
	if u.Figure(q.Value, units.Metric, q.Digits) == u.Figure(g.Value, units.Metric, g.Digits) {
		return u.Of(v)
	}
	return q
}

// turnover returns a turnover beside the goal.
func (p *waterPage) turnover(t any) document.Quantity {
	return beside(document.Hours, t, p.water.Pond.Value.Goal)
}

// soon is a length of time that nobody knows better than to two digits.
func soon(length any) document.Quantity {
	q := spell(length)
	q.Digits = 2
	return q
}

// state is the verdict on pump i as a mark.
func (p *waterPage) state(i int) document.State {
	pump := p.water.Pumps[i]
	switch chance := pump.Surely.Value.Chance; {
	case pump.Dirty.Flow <= 0:
		return document.Bad
	case !pump.Surely.Known:
		return document.Undecided
	case chance < works.ChanceTooClose && !p.inPractice(i):
		return document.Bad
	case pump.Unsound() != "":
		return document.Danger
	case chance >= works.ChanceYes:
		return document.Good
	}
	return document.Doubtful
}

// sufficient says in a few words whether pump i is.
func (p *waterPage) sufficient(i int) document.Prose {
	pump := p.water.Pumps[i]
	why, word := pump.Unsound(), p.likelihood(i)
	switch {
	case pump.Dirty.Flow <= 0 || word == "" && why != "":
		return document.Plain(why)
	case word == "":
		return document.Sentence("no goal")
	}
	return document.Plain(word).When(pump.But() != "", ", but %v", why)
}

// likelihood is the word of the verdict on pump i in a sentence, "" without a goal.
func (p *waterPage) likelihood(i int) string {
	if p.inPractice(i) {
		return "inside practice"
	}
	return map[string]string{"yes": "enough", "probably": "probably enough", "too close to tell": "too close to tell",
		"probably not": "probably not enough", "no": "not enough"}[p.water.Pumps[i].Surely.Value.Word]
}

// plainly is a reason without the keys of the plan behind it.
func plainly(why units.Text) document.Prose {
	before, _, _ := strings.Cut(string(why), " (")
	return document.Told(units.Text(before))
}

// heading is the verdict: what to do and whether it is enough.
func (p *PlanPage) heading() document.Verdict {
	c := p.water.Choice
	i, goal := c.Nearest, p.water.Pond.Value.Goal
	pump := p.water.Pumps[i]
	v := document.Verdict{State: p.state(i)}
	turnover := p.turnover(pump.Dirty.Turnover)
	surely := pump.Surely.Value
	switch {
	case pump.Dirty.Flow <= 0 && pump.Clean.Flow > 0:
		v.Head = document.Sentence("%v moves no water once the line is dirty.", called(pump.Name))
		v.More = document.Sentence("%v.", document.Told(pump.Dirty.Why))
	case pump.Dirty.Flow <= 0:
		v.Head = document.Sentence("No pump of this plan moves water.")
		v.More = document.Sentence("%v: %v", called(pump.Name), nothing(pump.Clean.Run.Operation))
	case !pump.Dirty.Turnover.Known:
		v.Head = document.Sentence("%v moves %v just before cleaning.", called(pump.Name), document.Flow.Of(pump.Dirty.Flow))
		v.More = document.Sentence("Whether that is enough is not known: %v.", document.Told(pump.Dirty.Turnover.Why))
		return v
	case !goal.Known:
		v.Head = document.Sentence("%v turns the pond over every %v, just before cleaning.", called(pump.Name), turnover)
		v.More = document.Sentence("Whether that is enough is not known: %v.", document.Told(goal.Why))
		return v
	case len(pump.Dirty.Dry) > 0:
		v.Head = document.Sentence("%v is not enough: %v.", called(pump.Name), pump.Unsound())
	case v.State == document.Bad:
		v.Head = document.Sentence("%v is not enough: just before cleaning a turnover takes %v, and your goal is %v.",
			called(pump.Name), turnover, document.Hours.Exact(goal))
	default:
		v.Head = document.Sentence("%v %v: it turns the pond over every %v, even just before cleaning; your goal is %v.", p.verb(i),
			thePump(called(pump.Name)), turnover, document.Hours.Exact(goal))
		v.More = document.Sentence("That is %v (%v)", p.sufficient(i), odds(surely.Chance))
		if why := pump.Unsound(); why != "" {
			v.More = document.Sentence("By its flow alone that is %v (%v), but %v", p.likelihood(i), odds(surely.Chance), why)
		}
		v.More = v.More.When(surely.Low.Known && surely.High.Known, ": it may take anything from %v to %v, as pump, pond and dirt are not "+
			"known exactly", p.turnover(surely.Low), p.turnover(surely.High)).And(".")
		b := p.water.Settle
		open := surely.Word != works.Likely(1) && surely.Word != works.Likely(0)
		v.More = v.More.When(open && b.Known, " To be sure, time a bucket just before cleaning: %v must fill in %v or "+
			"less.", document.Litres.Of(b.Value.Bucket), document.Seconds.Rough(b.Value.Seconds))
	}
	if v.State == document.Bad {
		more := p.remedy()
		if _, least := p.smallest(); more.IsZero() {
			more = least
		}
		v.More = v.More.When(!v.More.IsZero() && !more.IsZero(), " ").When(!more.IsZero(), "Instead, %v", more)
	}
	return v
}

// called is a name as it stands in a heading, where it may not take all the room.
func called(name string) string {
	const most = 48 // letters
	if letters := []rune(document.Clean(name)); len(letters) > most {
		return strings.TrimSpace(string(letters[:most/2])) + "…" + strings.TrimSpace(string(letters[len(letters)-most/2:]))
	}
	return name
}

// verb is what to do with pump i.
func (p *waterPage) verb(i int) string {
	runs := slices.ContainsFunc(p.water.Pumps, func(w works.WaterPump) bool { return w.Present })
	switch {
	case p.water.Pumps[i].Present:
		return "Keep"
	case runs:
		return "Buy"
	}
	return "Use"
}

// waterTile is the turnover with its range.
func (p *PlanPage) waterTile() document.Tile {
	i := p.water.Choice.Nearest
	pump, goal := p.water.Pumps[i], p.water.Pond.Value.Goal
	t := document.Tile{Key: "water", Label: "One turnover", State: p.state(i), Says: p.sufficient(i)}
	t.Note = t.Note.When(pump.Clean.Flow > 0, "%v just before cleaning, %v clean", flowing(pump.Dirty), flowing(pump.Clean))
	turnover := pump.Dirty.Turnover
	if t.Figure = document.Plain("none"); !turnover.Known {
		return t
	}
	t.Figure = document.Sentence("%v", p.turnover(turnover))
	t.Brief = document.Sentence("%v a turnover", p.turnover(turnover))
	hours := func(d figure.Maybe[units.Duration]) float64 { return d.Value.In(units.Hour) }
	low, high := pump.Surely.Value.Low, pump.Surely.Value.High
	if !low.Known || !goal.Known {
		return t
	}
	const beyond = 2 // times what is shown, where a turnover may never end
	most := max(hours(turnover), hours(goal))
	t.Span = &document.Span{Low: hours(low), At: hours(turnover), High: beyond * most, Goal: hours(goal),
		Tick: document.Sentence("goal %v", document.Hours.Exact(goal)), Alt: document.Sentence("%v or more; the goal is %v.",
			p.turnover(low), document.Hours.Exact(goal))}
	if high.Known {
		t.Span.High = min(hours(high), beyond*most)
		t.Span.Alt = document.Sentence("Between %v and %v; the goal is %v.", p.turnover(low), p.turnover(high), document.Hours.Exact(goal))
	}
	return t
}

// costTile is what the pump's power costs a year.
func (p *PlanPage) costTile() document.Tile {
	i := p.water.Choice.Nearest
	pump, cost := p.water.Pumps[i], p.costs[i].Year
	t := document.Tile{Key: "cost", Label: "Power a year"}
	if !pump.PerYear.Known {
		t.Figure, t.Says, t.Note = document.Plain("–"), document.Sentence("not known"), document.Told(pump.PerYear.Why)
		return t
	}
	clean, dirty := pump.Clean.EnergyYear.Value, pump.Dirty.EnergyYear.Value
	energy := document.Sentence("%v", document.KWhPerYear.Of((clean+dirty)/2))
	if !cost.Known {
		t.Figure, t.Says, t.Note = energy, document.Sentence("cost not known"), plainly(cost.Why)
		return t
	}
	t.Figure, t.Brief = document.Sentence("%v", p.money.Of(cost)), document.Sentence("%v a year", p.money.Of(cost))
	t.Note = energy.When(pump.Yearly.Known && pump.Yearly.Why == "", "; with new pumps as they wear out %v a year", p.money.Of(pump.Yearly))
	now := slices.IndexFunc(p.water.Pumps, func(w works.WaterPump) bool { return w.Present })
	switch {
	case now == i:
		t.Says = document.Sentence("as today")
	case now >= 0 && p.costs[now].Year.Known && p.costs[now].Year.Value > cost.Value:
		t.State, t.Says = document.Good, document.Sentence("%v less than today", p.money.Of(p.costs[now].Year.Value-cost.Value))
	case now >= 0 && p.costs[now].Year.Known:
		t.State, t.Says = document.Doubtful, document.Sentence("%v more than today", p.money.Of(cost.Value-p.costs[now].Year.Value))
	default:
		t.Says = document.Sentence("on the mains")
	}
	return t
}

// sunTile is the panel with its battery of the best way off the grid.
func (p *PlanPage) sunTile() document.Tile {
	t := document.Tile{Key: "sun", Label: "Panel and battery"}
	found, sun := p.Result.Best(), p.Result.Solar.Value
	if !found.Known {
		t.Figure, t.Says, t.Note = document.Plain("–"), document.Sentence("none"), plainly(found.Why)
		return t
	}
	b := found.Value
	panel, battery, run := document.Power.Of(b.Choice.PanelW), document.WattHours.Of(b.Choice.BoughtWh), b.Choice.Connected
	t.Figure, t.Brief = document.Sentence("%v with %v", panel, battery), document.Sentence("%v, %v", panel, battery)
	t.State, t.Says = document.Good, document.Sentence("no stop in %v simulated, which is no promise", data.Plural(run.Years, "year"))
	if run.YearsWithStop > 0 {
		t.State, t.Says = document.Doubtful, document.Sentence("stops in %v of %v years", run.YearsWithStop, run.Years)
	}
	t.Note = p.wayName().When(b.Price.Known, "; %v to buy", p.money.Of(b.Price)).When(b.PerYear.Known, ", %v a year all told",
		p.money.Of(b.PerYear)).When(b.PerYear.Known && sun.MainsYear.Known, " (on the mains %v)", p.money.Of(sun.MainsYear)).
		When(run.YearsWithStop > 0, "; a stop lasts %v at the longest", document.Hours.Of(run.Stops.LongestHours))
	if sun.Worth.Known && !sun.Worth.Value {
		t.State, t.Says = document.Bad, document.Sentence("%v", plainly(sun.Worth.Why))
	}
	return t
}

// stopTile is what a stop does first.
func (p *PlanPage) stopTile() document.Tile {
	t := document.Tile{Key: "stop", Label: "If it stops", State: document.Danger, Says: document.Sentence("keep air ready")}
	rest, stocking := p.Result.Rest, p.In.Plan.Pond.Stocking
	hose := document.Prose{}
	if q := p.water.Rest.Quickest; q.Known && p.water.Rest.Unseen.Known {
		hose = document.Sentence("A hose off at the edge pumps the pond down to its intake in %v: fit a float switch.",
			soon(q.Value.ToBare))
	}
	t.Figure, t.Note = document.Plain("–"), hose
	if stocking == "none" {
		t.State, t.Says = document.Undecided, document.Sentence("no fish to lose")
		return t
	}
	if !rest.Known {
		t.Note = document.Sentence("How long the fish could bear it is not known.").When(!hose.IsZero(), " %v", hose)
		return t
	}
	m, _ := p.Result.Rest.Value.Worst(func(time.Month) bool { return true })
	five := m.Dusk.Five
	if !five.Known {
		t.Note = document.Sentence("%v.", document.Told(five.Why)).When(!hose.IsZero(), " %v", hose)
		return t
	}
	t.Figure = document.Sentence("%v", soon(five))
	t.Note = document.Sentence("until the fish may lack oxygen in a warm %v, in one case of ten.", plan.MonthNames[m.Month-1])
	if five.Value <= 0 {
		t.Figure = document.Plain("0 h")
		t.Note = document.Sentence("In a warm %v the fish may lack oxygen even before a stop.", plan.MonthNames[m.Month-1])
	}
	t.Note = t.Note.When(!hose.IsZero(), " %v", hose)
	return t
}
