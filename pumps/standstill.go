package pumps

import (
	"math"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
)

// Spill is what a pond loses if the return is blocked or a hose comes off and
// nobody sees it: all that the pump lifts, until its intake is bare.
type Spill struct {
	ToBare    units.Duration `json:"hours_to_bare_intake_h"` // until it draws air
	Left      units.Volume   `json:"water_left_m3"`          // that the intake cannot reach
	LeftShare float64        `json:"water_left_fraction"`    // of the full pond
	Warnings  data.Doubts
}

// LeastLeft is the share of a pond below which what an intake cannot reach is
// called too little for the fish. Our own choice.
const LeastLeft = 0.3

// NoneLeft is the share of a pond below which a page says that the pump empties
// it: what would print as 0 %. Our own choice.
const NoneLeft = 0.005

// Unseen returns what becomes of the pond if flow q, above 0, leaves it unseen by an
// intake at height z above the deepest floor. The volume is taken at the low end of its
// error, the flow as steady although it falls a little with the level, so both err
// towards too soon.
func (p *Pond) Unseen(q units.Flow, z units.Length) Spill {
	low, _ := p.Range()
	left := p.VolumeBelow(z) * (low / p.Volume())
	s := Spill{ToBare: units.Duration(float64(low-left) / float64(q)), Left: left, LeftShare: float64(left / low)}
	s.Warnings.Say("pond.intake_height", "a float switch that stops the pump when the level falls is the first thing to fit")
	if s.LeftShare < LeastLeft {
		away := units.Text("the intake can pump the pond empty")
		if percent := math.Round(100 * s.LeftShare); percent > 0 {
			away = units.Say("the intake can pump away all but %.0f %% of the pond", percent)
		}
		s.Warnings.Say("pond.intake_height", "%s: raise it above the floor, so that a failure leaves the fish water", away)
	}
	return s
}

// Evaporation is what a month takes from the pond if nothing tops it up.
type Evaporation struct {
	Month  int                          `json:"month"`
	PerDay units.Volume                 `json:"loss_l_per_day"`
	Most   units.Volume                 `json:"high_loss_l_per_day"` // in wind and dry air
	Fall   units.Length                 `json:"fall_in_month_mm"`
	ToBare figure.Maybe[units.Duration] `json:"days_to_bare_intake_days"` // at this month's rate
}

// Evaporates returns the loss of each month from rates, the depth of water, 0 or more,
// that evaporates in a second, from January. wet is the surface that evaporates beside the
// pond's, such as a planted bed's; most is how many times rates a dry wind takes; z is the
// height of the intake above the floor.
func (p *Pond) Evaporates(rates [12]units.Velocity, z units.Length, wet units.Area, most float64) (months [12]Evaporation) {
	all := float64(p.Surface() + wet)
	for m, rate := range rates {
		perDay := float64(rate) * float64(units.Day)
		bare := float64(p.Depth()-z) / float64(rate) * float64(p.Surface()) / all
		months[m] = Evaporation{m + 1, units.Volume(perDay * all), units.Volume(most * perDay * all),
			units.Length(perDay * float64(data.MonthDays[m])),
			figure.Given(rate > 0 && bare > 0, units.Duration(bare), "nothing evaporates, or the intake stands at the surface")}
	}
	return months
}
