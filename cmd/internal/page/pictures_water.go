package page

import (
	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// curvePoints is the number of points along a curve in a picture.
const curvePoints = 40

// waterPictures are the pictures of how the pumps meet the line; pump first is
// the one shown in detail. What does not flow has no picture.
func waterPictures(works *works.Waterworks, runs []works.Run, first int) []document.Picture {
	if len(runs) == 0 {
		return nil
	}
	all := []document.Picture{curvesPicture(works, runs, first)}
	if line, single := works.Line.(*pumps.System); single {
		if p, ok := headPicture(works, line, runs[first]); ok {
			all = append(all, p)
		}
	}
	return all
}

// curvesPicture shows every pump's curve against the line clean and dirty,
// with the duty points, and the range of pump first.
func curvesPicture(works *works.Waterworks, runs []works.Run, first int) document.Picture {
	p := document.Picture{Key: "curves", Title: curvesTitle(works.Line, runs[first]), Alt: curvesAlt(works, runs)}
	p.Chart.X = document.Axis{Key: "flow_m3_per_h", Label: "flow", Unit: document.Flow}
	p.Chart.Y = document.Axis{Key: "head_m", Label: "head", Unit: document.Head}
	var most units.Flow
	var top units.Length
	var curves []document.Series
	for i := range runs {
		curve := works.Pumps[i].Curve(works.Speed)
		s := document.Series{Name: runs[i].Name, Ink: document.InkQuiet, Dash: dashOf(i, first)}
		if i == first {
			s.Ink = document.InkWater
		}
		if works.Pumps[i].LabelOnly() {
			s.Name += ", at least"
		}
		for k := range curvePoints + 1 {
			q := curve.First() + (curve.Last()-curve.First())*units.Flow(k)/curvePoints
			h, err := curve.Head(q)
			if err != nil {
				continue // only a rounding beyond the curve's own end
			}
			top = max(top, h)
			s.X, s.Y = append(s.X, q.In(units.CubicMetrePerHour)), append(s.Y, float64(h))
		}
		most = max(most, curve.Last())
		if len(s.X) > 0 {
			curves = append(curves, s)
		}
	}
	clean := lineSeries("line, clean", works.Line, 0, most, top)
	clean.Ink = document.InkBlack
	dirty := lineSeries("line, dirty", works.Line.WithDirt(works.Dirt), 0, most, top)
	dirty.Ink, dirty.Dash = document.InkDirt, document.Dashed
	if r, ok := rangeSeries(works.Line, runs[first].Clean, top); ok {
		p.Chart.Series = append(p.Chart.Series, r)
	}
	p.Chart.Series = append(p.Chart.Series, curves...)
	p.Chart.Series = append(p.Chart.Series, clean)
	if works.DirtOn != "" {
		p.Chart.Series = append(p.Chart.Series, dirty)
	}
	p.Chart.Series = append(p.Chart.Series, dutySeries(runs)...)
	return p
}

// dashOf keeps the solid line for the pump shown in detail.
func dashOf(i, first int) document.Dash {
	if i == first {
		return document.Solid
	}
	if i > first {
		i--
	}
	return []document.Dash{document.Dashed, document.Dotted, document.DashDotted}[i%3]
}

// lineSeries is the head that a line asks for between two flows, as far as head top or
// somewhat above its lift where that is higher.
func lineSeries(name string, line pumps.Circuit, from, to units.Flow, top units.Length) document.Series {
	s := document.Series{Name: name}
	top = max(top*11/10, line.Lift()*12/10)
	for k := range curvePoints + 1 {
		q := from + (to-from)*units.Flow(k)/curvePoints
		h := line.HeadAt(q)
		if h > top && len(s.X) > 1 {
			break
		}
		s.X, s.Y = append(s.X, q.In(units.CubicMetrePerHour)), append(s.Y, float64(h))
	}
	return s
}

// rangeSeries is the stretch of the clean line on which the duty point lies
// within the curve's tolerance.
func rangeSeries(line pumps.Circuit, run pumps.Run, top units.Length) (document.Series, bool) {
	if run.Low.Status != pumps.Meets || run.High.Status != pumps.Meets {
		return document.Series{}, false
	}
	s := lineSeries("range", line, run.Low.Duty.Flow, run.High.Duty.Flow, top)
	s.As, s.Ink = document.AsThick, document.InkWaterFill
	return s, len(s.X) > 1
}

// dutySeries are the stable duty points, clean and dirty.
func dutySeries(runs []works.Run) []document.Series {
	clean := document.Series{Name: "clean", As: document.AsPoints, Ink: document.InkBlack, Mark: document.Dot}
	dirty := document.Series{Name: "dirty", As: document.AsPoints, Ink: document.InkDirt, Mark: document.Ring}
	for _, r := range runs {
		for _, at := range []struct {
			run    pumps.Run
			series *document.Series
		}{{r.Clean, &clean}, {r.Dirty, &dirty}} {
			if at.run.Status == pumps.Meets && !at.run.Bracket {
				at.series.X = append(at.series.X, at.run.Duty.Flow.In(units.CubicMetrePerHour))
				at.series.Y = append(at.series.Y, float64(at.run.Duty.Head))
			}
		}
	}
	var all []document.Series
	for _, s := range []document.Series{clean, dirty} {
		if len(s.X) > 0 {
			all = append(all, s)
		}
	}
	return all
}

func curvesTitle(line pumps.Circuit, r works.Run) document.Prose {
	clean, dirty := r.Clean.Status == pumps.Meets && !r.Clean.Bracket, r.Dirty.Status == pumps.Meets && !r.Dirty.Bracket
	q := func(run pumps.Run) document.Quantity { return flowQuantity(run.Duty.Flow) }
	switch {
	case clean && dirty:
		return document.Sentence("%v gives %v through the clean line, %v before cleaning", r.Name, q(r.Clean), q(r.Dirty))
	case clean:
		return document.Sentence("%v gives %v through the clean line", r.Name, q(r.Clean))
	case r.Clean.Bracket:
		return document.Sentence("%v: a label alone leaves the flow open", r.Name)
	case r.Clean.LeastFlow() > 0:
		return document.Sentence("%v runs off the end of its curve", r.Name)
	}
	return document.Sentence("%v never meets the line, which asks for %v before anything flows", r.Name, document.Head.Of(float64(line.Lift())))
}

func curvesAlt(works *works.Waterworks, runs []works.Run) document.Prose {
	alt := document.Sentence("Head against flow. The line asks for %v at no flow and more the more flows; the curve of each pump falls and meets it where it runs.",
		document.Head.Of(float64(works.Line.Lift())))
	for _, r := range runs {
		if r.Clean.Status == pumps.Meets && !r.Clean.Bracket {
			alt = document.Sentence("%v %v: %v at %v.", alt, r.Name, flowQuantity(r.Clean.Duty.Flow), document.Head.Of(float64(r.Clean.Duty.Head)))
		}
	}
	return alt
}

// headParts says what takes the head of a line.
type headParts struct{ lift, pipe, fittings, bed, dirt units.Length }

// largest says which part takes the most, in words, and how much.
func (p headParts) largest() (string, units.Length) {
	what, most := "the lift takes", p.lift
	for _, part := range []struct {
		what string
		head units.Length
	}{{"the pipe takes", p.pipe}, {"the fittings take", p.fittings}, {"the bed takes", p.bed}} {
		if part.head > most {
			what, most = part.what, part.head
		}
	}
	return what, most
}

// partsAt returns what takes the head of line, soiled by dirt, at flow q.
func partsAt(line *pumps.System, dirt pumps.Dirt, q units.Flow) headParts {
	parts := headParts{lift: line.Lift(), bed: line.Spec().Bed.HeadLoss(q, line.Water())}
	for _, h := range line.FeedHeads(q) {
		parts.pipe += h.Friction
	}
	whole := line.HeadAt(q)
	parts.fittings = max(0, whole-parts.lift-parts.pipe-parts.bed)
	parts.dirt = max(0, line.WithDirt(dirt).HeadAt(q)-whole)
	return parts
}

// headPicture shows where the head of run r goes, clean and dirty.
func headPicture(works *works.Waterworks, line *pumps.System, r works.Run) (document.Picture, bool) {
	if r.Clean.Status != pumps.Meets || r.Clean.Bracket {
		return document.Picture{}, false
	}
	clean := partsAt(line, pumps.Dirt{}, r.Clean.Duty.Flow)
	columns, names := []headParts{clean}, []string{"clean"}
	what, most := clean.largest()
	title := document.Sentence("%v: %v %v of the head", r.Name, what, round(document.Fraction, float64(most/r.Clean.Duty.Head)))
	if dirty := partsAt(line, works.Dirt, r.Dirty.Duty.Flow); r.Dirty.Status == pumps.Meets && dirty.dirt >= units.Millimetre {
		columns, names = append(columns, dirty), append(names, "before cleaning")
		title = document.Sentence("%v; before cleaning, dirt takes %v", title, document.Head.Of(float64(dirty.dirt)))
	}
	p := document.Picture{Key: "head", Title: title, Chart: document.Chart{Names: names,
		X: document.Axis{Key: "state", Label: "line"}, Y: document.Axis{Key: "head_m", Label: "head", Unit: document.Head}}}
	p.Alt = document.Sentence("What takes the head of %v when clean, as parts of a column", r.Name)
	before := ": "
	for _, part := range []struct {
		key, name string
		ink       document.Ink
		of        func(headParts) units.Length
	}{
		{"lift", "lift", document.InkWater, func(h headParts) units.Length { return h.lift }},
		{"pipe", "pipe", document.InkSunFill, func(h headParts) units.Length { return h.pipe }},
		{"fittings", "fittings", document.InkStore, func(h headParts) units.Length { return h.fittings }},
		{"bed", "bed", document.InkWaterFill, func(h headParts) units.Length { return h.bed }},
		{"dirt", "dirt", document.InkDirtFill, func(h headParts) units.Length { return h.dirt }},
	} {
		s := document.Series{Key: part.key, Name: part.name, As: document.AsStack, Ink: part.ink}
		most := units.Length(0)
		for _, h := range columns {
			s.Y = append(s.Y, float64(part.of(h)))
			most = max(most, part.of(h))
		}
		// As in the table, what is less than a hair's breadth is left out.
		if most >= units.Millimetre {
			p.Chart.Series = append(p.Chart.Series, s)
		}
		if s.Y[0] >= float64(units.Millimetre) {
			p.Alt = document.Sentence("%v%v%v %v", p.Alt, before, part.name, document.Head.Of(s.Y[0]))
			before = ", "
		}
	}
	if len(columns) > 1 {
		p.Alt = document.Sentence("%v. Before cleaning a second column stands beside it, of which dirt is %v", p.Alt, document.Head.Of(float64(columns[1].dirt)))
	}
	p.Alt = document.Sentence("%v.", p.Alt)
	return p, true
}
