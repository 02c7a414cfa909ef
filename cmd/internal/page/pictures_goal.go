package page

import (
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/money"
	"sunrill/pumps/works"
)

// goalPicture shows the water of every pump just before cleaning against the goal, each
// with the range that holds eight of ten draws.
func (p *PlanPage) goalPicture() document.Picture {
	pond, enough, sure := p.water.Pond.Value, 0, true
	bars := document.Series{Name: "just before cleaning", As: document.AsBars, Ink: document.InkWaterFill}
	spread := document.Series{Name: "may be", As: document.AsRange, Ink: document.InkBlack}
	c := document.Chart{Across: true, Y: document.Axis{Label: "water", Unit: document.Flow}}
	var named document.Prose
	alt := document.Sentence("A bar for each pump")
	for i, pump := range p.water.Pumps {
		flow := units.Flow(float64(pump.Dirty.PerDay) / float64(units.Day))
		low, high := flow, flow
		if v := pump.Surely.Value; v.Low.Known && pond.Volume > 0 {
			low, high = 0, units.Flow(float64(pond.Volume)/float64(v.Low.Value))
			if v.High.Known {
				low = units.Flow(float64(pond.Volume) / float64(v.High.Value))
			}
		}
		c.Names = append(c.Names, pump.Name)
		bars.Y = append(bars.Y, flow.In(units.CubicMetrePerHour))
		c.Says = append(c.Says, p.word(i))
		spread.Low, spread.Y = append(spread.Low, low.In(units.CubicMetrePerHour)), append(spread.Y, high.In(units.CubicMetrePerHour))
		if pump.Unsound() == "" && pump.Surely.Value.Chance >= works.ChanceProbably {
			enough++
			sure = sure && pump.Surely.Value.Chance >= works.ChanceYes
			named = named.When(!named.IsZero(), " and ").And("%v", called(pump.Name))
		}
		if i < mostTold {
			alt = alt.And("; %v gives %v, %v", called(pump.Name), document.Flow.Of(flow), p.word(i))
		}
	}
	c.Series = []document.Series{bars, spread}
	pic := document.Picture{Key: "pumps", Chart: c, Alt: alt.And(".")}
	if !pond.Goal.Known {
		pic.Title = document.Sentence("What each pump gives just before cleaning")
		return pic
	}
	pic.Chart.Rules = []document.Rule{{Name: "goal", At: pond.GoalFlow.Value.In(units.CubicMetrePerHour), Ink: document.InkAlarm}}
	pic.Alt = alt.And(". A line marks the goal of %v.", document.Flow.Of(pond.GoalFlow))
	goal, n := document.Sentence("enough for one turnover in %v", document.Hours.Brief(pond.Goal)), len(c.Names)
	surely := document.Prose{}.When(!sure, "probably ")
	switch {
	case enough == 0 && n == 1 && p.state(0) == document.Danger:
		pic.Title = document.Sentence("By its flow alone %v is %v", called(c.Names[0]), goal)
	case enough == 0 && n == 1:
		pic.Title = document.Sentence("%v is not sure to be %v", called(c.Names[0]), goal)
	case enough == 0:
		pic.Title = document.Sentence("No pump is sure to be %v", goal)
	case n == 1:
		pic.Title = document.Sentence("%v is %v%v", called(c.Names[0]), surely, goal)
	case n > mostTold:
		pic.Title = document.Sentence("%v of %v pumps are %v%v", enough, n, surely, goal)
	default:
		verb := map[bool]string{true: "is", false: "are"}[enough == 1]
		pic.Title = document.Sentence("%v %v %v%v", named, verb, surely, goal)
	}
	return pic
}

// mostTold is how many pumps are named in a sentence about all of them.
const mostTold = 4

// paidPicture shows what keeping the pump of today costs over the years against the
// swap that keep weighs.
func (p *PlanPage) paidPicture() (document.Picture, bool) {
	k := p.Result.Keep.Value
	owned, terms := p.Result.Owned()
	if !p.Result.Keep.Known || !k.SwapTo.Known || !k.Saving.Known {
		return document.Picture{}, false
	}
	pic := document.Picture{Key: "paid", Chart: document.Chart{
		X: document.Axis{Label: "years from now", Unit: document.None, To: float64(terms.Years)},
		Y: document.Axis{Label: "paid, in today's money", Unit: p.money}}}
	add := func(name, what string, ink document.Ink, dash document.Dash) money.Money {
		s := document.Series{Name: what + " " + called(name), As: document.AsLine, Ink: ink, Dash: dash}
		i := slices.IndexFunc(owned, func(o energy.PumpOwned) bool { return o.Name == name })
		var last money.Money
		for _, at := range terms.Paid(owned[i]) {
			s.X, s.Y, last = append(s.X, at.Years), append(s.Y, float64(at.Sum)), at.Sum
		}
		pic.Chart.Series = append(pic.Chart.Series, s)
		return last
	}
	old := add(k.Present, "keep", document.InkBlack, document.Dashed)
	fresh := add(k.SwapTo.Value, "buy", document.InkWater, document.Solid)
	pic.Title = document.Sentence("In %v %v costs %v in all, %v %v", data.Plural(terms.Years, "year"), k.Present, p.money.Of(old),
		k.SwapTo.Value, p.money.Of(fresh))
	if i := p.water.Choice.Index; i >= 0 && p.water.Pumps[i].Name == k.SwapTo.Value && k.Payback.Known {
		pic.Title = document.Sentence("%v is paid back in %v and lasts %v", k.SwapTo.Value, document.Years.Rough(k.Payback),
			document.Years.Rough(k.Life))
	}
	pic.Alt = document.Sentence("Two rising lines: after %v keeping %v has cost %v, buying %v %v.",
		data.Plural(terms.Years, "year"), k.Present, p.money.Of(old), k.SwapTo.Value, p.money.Of(fresh))
	return pic, true
}
