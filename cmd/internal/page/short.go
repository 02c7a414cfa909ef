package page

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/still"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// mostPumps is how many pumps have a row of the short answer.
const mostPumps = 3

// short is the short answer: the decision, then a part for each question that has an answer.
func (p *PlanPage) short() []document.Line {
	lines := p.checks()
	add := func(l document.Line) {
		if len(l.Rows)+len(l.Sentences()) > 0 {
			lines = append(lines, l)
		}
	}
	add(document.Line{Text: p.verdict().And(" ").When(!p.goalText().IsZero(), "%v", p.goalText())})
	few := p.few()
	add(p.enough(few))
	add(p.cost(few))
	add(p.noMains())
	add(p.danger())
	return lines
}

// checks are the slips in the plan that turn the whole answer, and values that are still
// those of a new plan: they come first.
func (p *PlanPage) checks() []document.Line {
	var said []document.Prose
	for _, l := range append(doubtLines(p.water.Works), notYoursLine(p.In.NotYours)...) {
		said = append(said, l.Text)
	}
	if len(said) == 0 || p.In.Demo {
		return nil
	}
	return []document.Line{{Label: "CHECK", Text: said[0], More: said[1:]}}
}

// verdict is the decision in a sentence.
func (p *PlanPage) verdict() document.Prose {
	c, near := p.water.Choice, p.nearest()
	name := thePump(near.Name)
	word, why := near.Surely.Value.Word, near.Unsound()
	switch {
	case near.Clean.Flow <= 0 && near.Dirty.Flow <= 0:
		return document.Sentence("No pump of the plan moves any water here.")
	case !near.Surely.Known:
		return document.Sentence("What flows is known, but not whether it is enough.")
	case c.Given && near.Surely.Value.Chance < works.ChanceTooClose && !p.inPractice(c.Nearest):
		return document.Sentence("%v, which the plan names, is not enough.", Capital(name.String()))
	case c.Index < 0, c.NoneMeets && !p.inPractice(c.Nearest) && len(near.Dirty.Dry) == 0:
		return document.Sentence("No pump of the plan is enough").When(len(p.pumps) > 1, "; %v comes nearest", name).And(".")
	case why != "":
		return document.Sentence("Not as it stands: with %v %v.", name, why)
	case near.Present && len(p.pumps) > 1 && !c.Given:
		return document.Sentence("Keep %v.", name)
	case len(p.pumps) > 1:
		s := document.Sentence("Use %v", name).When(c.Given, ", which the plan names")
		return s.When(!c.Given && (!near.Yearly.Known || near.Reason == works.NearlySure), ": %v", document.Told(near.Reason)).And(".")
	}
	is := map[string]string{works.Likely(1): "is enough", "probably": "is probably enough", "too close to tell": "may be enough: it is too close to tell"}[word]
	if is == "" {
		is = "is slower than the goal assumed, and not slower than is usual"
	}
	return document.Sentence("%v %v.", Capital(name.String()), is)
}

// goalText is the goal.
func (p *PlanPage) goalText() document.Prose {
	pond := p.water.Pond.Value
	if !p.water.Pond.Known || !pond.Goal.Known {
		return document.Prose{}
	}
	s := document.Sentence("Goal: all the water filtered every %v", document.Hours.Brief(pond.Goal))
	return s.When(pond.Rule.Known && !pond.GivenGoal, ", assumed").And(".")
}

// few returns the pumps of the short answer: all, or of more than mostPumps the choice,
// the one that runs today, the cheapest swap, the runner-up and then the surest.
func (p *PlanPage) few() []int {
	all := make([]int, len(p.pumps))
	for i := range all {
		all[i] = i
	}
	if len(all) <= mostPumps {
		return all
	}
	c := p.water.Choice
	weight := func(i int) float64 {
		w := p.water.Pumps[i].Surely.Value.Chance
		switch {
		case i == c.Nearest:
			w = 5
		case p.water.Pumps[i].Present:
			w = 4
		case p.keep.Value.SwapTo.Known && p.keep.Value.SwapTo.Value == p.water.Pumps[i].Name:
			w = 3
		case i == c.RunnerUp:
			w = 2
		}
		return w
	}
	slices.SortStableFunc(all, func(a, b int) int { return cmp.Compare(weight(b), weight(a)) })
	all = all[:mostPumps]
	slices.Sort(all)
	return all
}

// named names a pump in a row.
func (p *PlanPage) named(i int) document.Prose {
	pump := p.water.Pumps[i]
	s := document.Plain(pump.Name).When(pump.Number() > 1, " (%v of them)", pump.Number())
	return s.When(pump.Present, ", yours")
}

// others counts the pumps that have no row.
func (p *PlanPage) others(few []int) document.Prose {
	n := len(p.pumps) - len(few)
	return document.Prose{}.When(n > 0, "And %v more pumps in the long page.", n)
}

// enough holds the pumps against the goal.
func (p *PlanPage) enough(few []int) document.Line {
	l := document.Line{Label: "ENOUGH?"}
	for k, i := range few {
		v := p.water.Pumps[i].Surely
		word := "not known"
		if v.Known {
			word = v.Value.Word
		}
		l.Rows = append(l.Rows, []document.Prose{p.named(i), document.Plain(word), p.pace(i, k == 0)})
	}
	dry := p.nearest().Dirty.Dry
	throttle := document.Prose{}.When(len(dry) > 0, "Throttle the other branches, or give %v a pump of its own.", listed(dry))
	bare := document.Prose{}.When(p.water.Choice.Question != "", "A planted pond without fish may need no pump at all.")
	l.More = nonZero(bare, throttle, p.others(few), p.bucket(), p.lookFor(), p.wouldDo())
	return l
}

// pace is how often the pond turns over with pump i when the line is dirty, and what
// speaks against it all the same.
func (p *PlanPage) pace(i int, first bool) document.Prose {
	pump := p.water.Pumps[i]
	v, dirty, goal := pump.Surely.Value, pump.Dirty, p.water.Pond.Value.Goal
	var s document.Prose
	switch every := document.Hours.BriefBeside(dirty.Turnover, goal); {
	case pump.Clean.Flow <= 0 && dirty.Flow <= 0:
		return document.Sentence("no water flows: %v", document.Told(pump.Clean.Why))
	case dirty.Flow <= 0:
		return document.Sentence("no water once the line is dirty")
	case !dirty.Turnover.Known:
		return document.Sentence("%v when dirty: %v", document.Flow.Brief(dirty.Flow), document.Told(dirty.Turnover.Why))
	case v.Low.Known && v.High.Known && (dirty.OfLabel || v.Word != works.Likely(1) && v.Word != works.Likely(0)):
		low, high := document.Hours.Brief(v.Low), document.Hours.Brief(v.High)
		s = document.Sentence("every %v to %v", low, high)
		if !dirty.OfLabel {
			s = document.Sentence("every %v (somewhere in %v to %v)", every, low, high)
		}
	default:
		s = document.Sentence("every %v", every)
	}
	s = s.When(first, ", when the line is dirty").When(i == p.water.Choice.Nearest && p.inPractice(i), "; %v is usual", p.practice())
	if i == p.water.Choice.Nearest && len(dirty.Dry) == 0 { // of which the verdict has said why
		return s.When(pump.But() != "", ", by the flow alone")
	}
	return s.When(pump.But() != "", ", but %v", pump.But())
}

// bucket is the test that would settle the verdict of the pump that the page is about.
func (p *waterPage) bucket() document.Prose {
	b, near := p.water.Settle, p.nearest()
	if word := near.Surely.Value.Word; !b.Known || word == works.Likely(1) || word == works.Likely(0) {
		return document.Prose{}
	}
	return document.Sentence("To be sure, time a bucket just before you next clean: %v must fill in %v or less.",
		document.Litres.Brief(b.Value.Bucket), document.Seconds.Brief(b.Value.Seconds))
}

// lookFor is the smallest pump that would do, where there is but one or none does.
func (p *PlanPage) lookFor() document.Prose {
	c, l := p.water.Choice, p.water.Least
	none := c.NoneMeets && !p.inPractice(c.Nearest)
	if !l.Known || c.Faster.Known || !none && len(p.pumps) > 1 {
		return document.Prose{}
	}
	at := document.Sentence("%v against %v of lift and hose", document.Flow.Brief(l.Value.Flow), document.Head.Brief(l.Value.Head))
	switch near := p.nearest(); {
	case l.Value.Head > works.TallestPond:
		return document.Sentence("No pond pump would do: it would have to give %v. Check the volume, the goal and the hose.", at)
	case none:
		s := document.Sentence("Look for a pump that gives at least %v", at)
		wide := p.water.Wider
		s = s.When(wide.Known && wide.Value.Head < l.Value.Head, ", or %v on %v", document.Head.Brief(wide.Value.Head),
			plainHose(wide.Value.Hose))
		return s.And(".")
	case near.Clean.Flow > l.Value.Flow:
		return document.Sentence("A smaller one would do too, if it gives %v.", at)
	}
	return document.Prose{}
}

// wouldDo says what else would make the goal a sure one, the cheapest first.
func (p *PlanPage) wouldDo() document.Prose {
	if f := p.water.Choice.Faster; f.Known {
		return document.Sentence("%v would do at %v of full speed, day and night.", p.water.Pumps[f.Value.Pump].Name,
			document.Fraction.Brief(f.Value.Speed))
	}
	return p.remedy()
}

// cost compares what the pumps cost a year.
func (p *PlanPage) cost(few []int) document.Line {
	l := document.Line{Label: "COST"}
	priced, owned := false, false
	for _, i := range few {
		priced, owned = priced || p.costs[i].Year.Known, owned || p.water.Pumps[i].Yearly.Known && p.water.Pumps[i].Yearly.Why == ""
	}
	if !p.In.Plan.Site.Mains || !priced && p.Result.DayAndNight().Known { // nobody speaks of a bill, and the sun can carry it
		return l
	}
	l.Head = []document.Prose{document.Plain("a year"), document.Plain("electricity")}
	if owned {
		l.Head = append(l.Head, document.Plain("with new pumps as they wear out"))
	}
	for _, i := range few {
		var power document.Prose
		switch kwh := p.pumps[i].Mean; {
		case p.costs[i].Year.Known:
			power = document.Sentence("%v", p.money.Brief(p.costs[i].Year))
		case kwh.Known:
			power = document.Sentence("%v", document.KWhPerYear.Brief(kwh))
		default:
			continue
		}
		row := []document.Prose{p.named(i), power}
		if yearly := p.water.Pumps[i].Yearly; owned && yearly.Known && yearly.Why == "" {
			row = append(row, document.Sentence("%v", p.money.Brief(yearly)))
		} else if owned {
			row = append(row, document.Plain("not known: its price is not given"))
		}
		l.Rows = append(l.Rows, row)
	}
	if len(l.Rows) == 0 {
		l.Head = nil
		return l
	}
	l.Text = p.keepAnswer()
	if !priced {
		l.More = []document.Prose{document.Sentence("What that costs is not known: give the price of a kWh.")}
	}
	return l
}

// noMains is the cheapest way to the goal on panel and battery, what the owner's own pair
// carries, and what the sun alone would do.
func (p *PlanPage) noMains() document.Line {
	l := document.Line{Label: "NO MAINS"}
	if sun := p.Result.Solar; sun.Known && sun.Value.Worth.Known && !sun.Value.Worth.Value {
		l.Text = document.Sentence("%v.", document.Told(units.Text(Capital(string(sun.Value.Worth.Why)))))
	}
	l.More = nonZero(p.bestText(), p.ownText(), p.sunOnly())
	if !p.In.Plan.Site.Mains && l.Text.IsZero() && len(l.More) == 0 {
		l.Text = document.Sentence("What panel and battery would do is not known: %v.", document.Told(p.Result.DayAndNight().Why))
	}
	return l
}

// sunOnly is what the pump does on a panel without a battery.
func (p *PlanPage) sunOnly() document.Prose {
	found, row := p.Result.Daylight(), p.row(energy.DaylightOnly)
	if !found.Known || row == nil {
		return document.Prose{}
	}
	year := found.Value.Year
	worst := year.Months[year.Least]
	month := time.Month(worst.Month).String()
	s := document.Sentence("Sun only, %v panel", document.Power.Close(found.Value.PanelW)).When(row.Price.Known, ", %v",
		p.money.Brief(row.Price)).When(found.Value.Word == energy.NotEnough, ": NOT ENOUGH").And(". ")
	risk := document.Prose{}.When(row.Risk.Value >= still.HighRisk, "; %v risk to the fish", row.Risk.Value)
	if !row.Turnover.Known {
		return s.And("No water at all in %v%v.", month, risk)
	}
	return s.And("Every %v in %v, still for %v of a night, %v at worst%v.", document.Hours.Brief(row.Turnover), month,
		document.Hours.Brief(worst.Night), document.Hours.Brief(year.Longest), risk)
}

// danger is what could go wrong, the worst first.
func (p *PlanPage) danger() document.Line {
	near := p.nearest()
	l := document.Line{Label: "DANGER"}
	say := func(is bool, format string, args ...any) {
		if is {
			l.More = append(l.More, document.Sentence(format, args...))
		}
	}
	r := near.Return.Value
	say(r.Spills, "With leaves in the screen the filter tank SPILLS, and the pond runs dry: %v.", r.Remedy)
	say(near.Stays(), "After a power cut the pump does not start again by itself.")
	l.More = append(l.More, nonZero(p.hoseOff(), p.stopText())...)
	if d := p.Result.DayAndNight(); d.Known && d.Value.Storage.Frost != nil && d.Value.Storage.Outdoors() != nil {
		say(true, "Keep the battery above %v: charging it colder ruins it.", document.Temperature.Exact(d.Value.Storage.Frost.Least))
	}
	say(near.Clean.Flow > 0, "Pull the plug before anybody reaches into the water.")
	return l
}

// nonZero returns the sentences that say something.
func nonZero(all ...document.Prose) []document.Prose {
	return slices.DeleteFunc(all, document.Prose.IsZero)
}

// hoseOff is what a lost hose does to the pond.
func (p *PlanPage) hoseOff() document.Prose {
	r := p.water.Rest
	if !r.Unseen.Known {
		return document.Prose{}
	}
	left := r.Unseen.Value.LeftShare
	what, then := document.Sentence("%v of the pond", document.Fraction.Brief(1-left)), "fit a float switch"
	if left < pumps.NoneLeft {
		what, then = document.Plain("the pond"), "raise the intake, "+then
	}
	return document.Sentence("A hose off empties %v in %v: %v.", what, atLeast(r.Quickest.Value.ToBare), then)
}

// atLeast is a time in brief that is no longer than it is: what it leaves is to be acted in.
func atLeast(t units.Duration) document.Quantity {
	h, step := t.In(units.Hour), 0.5
	if h < 2 {
		step = 1.0 / 12
	}
	return document.Hours.Brief(max(math.Floor(h/step)*step, min(h, step)))
}

// stopText is how soon the fish lack air when the pump stops.
func (p *PlanPage) stopText() document.Prose {
	rest, stocking := p.Result.Rest, p.In.Plan.Pond.Stocking
	if stocking == "none" || stocking == "" && !rest.Known {
		return document.Prose{}
	}
	const ready = "Have air ready"
	if !rest.Known {
		return document.Sentence("How long the fish could bear a stop is not known. %v.", ready)
	}
	m, _ := rest.Value.Worst(func(time.Month) bool { return true })
	five := m.Dusk.Five
	switch {
	case five.Known && five.Value > 0:
		return document.Sentence("Pump off at dusk in %v: fish may lack air in %v. %v.", m.Month, atLeast(five.Value), ready)
	case five.Known:
		return document.Sentence("In %v fish may lack air even with the pump running. %v.", m.Month, ready)
	}
	return document.Sentence("Pump off on a warm night: fish may lack air. %v.", ready)
}

// furtherText says how to get the rest.
const furtherText = "add --all for every table and source, or -o page.html for pictures"

// plainHose names a hose without what only a shop knows.
func plainHose(name string) string {
	name, _, _ = strings.Cut(name, " SDR")
	return name
}
