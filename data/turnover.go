package data

import (
	"sunrill/data/units"
)

// TurnoverGoal is how long one turnover of the pond may take by rule of thumb.
type TurnoverGoal struct {
	Stocking          string // none, light, medium or heavy
	Goal              units.Duration
	Quickest, Slowest units.Duration // what the rule's own advice spans
	Rule, Source      string
}

type turnoverRow struct {
	Stocking string `csv:"stocking"`
	Goal     Number `csv:"goal_h"`
	Quickest Number `csv:"quickest_h"`
	Slowest  Number `csv:"slowest_h"`
	Rule     string `csv:"rule"`
	Source   string `csv:"source"`
}

var turnoverShelf = shelve[turnoverRow]("turnover", "How often the pond should pass the filter")

// TurnoverGoals returns the embedded table of goals, from no fish to many.
func TurnoverGoals() []TurnoverGoal {
	rows := turnoverShelf.rows()
	goals := make([]TurnoverGoal, len(rows))
	for i, r := range rows {
		goals[i] = TurnoverGoal{Stocking: r.Stocking, Rule: r.Rule, Source: r.Source,
			Goal:     units.Duration(r.Goal) * units.Hour,
			Quickest: units.Duration(r.Quickest) * units.Hour, Slowest: units.Duration(r.Slowest) * units.Hour}
	}
	return goals
}

// TurnoverGoalOf returns the goal of a stocking. The error is an *Error that lists
// the words there are.
func TurnoverGoalOf(stocking string) (TurnoverGoal, error) {
	return rowOf("pond.stocking", "stocking", stocking, TurnoverGoals(), func(g TurnoverGoal) string { return g.Stocking })
}

// FilterShare is a rule of thumb for the size of a bed against its pond.
type FilterShare struct {
	Stocking     string
	Basis        string  // "volume" or "area": of which of the pond's the bed is a share
	Low, High    float64 // 0 to 1
	Rule, Source string
}

type filterShareRow struct {
	Stocking string `csv:"stocking"`
	Basis    string `csv:"basis"`
	Low      Number `csv:"low"`
	High     Number `csv:"high"`
	Rule     string `csv:"rule"`
	Source   string `csv:"source"`
}

var filterShareShelf = shelve[filterShareRow]("filter_share", "Size of a gravel bed against its pond")

// FilterSharesOf returns the rules for a stocking, each with its basis; none
// for a stocking without one.
func FilterSharesOf(stocking string) []FilterShare {
	var shares []FilterShare
	for _, r := range filterShareShelf.rows() {
		if r.Stocking == stocking {
			shares = append(shares, FilterShare{r.Stocking, r.Basis, float64(r.Low), float64(r.High), r.Rule, r.Source})
		}
	}
	return shares
}
