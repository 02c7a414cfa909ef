package works

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data/chance"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Surely is how surely a pump meets the goal with the line dirty, counted over draws
// of everything that is uncertain (JCGM 101:2008).
type Surely struct {
	Word   string                       `json:"word"` // yes, probably, too close to tell, probably not, no
	Chance float64                      `json:"chance"`
	Low    figure.Maybe[units.Duration] `json:"turnover_low_h"` // Low and High hold the middle 80 %
	High   figure.Maybe[units.Duration] `json:"turnover_high_h"`
	// InPractice is the chance of a turnover within the slow end of the practice for
	// the stocking, where the goal is assumed from it.
	InPractice figure.Maybe[float64] `json:"inside_practice_chance"`
	// Moves is how much of the spread comes from what, the most first.
	Moves Movers `json:"moved_by"`
}

// Movers are counted when a page shows them.
type Movers func() []Mover

// Figure returns them.
func (m Movers) Figure() (v any, known bool, why units.Text) {
	if m == nil {
		return nil, false, "there is no verdict"
	}
	return m(), true, ""
}

// Mover is one uncertain input and its share of the spread.
type Mover struct {
	Input string  `json:"input"`
	Share float64 `json:"variance_fraction"`
}

// The least chances of the words: the bands of the guidance of the IPCC on likelihood
// (Mastrandrea et al. 2010), in words of a keeper.
const (
	ChanceYes         = 0.90
	ChanceProbably    = 0.66
	ChanceTooClose    = 0.33
	chanceProbablyNot = 0.10
)

// Likely returns the word for a chance.
func Likely(chance float64) string {
	switch {
	case chance >= ChanceYes:
		return "yes"
	case chance >= ChanceProbably:
		return "probably"
	case chance >= ChanceTooClose:
		return "too close to tell"
	case chance >= chanceProbablyNot:
		return "probably not"
	}
	return "no"
}

// How far the calculation of a line may be off; common practice, no source.
const (
	LiftError   units.Length = 0.05 // of a tape held over water
	LossesError float64      = 0.2  // of pipe and fittings
)

// GoalAssumed names a goal that nobody gave among what moves a verdict.
const GoalAssumed = "goal, which is assumed"

// dirtSteps is at how many shares of flow dirt is fitted; between them it is straight.
const dirtSteps = 9

type luck struct {
	line  []pumps.Luck // without dirt
	draws []draw       // one for each of line
	share []float64    // of flow that assumed dirt takes; nil where it is none or was seen
	moves []mover
	goal  []float64 // h, over the practice of an assumed goal; nil where it is given
	least float64   // a chance, below which it may be told lower
}

type draw struct {
	n      int // of luck.line
	dirt   pumps.Dirt
	volume float64 // m³; 0 where the pond is not known
}

type mover struct {
	name      string
	quantiles []float64
	label     bool // uncertain only of a pump with nothing but a label
}

func (w *WaterResult) luck() *luck {
	l := &luck{line: make([]pumps.Luck, chance.Draws), draws: make([]draw, chance.Draws)}
	add := func(name string, s chance.Shape, label bool) []float64 {
		u := chance.Uniform(name)
		l.moves = append(l.moves, mover{name, u, label})
		return s.Of(u)
	}
	curve := add("pump's own curve", chance.Triangular(-1, 0, 1), false)
	shape := add("what the box leaves open", chance.Triangular(0, pumps.MiddleShape, 1), true)
	liftError, lossesError := float64(LiftError), LossesError
	if w.Works.Fitted { // what was measured has them in it
		liftError, lossesError = 0, 0
	}
	lift := add("lift", chance.Rectangular(-liftError, liftError), false)
	losses := add("losses in the hose", chance.Rectangular(1-lossesError, 1+lossesError), false)
	for i := range l.line {
		l.line[i] = pumps.Luck{Curve: curve[i], Shape: shape[i], Lift: units.Length(lift[i]), Losses: losses[i]}
		l.draws[i].n = i
	}
	if w.Works.DirtAssumed && w.Works.DirtLoss > 0 {
		ends := DoubtedLosses(w.Works.DirtLoss)
		l.share = add("dirt before cleaning", chance.LogTriangular(ends[0], w.Works.DirtLoss, ends[1]), false)
	}
	w.soil(l)
	if !w.Pond.Known {
		return l
	}
	pond := w.Pond.Value
	low, high := pond.Low, pond.High
	for i, v := range add("pond's volume", chance.Triangular(float64(low), float64(pond.Pond.Volume()), float64(high)), false) {
		l.draws[i].volume = v
	}
	if r := pond.Rule; r.Known && !pond.GivenGoal && pond.Goal.Known {
		l.goal = add(GoalAssumed, chance.LogTriangular(r.Value.Quickest.In(units.Hour), pond.Goal.Value.In(units.Hour),
			r.Value.Slowest.In(units.Hour)), false)
	}
	return l
}

// soil gives each draw the dirt of w's line.
func (w *WaterResult) soil(l *luck) {
	var shares, fitted []float64
	ends := DoubtedLosses(w.Works.DirtLoss)
	if l.share != nil {
		for k := range dirtSteps {
			shares = append(shares, ends[0]+float64(k)/(dirtSteps-1)*(ends[1]-ends[0]))
		}
		fitted = w.Works.leastDirts(shares)
	}
	for i := range l.draws {
		d := &l.draws[i].dirt
		if *d = w.Works.Dirt; fitted != nil {
			d.Resistance = pumps.Between(fitted, (l.share[i]-ends[0])/(ends[1]-ends[0])*(dirtSteps-1))
		}
	}
}

// goal returns the goal [h], unknown where it or the pond is not known.
func (w *WaterResult) goal() figure.Maybe[float64] {
	if !w.Pond.Known {
		return figure.Unknown[float64](w.Pond.Why)
	}
	return figure.Then(w.Pond.Value.Goal, func(t units.Duration) float64 { return t.In(units.Hour) })
}

// asked returns the goal [h] where it is asked of p, which runs at all.
func (w *WaterResult) asked(p *WaterPump) figure.Maybe[float64] {
	if goal := w.goal(); !goal.Known || p.Dirty.Month != 0 {
		return goal
	}
	return figure.Unknown[float64]("the plan runs the pump in no month")
}

func (w *WaterResult) chanceOf(p *WaterPump, l *luck) figure.Maybe[float64] {
	return figure.Then(w.asked(p), func(goal float64) float64 {
		return p.within(w.turnovers(p, l, 1, goal), goal)
	})
}

// surely counts how surely p meets the goal; unknown where pond or goal are not.
func (w *WaterResult) surely(p *WaterPump, l *luck) figure.Maybe[Surely] {
	return figure.Then(w.asked(p), func(goal float64) Surely {
		turnovers := w.turnovers(p, l, 1, 0)
		s := Surely{Chance: p.within(turnovers, goal)}
		s.Word, s.InPractice = Likely(s.Chance), figure.Unknown[float64]("the goal is given, and not assumed from practice")
		if l.goal != nil {
			s.InPractice = figure.Known(p.within(turnovers, w.Pond.Value.Rule.Value.Slowest.In(units.Hour)))
		}
		s.Moves = func() []Mover {
			margin := slices.Clone(turnovers)
			for i := range l.goal { // one that is given changes no order
				margin[i] /= l.goal[i]
			}
			return l.movers(p, margin)
		}
		sorted := slices.Clone(turnovers)
		end := func(share float64) figure.Maybe[units.Duration] {
			t := chance.Quantile(sorted, share)
			return figure.Given(!math.IsInf(t, 0), units.Duration(t)*units.Hour, "in one draw of ten nothing flows")
		}
		s.Low, s.High = end(0.1), end(0.9)
		return s
	})
}

// within returns the share of p's turnovers that are within one of limit, all in h: none
// where a branch is dry, whose filter cleans nothing.
func (p *WaterPump) within(turnovers []float64, limit float64) float64 {
	met := 0
	if len(p.Dirty.Dry) > 0 {
		return 0
	}
	for _, t := range turnovers {
		if inGoal(t, limit) {
			met++
		}
	}
	return float64(met) / float64(len(turnovers))
}

// inGoal reports whether a turnover of t is within one of limit, both in h: the solvers'
// last digits decide nothing.
func inGoal(t, limit float64) bool { return t <= limit*(1+sameGoal) }

// sameGoal is by what share a goal may be missed in the last digits of a calculation.
const sameGoal = 1e-9

// turnovers returns one turnover of each draw [h], in the running month with the
// least water, of p scaled by the affinity laws; +Inf where nothing flows. With a limit
// [h] above 0 it may tell no more of a draw than whether it is within that.
func (w *WaterResult) turnovers(p *WaterPump, l *luck, scale, limit float64) []float64 {
	out, day, missed := make([]float64, len(l.draws)), w.Schedule.Day(p.Dirty.Month), 0
	for k, h := range day { // m³ a day
		pump := p.Pump.Drawn(h.Speed*scale, w.Works.Line)
		for i, d := range l.draws {
			near := 0.0 // m³/h that would do, in the last hours of the day
			if limit > 0 && k == len(day)-1 {
				if near = (24*d.volume/(limit*(1+sameGoal)) - out[i]) / h.Hours; near <= 0 {
					continue
				}
			}
			one := l.line[d.n]
			one.Dirt = d.dirt
			flow := pump.Flow(&one, units.Flow(near)*units.CubicMetrePerHour).In(units.CubicMetrePerHour)
			if out[i] += h.Hours * flow; flow < near {
				if missed++; float64(missed) > (1-l.least)*float64(len(out)) {
					break
				}
			}
		}
	}
	for i, perDay := range out {
		if out[i] = math.Inf(1); perDay > 0 {
			out[i] = 24 * l.draws[i].volume / perDay
		}
	}
	return out
}

// movers returns what moves outcome, the most first; what moves less than a hundredth
// is left out.
func (l *luck) movers(p *WaterPump, outcome []float64) []Mover {
	var names []string
	var inputs [][]float64
	for _, m := range l.moves {
		if !m.label || p.Pump.LabelOnly() {
			names, inputs = append(names, m.name), append(inputs, m.quantiles)
		}
	}
	var out []Mover
	for i, share := range chance.Shares(outcome, inputs) {
		if share >= 0.01 {
			out = append(out, Mover{names[i], share})
		}
	}
	slices.SortStableFunc(out, func(a, b Mover) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// Settle is the bucket that would make the verdict of a pump a sure one: filled that
// fast at one outlet just before cleaning, nine in ten ponds of that volume pass the
// goal.
type Settle struct {
	Bucket  units.Volume   `json:"bucket_l"`
	Seconds units.Duration `json:"seconds"`
}

// buckets are those that a keeper has; the least that takes long enough to time is
// named. Common practice, no source.
var buckets = []units.Volume{5 * units.Litre, 10 * units.Litre, 12 * units.Litre, 20 * units.Litre}

// settle returns the bucket that would settle the verdict of p: none where another pump
// runs today, as whatever that fills says nothing of this one.
func (w *WaterResult) settle(p *WaterPump, l *luck) figure.Maybe[Settle] {
	runs := slices.IndexFunc(w.Pumps, func(p WaterPump) bool { return p.Present })
	switch goal := w.goal(); {
	case runs >= 0 && !p.Present:
		return figure.Unknown[Settle](units.Say("a bucket can be timed of %s alone, which runs today", w.Pumps[runs].Name))
	case !goal.Known:
		return figure.Unknown[Settle](goal.Why)
	case p.Dirty.PerDay <= 0 || p.Dirty.Flow <= 0:
		return figure.Unknown[Settle]("nothing flows")
	}
	volumes := make([]float64, len(l.draws))
	for i, d := range l.draws {
		volumes[i] = d.volume
	}
	perDay := chance.Quantile(volumes, ChanceYes) * float64(units.Day/w.Pond.Value.Goal.Value)
	one := p.Dirty.Flow * units.Flow(perDay/float64(p.Dirty.PerDay)) / units.Flow(p.Pump.Lines())
	s := Settle{}
	for _, b := range buckets {
		if s.Bucket, s.Seconds = b, pumps.FillTime(b, one); s.Seconds >= 2*pumps.GoodFill {
			break
		}
	}
	return figure.Known(s)
}

// SurelyUnder counts how surely pump i meets the goal in other hours.
func (w *WaterResult) SurelyUnder(run plan.Run, i int) figure.Maybe[Surely] {
	return w.at(run).surely(&w.Pumps[i], w.drawn)
}

// ChanceUnder is the chance alone; one below least may be told lower.
func (w *WaterResult) ChanceUnder(run plan.Run, i int, least float64) float64 {
	l := *w.drawn
	l.least = least
	return w.at(run).chanceOf(&w.Pumps[i], &l).Value
}
