package document

import (
	"math"

	"sunrill/data/units"
)

// Scene is a section through pond, hose and filter, to scale but for the length of the
// hose.
type Scene struct {
	Pump               string
	Flow, Clean        Prose
	Lift, Volume, Hose Prose
	LiftM              float64 // height of the outlet above the pond [m]
	WidthM, DepthM     float64 // of the pond [m]
	TankWidthM, TankM  float64 // width and depth of the filter [m]; 0 for none
}

// alt says what is to be seen.
func (s *Scene) alt(system units.System) string {
	p := Sentence("A section: a pond of %v, from which %v lifts the water by %v through %v. Just before cleaning: %v.", s.Volume,
		s.Pump, s.Lift, s.Hose, s.Flow)
	return p.Text(system, Clean)
}

// draw lays the section out.
func (s *Scene) draw(system units.System) Drawing {
	const width, top, gap = 400.0, 42.0, 70.0
	tankWidth, tank := s.TankWidthM, s.TankM
	if tankWidth == 0 {
		tankWidth, tank = 0.4, 0.1 // a mere outlet
	}
	scale := min((width-gap-60)/(s.WidthM+tankWidth), 170/(s.LiftM+s.DepthM+0.3))
	level := top + scale*max(s.LiftM, 0.2)
	pond, depth := max(40, scale*s.WidthM), max(16, scale*s.DepthM)
	floor := level + depth
	d := Drawing{Width: width, Height: math.Ceil(floor + 34)}
	words := func(x, y float64, p Prose, size float64, ink Ink, anchor float64) {
		d.words(x, y, Softened(p.Text(system, Clean)), size, ink, anchor)
	}
	line := func(ink Ink, width float64, points ...Point) { d.add(stroke(ink, width, points...)) }
	dashed := func(from, to Point) {
		p := stroke(InkQuiet, 0.8, from, to)
		p.Dashes = []float64{3, 3}
		d.add(p)
	}
	ground := level - 4
	d.add(filled(InkFaint, box(0, ground, width, d.Height)...))
	left, slope := 14.0, min(0.2*pond, 0.6*depth)
	d.add(filled(InkWaterFill, Point{left, level}, Point{left + pond, level}, Point{left + pond - slope, floor},
		Point{left + slope, floor}))
	line(InkWater, 1.5, Point{left, level}, Point{left + pond, level})
	right := width - 62 // of the tank
	spout, water := right-scale*tankWidth, level-scale*s.LiftM
	if s.TankWidthM > 0 {
		foot := water + scale*tank
		d.add(filled(InkWaterFill, box(spout, water, right, foot)...))
		line(InkQuiet, 2, Point{spout, water - 5}, Point{spout, foot}, Point{right, foot}, Point{right, water - 5})
		if foot < ground {
			line(InkQuiet, 1.5, Point{spout + 4, foot}, Point{spout + 4, ground})
			line(InkQuiet, 1.5, Point{right - 4, foot}, Point{right - 4, ground})
		}
	}
	// the hose: up from the pump, over the edge, along the ground, up to the outlet
	pumpX := left + slope + 14
	line(InkWater, 4, Point{pumpX, floor - 8}, Point{pumpX + 6, level + 4}, Point{pumpX + 16, ground - 3},
		Point{spout - 12, ground - 3}, Point{spout - 12, water - 9}, Point{spout + 5, water - 9}, Point{spout + 5, water})
	d.add(filled(InkBlack, box(pumpX-11, floor-11, pumpX+11, floor-1)...))
	dashed(Point{left + pond, level}, Point{right + 14, level})
	dashed(Point{right, water}, Point{right + 14, water})
	line(InkBlack, 1.2, Point{right + 9, water}, Point{right + 9, level})
	words(right+17, (water+level)/2+middle*12, s.Lift, 12, InkBlack, 0)
	words(0, 15, s.Flow, 17, InkWater, 0)
	if !s.Clean.IsZero() {
		words(0, 30, s.Clean, tickSize, InkQuiet, 0)
	}
	half := TextWidth(s.Volume.Text(system, Clean), 12) / 2
	words(max(left+pond/2, pumpX+14+half), level+min(depth-3, 16), s.Volume, 12, InkBlack, 0.5) // right of the hose
	words(4, d.Height-10, Plain(abridged(Clean(s.Pump), mostLabel)), 12, InkBlack, 0)
	words(width-4, d.Height-10, s.Hose, 12, InkBlack, 1)
	return d
}
