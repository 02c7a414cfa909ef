package plantest

import (
	"fmt"
	"math"
	"strings"

	"sunrill/data"
)

// curves writes n curves of growing size, the last without power.
func curves(n int) string {
	var b strings.Builder
	b.WriteString("pump;flow (L/h);head (m);power (W)\n")
	for i := range n {
		size := float64(i + 1)
		for p := range 9 {
			share := float64(p) / 8
			fmt.Fprintf(&b, "Pump %c;%.1f;%.3f;%.2f\n", 'A'+i, 2800*size*share, (2+0.6*size)*(1-math.Pow(share, 1.7))+0.02, 32*size*(0.7+0.3*share))
		}
	}
	return b.String()
}

// climate writes twelve months that any latitude up to widest can have.
func climate() string {
	var b strings.Builder
	b.WriteString("month,ghi_kwh_per_m2_day,temp_c\n")
	for m := range 12 {
		c := math.Cos(2 * math.Pi * float64(m-6) / 12)
		fmt.Fprintf(&b, "%d,%.2f,%.1f\n", m+1, 2.6+0.4*c, 12+8*c)
	}
	return b.String()
}

// weather writes a plain year of hours.
func weather() string {
	var b strings.Builder
	b.WriteString("time,ghi (W/m2),temperature (C)\n")
	for m, n := range data.MonthDays {
		for day := 1; day <= n; day++ {
			for h := range 24 {
				sun := math.Max(0, math.Sin(math.Pi*(float64(h)-6)/12))
				fmt.Fprintf(&b, "2019-%02d-%02d %02d:00,%.0f,%.1f\n", m+1, day, h, 500*sun, 10+6*sun)
			}
		}
	}
	return b.String()
}

// series writes two days of a measured log.
func series() string {
	var b strings.Builder
	b.WriteString("panel (W),load (W)\n")
	for h := range 48 {
		fmt.Fprintf(&b, "%.1f,20\n", 90*math.Max(0, math.Sin(math.Pi*(float64(h%24)-6)/12)))
	}
	return b.String()
}
