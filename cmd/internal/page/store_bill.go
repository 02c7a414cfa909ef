package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/bill"
	"sunrill/energy/money"
)

// turnsText says at which price of a battery another panel would be chosen, nothing where at none.
func (s store) turnsText() document.Prose {
	smaller, larger := s.Turns.Smaller, s.Turns.Larger
	text := document.Prose{}
	if smaller.Known {
		text = document.Sentence("a smaller panel would win if a Wh cost less than %v of a watt of panel", document.None.Of(smaller))
	}
	switch {
	case larger.Known && smaller.Known:
		text = text.And(", a larger one above %v", document.None.Of(larger))
	case larger.Known:
		text = document.Sentence("a larger panel would win if a Wh cost more than %v of a watt of panel", document.None.Of(larger))
	}
	return text
}

// billText says what is bought, each part with its price where that is known.
func (s store) billText() document.Prose {
	b, c := s.Bill, s.Front.Chosen
	if !b.PanelArea.Known {
		return document.Prose{}
	}
	price := func(part bill.Part) document.Prose {
		if p := b.Parts[part].Price; c.Price.Known && p > 0 {
			return document.Sentence(" %v", s.in.money().Of(p))
		}
		return document.Prose{}
	}
	text := document.Sentence("%v of panel", document.Power.Exact(c.PanelW))
	if b.PanelUnits.Known {
		text = document.Sentence("%v x %v of panel", document.None.Exact(b.PanelUnits), document.Power.Exact(b.PanelUnitW)).
			When(b.PanelSeries > 1, " (%v in series)", document.None.Exact(b.PanelSeries))
	}
	text = text.And(" (%v)%v", document.Area.Of(b.PanelArea), price(bill.Panel))
	text = text.When(b.Parts[bill.Mounting].Price > 0 && c.Price.Known, ", frame and the rest%v", price(bill.Mounting))
	switch {
	case c.BoughtWh == 0:
	case b.BatteryUnits.Known:
		text = text.And(", %v x %v of battery", document.None.Exact(b.BatteryUnits), document.WattHours.Exact(b.BatteryUnitWh))
		text = text.When(b.InSeries.Value > 1, " (%v in series)", document.None.Exact(b.InSeries)).And("%v", price(bill.Battery))
	default:
		text = text.And(", %v of battery%v", document.WattHours.Exact(c.BoughtWh), price(bill.Battery))
	}
	if b.Controllers > 0 {
		text = text.And(", %v x controller", document.None.Exact(b.Controllers))
		text = text.When(b.ControllerA.Known, " of %v", document.Amps.Exact(b.ControllerA)).And("%v", price(bill.Controllers))
	}
	return text.When(b.Parts[bill.Inverter].Price > 0 && c.Price.Known, ", inverter%v", price(bill.Inverter)).And(".")
}

// ladderRow is the cheapest pair that does in so many of ten years.
type ladderRow struct {
	YearsInTen  float64                   `json:"years_in_ten"`
	PanelW      figure.Maybe[float64]     `json:"panel_w"`
	BatteryWh   figure.Maybe[float64]     `json:"battery_wh"`
	Price       figure.Maybe[money.Money] `json:"price"`
	CostPerYear figure.Maybe[money.Money] `json:"cost_per_year"`
	LongestStop figure.Maybe[int]         `json:"longest_stop_h"`
	Bad         figure.Maybe[int]         `json:"bad_years"` // with a stop beyond its month's limit
	Years       int                       `json:"record_years"`
}

// ladder returns the pairs by how surely they do.
func (s store) ladder() figure.Maybe[[]ladderRow] {
	return figure.Then(s.Ladder, func(levels []energy.Level) []ladderRow {
		rows := make([]ladderRow, len(levels))
		for i, l := range levels {
			rows[i] = ladderRow{YearsInTen: l.YearsInTen, Years: l.Years}
			if c := l.Choice.Value; l.Choice.Known {
				rows[i].PanelW, rows[i].BatteryWh, rows[i].Price, rows[i].CostPerYear = s.watts(c.PanelW), figure.Known(c.BoughtWh),
					c.Price, c.PerYear
				rows[i].LongestStop, rows[i].Bad = figure.Known(c.Connected.Stops.LongestHours), figure.Known(c.Connected.BadYears)
				continue
			}
			figure.Explain(&rows[i], l.Choice.Why)
		}
		return rows
	})
}

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
