package energy

import (
	"fmt"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/units"
)

// PeukertTextbook returns how long a battery lasts at a steady current by the
// textbook form, whose capacity is that at 1 A, whatever the label says:
//
//	t = C / I^k      [h, Ah, A]
//
// Not to be mixed with PeukertRated: for the same battery the two differ by a
// lot. Source: Peukert 1897 as taught; check PK1.
func PeukertTextbook(capacity units.Charge, k float64, i units.Current) units.Duration {
	return units.Duration(capacity.In(units.AmpereHour)/math.Pow(float64(i), k)) * units.Hour
}

// PeukertRated returns how long a battery lasts at a steady current by the form
// for a capacity rated at H hours, as labels state it:
//
//	t = H (C / (I H))^k      [h, Ah, A]
//
// Checks PK2 and PK3.
func PeukertRated(capacity units.Charge, rated units.Duration, k float64, i units.Current) units.Duration {
	h := rated.In(units.Hour)
	return units.Duration(h*math.Pow(capacity.In(units.AmpereHour)/(float64(i)*h), k)) * units.Hour
}

// PeukertExponent returns k from two full discharges at steady currents:
//
//	k = ln(t1/t2) / ln(I2/I1)
//
// It is NaN where the currents are equal or a figure is not above 0; check PK4.
func PeukertExponent(i1 units.Current, t1 units.Duration, i2 units.Current, t2 units.Duration) float64 {
	k := math.Log(float64(t1/t2)) / math.Log(float64(i2/i1))
	if math.IsInf(k, 0) {
		return math.NaN()
	}
	return k
}

// RateShare returns the share of its nominal energy that b gives when it is
// emptied at a steady power, by PeukertRated with energies in place of charges
// (the voltage cancels):
//
//	(C / (P H))^(k-1), at most 1
//
// It is a caution, not part of the size: a pump's load is far below the rated
// current, and the usable share stops well before the end that the rate effect
// brings nearer. Slower than rated it is 1; the little gained there is not
// counted.
func (b Battery) RateShare(nominal units.Energy, load units.Power) float64 {
	if b.RatedHours <= 0 || b.Peukert <= 1 || load <= 0 || nominal <= 0 {
		return 1
	}
	rated := nominal.In(units.WattHour) / b.RatedHours
	return min(1, math.Pow(rated/float64(load), b.Peukert-1))
}

// fastShare is the RateShare below which it is said that a battery is drawn too
// fast. Common practice, no source.
const fastShare = 0.95

// drawnFast warns where the load empties a battery of a nominal size [Wh] so
// fast that it gives less than its label.
func (s *Storage) drawnFast(nominal float64) []data.Warning {
	most := slices.Max(s.Record.Load)
	share := s.Battery.RateShare(wattHours(nominal), units.Power(most))
	if share >= fastShare {
		return nil
	}
	return []data.Warning{{Key: "battery.size", Message: fmt.Sprintf(
		"%.3g W empty %.0f Wh faster than the %.0f h that it is rated at; by Peukert's exponent of %.3g it then gives some %.0f %% of its label, which is not counted: take a larger one",
		most, nominal, s.Battery.RatedHours, s.Battery.Peukert, 100*share)}}
}
