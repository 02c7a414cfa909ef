package page

import (
	"math"
	"slices"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// curvePoints is the number of points along a curve in a picture.
const curvePoints = 40

// curvesPicture shows every pump's curve against the line clean and dirty, with the duty
// points; that of the pump that is offered as it then runs.
func (p *PlanPage) curvesPicture(o offer) document.Picture {
	first, runs, works := p.asOffered(o), p.water.Runs(), p.water.Works
	runs[o.pump].Name, runs[o.pump].Clean, runs[o.pump].Dirty = first.Name, first.Clean.Run, first.Dirty.Run
	pic := document.Picture{Key: "curves", Title: curvesTitle(works.Line, runs[o.pump]), Alt: curvesAlt(works, runs)}
	pic.Chart.X = document.Axis{Label: "flow", Unit: document.Flow}
	pic.Chart.Y = document.Axis{Label: "head", Unit: document.Head}
	var most units.Flow
	var top units.Length
	var curves []document.Series
	for i := range runs {
		s, speed := document.Series{Name: runs[i].Name, Ink: document.InkQuiet, Dash: document.Dashed}, works.Speed
		if i == o.pump {
			s.Ink, s.Dash, speed = document.InkWater, document.Solid, o.speed
		}
		curve := works.Pumps[i].Curve(speed)
		if works.Pumps[i].LabelOnly() {
			s.Name += ", middle of its label"
		}
		s.X, s.Y = along(curve.First(), curve.Last(), math.Inf(1), curve.Head)
		top = max(top, units.Length(slices.Max(append(s.Y, 0))))
		most = max(most, curve.Last())
		same := slices.IndexFunc(curves, func(c document.Series) bool { return slices.Equal(c.X, s.X) && slices.Equal(c.Y, s.Y) })
		if same < 0 && len(s.X) > 0 {
			curves = append(curves, s)
		} else if same >= 0 { // one line stands for both, the strong one where one is
			s.Name = curves[same].Name + ", " + s.Name
			s.Ink, s.Dash = max(s.Ink, curves[same].Ink), min(s.Dash, curves[same].Dash)
			curves[same] = s
		}
	}
	clean := lineSeries("line, clean", works.Line, most, top)
	clean.Ink = document.InkBlack
	dirty := lineSeries("line, dirty", works.Line.WithDirt(works.Dirt), most, top)
	dirty.Ink, dirty.Dash = document.InkDirt, document.Dashed
	pic.Chart.Series = append(curves, clean)
	if works.DirtOn != "" {
		pic.Chart.Series = append(pic.Chart.Series, dirty)
	}
	pic.Chart.Series = append(pic.Chart.Series, dutySeries(runs)...)
	return pic
}

// along returns points of a head between two flows, as far as it is known and no higher
// than top.
func along(from, to units.Flow, top float64, head func(units.Flow) (units.Length, error)) (x, y []float64) {
	for k := range curvePoints + 1 {
		q := from + (to-from)*units.Flow(k)/curvePoints
		h, err := head(q)
		if float64(h) > top && len(x) > 1 {
			break
		}
		if err == nil { // else only a rounding beyond the curve's own end
			x, y = append(x, q.In(units.CubicMetrePerHour)), append(y, float64(h))
		}
	}
	return x, y
}

// lineSeries is the head that a line asks for up to a flow, as far as head top or
// somewhat above its lift where that is higher.
func lineSeries(name string, line *pumps.System, to units.Flow, top units.Length) document.Series {
	x, y := along(0, to, float64(max(top*11/10, line.Lift()*12/10)), func(q units.Flow) (units.Length, error) {
		return line.HeadAt(q), nil
	})
	return document.Series{Name: name, X: x, Y: y}
}

// dutySeries are the stable duty points, clean and dirty.
func dutySeries(runs []works.Run) []document.Series {
	clean := document.Series{Name: "clean", As: document.AsPoints, Ink: document.InkBlack, Mark: document.Dot}
	dirty := document.Series{Name: "dirty", As: document.AsPoints, Ink: document.InkDirt, Mark: document.Ring}
	add := func(s *document.Series, run pumps.Run) {
		if run.Status == pumps.Meets && !run.Bracket {
			s.X, s.Y = append(s.X, run.Duty.Flow.In(units.CubicMetrePerHour)), append(s.Y, float64(run.Duty.Head))
		}
	}
	for _, r := range runs {
		add(&clean, r.Clean)
		add(&dirty, r.Dirty)
	}
	return slices.DeleteFunc([]document.Series{clean, dirty}, func(s document.Series) bool { return len(s.X) == 0 })
}

func curvesTitle(line *pumps.System, r works.Run) document.Prose {
	clean, dirty := r.Clean.Status == pumps.Meets && !r.Clean.Bracket, r.Dirty.Status == pumps.Meets && !r.Dirty.Bracket
	q := func(run pumps.Run) document.Quantity { return document.Flow.Of(run.Duty.Flow) }
	switch {
	case clean:
		return document.Sentence("%v gives %v through the clean line", r.Name, q(r.Clean)).When(dirty, ", %v before cleaning", q(r.Dirty))
	case r.Clean.Bracket:
		return document.Sentence("%v: a label alone leaves the flow open", r.Name)
	case r.Clean.LeastFlow() > 0:
		return document.Sentence("%v runs off the end of its curve", r.Name)
	}
	return document.Sentence("%v never meets the line, which asks for %v before anything flows", r.Name,
		document.Head.Of(float64(line.Lift())))
}

func curvesAlt(works *works.Waterworks, runs []works.Run) document.Prose {
	alt := document.Sentence("Head against flow. The line asks for %v at no flow and more the more flows; the curve of each pump falls "+
		"and meets it where it runs.",
		document.Head.Of(float64(works.Line.Lift())))
	for _, r := range runs {
		alt = alt.When(r.Clean.Status == pumps.Meets && !r.Clean.Bracket, " %v: %v at %v.", r.Name, document.Flow.Of(r.Clean.Duty.Flow),
			document.Head.Of(r.Clean.Duty.Head))
	}
	return alt
}
