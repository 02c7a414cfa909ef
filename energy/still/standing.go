package still

import (
	"cmp"
	"math"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/chance"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Fall is the water that falls back into the pond while the pump runs.
type Fall struct {
	Flow      units.Flow
	Low, High units.Length // of the drop from lip to pond; both 0 for a return under water
	Lip       Span         // weir coefficient b: 1.0 sharp and sloping, 0.8 sharp, 0.6 to 0.8 flat, 0.45 round
}

// Oxygen of a pond that fish live in.
const (
	Distress   = Oxygen(2.5) // mg/L, between the 2 and 4 of the oxygen table's source
	mostWaterC = 40          // of the saturation equation
	alive      = 3           // mg/L at dawn that fish have to have had, where they are there; common practice, no source
	leastFew   = 100         // draws that have to be left for a limit
	stillBed   = 24          // h that a planted bed may stand, common practice, no source
	stillAir   = 72          // h, without a bed
)

// Exchange with the air, K at 20 °C times 1.024^(T-20). No wind is known, which would
// bring more (R. K. Gelda and others, Journal of Environmental Engineering 122, 1996: 0.2 U
// up to 3.5 m/s, from memory). The least transfer of still air is drawn over Surface
// (0.6 m/day is the least that D. A. Chin, Water-Quality Engineering, gives for
// flowing water; the lower end is common practice, no source); the weir coefficient a
// of water quality over Quality.
var (
	Surface = Span{0.2, 0.6} // K0 at 20 °C [m/day]
	Quality = Span{1.0, 1.6} // 1.6 slightly, 1.0 grossly polluted
)

const (
	nightHours = 12  // in which what breathes in the water makes nothing; a stated rule, as mostSated, no source
	noonShare  = 0.6 // of the swing is there at noon; common practice, no source
	mostSated  = 1.2 // of saturation
	transferBy = 1.024
)

// WarmSpell is how much warmer than its month the water may be [°C]; common practice,
// no source.
const WarmSpell = 3

// weir returns w of water that falls h m, at most 3, over a lip of coefficient b, with a
// for the quality of the water. At temperature T it divides the lack of oxygen by
//
//	r = 1 + w (1 + 0.046 T),  w = 0.38 a b h (1 - 0.11 h)
//
// Source: the form of 1973 after A. L. H. Gameson, as in Chapra, Surface
// Water-Quality Modeling, 1997, from memory.
func weir(a, b, h float64) float64 {
	h = min(h, 3)
	return 0.38 * a * b * h * (1 - 0.11*h)
}

// deficitRatio returns r of weir w at T [°C].
func deficitRatio(w, tC float64) float64 { return 1 + w*(1+0.046*tC) }

// Standing is a pond whose pump may stop, over a year.
type Standing struct {
	Volume            units.Volume
	Surface           units.Area
	FishLow, FishHigh units.Mass
	FeedLow, FeedHigh units.Mass // a day
	Bed               Gravel
	Water             [12]units.Temperature // monthly means; up to a warm spell is added
	Ice               [12]bool
	Altitude          units.Length
	Fall              Fall
	// Lives is the flow that falls back today where fish live in the pond and a pump
	// runs day and night; 0 where none does. Draws in which those fish could not live
	// are left out.
	Lives units.Flow
	Rates OxygenRates
	// Like is what the same pond came to with another flow, if it is known: it lends its
	// draws.
	Like *StandingTimes
}

// Later is a figure that is counted when a page shows it; nil without fish.
type Later[T any] func() figure.Maybe[T]

// Figure returns it.
func (l Later[T]) Figure() (v any, known bool, why units.Text) {
	if l == nil {
		return figure.Unknown[T](fishless).Figure()
	}
	return l().Figure()
}

// Times are hours from a stop until oxygen is down to 5 mg/L and to Distress.
type Times struct {
	Five     figure.Maybe[units.Duration] `json:"to_5_tenth_h"` // as in Tenths
	FiveHalf figure.Maybe[units.Duration] `json:"to_5_half_h"`
	Distress Later[Tenths]                `json:"to_distress_,inline"`
}

// Tenths are hours in the one draw of ten that comes to something first and in the one
// of two.
type Tenths struct {
	One  figure.Maybe[units.Duration] `json:"tenth_h"`
	Half figure.Maybe[units.Duration] `json:"half_h"`
}

// StandingMonth is how long the pond may stand in one month.
type StandingMonth struct {
	Month time.Month        `json:"month"`
	Water units.Temperature `json:"water_c"`
	Dawn  Later[Oxygen]     `json:"dawn_mg_per_l"` // the middle draw with the pump running
	Dusk  Times             `json:"dusk_,inline"`
	Noon  Later[Times]      `json:"noon_,inline"`
	// Limit is the longest stop to plan with, that begins in the month; unknown without
	// fish and bed.
	Limit figure.Maybe[units.Duration] `json:"limit_h"`
	Kept  int                          // of the draws

	ponds        []pond  // whatever flow falls back
	flow, volume float64 // that does [m³/h], and of the pond [m³]
}

// StandingTimes is the year of a pond that may stand still. Every figure is modelled from
// averages.
type StandingTimes struct {
	Months    [12]StandingMonth          `json:"stop_months"`
	PoreWater figure.Maybe[units.Volume] `json:"pore_water_l"`        // in the bed, pushed into the pond on restart
	PoreShare figure.Maybe[float64]      `json:"pore_water_fraction"` // of the pond
	// BedLow and BedHigh are the gravel whose biofilm takes the ammonia of the feed.
	BedLow   figure.Maybe[units.Volume] `json:"bed_for_feed_low_m3"`
	BedHigh  figure.Maybe[units.Volume] `json:"bed_for_feed_high_m3"`
	Warnings []data.Warning

	of Standing // without its flow
}

// LeavesOut reports whether a month has draws in which today's fish could not live.
func (t StandingTimes) LeavesOut() bool {
	return slices.ContainsFunc(t.Months[:], func(m StandingMonth) bool { return m.Dusk.Five.Why != fishless && m.Kept < chance.Draws })
}

// StandsFor returns how long s may stand still by month. Of each draw of all the rates,
// the mean of a day with the pump running is that at which air and fall bring what
// fish, mud and bed take; what breathes in the water swings it, from dawn to dusk by
// its breath of a night; and after a stop
//
//	V dC/dt = K A (Cs - C) - D
//
// with the night's demand of fish, water, mud and bed for as long as it lasts. The error
// joins every fault of s.
func StandsFor(s Standing) (StandingTimes, error) {
	var out StandingTimes
	fish := s.FishHigh > 0
	out.of = s
	if out.of.Fall.Flow, out.of.Like = 0, nil; s.Like != nil && s.Like.of != out.of {
		s.Like = nil
	}
	const none = "no bed is described ([filter])"
	water := s.Bed.Volume * units.Volume(s.Bed.Voids)
	out.PoreWater, out.PoreShare = figure.Given(water > 0, water, none), figure.Given(water > 0, float64(water/s.Volume), none)
	gravel := func(feed units.Mass, rate float64) figure.Maybe[units.Volume] {
		return figure.Given(feed > 0 && s.Bed.Grain > 0, s.Bed.forFeed(s.Rates, rate, feed), "nothing is fed")
	}
	out.BedLow, out.BedHigh = gravel(s.FeedLow, s.Rates.Nitrification.High), gravel(s.FeedHigh, s.Rates.Nitrification.Low)
	for m := range out.Months {
		month := &out.Months[m]
		month.Month, month.Water = time.Month(m+1), s.Water[m]
		if month.Limit = figure.Unknown[units.Duration]("neither fish nor a bed need the flow"); s.Bed.Volume > 0 {
			month.Limit = figure.Known(stillBed * units.Hour)
		}
		if !fish {
			month.Dusk = Times{Five: figure.Unknown[units.Duration](fishless), FiveHalf: figure.Unknown[units.Duration](fishless)}
		} else if s.Ice[m] {
			out.Warnings = append(out.Warnings, data.Warning{Key: "site.climate", Message: units.Say("ice may close the pond in %v: "+
				"then nothing comes in from the air; keep a hole open", month.Month)})
		}
	}
	if !fish {
		return out, nil
	}
	var d draws
	if s.Like == nil {
		d = s.draw()
	}
	var errs [12]error
	cores.Each(12, func(m int) {
		month := &out.Months[m]
		if s.Like != nil {
			month.ponds = s.Like.Months[m].ponds
		} else if month.ponds, errs[m] = s.season(m, d); errs[m] != nil {
			return
		}
		month.stands(s)
	})
	return out, cmp.Or(errs[:]...)
}

// fishless is the reason where there is nothing that oxygen is for.
const fishless = "no fish"

// until returns how long each pond takes from a stop to least, that begins when a share of
// the day's swing is there [h].
func (m *StandingMonth) until(least Oxygen, share float64) []float64 {
	hours := make([]float64, len(m.ponds))
	for i := range hours {
		p := &m.ponds[i]
		from := min(max(0, p.dawn(m.flow))+share*p.swing, mostSated*p.cs)
		hours[i] = hoursUntil(from, float64(least), p.cs, p.air, p.night, m.volume)
	}
	return hours
}

// from returns the times of a stop that begins when a share of the day's swing is there,
// and how many ponds are kept.
func (m *StandingMonth) from(share float64, least Oxygen) (t Times, kept int) {
	hours := m.until(least, share)
	five := tenths(hours)
	return Times{five.One, five.Half, func() figure.Maybe[Tenths] { return figure.Known(tenths(m.until(Distress, share))) }}, len(hours)
}

// stands fills in what the draws say of m.
func (m *StandingMonth) stands(s Standing) {
	m.flow, m.volume = s.Fall.Flow.In(units.CubicMetrePerHour), float64(s.Volume)
	m.Dusk, m.Kept = m.from(1, s.Rates.Least)
	m.Noon = func() figure.Maybe[Times] {
		t, _ := m.from(noonShare, s.Rates.Least)
		return figure.Known(t)
	}
	m.Dawn = func() figure.Maybe[Oxygen] {
		dawns := make([]float64, len(m.ponds))
		for i := range dawns {
			dawns[i] = max(0, m.ponds[i].dawn(m.flow))
		}
		return figure.Given(m.Kept >= leastFew, Oxygen(chance.Quantile(dawns, 0.5)), doubtful)
	}
	limit := stillAir * units.Hour
	if s.Bed.Volume > 0 {
		limit = stillBed * units.Hour
	}
	if five := m.Dusk.Five; five.Known {
		limit = min(limit, five.Value)
	}
	if m.Kept < leastFew {
		limit = 0
	}
	m.Limit = figure.Known(limit)
}

// doubtful is the reason where nearly no draw lets today's fish live.
const doubtful = "by the figures of the plan the fish that are there could hardly live: read the oxygen at dawn"

// tenths returns the tenth and the half of hours, which it puts in order; unknown where so
// few draws are left, or where it never comes to that.
func tenths(hours []float64) Tenths {
	at := func(p float64) figure.Maybe[units.Duration] {
		if len(hours) < leastFew {
			return figure.Unknown[units.Duration](doubtful)
		}
		h := chance.Quantile(hours, p)
		return figure.Given(!math.IsInf(h, 1), units.Duration(h)*units.Hour, "the air alone keeps it above that")
	}
	return Tenths{at(0.1), at(0.5)}
}

// leastSatC keeps a mean within the saturation equation [°C].
func leastSatC(t units.Temperature) float64 { return max(0, t.InCelsius()) }

// saturations returns the oxygen of saturation at t and up to a warm spell above it, at
// equal steps.
func saturations(t units.Temperature, p pumps.Pascal) ([]float64, error) {
	out := make([]float64, 5)
	for i := range out {
		c := min(mostWaterC, leastSatC(t)+WarmSpell*float64(i)/float64(len(out)-1))
		o, err := OxygenSaturation(units.Celsius(c), p)
		if err != nil {
			return nil, err
		}
		out[i] = float64(o)
	}
	return out, nil
}

// hoursUntil returns how long v m³ takes from c to least [mg/L] in the air of
// saturation cs, that brings air m³/h of water to it, at demand [g/h]; +Inf where the
// air alone keeps it above.
func hoursUntil(c, least, cs, air, demand, v float64) float64 {
	if c <= least {
		return 0
	}
	if air == 0 {
		if demand == 0 {
			return math.Inf(1)
		}
		return v * (c - least) / demand
	}
	end := cs - demand/air
	if end >= least {
		return math.Inf(1)
	}
	return v / air * math.Log((c-end)/(least-end))
}

// Worst returns the month of those that in holds with the shortest limit, of equal ones
// the one where half of the draws are down to 5 mg/L the soonest; false for none.
func (t StandingTimes) Worst(in func(time.Month) bool) (worst StandingMonth, found bool) {
	for _, m := range t.Months {
		if in(m.Month) && (!found || cmp.Or(cmp.Compare(m.Limit.Value, worst.Limit.Value), cmp.Compare(m.half(), worst.half())) < 0) {
			worst, found = m, true
		}
	}
	return worst, found
}

// half returns the hours from dusk until half of the draws are down to 5 mg/L: below 0
// where nearly no draw lets the fish live, +Inf where it never comes to that.
func (m StandingMonth) half() float64 {
	switch five := m.Dusk.FiveHalf; {
	case five.Known:
		return five.Value.In(units.Hour)
	case five.Why == doubtful:
		return -1
	}
	return math.Inf(1)
}

// GradeOf returns what a stop that begins in the month risks: slight up to the limit,
// beyond it moderate without fish, high where nine draws of ten keep Distress, else
// severe.
func (m StandingMonth) GradeOf(stop units.Duration) Grade {
	down := func() (n float64) { // to Distress by then
		for _, h := range m.until(Distress, 1) {
			if h < stop.In(units.Hour) {
				n++
			}
		}
		return n
	}
	switch {
	case stop <= 0 || !m.Limit.Known || stop <= m.Limit.Value:
		return SlightRisk
	case m.Dusk.Five.Why == fishless:
		return ModerateRisk
	case m.Kept >= leastFew && down() <= 0.1*float64(m.Kept):
		return HighRisk
	}
	return SevereRisk
}
