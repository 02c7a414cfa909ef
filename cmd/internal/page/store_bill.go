package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/figure"
	"sunrill/energy"
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
		text = document.Sentence("%v x %v of panel", document.None.Exact(b.PanelUnits), document.Power.Exact(b.PanelUnitW))
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

// ladderTable shows them.
func (s store) ladderTable() document.Table {
	columns := document.Columns("years_in_ten: years in ten", "panel_w: panel", "battery_wh: battery", "price: price",
		"cost_per_year: a year", "longest_stop_h: longest stop", "bad_years: bad years", "record_years: of")
	columns[1].Digits, columns[2].Digits = ExactDigits, ExactDigits
	return document.TableOf("ladder", s.ladder().Value, columns).Priced(s.in.money())
}
