package pumps

import "testing"

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
