package still

import (
	"fmt"
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Span is a range, its smaller end first.
type Span struct{ Low, High float64 }

// OxygenRates are the rates at which things in a pond use oxygen at 20 °C, and
// the oxygen a stop begins and ends with: the rows of the oxygen table.
type OxygenRates struct {
	Fish          Span    // mg/kg/h
	Water         Span    // mg/L/h
	Mud           Span    // mg/m²/h
	Nitrification Span    // g N/m² a day on the bed's grain
	Factor        float64 // by which fish, water and mud use more for each 10 °C
	TANShare      float64 // of the feed's protein that becomes ammonia nitrogen
	OxygenPerN    float64 // g/g
	Protein       float64 // of the feed
	Start         Span    // share of saturation when the water stops, the poorer first
	Least         Oxygen  // that fish should never go below
}

// Gravel is the planted bed as a stop sees it.
type Gravel struct {
	Volume units.Volume // 0: no bed
	Voids  float64
	Grain  units.Length
}

// PondAtRest is a pond whose water has stopped.
type PondAtRest struct {
	Volume   units.Volume
	Surface  units.Area // 0: as if one metre deep
	Stocking string     // none, light, medium or heavy
	FishLow  units.Mass // kinder end of the fish in it
	FishHigh units.Mass
	FeedHigh units.Mass // a day, harsher end
	Bed      Gravel
	Month    string            // that the temperature stands for, for the reasons
	Water    units.Temperature // mean of that month; 3 °C is added for a warm spell
	Altitude units.Length
	Rates    OxygenRates
}

// OxygenDemand is what uses oxygen in the pond [g/h] at the harsher end.
type OxygenDemand struct{ Fish, Water, Mud, Bed float64 }

// Total returns the sum [g/h].
func (d OxygenDemand) Total() float64 { return d.Fish + d.Water + d.Mud + d.Bed }

// RestTime is how long a pond may stand still. Every figure is modelled from
// averages: see StopCautions.
type RestTime struct {
	Month      time.Month        `json:"rest_month"` // that it is for, as the caller says
	Water      units.Temperature // reckoned with, the warm spell included
	Saturation Oxygen
	Demand     OxygenDemand
	// LowEarly and LowLate are the low end of the range: everything draws, from
	// the poorer and the better start.
	LowEarly figure.Maybe[units.Duration] `json:"rest_low_early_h"`
	LowLate  figure.Maybe[units.Duration] `json:"rest_low_late_h"`
	// High is fish alone, resting, from the better start: the kind end, never
	// the answer by itself.
	High figure.Maybe[units.Duration] `json:"rest_fish_alone_h"`
	// BedEarly and BedLate are how long the bed's own water keeps oxygen.
	BedEarly  figure.Maybe[units.Duration] `json:"bed_rest_early_h"`
	BedLate   figure.Maybe[units.Duration] `json:"bed_rest_late_h"`
	PoreWater figure.Maybe[units.Volume]   `json:"pore_water_l"`        // in the bed, pushed into the pond on restart
	PoreShare figure.Maybe[float64]        `json:"pore_water_fraction"` // of the pond
	Warnings  data.Doubts
}

// WarmSpell is added to a month's mean water temperature [°C].
const WarmSpell = 3

// Rest returns how long p may stand still before its oxygen falls to the least
// that fish should have:
//
//	hours = (start - least) V / demand
//
// The low end draws for fish, water, mud and the bed at their harsher rates;
// the bed takes the smaller of what its biofilm could use and what the feed
// gives it. The high end draws for fish alone. Rates follow the temperature by
// Factor for each 10 °C from 20. Sources: OxygenSaturation; the oxygen table.
func Rest(p PondAtRest) (RestTime, error) {
	if err := p.check(); err != nil {
		return RestTime{}, err
	}
	pressure, err := pumps.AirPressure(p.Altitude)
	if err != nil {
		return RestTime{}, err
	}
	out := RestTime{Water: units.Celsius(max(0, p.Water.InCelsius()+WarmSpell))}
	if out.Saturation, err = OxygenSaturation(out.Water, pressure); err != nil {
		return RestTime{}, err
	}
	surface := float64(p.Surface)
	if surface == 0 {
		surface = float64(p.Volume)
		out.Warnings.Say("pond.surface", "no surface given: the mud is taken as if the pond were {1 m} deep")
	}
	r := p.Rates
	warm := math.Pow(r.Factor, (out.Water.InCelsius()-20)/10)
	// mg/kg/h × kg, mg/L/h × m³ × 1000 and mg/m²/h × m² are all mg/h.
	out.Demand = OxygenDemand{
		Fish:  warm * r.Fish.High * float64(p.FishHigh) / 1000,
		Water: warm * r.Water.High * float64(p.Volume),
		Mud:   warm * r.Mud.High * surface / 1000,
		Bed:   p.Bed.demand(r, r.Nitrification.High, p.FeedHigh),
	}
	v := float64(p.Volume)
	early, late := float64(out.Saturation)*r.Start.Low, float64(out.Saturation)*r.Start.High
	out.LowEarly = hoursTo(early, float64(r.Least), v, out.Demand.Total())
	out.LowLate = hoursTo(late, float64(r.Least), v, out.Demand.Total())
	out.High = figure.Unknown[units.Duration]("no fish")
	if kind := warm * r.Fish.Low * float64(p.FishLow) / 1000; kind > 0 {
		out.High = hoursTo(late, float64(r.Least), v, kind)
	}
	p.bed(&out, early, late)
	return out, nil
}

// bed fills in what happens to the bed's own water.
func (p PondAtRest) bed(out *RestTime, early, late float64) {
	const none = "no bed is described ([filter])"
	out.BedEarly, out.BedLate = figure.Unknown[units.Duration](none), figure.Unknown[units.Duration](none)
	water := p.Bed.Volume * units.Volume(p.Bed.Voids)
	out.PoreWater, out.PoreShare = figure.Given(water > 0, water, none), figure.Given(water > 0, float64(water/p.Volume), none)
	if p.Bed.Volume == 0 {
		return
	}
	r := p.Rates
	area := SpecificSurface(p.Bed.Grain, p.Bed.Voids) * float64(p.Bed.Volume)
	out.BedEarly = hoursTo(early, 0, float64(water), biofilmDemand(area, r.Nitrification.High, r.OxygenPerN))
	out.BedLate = hoursTo(late, 0, float64(water), biofilmDemand(area, r.Nitrification.Low, r.OxygenPerN))
}

// check returns the faults of p.
func (p PondAtRest) check() error {
	var faults data.FaultList
	b := p.Bed
	faults.Want(p.Volume > 0, "pond.volume", p.Volume, `more than 0, such as "9 m3"`)
	faults.Want(p.Surface >= 0, "pond.surface", p.Surface, "0 m2 or more")
	faults.Want(p.FishLow >= 0 && p.FishHigh >= p.FishLow, "pond.fish_mass", fmt.Sprint(p.FishLow, " to ", p.FishHigh),
		"0 kg or more, the smaller first")
	faults.Want(p.FeedHigh >= 0, "pond.feed_per_day", p.FeedHigh, "0 g or more")
	faults.Want(b.Volume == 0 || b.Volume > 0 && b.Voids > 0 && b.Voids < 1 && b.Grain > 0, "filter",
		fmt.Sprint(b.Volume, ", voids ", b.Voids, ", grain ", b.Grain), "a volume with voids between 0 and 1 and a grain size above 0")
	return faults.Err()
}

// hoursTo returns how long v m³ takes from c to least [mg/L] at demand [g/h].
func hoursTo(c, least, v, demand float64) figure.Maybe[units.Duration] {
	if demand <= 0 {
		return figure.Unknown[units.Duration]("nothing draws on the oxygen")
	}
	return figure.Known(units.Duration(max(0, c-least)*v/demand) * units.Hour)
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
