package pumps

import (
	"errors"
	"math"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/units"
)

// falling is a curve of three invented points between flows of first and last L/h.
func falling(t *testing.T, first, last float64, h0, h1 units.Length) Curve {
	t.Helper()
	c, err := NewCurve([]Point{
		{Flow: units.Flow(first) * units.LitrePerHour, Head: h0},
		{Flow: units.Flow((first+last)/2) * units.LitrePerHour, Head: (h0 + h1) / 2},
		{Flow: units.Flow(last) * units.LitrePerHour, Head: h1},
	})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestStatusAtEitherEndOfTheCurve(t *testing.T) {
	lift := func(h units.Length) *System { return bare(t, h, 0) }
	part := falling(t, 500, 2000, 2, 1) // says nothing below 500 L/h
	whole := falling(t, 0, 2000, 2, 0.5)
	for _, x := range []struct {
		name    string
		c       Curve
		lift    units.Length
		want    Status
		least   float64 // L/h
		because string
	}{
		{"in the middle", part, 1.5, Meets, 1250, ""},
		{"at the first point exactly", part, 2, Meets, 500, ""},
		{"above the first point", part, 2.5, BelowCurve, 0, "below it the curve says nothing"},
		{"below the last point", part, 0.5, BeyondCurve, 2000, "at least that flow"},
		{"at the last point exactly", whole, 0.5, Meets, 2000, ""},
		{"above shut-off", whole, 2.5, NoLift, 0, "2.5 m is not below the pump's 2 m"},
		{"at shut-off exactly", whole, 2, NoLift, 0, "2 m is not below the pump's 2 m"},
	} {
		o := Operate(x.c, lift(x.lift))
		if o.Status != x.want {
			t.Errorf("%s: %v, want %v", x.name, o.Status, x.want)
		}
		if got := o.LeastFlow().In(units.LitrePerHour); math.Abs(got-x.least) > 1e-6*2000 {
			t.Errorf("%s: least flow %g L/h, want %g", x.name, got, x.least)
		}
		if !strings.Contains(o.Why.String(), x.because) {
			t.Errorf("%s: reason %q does not say %q", x.name, o.Why, x.because)
		}
	}
}

func TestCurveIsNeverExtrapolated(t *testing.T) {
	c := falling(t, 500, 2000, 2, 1)
	for _, q := range []float64{0, 499, 2001} {
		if _, err := c.Head(units.Flow(q) * units.LitrePerHour); !errors.Is(err, ErrOutsideCurve) {
			t.Errorf("head at %g L/h: error %v", q, err)
		}
		if _, err := c.Power(units.Flow(q) * units.LitrePerHour); !errors.Is(err, ErrOutsideCurve) {
			t.Errorf("power at %g L/h: error %v", q, err)
		}
	}
	if _, ok := c.ShutOff(); ok {
		t.Error("a curve that begins at 500 L/h has no shut-off head")
	}
	if _, ok := c.LeastSpeed(1); ok {
		t.Error("a curve that begins at 500 L/h has no least speed")
	}
	var doubts data.Doubts
	if sayStart(&doubts, c, bare(t, 1.5, 0)); len(doubts) != 1 || !hasWarning(doubts, "does not begin at zero flow") {
		t.Errorf("warnings %v do not say that starting is not known", doubts)
	}
}

// The reference case with two crossings lies above the pump's shut-off head:
// it runs once running, and does not start.
func TestDroopingPumpDoesNotStartByItself(t *testing.T) {
	s, c, _ := referenceSystem(t, "droop_two_points")
	var doubts data.Doubts
	sayStart(&doubts, c, s)
	if o := Operate(c, s); o.Status != Meets || !o.NoStart || !hasWarning(doubts, "will not start by itself") {
		t.Errorf("%v, warnings %v", o.Status, doubts)
	}
}

// A pump whose curve dips, as those of axial and mixed-flow pumps do (any
// handbook of pumps), comes up from rest to the first crossing and stays
// there, however much head it has to spare at the end of its curve.
func TestPumpWithADipStaysAtItsFirstCrossing(t *testing.T) {
	c, err := NewCurve([]Point{{Flow: 0, Head: 3}, {Flow: 1 * m3h, Head: 1}, {Flow: 2 * m3h, Head: 1.6}, {Flow: 3 * m3h, Head: 1.5}})
	if err != nil {
		t.Fatal(err)
	}
	o := Operate(c, bare(t, 1.3, 0))
	if o.Status != Meets || len(o.Crossings) != 2 || o.Duty != o.Crossings[0] || o.Duty.Flow >= 1*m3h {
		t.Errorf("%v at %.3g m3/h, at least %.3g m3/h, of %+v", o.Status, o.Duty.Flow.In(m3h), o.LeastFlow().In(m3h), o.Crossings)
	}
}

// A lift that is all of the shut-off head leaves nothing to flow, whether the two are
// equal to the last digit or, as those of a slowed pump, but for it.
func TestLiftOfTheWholeShutOffHead(t *testing.T) {
	c := falling(t, 0, 2000, 4, 1)
	for _, speed := range []float64{1, 0.9, 0.7, 0.6, 0.5, 0.3, 0.1} {
		lift := 4 * speed * speed
		for _, lift := range []float64{lift, math.Nextafter(lift, 0), math.Nextafter(lift, 9)} {
			o := Operate(c.AtSpeed(speed), bare(t, units.Length(lift), 0))
			if o.Status != NoLift || len(o.Crossings) > 0 || !strings.HasPrefix(o.Why.String(), "the lift of ") {
				t.Errorf("%g of the speed against %v m: %v, %+v: %s", speed, lift, o.Status, o.Crossings, o.Why)
			}
		}
	}
}

func TestCrest(t *testing.T) {
	c := schaschke(t)
	spec := SystemSpec{StaticHead: 2, Crest: 5, Feeds: []Feed{{Bore: 100 * mm, Loss: Loss{K: 20}}}, Temperature: units.Celsius(15)}
	full := mustSystem(t, spec)
	spec.Vented = true
	vented := mustSystem(t, spec)
	spec.StaticHead, spec.Crest, spec.Vented = 5, 0, false
	high := mustSystem(t, spec)
	a, b, d := Operate(c, full), Operate(c, vented), Operate(c, high)
	if b.Duty != d.Duty {
		t.Error("a vented crest of 5 m is not a static head of 5 m")
	}
	if a.Duty.Flow <= b.Duty.Flow {
		t.Error("a full line over the crest does not flow more than a vented one")
	}
	if full.Lift() != 2 || full.Restart() != 5 || vented.Lift() != 5 {
		t.Errorf("lift %v, restart %v, vented lift %v", full.Lift(), full.Restart(), vented.Lift())
	}
	var doubts data.Doubts
	sayStart(&doubts, c.AtSpeed(0.6), full)
	if slow := Operate(c.AtSpeed(0.6), full); slow.Status != Meets || !slow.NoStart || !hasWarning(doubts, "once the siphon over the crest") {
		t.Errorf("9.25 m x 0.36 = 3.3 m against a crest of 5 m: %v %v", slow.Status, doubts)
	}
}

// The same doubtful friction in a line whose lift is nearly all of its head is
// not worth a note.
func TestDoubtfulFrictionMattersOnlyWhereItIsMuch(t *testing.T) {
	const q = 250 * units.LitrePerHour // Re 3106, as below
	for _, lift := range []units.Length{0, 2} {
		s := mustSystem(t, SystemSpec{StaticHead: lift, Feeds: []Feed{{Bore: 25 * mm, Length: 5}}, Temperature: units.Celsius(15)})
		if got := hasWarning(s.Notes(q), "between laminar and turbulent"); got != (lift == 0) {
			t.Errorf("lift %v: notes %v", lift, s.Notes(q))
		}
	}
}

func TestNotesOnRegimeAndVelocity(t *testing.T) {
	s := mustSystem(t, SystemSpec{Feeds: []Feed{{Bore: 25 * mm, Length: 5}}, Temperature: units.Celsius(15)})
	// Re = 4 Q/(pi D nu); at 15 C nu is 1.139e-6 m²/s.
	for _, x := range []struct {
		q    float64 // L/h
		want []string
	}{
		{100, []string{"dirt settles"}},                                  // Re 1242
		{250, []string{"between laminar and turbulent", "dirt settles"}}, // Re 3106
		{2000, nil},                      // 1.13 m/s
		{4000, []string{"a wider pipe"}}, // 2.26 m/s
	} {
		notes := s.Notes(units.Flow(x.q) * units.LitrePerHour)
		if len(notes) != len(x.want) {
			t.Errorf("%g L/h: %v, want %q", x.q, notes, x.want)
		}
		for _, w := range x.want {
			if !hasWarning(notes, w) {
				t.Errorf("%g L/h: %v does not say %q", x.q, notes, w)
			}
		}
	}
}

func TestExitLossIsAddedOnce(t *testing.T) {
	feeds := []Feed{{Bore: 25 * mm, Length: 3}, {Bore: 32 * mm, Length: 4}}
	spec := SystemSpec{Feeds: feeds, Temperature: units.Celsius(15)}
	without := mustSystem(t, spec)
	spec.Exit = true
	with := mustSystem(t, spec)
	q := 1500 * units.LitrePerHour
	v := float64(feeds[1].Velocity(q))
	wantNear(t, "exit", "one velocity head of the last bore", float64(with.HeadAt(q)-without.HeadAt(q)), v*v/(2*gravity), 1e-9)
}

// TestFeedHeadsAddUp: what the feeds take is what the line asks for beyond its
// lift; K = 7 takes seven velocity heads of the first bore, the exit one.
func TestFeedHeadsAddUp(t *testing.T) {
	feeds := []Feed{{Bore: 25 * mm, Length: 3, Loss: Loss{K: 7}}, {Bore: 32 * mm, Length: 4}}
	s := mustSystem(t, SystemSpec{StaticHead: 1, Feeds: feeds, Exit: true, Temperature: units.Celsius(15)})
	q := 1500 * units.LitrePerHour
	sum := s.Lift()
	for i, h := range s.FeedHeads(q) {
		v := float64(feeds[i].Velocity(q))
		wantNear(t, "feed", "velocity heads", float64(h.Fittings), []float64{7, 1}[i]*v*v/(2*gravity), 1e-9)
		if h.Friction <= 0 {
			t.Errorf("feed %d: friction %v", i+1, h.Friction)
		}
		sum += h.Friction + h.Fittings
	}
	wantNear(t, "line", "sum of the parts", float64(sum), float64(s.HeadAt(q)), 1e-12)
}

func TestFittingsAddUp(t *testing.T) {
	elbow, valve := Loss{K1: 800, KInf: 0.4}, Loss{K: 2}
	sum := Loss{}.Plus(3, elbow).Plus(1, valve)
	if want := (Loss{K: 2, K1: 2400, KInf: 1.2000000000000002}); sum != want {
		t.Errorf("%+v, want %+v", sum, want)
	}
}

func TestBedInTheLine(t *testing.T) {
	bed := Bed{Area: 1, Depth: 0.6, Grain: 16 * mm, Voids: 0.4}
	spec := SystemSpec{StaticHead: 1, Feeds: []Feed{{Bore: 40 * mm, Length: 3}}, Temperature: units.Celsius(15)}
	without := mustSystem(t, spec)
	spec.Bed = bed
	with := mustSystem(t, spec)
	q := 2 * m3h
	wantNear(t, "bed", "head", float64(with.HeadAt(q)-without.HeadAt(q)), float64(bed.HeadLoss(q, with.Water())), 1e-9)
	if !hasWarning(with.Notes(q), "when it clogs") {
		t.Errorf("notes %v", with.Notes(q))
	}
}

func TestSolveDoesNotAllocate(t *testing.T) {
	s, c, _ := referenceSystem(t, "droop_two_points")
	if n := testing.AllocsPerRun(10, func() { Solve(c, s) }); n != 0 {
		t.Errorf("%v allocations a solve, want none: daylight tables make thousands", n)
	}
}

func TestBadInput(t *testing.T) {
	good := Point{Flow: 1000 * units.LitrePerHour, Head: 1}
	zero := Point{Head: 2}
	curve := func(ps ...Point) error { _, err := NewCurve(ps); return err }
	nan, inf := math.NaN(), math.Inf(1)
	for _, x := range []struct {
		name string
		err  error
		says string
	}{
		{"no point", curve(), "too few points"},
		{"one point", curve(good), "too few points"},
		{"NaN flow", curve(zero, Point{Flow: units.Flow(nan), Head: 1}), "flow"},
		{"infinite head", curve(zero, Point{Flow: 1, Head: units.Length(inf)}), "head"},
		{"negative head", curve(zero, Point{Flow: good.Flow, Head: -1}), "head"},
		{"1e308", curve(zero, Point{Flow: 1e308, Head: 1}), "flow"},
		{"one flow, two heads", curve(zero, good, Point{Flow: good.Flow, Head: 0.5}), "given twice"},
		{"power at one point", curve(zero, Point{Flow: good.Flow, Head: 1, Power: 20}), "1 of 2 points"},
		{"never falls", curve(Point{Head: 1}, Point{Flow: good.Flow, Head: 1.5}), "never falls"},
	} {
		if x.err == nil {
			t.Errorf("%s is no error", x.name)
			continue
		}
		var fault *data.Error
		if !errors.As(x.err, &fault) || !strings.Contains(x.err.Error(), x.says) {
			t.Errorf("%s: %v does not say %q", x.name, x.err, x.says)
		}
	}
}

func mustSystem(t testing.TB, spec SystemSpec) *System {
	t.Helper()
	return NewSystem(spec)
}

func hasWarning(ws []data.Warning, part string) bool {
	for _, w := range ws {
		if strings.Contains(w.Message.String(), part) {
			return true
		}
	}
	return false
}
