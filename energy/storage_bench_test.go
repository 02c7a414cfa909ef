package energy

import (
	"testing"

	"sunrill/data"
)

// gridPlan returns a plan of a steady load at a place of the built-in grid.
func gridPlan(tb testing.TB, sets ...string) *data.Plan {
	tb.Helper()
	p := data.NewPlan()
	all := []data.Setting{data.FlagSetting("lat", "52.4"), data.FlagSetting("lon", "13.1"), data.FlagSetting("load", "20 W")}
	for _, s := range sets {
		set, err := data.ParseSetting(s)
		if err != nil {
			tb.Fatal(err)
		}
		all = append(all, set)
	}
	if err := p.Apply(all); err != nil {
		tb.Fatal(err)
	}
	return &p
}

// BenchmarkStorage makes twenty years and the record of a load under them.
func BenchmarkStorage(b *testing.B) {
	p := gridPlan(b)
	for b.Loop() {
		if _, err := NewStorage(p, StorageFiles{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStorageSize sizes panel and battery over twenty years: the front of
// thirty panels, the choice, five other weathers.
func BenchmarkStorageSize(b *testing.B) {
	s, err := NewStorage(gridPlan(b), StorageFiles{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		z, err := s.Size()
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(z.Front.Passes), "passes")
	}
}
