package units

import (
	"strconv"
	"strings"
)

// Every quantity that people write has the same four methods, so that a flag (pflag.Value), a
// cell (encoding.TextUnmarshaler) and a plan key take the same words and give
// the same error. There is no MarshalText: machines get bare numbers, with the
// unit in the key.

// set stores what Parse reads, or leaves q alone.
func set[T ~float64](q *T, k Kind, s string) error {
	v, err := Parse(k, s)
	if err == nil {
		*q = T(v)
	}
	return err
}

// String returns l in its customary unit, to 12 digits.
func (l Length) String() string { return Format(KindLength, float64(l)) }

// Set reads s into l by the rules of [Parse].
func (l *Length) Set(s string) error { return set(l, KindLength, s) }

// Type returns the word that stands for the value in help texts.
func (l Length) Type() string { return KindLength.String() }

// UnmarshalText is Set for decoders.
func (l *Length) UnmarshalText(text []byte) error { return l.Set(string(text)) }

// String returns a in its customary unit, to 12 digits.
func (a Area) String() string { return Format(KindArea, float64(a)) }

// Set reads s into a by the rules of [Parse].
func (a *Area) Set(s string) error { return set(a, KindArea, s) }

// Type returns the word that stands for the value in help texts.
func (a Area) Type() string { return KindArea.String() }

// UnmarshalText is Set for decoders.
func (a *Area) UnmarshalText(text []byte) error { return a.Set(string(text)) }

// String returns v in its customary unit, to 12 digits.
func (v Volume) String() string { return Format(KindVolume, float64(v)) }

// Set reads s into v by the rules of [Parse].
func (v *Volume) Set(s string) error { return set(v, KindVolume, s) }

// Type returns the word that stands for the value in help texts.
func (v Volume) Type() string { return KindVolume.String() }

// UnmarshalText is Set for decoders.
func (v *Volume) UnmarshalText(text []byte) error { return v.Set(string(text)) }

// String returns q in its customary unit, to 12 digits.
func (q Flow) String() string { return Format(KindFlow, float64(q)) }

// Set reads s into q by the rules of [Parse].
func (q *Flow) Set(s string) error { return set(q, KindFlow, s) }

// Type returns the word that stands for the value in help texts.
func (q Flow) Type() string { return KindFlow.String() }

// UnmarshalText is Set for decoders.
func (q *Flow) UnmarshalText(text []byte) error { return q.Set(string(text)) }

// String returns v in its customary unit, to 12 digits.
func (v Velocity) String() string { return Format(KindVelocity, float64(v)) }

// Set reads s into v by the rules of [Parse].
func (v *Velocity) Set(s string) error { return set(v, KindVelocity, s) }

// Type returns the word that stands for the value in help texts.
func (v Velocity) Type() string { return KindVelocity.String() }

// UnmarshalText is Set for decoders.
func (v *Velocity) UnmarshalText(text []byte) error { return v.Set(string(text)) }

// String returns m in its customary unit, to 12 digits.
func (m Mass) String() string { return Format(KindMass, float64(m)) }

// Set reads s into m by the rules of [Parse].
func (m *Mass) Set(s string) error { return set(m, KindMass, s) }

// Type returns the word that stands for the value in help texts.
func (m Mass) Type() string { return KindMass.String() }

// UnmarshalText is Set for decoders.
func (m *Mass) UnmarshalText(text []byte) error { return m.Set(string(text)) }

// String returns f in its customary unit, to 12 digits.
func (f FeedRate) String() string { return Format(KindFeedRate, float64(f)) }

// Set reads s into f by the rules of [Parse].
func (f *FeedRate) Set(s string) error { return set(f, KindFeedRate, s) }

// Type returns the word that stands for the value in help texts.
func (f FeedRate) Type() string { return KindFeedRate.String() }

// UnmarshalText is Set for decoders.
func (f *FeedRate) UnmarshalText(text []byte) error { return f.Set(string(text)) }

// String returns p in its customary unit, to 12 digits.
func (p Power) String() string { return Format(KindPower, float64(p)) }

// Set reads s into p by the rules of [Parse].
func (p *Power) Set(s string) error { return set(p, KindPower, s) }

// Type returns the word that stands for the value in help texts.
func (p Power) Type() string { return KindPower.String() }

// UnmarshalText is Set for decoders.
func (p *Power) UnmarshalText(text []byte) error { return p.Set(string(text)) }

// String returns e in its customary unit, to 12 digits.
func (e Energy) String() string { return Format(KindEnergy, float64(e)) }

// Set reads s into e by the rules of [Parse].
func (e *Energy) Set(s string) error { return set(e, KindEnergy, s) }

// Type returns the word that stands for the value in help texts.
func (e Energy) Type() string { return KindEnergy.String() }

// UnmarshalText is Set for decoders.
func (e *Energy) UnmarshalText(text []byte) error { return e.Set(string(text)) }

// String returns c in its customary unit, to 12 digits.
func (c Charge) String() string { return Format(KindCharge, float64(c)) }

// Set reads s into c by the rules of [Parse].
func (c *Charge) Set(s string) error { return set(c, KindCharge, s) }

// Type returns the word that stands for the value in help texts.
func (c Charge) Type() string { return KindCharge.String() }

// UnmarshalText is Set for decoders.
func (c *Charge) UnmarshalText(text []byte) error { return c.Set(string(text)) }

// String returns v in its customary unit, to 12 digits.
func (v Voltage) String() string { return Format(KindVoltage, float64(v)) }

// Set reads s into v by the rules of [Parse].
func (v *Voltage) Set(s string) error { return set(v, KindVoltage, s) }

// Type returns the word that stands for the value in help texts.
func (v Voltage) Type() string { return KindVoltage.String() }

// UnmarshalText is Set for decoders.
func (v *Voltage) UnmarshalText(text []byte) error { return v.Set(string(text)) }

// String returns i in its customary unit, to 12 digits.
func (i Current) String() string { return Format(KindCurrent, float64(i)) }

// Set reads s into i by the rules of [Parse].
func (i *Current) Set(s string) error { return set(i, KindCurrent, s) }

// Type returns the word that stands for the value in help texts.
func (i Current) Type() string { return KindCurrent.String() }

// UnmarshalText is Set for decoders.
func (i *Current) UnmarshalText(text []byte) error { return i.Set(string(text)) }

// String returns a in its customary unit, to 12 digits.
func (a Angle) String() string { return Format(KindAngle, float64(a)) }

// Set reads s into a by the rules of [Parse].
func (a *Angle) Set(s string) error { return set(a, KindAngle, s) }

// Type returns the word that stands for the value in help texts.
func (a Angle) Type() string { return KindAngle.String() }

// UnmarshalText is Set for decoders.
func (a *Angle) UnmarshalText(text []byte) error { return a.Set(string(text)) }

// String returns d in its customary unit, to 12 digits.
func (d Duration) String() string { return Format(KindTime, float64(d)) }

// Set reads s into d by the rules of [Parse].
func (d *Duration) Set(s string) error { return set(d, KindTime, s) }

// Type returns the word that stands for the value in help texts.
func (d Duration) Type() string { return KindTime.String() }

// UnmarshalText is Set for decoders.
func (d *Duration) UnmarshalText(text []byte) error { return d.Set(string(text)) }

// ParseStopwatch reads minutes:seconds as a stopwatch shows them, 0:22 or 1:05.4,
// and reports whether text is such a time. A colon elsewhere may be hours and
// minutes, so that Parse takes none.
func ParseStopwatch(text string) (Duration, bool) {
	minutes, seconds, _ := strings.Cut(strings.TrimSpace(text), ":")
	m, err1 := strconv.ParseUint(minutes, 10, 8)
	s, err2 := ParseNumber(seconds)
	if err1 != nil || err2 != nil || len(seconds) < 2 || !isDigit(rune(seconds[0])) || !isDigit(rune(seconds[1])) || s >= 60 {
		return 0, false
	}
	return Duration(m)*Minute + Duration(s), true
}

// String returns t in its customary unit, to 12 digits.
func (t Temperature) String() string { return Format(KindTemperature, float64(t)) }

// Set reads s into t by the rules of [Parse].
func (t *Temperature) Set(s string) error { return set(t, KindTemperature, s) }

// Type returns the word that stands for the value in help texts.
func (t Temperature) Type() string { return KindTemperature.String() }

// UnmarshalText is Set for decoders.
func (t *Temperature) UnmarshalText(text []byte) error { return t.Set(string(text)) }

// String returns the share in per cent, to 12 digits.
func (s Share) String() string { return Format(KindShare, float64(s)) }

// Set reads text into s by the rules of [Parse].
func (s *Share) Set(text string) error { return set(s, KindShare, text) }

// Type returns the word that stands for the value in help texts.
func (s Share) Type() string { return KindShare.String() }

// UnmarshalText is Set for decoders.
func (s *Share) UnmarshalText(text []byte) error { return s.Set(string(text)) }
