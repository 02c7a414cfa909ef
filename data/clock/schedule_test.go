package clock

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// band is a speed from one hour of the clock to another, all year.
func band(from, to, speed float64) plan.RunBand {
	return plan.RunBand{Hours: plantest.Hours(from, to), Months: plan.AllYear, Speed: speed}
}

func TestPropHourBandsSumToAYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := plan.Run{Speed: 1}
		for i := range rapid.IntRange(0, 5).Draw(t, "bands") {
			b := plan.RunBand{Speed: float64(i%3) / 2}
			for k := range b.Hours {
				b.Hours[k] = rapid.Bool().Draw(t, "half hour")
			}
			b.Months = plan.MonthSet(rapid.Uint16Max(uint16(plan.AllYear)).Draw(t, "months"))
			r.MonthsOff = plan.MonthSet(rapid.Uint16Max(uint16(plan.AllYear)).Draw(t, "off"))
			r.Bands = append(r.Bands, b)
		}
		sum := 0.0
		for _, sh := range ScheduleOf(r).Hours() {
			sum += sh.Hours
		}
		if math.Abs(sum-8760) > 1e-6 {
			t.Fatalf("the bands sum to %.9g h", sum)
		}
	})
}

// TestLongestPause: stretches off the clock, by hand.
func TestLongestPause(t *testing.T) {
	for _, tt := range []struct {
		name  string
		bands []plan.RunBand
		base  float64
		off   plan.MonthSet
		want  float64
	}{
		{"never off", nil, 1, 0, 0},
		{"always off", nil, 0, 0, 24},
		{"over midnight", []plan.RunBand{band(22, 6, 0)}, 1, 0, 8},
		{"on for eight hours", []plan.RunBand{band(8, 16, 1)}, 0, 0, 16},
		{"from half past", []plan.RunBand{band(22.5, 6, 0)}, 1, 0, 7.5},
		{"two pauses", []plan.RunBand{band(3, 5, 0), band(12, 17, 0)}, 1, 0, 5},
		{"slow is not off", []plan.RunBand{band(22, 6, 0.5)}, 1, 0, 0},
		{"months off are left out", nil, 1, 1 << 6, 0},
	} {
		s := ScheduleOf(plan.Run{Bands: tt.bands, Speed: tt.base, MonthsOff: tt.off})
		if got := s.LongestPause(); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %g h, want %g", tt.name, got, tt.want)
		}
	}
}
