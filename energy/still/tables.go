package still

import (
	"sunrill/data"
	"sunrill/data/units"
)

// TableOxygenRates returns the rates of the embedded oxygen table. It panics where
// that lacks a row.
func TableOxygenRates() OxygenRates {
	at := map[string]Span{}
	for _, r := range data.OxygenUses() {
		at[r.Key] = Span{float64(r.Low), float64(r.High)}
	}
	span := func(key string) Span {
		s, ok := at[key]
		if !ok {
			panic("still: the oxygen table has no row " + key)
		}
		return s
	}
	return OxygenRates{
		Fish: span("fish_respiration"), Water: span("water_respiration"), Mud: span("mud_respiration"),
		Nitrification: span("nitrification"),
		Factor:        span("temperature_factor").Low, TANShare: span("nitrogen_per_feed_protein").Low,
		OxygenPerN: span("oxygen_per_nitrogen").Low,
		Protein:    span("feed_protein").Low, Least: Oxygen(span("least_oxygen").Low),
	}
}

// Stocked fills in what a stocking says of the fish and feed of s where the keeper has
// not: ranges for the pond's volume. fish and feed [a day] are the keeper's own, 0 where
// not given; they count for nothing where the stocking is none.
func (s *Standing) Stocked(stocking string, fish, feed units.Mass) error {
	row, err := data.StockingOf(stocking)
	if err != nil {
		return err
	}
	v := float64(s.Volume)
	s.FishLow, s.FishHigh = units.Mass(float64(row.FishLowPerM3)*v), units.Mass(float64(row.FishHighPerM3)*v)
	if row.FishHighPerM3 == 0 {
		fish, feed = 0, 0
	}
	if fish > 0 {
		s.FishLow, s.FishHigh = fish, fish
	}
	s.FeedLow, s.FeedHigh = s.FishLow*units.Mass(row.FeedLowPerDay), s.FishHigh*units.Mass(row.FeedHighPerDay)
	if feed > 0 {
		s.FeedLow, s.FeedHigh = feed, feed
	}
	return nil
}
