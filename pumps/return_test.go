package pumps

import (
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/units"
)

// On a steep fall the mouth is in control: the level is the critical energy of
// MN6 and half a velocity head for the entrance.
func TestReturnByItsMouth(t *testing.T) {
	r := Return{Bore: 75 * mm, Length: 3, Fall: 0.02, Manning: 0.010}
	l := r.Level(1.187 * lps)
	if l.Full {
		t.Errorf("%+v", l)
	}
	wantNear(t, "MN6", "level in mm", l.Level.In(mm), 52.2, 2e-3)
	r.EntranceK = 0.5
	v := 1.187e-3 / (circle(0.075) / 2)
	wantNear(t, "entrance", "level in mm", r.Level(1.187*lps).Level.In(mm), 52.2+500*v*v/(2*gravity), 2e-3)
}

// A long flat pipe comes to its normal depth (Manning), a level one is held up
// by its whole length, and a short one hardly at all.
func TestReturnByItsPipe(t *testing.T) {
	q := 1.0 * lps
	r := Return{Bore: 100 * mm, Length: 500, Fall: 0.001, Manning: 0.010}
	yn, ok := r.NormalDepth(q)
	if !ok {
		t.Fatal("the pipe does not carry its flow")
	}
	long := r.Level(q)
	wantNear(t, "long", "depth", float64(long.Depth), float64(yn), 1e-3)
	r.Length = 0.01
	short := r.Level(q)
	if !near(float64(short.Depth), float64(CriticalDepth(r.Bore, q)), 0.05) || short.Level >= long.Level {
		t.Errorf("short %+v, long %+v", short, long)
	}
	r.Length, r.Fall = 5, 0
	level := r.Level(q)
	r.Length = 20
	if longer := r.Level(q); longer.Level <= level.Level {
		t.Errorf("20 m level pipe %v, 5 m %v", longer.Level, level.Level)
	}
}

// A pipe that fills loses Manning's friction of the full bore, by hand:
// Sf = (Q/Qfull)² S.
func TestReturnRunsFull(t *testing.T) {
	r := Return{Bore: 50 * mm, Length: 100, Fall: 0.005, Manning: 0.009}
	full := uniformFlow(r, r.Bore)
	q := 1.5 * full
	l := r.Level(q)
	if !l.Full || !hasWarning(l.Warnings, "runs full") {
		t.Errorf("%+v", l)
	}
	v := float64(q) / circle(0.05)
	under := 0.05 + v*v/(2*gravity) + 100*0.005*(1.5*1.5-1)
	// The last stretch to the free fall runs part-full and costs a little less.
	if got := float64(l.Level); got > under || got < under-0.05 {
		t.Errorf("level %g m, want up to %g m", got, under)
	}
}

// A round pipe carries up to 1.076 times its full flow just below its crown; no
// design counts on it, so that flow has no normal depth here and fills the pipe.
func TestNoNormalDepthAboveTheFullFlow(t *testing.T) {
	p := Return{Bore: 75 * mm, Fall: 0.01, Manning: 0.010}
	full := uniformFlow(p, p.Bore)
	if y, ok := p.NormalDepth(0.99 * full); !ok || y >= 0.82*p.Bore {
		t.Errorf("just under the full flow: %v, %v", y, ok)
	}
	if y, ok := p.NormalDepth(1.05 * full); ok {
		t.Errorf("above the full flow: %v", y)
	}
	if l := (Return{Bore: 75 * mm, Length: 400, Fall: 0.01, Manning: 0.010}).Level(1.05 * full); !l.Full {
		t.Errorf("%+v", l)
	}
}

func TestReturnScreenAndFreeboard(t *testing.T) {
	r := Return{Bore: 75 * mm, Length: 3, Fall: 0.02, Manning: 0.010, Freeboard: 0.1}
	open := r.Level(1 * lps)
	r.ScreenArea = 40 * units.SquareCentimetre
	clean := r.Level(1 * lps)
	r.Blocked = 0.5
	half := r.Level(1 * lps)
	// By hand: V = 1e-3/(0.6 x 40e-4) = 0.4167 m/s, 8.85 mm; half the holes, four times.
	wantNear(t, "screen", "loss in mm", (clean.Level - open.Level).In(mm), 8.852, 1e-3)
	wantNear(t, "screen", "half blocked in mm", half.Screen.In(mm), 4*8.852, 1e-3)
	wantNear(t, "freeboard", "left", float64(half.Freeboard), 0.1-float64(half.Level), 1e-12)
	r.Blocked = 0.9
	if l := r.Level(1 * lps); !l.Spills || !hasWarning(l.Warnings, "the tank spills") {
		t.Errorf("a screen nine tenths blocked: %+v", l)
	}
	if l := r.Level(0); l.Level != 0 || l.Freeboard != r.Freeboard {
		t.Errorf("no flow: %+v", l)
	}
}

// A bigger return never needs more level, more flow never less.
func TestBiggerReturnNeverNeedsMoreLevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Return{
			Bore:      units.Length(rapid.Float64Range(20, 200).Draw(t, "bore mm")) * mm,
			Length:    units.Length(rapid.Float64Range(0, 40).Draw(t, "length m")),
			Fall:      rapid.Float64Range(0, 0.1).Draw(t, "fall"),
			Manning:   rapid.Float64Range(0.008, 0.02).Draw(t, "n"),
			EntranceK: rapid.Float64Range(0, 1).Draw(t, "Ke"),
		}
		q := units.Flow(rapid.Float64Range(50, 12000).Draw(t, "flow L/h")) * units.LitrePerHour
		l := r.Level(q)
		if l.Level <= 0 || !finite(float64(l.Level)) {
			t.Fatalf("level %v", l.Level)
		}
		bigger := r
		bigger.Bore *= units.Length(rapid.Float64Range(1.001, 2).Draw(t, "wider"))
		const step = 0.0002 // m, what 400 steps of the profile resolve
		if w := bigger.Level(q); w.Level > l.Level*(1+1e-3)+step {
			t.Fatalf("bore %v needs %v, bore %v %v", r.Bore, l.Level, bigger.Bore, w.Level)
		}
		if m := r.Level(q * 1.05); m.Level < l.Level*(1-1e-3)-step {
			t.Fatalf("more flow needs %v, less %v", m.Level, l.Level)
		}
	})
}
