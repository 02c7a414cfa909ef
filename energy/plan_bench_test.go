package energy

import (
	"testing"
)

// BenchmarkEvaluate takes the demo to each depth.
func BenchmarkEvaluate(b *testing.B) {
	in := demoInputs(b)
	for _, c := range []struct {
		name  string
		depth Depth
	}{{"water", Water}, {"sun", Sun}, {"all", All}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Evaluate(b.Context(), in, c.depth); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
