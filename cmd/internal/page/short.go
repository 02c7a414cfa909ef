package page

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/still"
	"sunrill/pumps/works"
)

// mostPumps is how many pumps have a row of the short answer.
const mostPumps = 3

// short is the short answer: the decision, then a part for each question that has an answer,
// with how long the fish bear a stop only where the page tells it.
func (p *PlanPage) short(fish bool) []document.Line {
	few, o := p.few(), p.offered()
	verdict := document.Line{Text: p.verdict(o, p.unless()).And(" ").When(!p.goalText().IsZero(), "%v", p.goalText())}
	cost, better := p.cost(few), p.bestPlanText(p.Result.BestPlan)
	if p.In.Plan.Site.Mains {
		cost.More, better = nonZero(append(cost.More, better)...), document.Prose{}
	}
	silent := func(l document.Line) bool { return len(l.Rows)+len(l.Sentences()) == 0 }
	return slices.DeleteFunc([]document.Line{p.checks(), verdict, p.enough(few, o), cost, p.noMains(better), p.danger(fish)}, silent)
}

// checks are the slips in the plan that turn the whole answer, and values that are still
// those of a new plan: they come first.
func (p *PlanPage) checks() document.Line {
	var said []document.Prose
	for _, l := range append(doubtLines(p.water.Works), notYoursLine(p.In.NotYours)...) {
		said = append(said, l.Text)
	}
	if len(said) == 0 || p.In.Demo {
		return document.Line{}
	}
	return document.Line{Label: "CHECK", More: said}
}

// goalText is the goal.
func (p *PlanPage) goalText() document.Prose {
	pond := p.water.Pond.Value
	if !p.water.Pond.Known || !pond.Goal.Known {
		return document.Prose{}
	}
	s := document.Plain("Goal").When(pond.Rule.Known && !pond.GivenGoal, ", assumed")
	return s.And(": all the water filtered every %v, even with the hose dirty.", document.Hours.Brief(pond.Goal))
}

// all returns the pumps of the plan.
func (p *PlanPage) all() []int {
	all := make([]int, len(p.pumps))
	for i := range all {
		all[i] = i
	}
	return all
}

// few returns the pumps of the short answer: all, or of more than mostPumps the choice,
// the one that runs today, the cheapest swap, the runner-up and then the surest.
func (p *PlanPage) few() []int {
	all := p.all()
	if len(all) <= mostPumps {
		return all
	}
	c := p.water.Choice
	weight := func(i int) float64 {
		switch pump := p.water.Pumps[i]; {
		case i == c.Nearest:
			return 5
		case pump.Present:
			return 4
		case p.Result.Keep.Value.SwapTo.Known && p.Result.Keep.Value.SwapTo.Value == pump.Name:
			return 3
		case i == c.RunnerUp:
			return 2
		default:
			return pump.Surely.Value.Chance
		}
	}
	slices.SortStableFunc(all, func(a, b int) int { return cmp.Compare(weight(b), weight(a)) })
	all = all[:mostPumps]
	slices.Sort(all)
	return all
}

// named names a pump in a row.
func (p *PlanPage) named(i int) document.Prose {
	pump := p.water.Pumps[i]
	s := document.Plain(called(pump.Name)).When(pump.Number() > 1, " (%v of them)", pump.Number())
	return s.When(pump.Present, ", yours")
}

// others counts the pumps that have no row.
func (p *PlanPage) others(few []int) document.Prose {
	n := len(p.pumps) - len(few)
	return document.Prose{}.When(n > 0, "And %v more pumps: --all shows them.", n)
}

// enough holds the pumps against the goal, each run as the plan says.
func (p *PlanPage) enough(few []int, o offer) document.Line {
	l := document.Line{Label: "ENOUGH?"}
	if o.faster {
		l.Head = []document.Prose{document.Plain("at rated speed"), {}, {}}
	} else if !o.how.IsZero() {
		l.Head = []document.Prose{document.Plain(asPlanned(&p.In.Plan.Run)), {}, {}}
	}
	for _, i := range few {
		l.Rows = append(l.Rows, []document.Prose{p.named(i), p.howSurely(i), p.pace(i)})
	}
	dry := p.nearest().Dirty.Dry
	throttle := document.Prose{}.When(len(dry) > 0, "Try first to throttle the other branches; else give %v a pump of its own.",
		listed(dry))
	bare := document.Prose{}.When(p.water.Pond.Value.Stocking == "none", "A planted pond without fish may need no pump at all.")
	l.More = nonZero(bare, throttle, p.others(few), p.bucket(), p.lookFor(), p.wouldDo())
	return l
}

// asPlanned says how a plan runs its pumps.
func asPlanned(run *plan.Run) string {
	if run.Speed < 1 || len(run.Bands) > 0 {
		return "run as planned"
	}
	return "at full speed"
}

// word is the verdict on pump i.
func (p *PlanPage) word(i int) string {
	return wordOf(p.water.Pumps[i].Surely)
}

func wordOf(v figure.Maybe[works.Surely]) string {
	if v.Known {
		return v.Value.Word
	}
	return "not known"
}

// howSurely is the verdict on pump i with the chance that makes it one for it.
func (p *PlanPage) howSurely(i int) document.Prose {
	v := p.water.Pumps[i].Surely
	sure := v.Known && v.Value.Chance >= works.ChanceProbably
	return document.Plain(p.word(i)).When(sure, " (%v sure)", odds(v.Value.Chance))
}

// called is a name as it stands in a sentence, where it may not take all the room.
func called(name string) string {
	const most = 48 // letters
	if letters := []rune(document.Clean(name)); len(letters) > most {
		return strings.TrimSpace(string(letters[:most/2])) + "…" + strings.TrimSpace(string(letters[len(letters)-most/2:]))
	}
	return name
}

// every is a turnover beside the goal.
func (p *PlanPage) every(turnover any) document.Quantity {
	return document.Hours.BriefBeside(turnover, p.water.Pond.Value.Goal)
}

// pace is how often the pond turns over with pump i when the line is dirty, and what
// speaks against it all the same.
func (p *PlanPage) pace(i int) document.Prose {
	pump := p.water.Pumps[i]
	v, dirty := pump.Surely.Value, pump.Dirty
	var s document.Prose
	switch every := p.every(dirty.Turnover); {
	case pump.Clean.Flow <= 0 && dirty.Flow <= 0:
		return document.Sentence("no water flows: %v", document.Told(pump.Clean.Why))
	case dirty.Flow <= 0:
		return document.Sentence("no water once the line is dirty")
	case !dirty.Turnover.Known:
		return document.Sentence("%v when dirty: %v", document.Flow.Brief(dirty.Flow), document.Told(dirty.Turnover.Why))
	case v.Low.Known && v.High.Known && (dirty.OfLabel || v.Word != works.Likely(1) && v.Word != works.Likely(0)):
		low, high := document.Hours.Brief(v.Low), document.Hours.Brief(v.High)
		if s = document.Sentence("every %v", low); s.String() != document.Sentence("every %v", high).String() {
			s = s.And(" to %v", high)
		}
		if !dirty.OfLabel {
			s = document.Sentence("every %v (somewhere in %v to %v)", every, low, high)
		}
	default:
		s = document.Sentence("every %v", every)
	}
	s = s.When(i == p.water.Choice.Nearest && p.inPractice(i), "; %v is usual", p.practice())
	if i == p.water.Choice.Nearest && len(pump.Dirty.Dry) == 0 { // of which the verdict has said why
		return s.When(pump.But() != "", ", by the flow alone")
	}
	return s.When(pump.But() != "", ", but %v", pump.But())
}

// bucket is the test that would settle the verdict of the pump that the page is about.
func (p *PlanPage) bucket() document.Prose {
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
	at := document.Sentence("%v at %v", document.Flow.Close(l.Value.Flow), document.Head.Close(l.Value.Head))
	start := document.Prose{}.When(l.Value.Restart.Known, " To start again after a stop it has to push higher than %v.",
		document.Head.Close(l.Value.Restart)).When(l.Value.Spills.Known, " The tank spills from %v on: widen the return first.",
		document.Flow.Close(l.Value.Spills))
	switch near := p.nearest(); {
	case l.Value.Head > works.TallestPond:
		return document.Sentence("No pond pump would do: it would have to give %v. Check the volume, the goal and the hose.", at)
	case none:
		s := document.Sentence("Look for a pump whose curve shows at least %v", at)
		if n := near.Number(); n > 1 {
			s = document.Sentence("Look for %v pumps that together show at least %v", n, at)
		}
		wide := p.water.Wider
		s = s.When(wide.Known && wide.Value.Head < l.Value.Head, ", or at %v on %v", document.Head.Close(wide.Value.Head),
			plainHose(wide.Value.Hose))
		return s.And(".%v", start)
	case near.Clean.Flow > l.Value.Flow && near.Number() > 1:
		return document.Sentence("Smaller ones would do too, if together they give %v.%v", at, start)
	case near.Clean.Flow > l.Value.Flow:
		return document.Sentence("A smaller one would do too, if its curve shows %v.%v", at, start)
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

// electricity is what the power of pump i costs a year, or how much it is.
func (p *PlanPage) electricity(i int) document.Prose {
	cost, kwh := p.Result.Costs[i].Year, p.pumps[i].Mean
	return document.Prose{}.When(cost.Known, "%v", p.money.Brief(cost)).When(!cost.Known && kwh.Known, "%v",
		document.KWhPerYear.Brief(kwh))
}

// withPumps is what pump i costs a year with new ones as they wear out.
func (p *PlanPage) withPumps(i int) document.Prose {
	pump := p.water.Pumps[i]
	switch {
	case pump.Spec.Price == nil:
		return document.Plain("not known: its price is not given")
	case !pump.Yearly.Known:
		return document.Sentence("not known: %v", document.Told(pump.Yearly.Why))
	}
	return document.Sentence("%v", p.money.Brief(pump.Yearly))
}

// priced reports of which of the pumps it is known what electricity costs, and what new
// pumps do.
func (p *PlanPage) priced(few []int) (power, owned bool) {
	for _, i := range few {
		power = power || p.Result.Costs[i].Year.Known
		owned = owned || p.water.Pumps[i].Yearly.Known && p.water.Pumps[i].Spec.Price != nil
	}
	return power, owned
}

// cost compares what the pumps cost a year.
func (p *PlanPage) cost(few []int) document.Line {
	l := document.Line{Label: "COST"}
	priced, owned := p.priced(few)
	if !p.In.Plan.Site.Mains || !priced && p.carried().Known { // nobody speaks of a bill, and the sun can carry it
		return l
	}
	for _, i := range few {
		row := []document.Prose{p.named(i), p.electricity(i)}
		if row[1].IsZero() {
			continue
		}
		if owned {
			row = append(row, p.withPumps(i))
		}
		l.Rows = append(l.Rows, row)
	}
	if len(l.Rows) == 0 {
		return l
	}
	l.Head = []document.Prose{document.Plain("a year"), document.Plain("electricity")}
	if owned {
		l.Head = append(l.Head, document.Plain("with new pumps as they wear out"))
	}
	unpriced := document.Prose{}.When(!priced, "What that costs is not known: give the price of a kWh.")
	l.Text, l.More = p.keepAnswer(), nonZero(unpriced)
	return l
}

// noMains is the cheapest way to the goal on panel and battery, what the owner's own pair
// carries, what would be better, and what the sun alone would do.
func (p *PlanPage) noMains(better document.Prose) document.Line {
	l := document.Line{Label: "NO MAINS"}
	if p.notWorth() {
		l.Text = document.Sentence("%v.", document.Told(units.Text(Capital(string(p.Result.Solar.Value.Worth.Why)))))
	}
	best := p.bestText()
	if p.Result.Solar.Value.Own.Known && p.Result.Best().Known {
		best = document.Prose{} // it runs on the plan's own pair
	}
	l.More = nonZero(p.seasonText(), best, better, p.ownText(), p.sunOnly())
	pair, told := p.Result.DayAndNight(), !p.In.Plan.Site.Mains || len(l.More) > 0
	if told && l.Text.IsZero() && !pair.Known && !p.Result.Best().Known && !p.Result.Solar.Value.Own.Known {
		l.Text = document.Sentence("What panel and battery would do is not known: %v.", document.Told(pair.Why))
	}
	return l
}

// seasonText is what carries the bright part of the year, where the whole is not worth it.
func (p *PlanPage) seasonText() document.Prose {
	if season := p.Result.Solar.Value.Season; p.notWorth() && season.Known {
		v := season.Value
		s := document.Sentence("%v alone, %v", v.Name, p.wayName(v.Way))
		s = s.And(": %v panel, %v battery", document.Power.Close(v.Panel), document.WattHours.Close(v.Battery))
		s = s.When(v.Price.Known, ", %v", p.money.Brief(v.Price))
		return s.And("; the rest from a generator outdoors, some %v on %v of fuel.", document.HoursPerYear.Brief(v.Charger.Hours),
			document.Litres.Brief(v.Charger.Fuel))
	}
	return document.Prose{}
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
	base := p.ofBase()
	if p.Result.Best().Known && p.carriedPump() == p.Result.Base { // the line above is about it
		base = ""
	}
	s := document.Sentence("Sun only, ").When(base != "", "%von a ", base)
	s = s.And("%v panel", document.Power.Close(found.Value.PanelW)).When(row.Price.Known, ", %v",
		p.money.Brief(row.Price)).When(found.Value.Word == energy.NotEnough || row.Risk.Value >= still.HighRisk, ": NOT ENOUGH").And(". ")
	risk := document.Prose{}.When(row.Risk.Value >= still.HighRisk, "; %v risk to the fish", row.Risk.Value)
	if !row.Turnover.Known {
		return s.And("No water at all in %v%v.", month, risk)
	}
	return s.And("Every %v in %v; no flow for %v of a night, %v at worst%v.", document.Hours.Brief(row.Turnover), month,
		document.Hours.Brief(worst.Night), document.Hours.Brief(year.Longest), risk)
}

// nonZero returns the sentences that say something.
func nonZero(all ...document.Prose) []document.Prose {
	return slices.DeleteFunc(all, document.Prose.IsZero)
}

// furtherText says how to get the rest.
const furtherText = "add --all for every table and source, or -o page.html for pictures"
