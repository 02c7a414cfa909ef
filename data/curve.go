package data

import (
	"cmp"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"sunrill/data/units"
)

// CurveRow is one point of a pump curve and the line that it stands on.
type CurveRow struct {
	Flow  units.Flow
	Head  units.Length
	Power units.Power // only where CurveRows.HasPower
	Line  int
}

// CurveRows is the curve of one pump as a file gives it: at least two points
// in the order of their flows, no flow twice, nothing negative.
type CurveRows struct {
	File     string
	Pump     string
	HasPower bool
	Rows     []CurveRow
}

// How many points and pumps a curve file may have: a large catalogue.
const (
	maxPoints = 100_000
	maxPumps  = 1000
)

// curveColumns are those of a curve file. P2, the shaft power of a data sheet, is
// left out: what counts here is the power drawn from the supply.
var curveColumns = columnSet{
	of:       "a pump curve",
	headings: "flow, head and, if known, power and pump, each quantity with its unit, such as flow (L/h), flow_l_per_h or flow [L/h]",
	columns: []column{
		{name: "flow", kind: units.KindFlow, required: true,
			words: []string{"q", "flowrate", "rate", "discharge", "delivery", "capacity", "volumeflow", "volumetricflow"}},
		{name: "head", kind: units.KindHead, required: true,
			words: []string{"h", "lift", "liftheight", "height", "headheight", "totalhead", "dynamichead", "totaldynamichead", "tdh",
				"deliveryhead", "pumphead", "pressure"}},
		{name: "power", kind: units.KindPower, bare: "watts",
			words: []string{"p", "p1", "inputpower", "powerinput", "electricpower", "electricalpower", "powerdraw", "draw",
				"consumption", "powerconsumption"}},
		{name: "pump", words: []string{"pumpname", "name", "model"}},
	},
}

// ReadCurves returns the pump curves of a CSV file, one for each name in its
// pump column, or one named after the file. The heading row names flow, head
// and, if known, power and pump, in any order and in capitals or not, with the
// unit as in flow (L/h), flow_l_per_h or flow [L/h]. See Read for delimiters,
// comments and decimal marks.
//
// Identical rows are merged and rows out of order sorted, with a warning. One
// flow with two heads, fewer than two points, negative numbers, numbers that
// are none, missing cells and other columns are refused: all faults at once,
// as joined *Error values with line and column.
func ReadCurves(name string, r io.Reader) ([]CurveRows, []Warning, error) {
	var faults FaultList
	s, err := readSheet(name, r, maxPoints, &faults)
	if err != nil {
		return nil, nil, err
	}
	columns, ok := s.findColumns(&curveColumns, &faults)
	if !ok {
		return nil, s.warnings, faults.Err()
	}
	var curves []CurveRows
	for _, raw := range s.curvePoints(columns, &faults) {
		curves = append(curves, s.finish(&raw, &faults))
	}
	if len(curves) == 0 && faults.Empty() {
		faults.Add(&Error{File: name, Line: s.heads[0].line, Message: "there are no points under the headings", Allowed: "two or more points for each pump"})
	}
	if !faults.Empty() {
		return nil, s.warnings, faults.Err()
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

// curvePoints reads the rows into curves, in the order in which the pumps come.
func (s *sheet) curvePoints(columns map[string]placed, faults *FaultList) []rawCurve {
	decimal := s.decimalMark(&curveColumns, columns, faults)
	_, hasPower := columns["power"]
	named, byName := columns["pump"]
	var curves []rawCurve
	index := map[string]int{}
	for _, row := range s.rows {
		pump := fileStem(s.file)
		if byName {
			pump = row[named.at].text
			if pump == "" {
				faults.Add(s.badCell(&row[named.at], errEmptyCell, "the name of a pump"))
				continue
			}
		}
		i, seen := index[pump]
		if !seen {
			if i = len(curves); i == maxPumps {
				faults.Add(TooMany(s.file, row[0].line, 0, "pump", maxPumps))
				break
			}
			index[pump] = i
			curves = append(curves, rawCurve{CurveRows: CurveRows{File: s.file, Pump: pump, HasPower: hasPower}, line: row[0].line})
		}
		if p, ok := s.point(row, columns, decimal, faults); ok {
			curves[i].Rows = append(curves[i].Rows, p)
		} else {
			curves[i].unread++
		}
	}
	return curves
}

// point reads one row; all its faults are reported.
func (s *sheet) point(row []cell, columns map[string]placed, decimal mark, faults *FaultList) (CurveRow, bool) {
	flow, ok1 := s.quantity("flow", row, columns, decimal, faults)
	head, ok2 := s.quantity("head", row, columns, decimal, faults)
	p := CurveRow{Flow: units.Flow(flow), Head: units.Length(head), Line: row[0].line}
	if _, ok := columns["power"]; !ok {
		return p, ok1 && ok2
	}
	power, ok3 := s.quantity("power", row, columns, decimal, faults)
	p.Power = units.Power(power)
	return p, ok1 && ok2 && ok3
}

// fileStem names a pump after its file: the last part of the path without its
// ending, "pump" for standard input.
func fileStem(file string) string {
	base := filepath.Base(file)
	if stem := strings.TrimSuffix(base, filepath.Ext(base)); stem != "" && stem != "-" && stem != "." {
		return stem
	}
	return "pump"
}

// finish sorts the points of one pump, merges identical ones and refuses
// contradictions.
func (s *sheet) finish(c *rawCurve, faults *FaultList) CurveRows {
	down := func(a, b CurveRow) int { return byFlow(b, a) }
	if !slices.IsSortedFunc(c.Rows, byFlow) && !slices.IsSortedFunc(c.Rows, down) {
		s.warnings = append(s.warnings, Warning{File: s.file, Key: c.Pump, Message: "the points were not in the order of their flows and have been sorted"})
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
				s.warnings = append(s.warnings, Warning{File: s.file, Line: p.Line, Key: c.Pump, Message: "the same point stands in line " + strconv.Itoa(last.Line) + "; it counts once"})
			}
			continue
		}
		doubtful++
		faults.Add(s.contradiction(c.Pump, last, p))
	}
	if doubles > MaxFaults {
		s.warnings = append(s.warnings, Warning{File: s.file, Key: c.Pump, Message: "and " + strconv.Itoa(doubles-MaxFaults) + " more points stand twice"})
	}
	if len(merged)+doubtful < 2 && !s.dropped {
		faults.Add(&Error{File: s.file, Line: c.line, Key: c.Pump, Message: "the curve has one point", Allowed: "two or more points for each pump"})
	}
	c.Rows = merged
	s.doubtUnits(c)
	return c.CurveRows
}

// doubtUnits warns of a curve so large that its unit is more likely wrong than
// its numbers: no garden pump comes near these figures (common practice).
func (s *sheet) doubtUnits(c *rawCurve) {
	const muchFlow, muchHead = 200 * units.CubicMetrePerHour, 100 * units.Metre
	for _, p := range c.Rows {
		if p.Flow > muchFlow || p.Head > muchHead {
			s.warnings = append(s.warnings, Warning{File: s.file, Line: p.Line, Key: c.Pump,
				Message: "a point of " + units.Format(units.KindFlow, float64(p.Flow)) + " at " + p.Head.String() + " is far beyond a garden pump; check the units in the headings"})
			return
		}
	}
}

func byFlow(a, b CurveRow) int { return cmp.Compare(a.Flow, b.Flow) }

// contradiction says how p differs from the point of the same flow before it.
func (s *sheet) contradiction(pump string, last, p CurveRow) *Error {
	what, one, two := "heads", last.Head.String(), p.Head.String()
	if last.Head == p.Head {
		what, one, two = "powers", last.Power.String(), p.Power.String()
	}
	return &Error{File: s.file, Line: p.Line, Key: pump, Found: s.line(p.Line), Allowed: "each flow once",
		Message: "one flow has two " + what + ": " + one + " in line " + strconv.Itoa(last.Line) + " and " + two + " here"}
}
