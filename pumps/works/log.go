package works

import (
	"cmp"
	"slices"
	"strings"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// DatedFlow is a flow measured on a day.
type DatedFlow struct {
	Day     float64 // since the first test
	Flow    units.Flow
	Cleaned bool // pump and line were cleaned before it
}

// Upkeep is the trend of dated tests since the last cleaning, and when the line
// has to be cleaned again.
type Upkeep struct {
	From      int // index of the first test that counts
	FromWhy   string
	Trend     pumps.Trend // of the added resistance, or of the flow without a plan
	LimitFlow units.Flow  // at which to clean
	LimitWhy  string
	Reach     figure.Maybe[pumps.Reach]
}

// courses returns the first test of each course between two cleanings, and why the last
// is one. marked says that the log tells when the line was cleaned; where it does not, a
// flow that came back by a tenth (common practice, no source) is taken for a cleaning.
func courses(tests []DatedFlow, marked bool) (first []int, why string) {
	const back = 1.10
	first, why = []int{0}, "it is the first of the log"
	for i := 1; i < len(tests); i++ {
		switch {
		case tests[i].Cleaned:
			why = "the log says that the line was cleaned before it"
		case !marked && tests[i].Flow > back*tests[i-1].Flow:
			why = "the flow came back by more than a tenth before it, which is taken for a cleaning"
		default:
			continue
		}
		first = append(first, i)
	}
	return first, why
}

// LossBeforeCleaning returns the largest share of flow that was lost from the
// first test after a cleaning, or the first of all, to the last before the next.
// What comes after the last cleaning has not run its course and does not count.
// marked says that the log tells when the line was cleaned.
func LossBeforeCleaning(tests []DatedFlow, marked bool) figure.Maybe[float64] {
	loss, runs := 0.0, 0
	first, _ := courses(tests, marked)
	for k, next := range first[1:] {
		if next-1 > first[k] {
			runs++
			loss = max(loss, 1-float64(tests[next-1].Flow/tests[first[k]].Flow))
		}
	}
	switch {
	case runs == 0:
		return figure.Unknown[float64]("the log holds no two tests between one cleaning and the next")
	case loss > mostDirt:
		return figure.Unknown[float64]("the log has the flow all but stop before a cleaning")
	}
	return figure.Known(loss)
}

// Upkeep returns the trend of the tests with pump i of the plan and the day on
// which they come to the limit: the flow that meets the goal or the flow that the
// plan calls dirty, whichever is larger. The added resistance is taken to grow
// in a straight line. Tests beyond the pump's curve are left out with a warning.
// The error is about tests from which no trend can be had.
func (w *Waterworks) Upkeep(i int, tests []DatedFlow, marked bool) (Upkeep, []data.Warning, error) {
	pump := w.Pumps[i]
	c := pump.Curve(w.Speed)
	var warnings []data.Warning
	u, err := trendOf(tests, marked, func(q units.Flow) (float64, bool) {
		k, err := pumps.AddedResistance(c, w.Line, q)
		if err != nil {
			warnings = append(warnings, data.Warning{Key: "log", Message: units.Say("a test of {%s} is left out: %v",
				units.Format(units.KindFlow, float64(q)), err)})
		}
		return k, err == nil
	})
	if err != nil {
		return u, warnings, err
	}
	limit := w.Dirt.Resistance // of one line where the pump has several
	u.LimitFlow, u.LimitWhy = pumps.Operate(c, w.Dirty()).LeastFlow(), "the flow that the plan calls dirty"
	goal := w.Pond.Value.GoalFlow.Value / units.Flow(pump.Lines())
	if goal > u.LimitFlow && goal < pumps.Operate(c, w.Line).LeastFlow() {
		atGoal, err := pumps.DirtAt(c, w.Line, goal)
		if err != nil {
			return u, warnings, err
		}
		limit, u.LimitFlow, u.LimitWhy = atGoal.Resistance, goal, "the flow that meets the goal"
	}
	u.reach(limit, true)
	return u, warnings, nil
}

// UpkeepOfFlow returns the trend of the flow itself, without a plan: a straight
// line, and the day on which the share loss of the first flow is lost.
func UpkeepOfFlow(tests []DatedFlow, marked bool, loss float64) (Upkeep, error) {
	u, err := trendOf(tests, marked, func(q units.Flow) (float64, bool) { return float64(q), true })
	if err != nil {
		return u, err
	}
	limit := (1 - loss) * u.Trend.At(tests[u.From].Day)
	u.LimitFlow, u.LimitWhy = units.Flow(limit), "what is left of the first flow of the line through the tests"
	u.reach(limit, false)
	return u, nil
}

// trendOf returns the trend of a figure of each test since the last cleaning; of says
// which, and whether the test has it.
func trendOf(tests []DatedFlow, marked bool, of func(units.Flow) (float64, bool)) (u Upkeep, err error) {
	first, why := courses(tests, marked)
	u.From, u.FromWhy = first[len(first)-1], why
	var days, figures []float64
	for _, test := range tests[u.From:] {
		if v, has := of(test.Flow); has {
			days, figures = append(days, test.Day), append(figures, v)
		}
	}
	u.Trend, err = pumps.FitTrend(days, figures)
	return u, err
}

func (u *Upkeep) reach(limit float64, rising bool) {
	r, ok := u.Trend.Reaches(limit, rising)
	u.Reach = figure.Given(ok, r, "the tests show no loss over time")
}

// Running returns the index of the pump that a measurement is of: the one named,
// else the present one, else the plan's choice, else the only one.
func Running(p *plan.Plan, named string) (int, error) {
	var names []string
	var present, only string
	for _, pump := range p.Pumps {
		if names = append(names, pump.Name); pump.Present {
			present = pump.Name
		}
	}
	if len(names) == 1 {
		only = names[0]
	}
	if i := slices.Index(names, cmp.Or(named, present, p.Choice.Pump, only)); i >= 0 {
		return i, nil
	}
	return 0, &data.Error{Key: "--pump", Found: named, Message: "which of the plan's pumps was measured is not said",
		Allowed: strings.Join(names, ", "), Hint: "name it with --pump, or give it present = true in the plan"}
}
