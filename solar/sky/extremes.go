package sky

import (
	"slices"

	"sunrill/data/units"
	"sunrill/solar"
)

// How far the air goes beyond the mean of its coldest and its hottest month (common
// practice, no source; held to the extreme hours of measured years by a test).
const (
	leastColdBelow = 15   // K below the coldest month's mean at a cold clear dawn
	coldPerRange   = 1.15 // of the yearly range of monthly means, where that is more
	coldReserve    = 5    // K below the coldest hour of a file, which is one year
	hotAbove       = 20   // K above the hottest month's mean in the afternoon
)

// ColdestAir returns the air at the coldest dawn: a file's coldest hour, else
//
//	T = coldest month - max(15 K, 1.15 (hottest month - coldest month)) + 5 K
//
// with months by their means. Common practice, no source: a record low of the place
// goes before it.
func (s *Sky) ColdestAir() units.Temperature {
	if s.HourlyAir {
		return units.Celsius(slices.Min(s.Weather.TempC))
	}
	months := s.Climate.TempC[:]
	cold := slices.Min(months)
	return units.Celsius(cold - max(leastColdBelow, coldPerRange*(slices.Max(months)-cold)) + coldReserve)
}

// ColdestCell returns the temperature by which the cold open-circuit voltage of a
// panel is reckoned:
//
//	T = min(coldest air - 5 K, coldest month - 15 K)
//
// Common practice, no source: one year is no record, and cells lie below the air at a
// clear dawn.
func (s *Sky) ColdestCell() units.Temperature {
	return units.Celsius(min(s.ColdestAir().InCelsius()-coldReserve, slices.Min(s.Climate.TempC[:])-leastColdBelow))
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

// HotWorking returns what a panel of a working voltage works at in the hottest cells, in full
// sun in HottestAir:
//
//	V = V_mp (1 + gamma (T - 25))
//
// by the power's coefficient, as the current hardly changes with heat.
func (s *Sky) HotWorking(working units.Voltage) units.Voltage {
	hot := solar.CellTemperature(s.HottestAir().InCelsius(), fullSun, s.Panel.NOCT)
	return working * units.Voltage(1+s.Panel.Gamma*(hot-stcCellC))
}

// fullSun is the irradiance at which panels are rated [W/m²].
const fullSun = 1000
