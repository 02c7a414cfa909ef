package document

import (
	"fmt"
	"math"
	"regexp"
	"testing"
)

// luminance is the relative luminance of WCAG 2.2: sRGB linearised, weighted
// 0.2126, 0.7152 and 0.0722.
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	var rgb [3]int
	if _, err := fmt.Sscanf(colour, "#%02X%02X%02X", &rgb[0], &rgb[1], &rgb[2]); err != nil {
		t.Fatal(colour, err)
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v := float64(rgb[i]) / 255
		if v <= 0.04045 {
			v /= 12.92
		} else {
			v = math.Pow((v+0.055)/1.055, 2.4)
		}
		sum += weight * v
	}
	return sum
}

// TestPaletteContrast holds every ink that words stand in to 4.5 against the
// ground, and every area to a visible 1.25 (WCAG 2.2, success criterion 1.4.3;
// the figure for areas, which never stand alone, is our own).
func TestPaletteContrast(t *testing.T) {
	contrast := func(a, b string) float64 {
		x, y := luminance(t, a), luminance(t, b)
		return (max(x, y) + 0.05) / (min(x, y) + 0.05)
	}
	paper := palette[InkPaper]
	for i, p := range palette {
		want := 4.5
		switch Ink(i) {
		case InkPaper:
			continue
		case InkFaint, InkWaterFill, InkSunFill:
			want = 1.25
		}
		if light, dark := contrast(p.light, paper.light), contrast(p.dark, paper.dark); light < want || dark < want {
			t.Errorf("%s: contrast %.2f on light and %.2f on dark, want %.2f", p.name, light, dark, want)
		}
	}
	if got := contrast("#000000", "#FFFFFF"); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white %.3f, want 21", got)
	}
}

// TestColoursAreOfThePalette: the style sheet names no colour of its own but the
// white of paper, so that TestPaletteContrast holds all that a reader sees.
func TestColoursAreOfThePalette(t *testing.T) {
	for _, colour := range regexp.MustCompile(`#[0-9A-Fa-f]{3,8}\b|\b(rgb|hsl|color)a?\(`).FindAllString(pageStyle, -1) {
		if colour != "#FFFFFF" {
			t.Errorf("the style sheet has a colour %s", colour)
		}
	}
}
