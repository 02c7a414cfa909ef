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

// newFrost returns what frost does to a battery that meets what s says; outdoors
// and kept are the balances there and without frost, where they were run.
func newFrost(f *energy.Frost, sheltered bool, outdoors, kept figure.Maybe[battery.Balance]) figure.Maybe[frostObject] {
	if f == nil {
		return figure.Unknown[frostObject](noFrost)
	}
	o := frostObject{f.Least, "outdoors", calendar(f.Months), f.SunShare, figure.Then(outdoors, battery.Balance.UnmetFraction),
		figure.Then(outdoors, func(b battery.Balance) int { return b.Stops.LongestHours }), figure.Then(kept, battery.Balance.UnmetFraction)}
	switch {
	case f.Given:
		o.Stands = "given"
	case sheltered:
		o.Stands = "frost-free"
	}
	return figure.Known(o)
}

// frostLine says where a battery that was sized has to stand, nothing where that
// is all the same.
func frostLine(s *energy.Storage, outdoors figure.Maybe[battery.Balance]) document.Line {
	f := s.Frost
	switch {
	case f == nil:
		return document.Line{}
	case f.Given:
		return document.Line{Label: "Frost", Text: document.Sentence("%v.", givenFrost(f, s.Battery.Kind))}
	case s.Outdoors() == nil:
		return document.Line{}
	}
	return document.Line{Label: "Frost", Text: frostText(f, s.Battery.Kind, outdoors)}
}

func givenFrost(f *energy.Frost, kind string) document.Prose {
	return document.Sentence("at the temperatures given %v is too cold to be charged, below %v, %v", kind, document.Temperature.Exact(f.Least.InCelsius()), throughMonths(f.Months))
}

// frostText says that a battery must be kept from frost, and what it would do
// outdoors.
func frostText(f *energy.Frost, kind string, outdoors figure.Maybe[battery.Balance]) document.Prose {
	text := document.Sentence("the battery must stand where it never falls below %v: in a room or a heated box that stays so warm (its heat is not counted), or buy another kind. Outdoors %v",
		document.Temperature.Exact(f.Least.InCelsius()), coldText(f, kind))
	if outdoors.Known {
		text = document.Sentence("%v, and %v of the energy would be missing", text, document.Fraction.Of(outdoors.Value.UnmetFraction()))
	}
	return document.Sentence("%v.", text)
}

// coldText says what cannot be charged outdoors.
func coldText(f *energy.Frost, kind string) document.Prose {
	if f.Hourly {
		return document.Sentence("%v of the panel's energy comes while it is too cold to charge %v", document.Fraction.Of(f.SunShare), kind)
	}
	return document.Sentence("%v could not be charged %v", kind, throughMonths(f.Months))
}

func throughMonths(months []int) string {
	if len(months) == 12 {
		return "all year"
	}
	return "all through " + plan.MonthList(months)
}
