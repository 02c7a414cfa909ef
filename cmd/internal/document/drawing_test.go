package document

import (
	"fmt"
	"math"
	"testing"

	"sunrill/data/units"
)

// crowded is a picture with more of everything than a plan has.
func crowded() Picture {
	c := Chart{X: Axis{Label: "flow", Unit: Flow}, Y: Axis{Label: "head", Unit: Head},
		Rules: []Rule{{Name: "goal", At: 2, Ink: InkAlarm}}}
	for i := range 2 * len(dashes) {
		c.Series = append(c.Series, Series{Name: fmt.Sprintf("pump number %d of this maker", i),
			X: []float64{0, 3}, Y: []float64{4 + float64(i), 0}})
	}
	points := Series{Name: "ways", As: AsPoints, Mark: Ring}
	for i := range 14 {
		x := math.Mod(float64(i)*0.618, 1)
		points.X, points.Y = append(points.X, 3*x), append(points.Y, 9*x*x)
	}
	c.Series = append(c.Series, points, Series{Name: "span", As: AsThick, Ink: InkAlarm, X: []float64{1, 2}, Y: []float64{0, 0}})
	return Picture{Key: "crowded", Chart: c,
		Title: Sentence("A picture with more than one line of words above it, so that it is broken")}
}

// named is a picture of columns over names.
func named() Picture {
	return Picture{Key: "named", Title: Sentence("Two columns"), Chart: Chart{
		Names: []string{"clean", "a name that is longer than its column is wide"},
		Y:     Axis{Label: "head", Unit: Head}, Series: []Series{
			{Name: "lift", As: AsBars, Ink: InkWaterFill, Y: []float64{1, 0.01}},
			{Name: "need", As: AsSteps, Ink: InkBlack, Y: []float64{0.5, 0.6}}}}}
}

// TestWordsStandClear: all words of a drawing are on the sheet and none covers another.
func TestWordsStandClear(t *testing.T) {
	for _, p := range []Picture{crowded(), named()} {
		for _, sheet := range []bool{false, true} {
			d := p.Draw(units.Metric, sheet)
			type box struct {
				left, top, right, bottom float64
				text                     string
			}
			var boxes []box
			for _, part := range d.Parts {
				if part.Text == "" {
					continue
				}
				at, width := part.Lines[0][0], TextWidth(part.Text, part.Size)
				b := box{at.X - part.Anchor*width, at.Y - 0.7*part.Size, at.X + (1-part.Anchor)*width, at.Y, part.Text}
				if b.left < -3 || b.right > d.Width+0.01 || b.top < 0 || b.bottom > d.Height {
					t.Errorf("%s: %q leaves the sheet: %v", p.Key, b.text, b)
				}
				for _, other := range boxes {
					if b.left < other.right && other.left < b.right && b.top < other.bottom && other.top < b.bottom {
						t.Errorf("%s: %q covers %q", p.Key, b.text, other.text)
					}
				}
				boxes = append(boxes, b)
			}
			if len(boxes) < 10 {
				t.Errorf("%s: %d words", p.Key, len(boxes))
			}
		}
	}
}

// TestLinesCrossNoWords: neither the goal a long name nor the hose the volume of a small pond.
func TestLinesCrossNoWords(t *testing.T) {
	bars := Picture{Chart: Chart{Across: true, Names: []string{"a name from some box", "another of that kind"}, Says: []string{"yes", "no"},
		Y: Axis{Label: "water", Unit: Flow}, Series: []Series{{As: AsBars, Y: []float64{5, 3}}}, Rules: []Rule{{Name: "goal", At: 1}}}}
	drawings := []Drawing{bars.Draw(units.Metric, false)}
	for _, size := range [][3]float64{{2.2, 2, 1}, {0.3, 3, 1}, {1, 8, 1.5}, {3, 1, 0.5}} {
		s := Scene{Lift: Sentence("%v", Head.Of(size[0])), Volume: Sentence("%v", Volume.Of(6.0)),
			LiftM: size[0], WidthM: size[1], DepthM: size[2]}
		drawings = append(drawings, s.draw(units.Metric))
	}
	for i, d := range drawings {
		for _, words := range d.Parts {
			if words.Text == "" {
				continue
			}
			left := words.Lines[0][0].X - words.Anchor*TextWidth(words.Text, words.Size)
			right, foot := left+TextWidth(words.Text, words.Size), words.Lines[0][0].Y
			for _, part := range d.Parts {
				for _, line := range part.Lines {
					for k := 1; k < len(line) && !part.Filled && !part.Closed; k++ {
						for step := range 101 {
							f := float64(step) / 100
							x, y := line[k-1].X+f*(line[k].X-line[k-1].X), line[k-1].Y+f*(line[k].Y-line[k-1].Y)
							if x > left && x < right && y < foot && y > foot-0.7*words.Size {
								t.Fatalf("drawing %d: a line crosses %q at %.1f, %.1f", i, words.Text, x, y)
							}
						}
					}
				}
			}
		}
	}
}

// TestLegendCoversNothing: the names stand above all that is drawn of the data.
func TestLegendCoversNothing(t *testing.T) {
	for _, p := range []Picture{crowded(), named()} {
		s := sketch{chart: p.Chart, right: drawingWidth}
		s.legend()
		names, foot := len(s.Parts), s.Height
		if names < 2*len(s.entries()) {
			t.Errorf("%s: %d parts for %d names", p.Key, names, len(s.entries()))
		}
		s.axes()
		drawn := len(s.Parts)
		s.series()
		for _, part := range s.Parts[drawn:] {
			for _, line := range part.Lines {
				for _, at := range line {
					if at.Y < foot {
						t.Errorf("%s: %v is drawn at %v, in the legend, which ends at %.1f", p.Key, part, at, foot)
					}
				}
			}
		}
	}
}

// TestLinesDifferWithoutColour: no two lines of a picture have the same dash and width,
// and one of the same name keeps its own.
func TestLinesDifferWithoutColour(t *testing.T) {
	c := crowded().Chart
	seen := map[pen]bool{}
	for n, p := range c.pens() {
		if c.Series[n].As == AsLine && seen[p] {
			t.Errorf("%s is drawn as another line is: %v", c.Series[n].Name, p)
		}
		seen[p] = true
	}
	pair := Chart{Series: []Series{{Name: "a"}, {Name: "b", Dash: Dashed}, {Name: "a"}, {Name: "c"}}}
	if p := pair.pens(); p[0] != p[2] || p[0] == p[3] || p[0].dash != Solid || p[1].dash != Dashed || p[3].dash != Solid {
		t.Errorf("pens %v", p)
	}
}

func TestMarksAreRound(t *testing.T) {
	for _, c := range []struct {
		from, to, every float64
		want            string
	}{
		{0, 5100, 0, "0 1000 2000 3000 4000 5000 "}, {0, 1.7, 0, "0 0.5 1 1.5 "}, {0, 14, 2, "0 2 4 6 8 10 12 14 "},
		{-0.3, 0.31, 0, "-0.2 0 0.2 "}, {0, 1.4, 0, "0 0.25 0.5 0.75 1 1.25 "}, {540, 1200, 0, "600 800 1000 1200 "},
	} {
		got := ""
		for _, tick := range (Axis{Unit: None, Every: c.every}).ticks(span{c.from, c.to}, units.Metric) {
			got += tick.label + " "
		}
		if got != c.want {
			t.Errorf("from %v to %v: %q, want %q", c.from, c.to, got, c.want)
		}
	}
}

// A foot is 0.3048 m (NIST SP 811): marks at whole feet stand at their metres.
func TestMarksAreRoundInTheUnitShown(t *testing.T) {
	got := (Axis{Unit: Head}).ticks(span{0, 3}, units.US)
	if len(got) != 5 || got[2].label != "4" || math.Abs(got[2].at-4*0.3048) > 1e-9 {
		t.Errorf("marks %v, want one at 4 ft", got)
	}
}
