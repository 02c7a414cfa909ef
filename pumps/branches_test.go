package pumps

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/units"
)

func drawNetwork(t *rapid.T) *System {
	spec := SystemSpec{
		Feeds:       rapid.SliceOfN(rapid.Custom(drawFeed), 0, 2).Draw(t, "trunk"),
		Temperature: units.Celsius(15),
	}
	for range rapid.IntRange(1, 4).Draw(t, "branches") {
		f := drawFeed(t)
		f.Length += 0.5 // a branch without any loss shares at random
		f.Loss.K += rapid.Float64Range(0, 50).Draw(t, "valve")
		spec.Branches = append(spec.Branches, SystemSpec{
			StaticHead: units.Length(rapid.Float64Range(0, 2).Draw(t, "lift m")),
			Feeds:      []Feed{f},
		})
	}
	n := NewSystem(spec)
	return n
}

// Branch flows add up to the pump's and meet one head.
func TestBranchesAddUpAndMeetOneHead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		q := rapid.Float64Range(1e-6, 3e-3).Draw(t, "flow")
		head := n.lift + n.over(q)
		sum := 0.0
		for i, b := range n.Split(units.Flow(q)) {
			x := float64(b.Flow)
			sum += x
			s := n.branches[i]
			if x > 0 && !near(s.needs(x), head, 1e-6) {
				t.Fatalf("branch %d needs %g m at its flow, the node has %g m", i, s.needs(x), head)
			}
			if x == 0 && (head > s.lift*(1+1e-9) || math.Abs(float64(b.Short)-(s.lift-head)) > 1e-9) {
				t.Fatalf("branch %d gets nothing at %g m over a lift of %g m, short %g", i, head, s.lift, float64(b.Short))
			}
		}
		if !near(sum, q, 1e-6) {
			t.Fatalf("branches carry %g of %g m3/s", sum, q)
		}
		if more := n.needs(q * 1.1); more < n.needs(q)*(1-1e-9) {
			t.Fatalf("more flow needs less head: %g, %g m", more, n.needs(q))
		}
	})
}

// The fast way to the head of the node is the sure one, and it settles: of a
// hundred drawn networks no more than a few fall back.
func TestFastHeadIsTheSureOne(t *testing.T) {
	settled, all := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		q := rapid.Float64Range(1e-6, 3e-3).Draw(t, "flow")
		fast, ok := n.overFast(q)
		all++
		if !ok {
			return
		}
		settled++
		if sure := n.overSure(q); math.Abs(fast-sure) > 1e-9*max(sure, 1e-6) {
			t.Fatalf("fast %.17g m, sure %.17g m", fast, sure)
		}
	})
	t.Logf("%d of %d settled", settled, all)
	if settled*10 < all*9 {
		t.Errorf("%d of %d settled", settled, all)
	}
}

// A network of one branch is that system, and two equal branches on half the
// flow each are one of them.
func TestOneBranchIsASystemAndTwoAreTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFeed(t)
		f.Length += 0.5
		branch := SystemSpec{StaticHead: units.Length(rapid.Float64Range(0, 2).Draw(t, "lift")), Feeds: []Feed{f}}
		s := NewSystem(SystemSpec{StaticHead: branch.StaticHead, Feeds: branch.Feeds, Temperature: units.Celsius(15)})
		one := NewSystem(SystemSpec{Branches: []SystemSpec{branch}, Temperature: units.Celsius(15)})
		two := NewSystem(SystemSpec{Branches: []SystemSpec{branch, branch}, Temperature: units.Celsius(15)})
		q := rapid.Float64Range(1e-6, 2e-3).Draw(t, "flow")
		if !near(one.needs(q), s.needs(q), 1e-9) || !near(two.needs(2*q), s.needs(q), 1e-9) {
			t.Fatalf("system %g m, one branch %g m, two on twice the flow %g m", s.needs(q), one.needs(q), two.needs(2*q))
		}
		c := drawCurve(t)
		a, sa := Solve(c, s)
		b, sb := Solve(c.Parallel(2), two)
		if sa != sb || !near(2*float64(a.Flow), float64(b.Flow), 1e-6) {
			t.Fatalf("one pump on one line %v %v, two pumps on two lines %v %v", a.Flow, sa, b.Flow, sb)
		}
	})
}

// Equal branches at unequal height never share equally: the lower takes more.
func TestLowerBranchTakesMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFeed(t)
		f.Length += 0.5
		low := units.Length(rapid.Float64Range(0, 1).Draw(t, "low"))
		high := low + units.Length(rapid.Float64Range(0.01, 1).Draw(t, "higher by"))
		n := NewSystem(SystemSpec{Temperature: units.Celsius(15), Branches: []SystemSpec{
			{Name: "low", StaticHead: low, Feeds: []Feed{f}}, {Name: "high", StaticHead: high, Feeds: []Feed{f}}}})
		split := n.Split(units.Flow(rapid.Float64Range(1e-5, 3e-3).Draw(t, "flow")))
		if split[0].Flow <= split[1].Flow {
			t.Fatalf("low %v, high %v", split[0].Flow, split[1].Flow)
		}
	})
}

func TestBranchAboveTheNodeGetsNothing(t *testing.T) {
	pipe := []Feed{{Bore: 40 * mm, Length: 2}}
	n := NewSystem(SystemSpec{Temperature: units.Celsius(15), Branches: []SystemSpec{
		{Name: "bog", StaticHead: 0.8, Feeds: []Feed{{Bore: 25 * mm, Length: 5, Loss: Loss{K: 6}}}},
		{Name: "tower", StaticHead: 1.5, Feeds: pipe},
	}})
	o := Operate(referenceCurve(t, "small"), n)
	if o.Status != Meets {
		t.Fatal(o.Why)
	}
	split := n.Split(o.Duty.Flow)
	if split[0].Flow != o.Duty.Flow || split[1].Flow != 0 {
		t.Errorf("split %+v", split)
	}
	if split[1].Short <= 0 || !hasWarning(n.Notes(o.Duty.Flow), "tower gets no water") {
		t.Errorf("short %v, warnings %v", split[1].Short, n.Notes(o.Duty.Flow))
	}
	// A valve in the low branch raises the node until the high one runs.
	spec := n.Spec()
	spec.Branches = append([]SystemSpec(nil), spec.Branches...)
	spec.Branches[0].Feeds = []Feed{{Bore: 25 * mm, Length: 5, Loss: Loss{K: 506}}}
	throttled := NewSystem(spec)
	d, _ := Solve(referenceCurve(t, "small"), throttled)
	if s := throttled.Split(d.Flow); s[1].Flow <= 0 {
		t.Errorf("with the low branch throttled the high one gets %v", s[1].Flow)
	}
	// Dirt in the trunk takes from all.
	if dirty, _ := Solve(referenceCurve(t, "small"), throttled.WithDirt(Dirt{Resistance: 1e6})); dirty.Flow >= d.Flow {
		t.Error("dirt does not slow the network")
	}
}

// A crest of the trunk that is not open asks nothing of a full line, and its
// height of a pump that starts.
func TestCrestOfATrunk(t *testing.T) {
	feed := []Feed{{Bore: 25 * mm, Length: 5}}
	spec := SystemSpec{Feeds: feed, Temperature: units.Celsius(15), Branches: []SystemSpec{{StaticHead: 0.5, Feeds: feed}, {StaticHead: 0.6, Feeds: feed}}}
	low := NewSystem(spec)
	spec.Crest = 50
	high := NewSystem(spec)
	a, b := Operate(referenceCurve(t, "small"), low), Operate(referenceCurve(t, "small"), high)
	if a.Duty != b.Duty || a.NoStart || !b.NoStart {
		t.Errorf("%+v and %+v", a, b)
	}
	// A check valve that opens at 0.2 m in the trunk is lifted over as one in a branch is.
	spec.Feeds = []Feed{{Bore: 25 * mm, Length: 5, Cracking: 0.2}}
	if valve := NewSystem(spec); !near(float64(valve.Lift()), 0.7, 1e-12) || !near(float64(valve.Restart()), 50.2, 1e-12) {
		t.Errorf("with a check valve: lift %v, restart %v", valve.Lift(), valve.Restart())
	}
}
