package page

import (
	"math"
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
	var named []string
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
			named = append(named, called(pump.Name))
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
	goal, n := document.Sentence("enough for one turnover in %v", document.Hours.Brief(pond.Goal)).
		When(!p.In.Plan.Site.Mains, " "+asPlanned(&p.In.Plan.Run)), len(c.Names)
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
		pic.Title = document.Sentence("%v %v %v%v", listed(named), verb, surely, goal)
	}
	return pic
}

// mostTold is how many pumps are named in a sentence about all of them.
const mostTold = 4

// scene returns the section through pond and filter with a pump, none where the pond is not known.
func (p *PlanPage) scene(pump works.WaterPump) *document.Scene {
	pond := p.water.Pond
	if !pond.Known {
		return nil
	}
	plan := &p.In.Plan
	flow := document.Sentence("nothing flows")
	if pump.Dirty.Flow > 0 {
		flow = flowing(pump.Dirty)
	}
	s := &document.Scene{Pump: pump.Name, Flow: flow, Clean: document.Prose{}.When(pump.Clean.Flow > 0,
		"just before cleaning; %v clean", flowing(pump.Clean)),
		Volume: document.Sentence("%v", document.Volume.Of(pond.Value.Volume)), LiftM: float64(p.water.Works.Line.Lift())}
	s.Lift = document.Sentence("%v", document.Head.Of(p.water.Works.Line.Lift()))
	area := math.Pow(float64(pond.Value.Volume), 2.0/3) * 1.5 // of a pond of usual shape, where the plan gives none
	if pond.Value.Surface.Known {
		area = float64(pond.Value.Surface.Value)
	}
	s.WidthM, s.DepthM = 2*math.Sqrt(area/math.Pi), 1.25*float64(pond.Value.Volume)/area
	if d := plan.Pond.Depth; d != nil {
		s.DepthM = float64(*d)
	}
	if f := p.water.Filter; f.Known && plan.Filter.Depth != nil {
		s.TankM = float64(*plan.Filter.Depth)
		s.TankWidthM = math.Sqrt(float64(f.Value.Volume) / s.TankM)
	}
	feeds, branches := plan.Feeds, len(plan.Branches)
	var length units.Length
	for _, f := range feeds {
		if f.Length != nil {
			length += *f.Length
		}
	}
	switch {
	case branches > 0:
		s.Hose = document.Sentence("%v branches", branches)
	case length > 0:
		s.Hose = document.Sentence("%v of hose", document.Length.Of(length))
		if bore := boreOf(feeds[longest(feeds)]); bore > 0 {
			s.Hose = document.Sentence("%v, bore %v", document.Length.Of(length), document.Bore.Of(bore))
		}
	}
	return s
}

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
