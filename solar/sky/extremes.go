package sky

import (
	"slices"

	"sunrill/data/units"
)

// How far the air goes beyond the mean of its coldest and its hottest month (common
// practice, no source; held to the extreme hours of measured years by a test).
const (
	leastColdBelow = 15   // K below the coldest month's mean at a cold clear dawn
	coldPerRange   = 1.15 // of the yearly range of monthly means, where that is more
	coldReserve    = 5    // K below the coldest hour of a file, which is one year
	hotAbove       = 20   // K above the hottest month's mean in the afternoon
)

// ColdestCell returns the temperature by which the cold open-circuit voltage of a
// panel is reckoned:
//
//	file     T = min(coldest hour - 5 K, coldest month - 15 K)
//	no file  T = coldest month - max(15 K, 1.15 (hottest month - coldest month))
//
// with months by their means. Common practice, no source: a record low of the place
// goes before it.
func (s *Sky) ColdestCell() units.Temperature {
	months := s.Climate.TempC[:]
	cold := slices.Min(months)
	if s.HourlyAir {
		return units.Celsius(min(slices.Min(s.Weather.TempC)-coldReserve, cold-leastColdBelow))
	}
	return units.Celsius(cold - max(leastColdBelow, coldPerRange*(slices.Max(months)-cold)))
}

// HottestAir returns the temperature of the air about a conductor in the shade by
// which its rating is reckoned:
//
//	T = max(hottest hour of a file, hottest month + 20 K)
//
// with the month by its mean. Common practice, no source.
func (s *Sky) HottestAir() units.Temperature {
	hot := slices.Max(s.Climate.TempC[:]) + hotAbove
	if s.HourlyAir {
		hot = max(hot, slices.Max(s.Weather.TempC))
	}
	return units.Celsius(hot)
}
