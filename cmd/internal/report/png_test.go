package report

import (
	"bytes"
	"testing"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
	"gonum.org/v1/plot/vg"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/document/testdata/documenttest"
	"sunrill/data/units"
)

func TestPNGIsTheSameEachTime(t *testing.T) {
	p := documenttest.Sample().Pictures()[0]
	one, err := PNG(p, units.Metric)
	if err != nil {
		t.Fatal(err)
	}
	if two, err := PNG(p, units.Metric); err != nil || !bytes.Equal(one, two) {
		t.Errorf("a drawing differs from itself, %v", err)
	}
}

// TestWidthOfText holds the width that a drawing is laid out with to the letters of the
// font: names in a row of the legend may not run into each other, nor far apart.
func TestWidthOfText(t *testing.T) {
	fonts := font.NewCache(liberation.Collection())
	for _, text := range []string{"24 V 65 W", "line, clean", "57 % speed (least that lifts)", "panel gives", "timer, every other hour",
		"1000 W, 7680 Wh", "on the sun alone", "valve, as much as 80 %", "MAXIMUM FLOW PUMP", "filling little hills"} {
		const size = 11.5
		face := fonts.Lookup(drawingFont, vg.Length(size))
		want := float64(face.Width(text))
		if got := document.TextWidth(text, size); got < 0.97*want || got > 1.2*want {
			t.Errorf("%q: %.1f wide, the font has %.1f", text, got, want)
		}
	}
}
