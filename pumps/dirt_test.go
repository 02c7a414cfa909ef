package pumps

import (
	"errors"
	"testing"
)

func TestFitDirtLosesItsShareOnTheReferenceAndMeetsEveryPump(t *testing.T) {
	s, c, _ := referenceSystem(t, "typical")
	clean, _ := Solve(c, s)
	d, warnings, fits := FitDirt(c, s, 0.25)
	if !fits || len(warnings) != 0 {
		t.Fatal(fits, warnings)
	}
	dirty, _ := Solve(c, s.WithDirt(d))
	wantNear(t, "dirt", "dirty flow", float64(dirty.Flow), 0.75*float64(clean.Flow), 1e-9)
	// A stronger pump on the same line loses another share to the same dirt.
	big := referenceCurve(t, "droop")
	a, _ := Solve(big, s)
	b, _ := Solve(big, s.WithDirt(d))
	if loss := 1 - float64(b.Flow/a.Flow); loss <= 0 || near(loss, 0.25, 1e-3) {
		t.Errorf("the other pump loses %g", loss)
	}
	// A measured dirty flow gives the same dirt back.
	back, err := DirtAt(c, s, dirty.Flow)
	if err != nil {
		t.Fatal(err)
	}
	wantNear(t, "dirt", "resistance", back.Resistance, d.Resistance, 1e-9)
	if none, err := DirtAt(c, s, clean.Flow*1.05); err != nil || none.Resistance != 0 {
		t.Errorf("more than the clean flow is %v, %v", none, err)
	}
	if _, err := DirtAt(c, s, c.Last()*2); !errors.Is(err, ErrOutsideCurve) {
		t.Errorf("a flow beyond the curve: %v", err)
	}
	high, _, _ := referenceSystem(t, "static_above_shutoff")
	if _, _, fits := FitDirt(c, high, 0.25); fits {
		t.Error("dirt on a pump that does not lift")
	}
	wide, _, _ := referenceSystem(t, "beyond_curve_end")
	if _, warnings, fits := FitDirt(c, wide, 0.25); !fits || !hasWarning(warnings, "runs off the end of its curve") {
		t.Errorf("dirt on a pump off its curve: %v, %v", warnings, fits)
	}
	if none, _, fits := FitDirt(c, wide, 0); !fits || none.Resistance != 0 {
		t.Errorf("no loss off the curve is the dirt %v, %v", none, fits)
	}
}
