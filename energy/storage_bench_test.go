package energy

import (
	"testing"

	"sunrill/data/plantest"
)

// BenchmarkStorage makes twenty years and the record of a load under them.
func BenchmarkStorage(b *testing.B) {
	p := plantest.SteadyLoad(b)
	for b.Loop() {
		if _, err := NewStorage(p, StorageFiles{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStorageSize sizes panel and battery over twenty years: the front of
// thirty panels, the choice, five other weathers.
func BenchmarkStorageSize(b *testing.B) {
	s, err := NewStorage(plantest.SteadyLoad(b), StorageFiles{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := s.Size(); err != nil {
			b.Fatal(err)
		}
	}
}
