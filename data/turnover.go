package data

import "sunrill/data/units"

// TurnoverGoal is how long one turnover of the pond may take by rule of thumb.
type TurnoverGoal struct {
	Stocking string         `csv:"stocking"` // none, light, medium or heavy
	Goal     units.Duration `csv:"goal"`
	Quickest units.Duration `csv:"quickest"` // what the rule's own advice spans
	Slowest  units.Duration `csv:"slowest"`
	Rule     string         `csv:"rule" json:"rule"`
	Source   string         `csv:"source" json:"rule_source"`
}

// FilterShare is a rule of thumb for the size of a bed against its pond.
type FilterShare struct {
	Stocking string  `csv:"stocking"`
	Basis    string  `csv:"basis"` // "volume" or "area": of which of the pond's the bed is a share
	Low      float64 `csv:"low"`   // 0 to 1
	High     float64 `csv:"high"`
	Rule     string  `csv:"rule"`
	Source   string  `csv:"source"`
}

var (
	turnoverShelf    = shelve[TurnoverGoal]("turnover", "How often the pond should pass the filter")
	filterShareShelf = shelve[FilterShare]("filter_share", "Size of a gravel bed against its pond")
)

// TurnoverGoalOf returns the goal of a stocking. The error is an *Error that lists
// the words there are.
func TurnoverGoalOf(stocking string) (TurnoverGoal, error) {
	return rowOf("pond.stocking", "stocking", stocking, turnoverShelf(), func(g TurnoverGoal) string { return g.Stocking })
}

// FilterSharesOf returns the rules for a stocking, each with its basis; none
// for a stocking without one.
func FilterSharesOf(stocking string) []FilterShare {
	var shares []FilterShare
	for _, r := range filterShareShelf() {
		if r.Stocking == stocking {
			shares = append(shares, r)
		}
	}
	return shares
}
