package report

import (
	"math"
	"slices"

	"sunrill/data/units"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Names stand beside what they name, not in a legend: each is tried in many
// places, and the one that covers least is taken.

// place is where a name may stand: the corner or edge of its box at a point.
type place struct {
	at     vg.Point
	dx, dy float64 // of the box from the point, in widths and heights of the box
}

// named is a name with its places, the better first, and the point it names if it is
// one.
type named struct {
	text   string
	ink    Ink
	places []place
	point  *vg.Point
}

// label writes the names of c's series, points and rules.
func (c Chart) label(f *frame, system units.System) {
	if c.stacked() {
		c.labelStack(f, system)
		return
	}
	names, crowd := c.names(f), c.crowd(f)
	options := make([][]option, len(names))
	for i, n := range names {
		options[i] = f.options(n, names, crowd)
	}
	for i, at := range settled(options) {
		if at < 0 {
			continue // no room at all: the table has it
		}
		style := textStyle(labelSize, names[i].ink)
		style.YAlign = draw.YBottom
		f.FillText(style, options[i][at].box.Min, names[i].text)
	}
}

// option is where a name can stand, and what stands against it there whatever becomes
// of the other names.
type option struct {
	box  vg.Rectangle
	cost float64
}

// options returns the places of n within the picture.
func (f *frame) options(n named, all []named, crowd []obstacle) []option {
	const mistaken = 5 // for standing nearer to another's point than to its own
	size := vg.Point{X: textStyle(labelSize, n.ink).Width(n.text), Y: labelSize}
	var out []option
	for order, p := range n.places {
		o := option{boxAt(p, size), 0.05 * float64(order)}
		if !within(o.box, f.outer) {
			continue
		}
		for _, point := range crowd {
			if inside(point.at, o.box) {
				o.cost += point.weight
			}
		}
		for _, other := range all {
			if n.point != nil && other.point != nil && *other.point != *n.point && distance(*other.point, o.box) <= distance(*n.point, o.box) {
				o.cost += mistaken
			}
		}
		out = append(out, o)
	}
	return out
}

// settled chooses an option for every name, -1 where it has none: each in turn takes
// what is best beside the others, until none would move.
func settled(options [][]option) []int {
	const rounds = 8
	chosen := make([]int, len(options))
	for i := range chosen {
		chosen[i] = -1
	}
	for range rounds {
		moved := false
		for i, own := range options {
			best, least := -1, math.Inf(1)
			for k, o := range own {
				cost := o.cost
				for j, at := range chosen {
					if j != i && at >= 0 {
						cost += 200*overlap(o.box, options[j][at].box) + 12*overlap(grown(o.box), options[j][at].box)
					}
				}
				if cost < least {
					best, least = k, cost
				}
			}
			moved = moved || best != chosen[i]
			chosen[i] = best
		}
		if !moved {
			break
		}
	}
	return chosen
}

// distance returns how far p is from a box.
func distance(p vg.Point, box vg.Rectangle) vg.Length {
	dx := max(box.Min.X-p.X, 0, p.X-box.Max.X)
	dy := max(box.Min.Y-p.Y, 0, p.Y-box.Max.Y)
	return vg.Length(math.Hypot(float64(dx), float64(dy)))
}

func (c Chart) stacked() bool {
	return slices.ContainsFunc(c.Series, func(s Series) bool { return s.As == AsStack })
}

// names returns what is to be named: points first, which have the fewest places.
func (c Chart) names(f *frame) []named {
	var points, others []named
	seen := map[string]bool{}
	for n, s := range c.Series {
		name := abridged(Clean(s.Name))
		if seen[s.Name] {
			name = ""
		}
		seen[s.Name] = true
		switch s.As {
		case AsPoints:
			for i, text := range s.Labels {
				if text != "" {
					at := vg.Point{X: f.x(s.X[i]), Y: f.y(s.Y[i])}
					points = append(points, named{abridged(Clean(text)), s.Ink, around(at, 7), &at})
				}
			}
			if s.Labels == nil && name != "" {
				at := vg.Point{X: f.x(s.X[len(s.X)-1]), Y: f.y(s.Y[len(s.Y)-1])}
				points = append(points, named{text: name, ink: s.Ink, places: around(at, 7)})
			}
		case AsBars, AsHatching:
			if name != "" {
				others = append(others, named{text: name, ink: s.Ink.text(), places: overBars(f.boxes(c, n))})
			}
		case AsBand:
			if name != "" {
				others = append(others, named{text: name, ink: s.Ink.text(), places: along(f.path(c, s), -1)})
			}
		case AsSteps:
			if name != "" {
				others = append(others, named{text: name, ink: s.Ink.text(), places: amid(f.path(c, s))})
			}
		default:
			if name != "" {
				others = append(others, named{text: name, ink: s.Ink.text(), places: along(f.path(c, s), 1)})
			}
		}
	}
	for _, r := range c.Rules {
		if r.Name != "" {
			others = append(others, named{text: abridged(Clean(r.Name)), ink: r.Ink, places: f.besideRule(r)})
		}
	}
	return append(points, others...)
}

// text returns the ink for words about an area of ink i.
func (i Ink) text() Ink {
	switch i {
	case InkWaterFill, InkSunFill, InkStoreFill, InkDirtFill:
		return i - 1
	case InkFaint:
		return InkQuiet
	}
	return i
}

// around returns the places beside a point.
func around(at vg.Point, gap vg.Length) []place {
	var all []place
	for _, k := range []vg.Length{1, 2, 3} {
		g := k * gap
		for _, d := range []struct {
			x, y   vg.Length
			dx, dy float64
		}{
			{g, 0, 0, -0.5}, {g * 0.7, g * 0.6, 0, 0}, {g * 0.7, -g * 0.6, 0, -1}, {0, g, -0.5, 0}, {0, -g, -0.5, -1},
			{-g, 0, -1, -0.5}, {-g * 0.7, g * 0.6, -1, 0}, {-g * 0.7, -g * 0.6, -1, -1},
		} {
			all = append(all, place{vg.Point{X: at.X + d.x, Y: at.Y + d.y}, d.dx, d.dy})
		}
	}
	return all
}

// along returns the places beside a line: above (side 1) or under (side -1) it,
// from its end to its start, then the other side.
func along(path []vg.Point, side float64) []place {
	var shares []float64
	for share := 1.0; share > -0.01; share -= 0.08 {
		shares = append(shares, max(0, share))
	}
	return beside(path, append(shares, 0), side)
}

// amid returns the places beside a line from its middle to its ends.
func amid(path []vg.Point) []place {
	shares := []float64{0.5}
	for d := 0.04; d < 0.5; d += 0.04 {
		shares = append(shares, 0.5-d, 0.5+d)
	}
	return beside(path, shares, 1)
}

// beside returns the places above and under a line at shares of its points. On
// a slope, words over it hang to the side to which it falls, and words under it
// to the other.
func beside(path []vg.Point, shares []float64, side float64) []place {
	const gap = 2.5
	var all []place
	for _, s := range []float64{side, -side} {
		for _, share := range shares {
			i := int(math.Round(share * float64(len(path)-1)))
			falls := path[max(0, i-1)].Y > path[min(len(path)-1, i+1)].Y
			dxs, dy := []float64{-1, -0.5, 0}, 0.0
			if falls == (s > 0) {
				dxs = []float64{0, -0.5, -1}
			}
			if s < 0 {
				dy = -1
			}
			for _, dx := range dxs {
				all = append(all, place{vg.Point{X: path[i].X, Y: path[i].Y + vg.Length(s*gap)}, dx, dy})
			}
		}
	}
	return all
}

// overBars returns the places above bars, the middle ones first: on a bar, and
// above its neighbours too.
func overBars(boxes []vg.Rectangle) []place {
	var all []place
	top := vg.Length(0)
	for _, box := range boxes {
		if visible(box) {
			top = max(top, box.Max.Y)
		}
	}
	for k := range boxes {
		i := len(boxes)/2 + (k+1)/2*(1-2*(k%2)) // middle, left of it, right of it and so on
		if i < 0 || i >= len(boxes) || !visible(boxes[i]) {
			continue
		}
		x := (boxes[i].Min.X + boxes[i].Max.X) / 2
		for _, y := range []vg.Length{boxes[i].Max.Y, top} {
			at := vg.Point{X: x, Y: y + 3}
			all = append(all, place{at, -0.5, 0}, place{at, -0.2, 0}, place{at, -0.8, 0})
		}
	}
	return all
}

func (f *frame) besideRule(r Rule) []place {
	const gap = 3
	var all []place
	for _, share := range []vg.Length{1, 0, 0.75, 0.5, 0.25} {
		if r.Vertical {
			at := vg.Point{X: f.x(r.At), Y: f.Min.Y + share*(f.Max.Y-f.Min.Y)}
			dy := -float64(share)
			all = append(all, place{vg.Point{X: at.X + gap, Y: at.Y}, 0, dy}, place{vg.Point{X: at.X - gap, Y: at.Y}, -1, dy})
			continue
		}
		at := vg.Point{X: f.Min.X + share*(f.Max.X-f.Min.X), Y: f.y(r.At)}
		dx := -float64(share)
		all = append(all, place{vg.Point{X: at.X, Y: at.Y + gap}, dx, 0}, place{vg.Point{X: at.X, Y: at.Y - gap}, dx, -1})
	}
	return all
}

// crowd returns points on all that a name should not cover, close enough
// together that no name slips between them.
func (c Chart) crowd(f *frame) []obstacle {
	var all []obstacle
	add := func(weight float64, points ...vg.Point) {
		for _, p := range points {
			all = append(all, obstacle{p, weight})
		}
	}
	for n, s := range c.Series {
		switch s.As {
		case AsPoints:
			for i := range s.X {
				at := vg.Point{X: f.x(s.X[i]), Y: f.y(s.Y[i])}
				for _, d := range []vg.Length{-3, 0, 3} {
					add(6, vg.Point{X: at.X + d, Y: at.Y + d}, vg.Point{X: at.X + d, Y: at.Y - d})
				}
			}
		case AsBars, AsHatching, AsStack:
			for _, box := range f.boxes(c, n) {
				for y := box.Max.Y; y > box.Min.Y; y -= 5 {
					add(2.5, vg.Point{X: box.Min.X, Y: y}, vg.Point{X: (box.Min.X + box.Max.X) / 2, Y: y}, vg.Point{X: box.Max.X, Y: y})
				}
			}
		case AsBand:
		default:
			add(2.5, dense(f.path(c, s))...)
		}
	}
	for _, r := range c.Rules {
		ends := []vg.Point{{X: f.Min.X, Y: f.y(r.At)}, {X: f.Max.X, Y: f.y(r.At)}}
		if r.Vertical {
			ends = []vg.Point{{X: f.x(r.At), Y: f.Min.Y}, {X: f.x(r.At), Y: f.Max.Y}}
		}
		add(2.5, dense(ends)...)
	}
	return all
}

// obstacle is a point of the picture, and how bad it is to write over it.
type obstacle struct {
	at     vg.Point
	weight float64
}

// dense returns points along a path, a few points apart.
func dense(path []vg.Point) []vg.Point {
	const apart = 4
	var all []vg.Point
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		n := max(1, math.Ceil(math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))/apart))
		for k := range int(n) {
			t := vg.Length(float64(k) / n)
			all = append(all, vg.Point{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)})
		}
	}
	return all
}

func boxAt(p place, size vg.Point) vg.Rectangle {
	at := vg.Point{X: p.at.X + vg.Length(p.dx)*size.X, Y: p.at.Y + vg.Length(p.dy)*size.Y}
	return vg.Rectangle{Min: at, Max: vg.Point{X: at.X + size.X, Y: at.Y + size.Y}}
}

func within(box, outer vg.Rectangle) bool {
	return box.Min.X >= outer.Min.X && box.Max.X <= outer.Max.X && box.Min.Y >= outer.Min.Y && box.Max.Y <= outer.Max.Y
}

func inside(p vg.Point, box vg.Rectangle) bool {
	const margin = 0.8
	return p.X > box.Min.X-margin && p.X < box.Max.X+margin && p.Y > box.Min.Y-margin && p.Y < box.Max.Y+margin
}

// grown returns a box with room around it: names closer than that are taken
// for one another's.
func grown(a vg.Rectangle) vg.Rectangle {
	const room = 7
	return vg.Rectangle{Min: vg.Point{X: a.Min.X - room, Y: a.Min.Y - room}, Max: vg.Point{X: a.Max.X + room, Y: a.Max.Y + room}}
}

// overlap returns the share of a that b covers.
func overlap(a, b vg.Rectangle) float64 {
	w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return float64(w * h / ((a.Max.X - a.Min.X) * (a.Max.Y - a.Min.Y)))
}

// labelStack writes the figures of the first stack to its left, and names and
// figures of the last to its right, spread so that none covers another.
func (c Chart) labelStack(f *frame, system units.System) {
	last := len(c.Names) - 1
	for _, column := range []int{0, last} {
		right := column == last
		var side []sideLabel
		for n, s := range c.Series {
			if s.As != AsStack || s.Y[column] == 0 {
				continue
			}
			box := f.boxes(c, n)[column]
			text := formatNumber(s.Y[column], 0)
			if symbol := c.Y.Unit.ShownSymbol(system); symbol != "" {
				text += " " + symbol
			}
			if right {
				text = abridged(Clean(s.Name)) + " " + text
			}
			l := sideLabel{text: text, ink: s.Ink.text(), y: (box.Min.Y + box.Max.Y) / 2, edge: box.Min.X}
			if right {
				l.edge = box.Max.X
			}
			l.at = l.y
			side = append(side, l)
		}
		spread(side, f.Min.Y+labelSize/2, f.Max.Y)
		for _, l := range side {
			l.draw(f, right)
		}
		if last == 0 {
			return
		}
	}
}

// sideLabel is a name beside a stack: of what is at height at, written at y.
type sideLabel struct {
	text        string
	ink         Ink
	at, y, edge vg.Length
}

// spread moves labels apart, from the lowest up and back down from the top.
func spread(side []sideLabel, low, high vg.Length) {
	const apart = 1.2 * labelSize
	for i := range side {
		side[i].y = max(side[i].y, low)
		if i > 0 {
			side[i].y = max(side[i].y, side[i-1].y+apart)
		}
	}
	for i := len(side) - 1; i >= 0; i-- {
		if i == len(side)-1 {
			side[i].y = min(side[i].y, high)
		} else {
			side[i].y = min(side[i].y, side[i+1].y-apart)
		}
	}
}

func (l sideLabel) draw(f *frame, right bool) {
	style := textStyle(labelSize, l.ink)
	style.YAlign = draw.YCenter
	reach, gap := vg.Length(10), vg.Length(3)
	if !right {
		style.XAlign = draw.XRight
		reach, gap = -reach, -gap
	}
	f.StrokeLines(lineStyle(InkQuiet, 0.7, Solid), []vg.Point{{X: l.edge + gap/2, Y: l.at}, {X: l.edge + reach, Y: l.y}})
	f.FillText(style, vg.Point{X: l.edge + reach + gap, Y: l.y}, l.text)
}
