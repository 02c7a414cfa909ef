package pumps

import (
	"testing"

	"sunrill/data/units"
)

// BenchmarkDuty is one operating point: 10,000 of them are meant to take less
// than a second on one core.
func BenchmarkDuty(b *testing.B) {
	for _, name := range []string{"typical", "two_pipe_sizes", "droop_two_points"} {
		s, c, _ := referenceSystem(b, name)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, status := Solve(c, s); status != Meets {
					b.Fatal(status)
				}
			}
		})
	}
}

// BenchmarkTenThousandDuties is a table of speeds, as daylight pumping makes.
func BenchmarkTenThousandDuties(b *testing.B) {
	s, c, _ := referenceSystem(b, "typical")
	for b.Loop() {
		for i := range 10_000 {
			Solve(c.AtSpeed(0.6+0.4*float64(i)/10_000), s)
		}
	}
}

// BenchmarkNetwork is one operating point of two filters on one pump.
func BenchmarkNetwork(b *testing.B) {
	pipe := []Feed{{Bore: 25 * mm, Length: 5, Loss: Loss{K: 6}}}
	n := NewSystem(SystemSpec{Feeds: pipe, Temperature: units.Celsius(15), Branches: []SystemSpec{
		{StaticHead: 0.6, Feeds: pipe}, {StaticHead: 0.8, Feeds: pipe}}})
	c := referenceCurve(b, "small")
	b.ReportAllocs()
	for b.Loop() {
		if _, status := Solve(c, n); status != Meets {
			b.Fatal(status)
		}
	}
}

// BenchmarkReturnLevel follows one drawdown profile.
func BenchmarkReturnLevel(b *testing.B) {
	r := Return{Bore: 75 * mm, Length: 12, Fall: 0.005, Manning: 0.010, EntranceK: 0.5}
	for b.Loop() {
		r.Level(0.8 * lps)
	}
}
