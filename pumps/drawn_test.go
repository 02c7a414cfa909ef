package pumps

import (
	"math"
	"math/rand/v2"
	"testing"

	"sunrill/data/units"
)

// TestFlowsAreThoseOfTheSolver: the table of a curve and a line gives the flow that
// the solver finds for a pump and a line changed in the same way.
func TestFlowsAreThoseOfTheSolver(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	hump := []Point{{0, 2, 30}, {0.0004, 2.4, 40}, {0.0008, 2, 50}, {0.0014, 0.2, 55}}
	falls := []Point{{0, 3, 30}, {0.0005, 2.6, 40}, {0.001, 1.6, 50}, {0.0015, 0.8, 55}}
	part := falls[1:]
	met := map[Status]int{}
	for i := range 400 {
		spec := PumpSpec{Name: "p", Tolerance: gradeB, Points: [][]Point{falls, hump, part}[i%3]}
		if i%5 == 0 {
			spec.Points, spec.Label = nil, Label{Flow: 0.0012, Head: 2.5}
		}
		if i%7 == 0 {
			spec.Count, spec.OwnLines = 2, i%2 == 0
		}
		p, err := NewPump(spec)
		if err != nil {
			t.Fatal(err)
		}
		line := SystemSpec{StaticHead: units.Length(0.1 + 2.6*r.Float64()), Temperature: units.Celsius(15),
			Feeds: []Feed{{Bore: units.Length(0.02 + 0.03*r.Float64()), Length: 8, Roughness: 1e-5, Loss: Loss{K: 3}}}}
		clean := NewSystem(line)
		l := Luck{Curve: 2*r.Float64() - 1, Shape: r.Float64(), Lift: units.Length(0.1*r.Float64() - 0.05), Losses: 1, Dirt: Dirt{Resistance: 2e5 * r.Float64()}}
		if p.LabelOnly() {
			l.Shape = float64(i % 2)
		}
		line.StaticHead += l.Lift
		moved := NewSystem(line)
		speed := 0.6 + 0.4*r.Float64()
		curves := []Curve{p.Curve(speed).stretched(1+p.spec.Tolerance.Flow*l.Curve, 1, 1), p.Curve(speed).stretched(1, 1+p.spec.Tolerance.Head*l.Curve, 1)}
		if p.LabelOnly() {
			curves = []Curve{p.shared([]Curve{p.low, p.high}[i%2], speed).stretched(1+labelError*l.Curve, 1, 1)}
		}
		var want Operation
		for k, c := range curves {
			o := p.whole(Operate(c, moved.WithDirt(l.Dirt)), speed)
			if k == 0 || (o.LeastFlow() > want.LeastFlow()) == (l.Curve > 0) {
				want = o
			}
		}
		met[want.Status]++
		got := p.Drawn(speed, clean).Flow(&l, 0)
		// At the very edge of starting the steep of the surplus is lost in a cell.
		if q := want.LeastFlow(); math.Abs(float64(got-q)) > 4e-4*float64(p.FreeFlow(speed)) {
			t.Errorf("case %d %v: %.5g L/h, want %.5g", i, want.Status, got.In(units.LitrePerHour), q.In(units.LitrePerHour))
		}
	}
	if met[Meets] < 100 || met[NoLift] == 0 || met[BeyondCurve] == 0 {
		t.Errorf("the draw is one-sided: %v", met)
	}
}

// TestFlowsByLosses: losses a fifth higher are those of a line a fifth longer.
func TestFlowsByLosses(t *testing.T) {
	p, err := NewPump(PumpSpec{Name: "p", Tolerance: gradeB, Points: []Point{{0, 3, 0}, {0.0005, 2.6, 0}, {0.001, 1.6, 0}, {0.0015, 0.1, 0}}})
	if err != nil {
		t.Fatal(err)
	}
	line := func(by float64) *System {
		s := NewSystem(SystemSpec{StaticHead: 0.8, Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.025, Length: units.Length(8 * by), Roughness: 1e-5, Loss: Loss{K: 3 * by}}}})
		return s
	}
	want, _ := p.Duty(1, line(1.2))
	drawn := p.Drawn(1, line(1))
	more, own := drawn.Flow(&Luck{Losses: 1.2}, 0), drawn.Flow(&Luck{Losses: 1}, 0)
	if math.Abs(float64(more/want.Flow-1)) > 1e-4 || own <= more {
		t.Errorf("%g and %g, want %g", more, own, want.Flow)
	}
}

// TestNearAsksForTheSide: asked only whether it reaches some flow, a draw gives one on
// the side of its own; close to it, that itself.
func TestNearAsksForTheSide(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, spec := range []PumpSpec{
		{Name: "falls", Tolerance: gradeB, Points: []Point{{0, 3, 0}, {0.0005, 2.6, 0}, {0.001, 1.6, 0}, {0.0015, 0.1, 0}}},
		{Name: "begins late", Tolerance: gradeB, Points: []Point{{0.0005, 2.6, 0}, {0.001, 1.6, 0}, {0.0015, 0.1, 0}}, Count: 2, OwnLines: true},
		{Name: "humped", Tolerance: gradeB, Points: []Point{{0, 2, 0}, {0.0004, 2.4, 0}, {0.0008, 2, 0}, {0.0014, 0.2, 0}}},
	} {
		p, err := NewPump(spec)
		if err != nil {
			t.Fatal(err)
		}
		line := NewSystem(SystemSpec{StaticHead: 1.6, Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.025, Length: 8, Loss: Loss{K: 3}}}})
		drawn, dry := p.Drawn(1, line), 0
		for i := range 500 {
			l := &Luck{Curve: 2*r.Float64() - 1, Losses: 0.8 + 0.4*r.Float64(), Dirt: Dirt{2e6 * r.Float64()}, Lift: units.Length(2 * r.Float64())}
			own, near := drawn.Flow(l, 0), p.FreeFlow(1)*units.Flow(r.Float64())
			if i%2 == 0 {
				near = own * units.Flow(1+1e-4*(r.Float64()-0.5))
			}
			if q := drawn.Flow(l, near); (q >= near) != (own >= near) || i%2 == 0 && q != own && q > 0 && q < p.FreeFlow(1)*0.9 {
				t.Errorf("%s, draw %d: %g, its own %g, asked about %g", spec.Name, i, q, own, near)
			}
			if own == 0 {
				dry++
			}
		}
		if dry == 0 || dry == 500 {
			t.Errorf("%s: %d draws are dry", spec.Name, dry)
		}
	}
}

func BenchmarkFlows(b *testing.B) {
	p, _ := NewPump(PumpSpec{Name: "p", Tolerance: gradeB, Points: []Point{{0, 3, 0}, {0.0005, 2.6, 0}, {0.001, 1.6, 0}, {0.0015, 0.1, 0}}})
	s := NewSystem(SystemSpec{StaticHead: 0.8, Temperature: units.Celsius(15), Feeds: []Feed{{Bore: 0.025, Length: 8, Roughness: 1e-5, Loss: Loss{K: 3}}}})
	r := rand.New(rand.NewPCG(1, 2))
	l := make([]Luck, 2000)
	for i := range l {
		l[i] = Luck{Curve: 2*r.Float64() - 1, Losses: 0.8 + 0.4*r.Float64(), Dirt: Dirt{1e5 * r.Float64()}}
	}
	for b.Loop() {
		drawn := p.Drawn(1, s)
		for i := range l {
			drawn.Flow(&l[i], 0)
		}
	}
}
