package data

import (
	"cmp"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"sunrill/data/units"
)

// CurveRow is one point of a pump curve and the line that it stands on. P2, the shaft
// power of a data sheet, is no heading of the power: what counts here is the power
// drawn from the supply.
type CurveRow struct {
	Flow  units.Flow   `csv:"flow" also:"q flowrate rate discharge delivery capacity volumeflow volumetricflow"`
	Head  units.Length `csv:"head" kind:"head" also:"h lift liftheight height headheight totalhead dynamichead totaldynamichead tdh deliveryhead pumphead pressure"`
	Power units.Power  `csv:"power,omitempty" bare:"watts" also:"p p1 inputpower powerinput electricpower electricalpower powerdraw draw consumption powerconsumption"`
	Line  int
}

type curveRecord struct {
	CurveRow
	Pump string `csv:"pump,omitempty" also:"pumpname name model"`
}

// CurveRows is the curve of one pump as a file gives it: at least two points
// in the order of their flows, no flow twice, nothing negative.
type CurveRows struct {
	File     string
	Pump     string
	HasPower bool
	Rows     []CurveRow
	Doubt    Warning // of its shape; it has no message where there is none
}

// How many points and pumps a curve file may have: a large catalogue.
const (
	maxPoints = 100_000
	maxPumps  = 1000
)

// ReadCurves returns the pump curves of a CSV file, one for each name in its
// pump column, or one named after the file. The heading row names flow, head
// and, if known, power and pump, in any order and in capitals or not, with the
// unit as in flow (L/h), flow_l_per_h or flow [L/h]. See readRows for delimiters,
// comments and decimal marks.
//
// Identical rows are merged and rows out of order sorted, with a warning. One
// flow with two heads, fewer than two points, negative numbers, numbers that
// are none, missing cells and other columns are refused: all faults at once,
// as joined *Error values with line and column.
func ReadCurves(name string, r io.Reader) ([]CurveRows, []Warning, error) {
	rows, s, err := readRows[curveRecord](name, r, filePlan{rows: maxPoints, of: "a pump curve",
		headings: "flow, head and, if known, power and pump, each quantity with its unit, " +
			"such as flow (L/h), flow_l_per_h or flow [L/h]",
		none: "there are no points under the headings", least: "two or more points for each pump"})
	if err != nil {
		return nil, nil, err
	}
	var curves []CurveRows
	for _, raw := range s.byPump(rows) {
		curves = append(curves, s.finish(&raw))
	}
	if err = s.done(nil); err != nil {
		return nil, s.warnings, err
	}
	return curves, s.warnings, nil
}

// rawCurve is a curve before its points are compared, with the number of rows
// that could not be read.
type rawCurve struct {
	CurveRows
	line   int // of its first row
	unread int
}

// byPump sorts rows into curves, in the order in which the pumps come. A file without names
// is of one pump, named after it, or "pump" where it is standard input.
func (s *sheet) byPump(rows []record[curveRecord]) []rawCurve {
	var curves []rawCurve
	index := map[string]int{}
	stem := strings.TrimSuffix(filepath.Base(s.file), filepath.Ext(s.file))
	if strings.Trim(stem, "-.") == "" {
		stem = "pump"
	}
	for _, r := range rows {
		pump := stem
		if at := s.place("pump"); at >= 0 {
			if pump = r.Row.Pump; pump == "" {
				s.bad(r.cells, at, refused("the name of a pump", "%w", errEmptyCell))
				continue
			}
		}
		i, seen := index[pump]
		if !seen {
			if i = len(curves); i == maxPumps {
				s.faults.Add(TooMany(s.file, r.Line, 0, "pump", maxPumps))
				break
			}
			index[pump] = i
			curves = append(curves, rawCurve{CurveRows: CurveRows{File: s.file, Pump: pump, HasPower: s.place("power") >= 0}, line: r.Line})
		}
		if r.bad {
			curves[i].unread++
			continue
		}
		r.Row.Line = r.Line
		curves[i].Rows = append(curves[i].Rows, r.Row.CurveRow)
	}
	return curves
}

// finish sorts the points of one pump, merges identical ones and refuses
// contradictions.
func (s *sheet) finish(c *rawCurve) CurveRows {
	down := func(a, b CurveRow) int { return byFlow(b, a) }
	if !slices.IsSortedFunc(c.Rows, byFlow) && !slices.IsSortedFunc(c.Rows, down) {
		s.warn(0, c.Pump, "the points were not in the order of their flows and have been sorted")
	}
	slices.SortStableFunc(c.Rows, byFlow)
	var merged []CurveRow
	doubtful, doubles := c.unread, 0
	for _, p := range c.Rows {
		if len(merged) == 0 || merged[len(merged)-1].Flow != p.Flow {
			merged = append(merged, p)
			continue
		}
		last := merged[len(merged)-1]
		if last.Head == p.Head && last.Power == p.Power {
			if doubles++; doubles <= MaxFaults {
				s.warn(p.Line, c.Pump, units.Say("the same point stands in line %d; it counts once", last.Line))
			}
			continue
		}
		doubtful++
		what, one, two := "heads", last.Head.String(), p.Head.String()
		if last.Head == p.Head {
			what, one, two = "powers", last.Power.String(), p.Power.String()
		}
		s.fail(p.Line, c.Pump, fmt.Sprintf("one flow has two %s: %s in line %d and %s here", what, one, last.Line, two), s.line(p.Line),
			"each flow once")
	}
	if doubles > MaxFaults {
		s.warn(0, c.Pump, units.Say("and %d more points stand twice", doubles-MaxFaults))
	}
	if len(merged)+doubtful < 2 && !s.dropped {
		s.fail(c.line, c.Pump, "the curve has one point", "", s.plan.least)
	}
	c.Rows = merged
	s.doubtUnits(c)
	s.doubtRise(c)
	return c.CurveRows
}

// doubtUnits warns of a curve so large that its unit is more likely wrong than
// its numbers: no garden pump comes near these figures (common practice).
func (s *sheet) doubtUnits(c *rawCurve) {
	const muchFlow, muchHead = 200 * units.CubicMetrePerHour, 100 * units.Metre
	for _, p := range c.Rows {
		if p.Flow > muchFlow || p.Head > muchHead {
			s.warn(p.Line, c.Pump, units.Say(
				"a point of {%v} at {%v} is far beyond a garden pump; check the units in the headings", p.Flow, p.Head))
			return
		}
	}
}

// doubtRise warns of a head that rises with the flow beyond a droop, as where two heads
// are exchanged. The head of many pumps rises a little from no flow on (handbooks of pumps call
// it an unstable or drooping curve); the bounds are common practice, no source.
func (s *sheet) doubtRise(c *rawCurve) {
	const (
		droop   = 1.15 // times the head of the first point
		reading = 0.02 // of the largest head: what two readings of one head differ by
	)
	highest, fell := units.Length(0), false
	for _, p := range c.Rows {
		highest = max(highest, p.Head)
	}
	for i, p := range c.Rows[min(1, len(c.Rows)):] {
		before := c.Rows[i]
		drooping := !fell && p.Flow <= c.Rows[len(c.Rows)-1].Flow/2 && p.Head <= droop*c.Rows[0].Head
		if p.Head-before.Head > reading*highest && !drooping {
			row := s.rows[slices.IndexFunc(s.rows, func(r row) bool { return r.line == p.Line })]
			c.Doubt = Warning{s.file, p.Line, s.at(row, s.place("head")).Column, c.Pump, units.Say(
				"the head rises with the flow, from {%v} in line %d of the curve to {%v} in line %d: are two heads exchanged?",
				before.Head, before.Line, p.Head, p.Line)}
			s.warnings = append(s.warnings, c.Doubt)
			return
		}
		fell = fell || p.Head < before.Head
	}
}

func byFlow(a, b CurveRow) int { return cmp.Compare(a.Flow, b.Flow) }
