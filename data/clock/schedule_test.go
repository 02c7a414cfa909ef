package clock

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"sunrill/data/plantest"
	"sunrill/data/units"
)

// monthsFrom returns the months from first to last, both included; December to
// February is three months.
func monthsFrom(first, last time.Month) Months {
	var m Months
	for i := first; ; i = i%12 + 1 {
		m |= 1 << (i - 1)
		if i == last {
			return m
		}
	}
}

func TestScheduleBadInput(t *testing.T) {
	h := units.Hour
	for name, c := range map[string]struct {
		keys  string
		bands []RunBand
	}{
		"beyond 24": {"run.1", []RunBand{{HourBand{Key: "run.1", From: 8 * h, To: 26 * h}, 1}}},
		"negative":  {"run.1", []RunBand{{HourBand{Key: "run.1", From: -1 * h, To: 2 * h}, 1}}},
		"overlap":   {"run.2", []RunBand{{HourBand{Key: "run.1", To: 12 * h}, 1}, {HourBand{Key: "run.2", From: 11 * h, To: 13 * h}, 1}}},
		"speed":     {"run.1.speed", []RunBand{{HourBand{Key: "run.1", To: 12 * h}, 1.6}}},
		"no number": {"run.1.speed", []RunBand{{HourBand{Key: "run.1", To: 12 * h}, math.NaN()}}},
	} {
		if _, err := NewSchedule(c.bands, 1, 0); plantest.FaultKeys(err) != c.keys {
			t.Errorf("%s: %v, want a fault of %s", name, err, c.keys)
		}
	}
}

func TestPropHourBandsSumToAYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edges := rapid.SliceOfNDistinct(rapid.IntRange(0, minutesPerDay-1), 2, 6, rapid.ID).Draw(t, "edges")
		season := monthsFrom(time.Month(rapid.IntRange(1, 12).Draw(t, "first")), time.Month(rapid.IntRange(1, 12).Draw(t, "last")))
		var bands []RunBand
		from := edges[0]
		for i := range edges {
			// Rising order starting from the first edge, so that bands follow each other.
			to := edges[0]
			best := minutesPerDay
			for _, e := range edges {
				if gap := (e - from + minutesPerDay) % minutesPerDay; gap > 0 && gap < best {
					best, to = gap, e
				}
			}
			bands = append(bands, RunBand{HourBand{Key: "run", Months: season, From: units.Duration(from) * units.Minute, To: units.Duration(to) * units.Minute}, float64(i%3) / 2})
			from = to
		}
		s, err := NewSchedule(bands, 1, Months(rapid.IntRange(0, 1<<12-1).Draw(t, "off")))
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, sh := range s.Hours() {
			sum += sh.Hours
		}
		if math.Abs(sum-8760) > 1e-6 {
			t.Fatalf("the bands sum to %.9g h", sum)
		}
	})
}

// TestLongestPause: stretches off the clock, by hand.
func TestLongestPause(t *testing.T) {
	band := func(from, to, speed float64) RunBand {
		return RunBand{HourBand: HourBand{Key: "band", From: units.Duration(from) * units.Hour, To: units.Duration(to) * units.Hour}, Speed: speed}
	}
	for _, tt := range []struct {
		name  string
		bands []RunBand
		base  float64
		off   Months
		want  float64
	}{
		{"never off", nil, 1, 0, 0},
		{"always off", nil, 0, 0, 24},
		{"over midnight", []RunBand{band(22, 6, 0)}, 1, 0, 8},
		{"on for eight hours", []RunBand{band(8, 16, 1)}, 0, 0, 16},
		{"from half past", []RunBand{band(22.5, 6, 0)}, 1, 0, 7.5},
		{"two pauses", []RunBand{band(3, 5, 0), band(12, 17, 0)}, 1, 0, 5},
		{"slow is not off", []RunBand{band(22, 6, 0.5)}, 1, 0, 0},
		{"months off are left out", nil, 1, 1 << 6, 0},
	} {
		s, err := NewSchedule(tt.bands, tt.base, tt.off)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.LongestPause(); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: %g h, want %g", tt.name, got, tt.want)
		}
	}
}
