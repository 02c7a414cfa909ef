package pumps

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sunrill/data/units"
)

// Volumes of textbook solids.
func TestVolumeOfEachShape(t *testing.T) {
	for _, x := range []struct {
		name            string
		spec            PondSpec
		volume, surface float64
	}{
		{"given", PondSpec{Volume: 9, Surface: 15}, 9, 15},
		{"by volume and depth", PondSpec{Volume: 7.2, Depth: 0.8}, 7.2, 9},
		{"rectangle", PondSpec{Shape: "rectangle", Length: 4, Width: 3, Depth: 0.8}, 9.6, 12},
		{"round", PondSpec{Shape: "round", Diameter: 3, Depth: 1}, math.Pi * 9 / 4, math.Pi * 9 / 4},
		{"oval", PondSpec{Shape: "oval", Length: 4, Width: 2, Depth: 1}, math.Pi * 2, math.Pi * 2},
		{"bowl", PondSpec{Shape: "bowl", Diameter: 4, Depth: 1}, math.Pi * 2, math.Pi * 4}, // paraboloid: half the cylinder
		{"cone", PondSpec{Shape: "frustum", Diameter: 4, Depth: 1.5}, math.Pi * 4 * 1.5 / 3, math.Pi * 4},
		{"pyramid", PondSpec{Shape: "frustum", Length: 3, Width: 2, Depth: 1}, 2, 6},
		{"wedge", PondSpec{Shape: "frustum", Length: 3, Width: 2, BottomLength: 3, Depth: 1}, 3, 6},
		{"soundings", PondSpec{Shape: "depths", Surface: 10, Depths: []units.Length{0, 0.5, 1, 0.5}}, 5, 10},
		{"tapered", PondSpec{Volume: 4, Surface: 6, Depth: 1}, 4, 6},
		{"deeper than it can be", PondSpec{Volume: 9, Surface: 6, Depth: 1}, 9, 6},
	} {
		p := mustPond(t, x.spec)
		wantNear(t, x.name, "volume", float64(p.Volume()), x.volume, 1e-12)
		wantNear(t, x.name, "surface", float64(p.Surface()), x.surface, 1e-12)
		if v := p.VolumeBelow(0); v != 0 {
			t.Errorf("%s: %v below the floor", x.name, v)
		}
	}
}

// Volume by soundings equals the closed form for a box, at every height.
func TestVolumeByDepthsEqualsClosedForm(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := units.Length(rapid.Float64Range(0.5, 20).Draw(t, "length"))
		w := units.Length(rapid.Float64Range(0.5, 20).Draw(t, "width"))
		h := units.Length(rapid.Float64Range(0.2, 3).Draw(t, "depth"))
		z := h * units.Length(rapid.Float64Range(0, 1).Draw(t, "height"))
		box, err := NewPond(PondSpec{Shape: "rectangle", Length: l, Width: w, Depth: h})
		if err != nil {
			t.Fatal(err)
		}
		sounded, err := NewPond(PondSpec{Shape: "depths", Length: l, Width: w, Depths: []units.Length{h, h, h}})
		if err != nil {
			t.Fatal(err)
		}
		if !near(float64(box.VolumeBelow(z)), float64(sounded.VolumeBelow(z)), 1e-9) {
			t.Fatalf("box %v, soundings %v", box.VolumeBelow(z), sounded.VolumeBelow(z))
		}
	})
}

// TestPondWithoutWater: dimensions that hold none are told, whatever the shape.
func TestPondWithoutWater(t *testing.T) {
	for _, spec := range []PondSpec{
		{}, {Shape: "rectangle", Length: 1, Width: 1}, {Shape: "round", Depth: 1}, {Shape: "bowl", Depth: 1},
		{Shape: "rectangle", Length: units.Length(math.NaN()), Width: 1, Depth: 1}, {Shape: "depths", Surface: 4},
		{Shape: "depths", Surface: 4, Depths: []units.Length{0, 0}}, {Shape: "depths", Depths: []units.Length{1}},
	} {
		if _, err := NewPond(spec); err == nil || !strings.Contains(err.Error(), "pond.volume") {
			t.Errorf("%+v: %v does not say pond.volume", spec, err)
		}
	}
}

// By hand: 4 x 3 x 1 m, intake 0.25 m up, 15 % volume error, 1.2 m3/h: 10.2 m3
// less a quarter is 7.65 m3, 6 h 22.5 min.
func TestUnseenFailureLeavesWhatTheIntakeCannotReach(t *testing.T) {
	p := mustPond(t, PondSpec{Shape: "rectangle", Length: 4, Width: 3, Depth: 1, Error: 0.15})
	s := p.Unseen(1.2*m3h, 0.25)
	wantNear(t, "unseen", "hours", s.ToBare.In(units.Hour), 6.375, 1e-9)
	wantNear(t, "unseen", "water left", float64(s.Left), 2.55, 1e-9)
	wantNear(t, "unseen", "share left", s.LeftShare, 0.25, 1e-9)
	if !hasWarning(s.Warnings, "float switch") || !hasWarning(s.Warnings, "raise it above the floor") {
		t.Errorf("warnings %v", s.Warnings)
	}
}
