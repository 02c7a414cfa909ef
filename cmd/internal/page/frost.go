package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
)

// frostObject is what the cold keeps a battery from.
type frostObject struct {
	Least    units.Temperature `json:"least_charging_c"`
	Stands   string            `json:"stands"`          // "frost-free" where it is sized so, else "outdoors" or "given"
	Months   []int             `json:"months_too_cold"` // whose mean is below that
	SunShare float64           `json:"sun_too_cold_fraction"`
	// Of the same panel and battery outdoors and where it never is too cold.
	Outdoors figure.Maybe[float64] `json:"outdoors_unmet_fraction"`
	Stop     figure.Maybe[int]     `json:"outdoors_longest_stop_h"`
	Kept     figure.Maybe[float64] `json:"frost_free_unmet_fraction"`
}

const (
	noFrost = "the cold never keeps this battery from being charged, or its temperature is not known"
	// FrostIsGiven is the reason where a plan says how cold its battery stands.
	FrostIsGiven = "battery.temperature says where it stands"
)

// newFrost returns what frost does to the battery of s; outdoors and kept are the
// balances there and without frost, where they were run.
func newFrost(s *energy.Storage, outdoors, kept figure.Maybe[battery.Balance]) figure.Maybe[frostObject] {
	f := s.Frost
	if f == nil {
		return figure.Unknown[frostObject](noFrost)
	}
	o := frostObject{f.Least, "outdoors", calendar(f.Months), f.SunShare, figure.Then(outdoors, battery.Balance.UnmetFraction),
		figure.Then(outdoors, func(b battery.Balance) int { return b.Stops.LongestHours }), figure.Then(kept,
			battery.Balance.UnmetFraction)}
	switch {
	case f.Given:
		o.Stands = "given"
	case s.Outdoors() != nil:
		o.Stands = "frost-free"
	}
	return figure.Known(o)
}

// frostText says what the cold keeps a battery from, nothing where it keeps it from
// nothing: where it has to stand, if it was sized for such a place, and what it would
// miss outdoors; else what it would miss if it were kept from frost.
func frostText(s *energy.Storage, outdoors, kept figure.Maybe[battery.Balance]) document.Prose {
	f, kind := s.Frost, s.Battery.Kind
	if f == nil {
		return document.Prose{}
	}
	least := document.Temperature.Exact(f.Least)
	if f.Given {
		months := "all through " + plan.MonthList(f.Months)
		if len(f.Months) == 12 {
			months = "all year"
		}
		return document.Sentence("at the temperatures given %v is too cold to be charged, below %v, %v.", kind, least, months)
	}
	cold := document.Sentence("%v of the panel's energy comes while it is too cold to charge %v", document.Fraction.Of(f.SunShare), kind)
	if s.Outdoors() == nil {
		text := document.Sentence("the battery is taken to stand outdoors, where %v", cold)
		text = text.When(kept.Known, "; where it never falls below %v, %v of the energy would be missing (--set "+
			"\"battery.temperature=%v C\")",
			least, document.Fraction.Of(kept.Value.UnmetFraction()), f.Least.InCelsius())
		return text.And(".")
	}
	text := document.Sentence("the battery must stand where it never falls below %v: in a room or a heated box that stays so warm (its "+
		"heat is not counted), or buy another kind. Outdoors %v", least, cold)
	text = text.When(outdoors.Known, ", and %v of the energy would be missing", document.Fraction.Of(outdoors.Value.UnmetFraction()))
	return text.And(".")
}
