package still

import (
	"sunrill/data/units"
)

// Span is a range, its smaller end first.
type Span struct{ Low, High float64 }

// OxygenRates are the rates at which things in a pond use oxygen at 20 °C: the rows of
// the oxygen table.
type OxygenRates struct {
	Fish          Span    // mg/kg/h
	Water         Span    // mg/L/h
	Mud           Span    // mg/m²/h
	Nitrification Span    // g N/m² a day on the bed's grain
	Factor        float64 // by which fish, water and mud use more for each 10 °C
	TANShare      float64 // of the feed's protein that becomes ammonia nitrogen
	OxygenPerN    float64 // g/g
	Protein       float64 // of the feed
	Least         Oxygen  // that fish should never go below
}

// Gravel is the planted bed as a stop sees it.
type Gravel struct {
	Volume units.Volume // 0: no bed
	Voids  float64
	Grain  units.Length
}

// biofilmDemand returns the oxygen that biofilm on area [m²] uses [g/h] while
// it nitrifies at rate [g N/m² a day].
func biofilmDemand(area, rate, perN float64) float64 { return area * rate * perN / 24 }

// demand returns the oxygen the bed draws [g/h]: the smaller of what its
// biofilm could use and what the feed's nitrogen asks for.
func (g Gravel) demand(r OxygenRates, rate float64, feed units.Mass) float64 {
	if g.Volume == 0 {
		return 0
	}
	area := SpecificSurface(g.Grain, g.Voids) * float64(g.Volume)
	byFeed := AmmoniaFromFeed(feed, r.Protein, r.TANShare).In(units.Gram) * r.OxygenPerN / 24
	return min(biofilmDemand(area, rate, r.OxygenPerN), byFeed)
}

// forFeed returns the volume of such gravel whose biofilm, nitrifying at rate [g N/m² a
// day], takes the ammonia of a day's feed.
func (g Gravel) forFeed(r OxygenRates, rate float64, feed units.Mass) units.Volume {
	return units.Volume(AmmoniaFromFeed(feed, r.Protein, r.TANShare).In(units.Gram) / rate / SpecificSurface(g.Grain, g.Voids))
}
