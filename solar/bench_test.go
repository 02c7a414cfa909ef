package solar

import "testing"

// twentyYears is 20 times the same generated year.
func twentyYears(g *Geometry) *Series {
	year := hazy(g, func(day int) float64 { return 0.2 + 0.5*float64(day%7)/7 })
	s := NewSeries(20 * HoursPerYear)
	for y := range 20 {
		from := y * HoursPerYear
		copy(s.GHI[from:], year.GHI)
		copy(s.DNI[from:], year.DNI)
		copy(s.DHI[from:], year.DHI)
	}
	copy(s.TempC, year.TempC)
	return s
}

func benchmarkArray(b *testing.B) (*Array, *Series) {
	site, _ := NewSite(-32.5*deg, 22*deg, 0)
	g := NewGeometry(site)
	array := NewArray(g, Plane{Tilt: 50 * deg, Albedo: 0.2}, typicalPanel())
	return array, twentyYears(g)
}

func BenchmarkPlaneOfArray20Years(b *testing.B) {
	array, s := benchmarkArray(b)
	dst := make([]float64, s.Hours())
	b.ReportAllocs()
	for b.Loop() {
		array.PlaneOfArray(dst, s)
	}
}

func BenchmarkYield20Years(b *testing.B) {
	array, s := benchmarkArray(b)
	dst := make([]float64, s.Hours())
	b.ReportAllocs()
	for b.Loop() {
		array.Yield(dst, s)
	}
}

func BenchmarkSplit20Years(b *testing.B) {
	array, s := benchmarkArray(b)
	for b.Loop() {
		array.Geometry.Split(s)
	}
}

func BenchmarkGeometry(b *testing.B) {
	site, _ := NewSite(-32.5*deg, 22*deg, 0)
	for b.Loop() {
		NewGeometry(site)
	}
}

func BenchmarkArray(b *testing.B) {
	array, _ := benchmarkArray(b)
	for b.Loop() {
		NewArray(array.Geometry, array.Plane, array.Panel)
	}
}

func BenchmarkBestPlane(b *testing.B) {
	array, s := benchmarkArray(b)
	for b.Loop() {
		BestPlane(array.Geometry, s, typicalPanel(), Plane{Albedo: 0.2}, nil, nil)
	}
}

func BenchmarkClimateAt(b *testing.B) {
	for b.Loop() {
		if _, err := ClimateAt(-32.5*deg, 22.3*deg); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkClimateOfPlace(b *testing.B) {
	for b.Loop() {
		if _, err := ClimateOfPlace("Zurich"); err != nil {
			b.Fatal(err)
		}
	}
}
