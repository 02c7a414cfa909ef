package data

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sunrill/data/reftest"
	"sunrill/data/units"
)

func readOdd(t *testing.T, name string) ([]CurveRows, []Warning, error) {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "odd", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	return ReadCurves(name, f)
}

// Each good_ file but good_two_pumps holds the same invented curve, written
// another way: 0, 1, 2, 2.6 m³/h at 2.5, 2, 1, 0 m and 22, 30, 36, 38 W.
func TestReadCurvesGood(t *testing.T) {
	files, err := filepath.Glob("testdata/odd/good_*.csv")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	flows, heads, powers := []float64{0, 1, 2, 2.6}, []float64{2.5, 2, 1, 0}, []float64{22, 30, 36, 38}
	warned := map[string]int{"good_windows1252.csv": 1, "good_duplicate_unsorted.csv": 2}
	for _, file := range files {
		name := filepath.Base(file)
		if name == "good_two_pumps.csv" {
			continue
		}
		curves, warnings, err := readOdd(t, name)
		if err != nil || len(curves) != 1 || len(curves[0].Rows) != 4 {
			t.Errorf("%s: %v, %v", name, curves, err)
			continue
		}
		if len(warnings) != warned[name] {
			t.Errorf("%s: warnings %v, want %d", name, warnings, warned[name])
		}
		c := curves[0]
		if c.Pump != strings.TrimSuffix(name, ".csv") || !c.HasPower {
			t.Errorf("%s: pump %q, power %v", name, c.Pump, c.HasPower)
		}
		for i, p := range c.Rows {
			got := []float64{p.Flow.In(units.CubicMetrePerHour), float64(p.Head), float64(p.Power)}
			for j, want := range []float64{flows[i], heads[i], powers[i]} {
				if math.Abs(got[j]-want) > 1e-9 { // the files in other units carry 10 digits
					t.Errorf("%s: point %d is %v, want %v %v %v", name, i, got, flows[i], heads[i], powers[i])
				}
			}
		}
	}
}

func TestReadCurvesOfTwoPumps(t *testing.T) {
	curves, warnings, err := readOdd(t, "good_two_pumps.csv")
	if err != nil || len(warnings) != 0 {
		t.Fatal(warnings, err)
	}
	lh := units.LitrePerHour
	want := []CurveRows{
		{File: "good_two_pumps.csv", Pump: "small", Rows: []CurveRow{{0, 1.5, 0, 2}, {1200 * lh, 0, 0, 4}}},
		{File: "good_two_pumps.csv", Pump: "large", Rows: []CurveRow{{0, 2.5, 0, 3}, {2600 * lh, 0, 0, 5}}},
	}
	if diff := cmp.Diff(want, curves); diff != "" {
		t.Error(diff)
	}
}

// TestRiseIsDoubted: heads that are exchanged are named with their place, a small droop from
// no flow on and the scatter of readings are not. The droop is that of
// testdata/ref/operating_point_curves.csv.
func TestRiseIsDoubted(t *testing.T) {
	for text, want := range map[string]string{
		"0,3\n0.5,3.25\n1,3.4\n1.5,3.35\n2,3.05\n3,1.5": "",
		"0,3\n1,2.5\n2,2.52\n3,1":                       "",
		"0,3\n1,1.5\n2,2.5\n3,1":                        "f.csv:4:3: f: the head rises with the flow, from 1.5 m in line 3 of the curve to 2.5 m in line 4: are two heads",
		"3,1\n2,2.5\n1,1.5\n0,3":                        "f.csv:3:3: f: the head rises with the flow, from 1.5 m in line 4 of the curve to 2.5 m in line 3: are two heads",
		"0,2\n1,2.9\n2,2\n3,1":                          "f.csv:3:3: f: the head rises with the flow, from 2 m in line 2 of the curve to 2.9 m in line 3: are two heads",
		"0,3\n1,2.9\n2,1\n3,2":                          "f.csv:5:3: f: the head rises with the flow, from 1 m in line 4 of the curve to 2 m in line 5: are two heads",
	} {
		_, warnings, err := ReadCurves("f.csv", strings.NewReader("flow (m3/h),head (m)\n"+text+"\n"))
		got := ""
		for _, w := range warnings {
			got += w.String()
		}
		if err != nil || (got == "") != (want == "") || !strings.HasPrefix(got, want) {
			t.Errorf("%q: %s, %v, want %s", text, got, err, want)
		}
	}
}

// place is line and column of a fault and what its message holds.
type place struct {
	line, column int
	says         string
}

func TestReadCurvesRefuses(t *testing.T) {
	tests := map[string][]place{
		"bad_empty_heading.csv":       {{1, 21, "a heading is empty"}},
		"bad_empty.csv":               {{0, 0, "the file is empty"}},
		"bad_heading_only.csv":        {{1, 1, "no points under the headings"}},
		"bad_one_point.csv":           {{2, 1, "one point"}},
		"bad_one_point_twice.csv":     {{2, 1, "one point"}},
		"bad_no_unit.csv":             {{1, 1, "the heading has no unit: found \"flow\"; allowed: a heading such as flow (L/h)"}},
		"bad_wrong_kind.csv":          {{1, 1, "W is a power; a flow is needed"}, {1, 10, "L/h is a flow; a head is needed"}},
		"bad_gallons.csv":             {{1, 1, "US gal/h for US gallons or imp gal/h"}},
		"bad_unknown_unit.csv":        {{1, 1, "not a unit of flow"}, {1, 16, "not a unit of head"}},
		"bad_text.csv":                {{2, 3, "not a number: found \"high\""}},
		"bad_nan_inf.csv":             {{2, 3, "not a number"}, {3, 1, "not a number"}},
		"bad_negative.csv":            {{3, 1, "the flow is negative"}, {3, 7, "the head is negative"}},
		"bad_two_heads.csv":           {{3, 1, "one flow has two heads: 2.5 m in line 2 and 2.6 m here"}},
		"bad_two_powers.csv":          {{3, 1, "two powers: 20 W in line 2 and 21 W here"}},
		"bad_short_row.csv":           {{2, 1, "1 cell under 2 headings"}},
		"bad_missing_cell.csv":        {{2, 3, "the cell is empty"}, {4, 1, "the cell is empty"}},
		"bad_two_flows.csv":           {{1, 21, "two columns, first in flow (L/h)"}},
		"bad_unknown_column.csv":      {{1, 21, "no such column in a pump curve: found \"colour\""}},
		"bad_no_head.csv":             {{1, 1, "head: the column is missing"}},
		"bad_pipes.csv":               {{1, 1, "head: the column is missing"}, {1, 1, "not a unit of flow"}},
		"bad_no_heading.csv":          {{1, 1, "the heading row is missing"}},
		"bad_thousands.csv":           {{3, 1, "thousands mark"}, {4, 1, "thousands mark"}},
		"bad_thousands_unsettled.csv": {{2, 3, "two ways"}},
		"bad_decimal_commas.csv":      {{2, 5, "3 cells under 2 headings"}},
		"bad_mixed_marks.csv":         {{3, 6, "the decimal mark differs from 2,5 in line 2"}},
		"bad_binary.csv":              {{2, 3, "binary"}},
		"bad_png.csv":                 {{3, 1, "binary"}},
		"bad_1e308.csv":               {{2, 3, "too large"}, {3, 1, "too large"}},
		"bad_hex_underscore.csv":      {{2, 1, "not a number"}, {3, 1, "not a number"}},
		"bad_open_quote.csv":          {{2, 1, "a quote is opened and not closed"}},
		"bad_no_pump_name.csv":        {{2, 1, "the cell is empty; allowed: the name of a pump"}},
	}
	files, err := filepath.Glob("testdata/odd/bad_*.csv")
	if err != nil || len(files) != len(tests) {
		t.Fatalf("%d files for %d cases, %v", len(files), len(tests), err)
	}
	for name, want := range tests {
		curves, _, err := readOdd(t, name)
		faults := Faults(err)
		if curves != nil || len(faults) != len(want) {
			t.Errorf("%s: %v, want %d faults, got\n%v", name, curves, len(want), err)
			continue
		}
		for i, f := range faults {
			w := want[i]
			if f.File != name || f.Line != w.line || f.Column != w.column || !strings.Contains(f.Error(), w.says) || f.Allowed == "" {
				t.Errorf("%s: got %v\nwant %d:%d saying %q", name, f, w.line, w.column, w.says)
			}
		}
	}
}

// FuzzReadCurves: no panic; success means named curves of two or more finite
// points in rising order of flow; failure means faults that name the file.
func FuzzReadCurves(f *testing.F) {
	for _, text := range OddFiles(f) {
		f.Add(text, []byte{})
	}
	f.Add("flow (L/h),head (m),power (W)\n0,2.5,40\n900,2,50\n1800,1,60\n", []byte{5, 1, 0, 1, 1, 2, 1, 0})
	f.Fuzz(func(t *testing.T, text string, moves []byte) {
		curves, _, err := ReadCurves("f.csv", strings.NewReader(reftest.Damaged(text, ",", moves)))
		if err != nil {
			for _, e := range Faults(err) {
				if e.File != "f.csv" || e.Message == "" {
					t.Fatalf("fault without place: %v", e)
				}
			}
			return
		}
		if len(curves) == 0 {
			t.Fatal("neither curves nor an error")
		}
		for _, c := range curves {
			if c.Pump == "" || len(c.Rows) < 2 {
				t.Fatalf("curve %+v", c)
			}
			for i, p := range c.Rows {
				for _, v := range []float64{float64(p.Flow), float64(p.Head), float64(p.Power)} {
					if !(v >= 0 && v <= units.Largest) {
						t.Fatalf("point %+v", p)
					}
				}
				if i > 0 && p.Flow <= c.Rows[i-1].Flow {
					t.Fatalf("flows do not rise: %+v", c)
				}
			}
		}
	})
}

func TestReadCurvesDoubtsUnits(t *testing.T) {
	_, warnings, err := ReadCurves("f.csv", strings.NewReader("flow (L/s),head (m)\n0,2.5\n2600,0\n"))
	if err != nil || len(warnings) != 1 || warnings[0].Line != 3 || !strings.Contains(warnings[0].Message.String(), "check the units") {
		t.Errorf("%v, %v", warnings, err)
	}
}

// A heading of a megabyte is refused in no time.
func TestReadCurvesLongHeading(t *testing.T) {
	file := strings.Repeat("flow_ ", maxLineBytes/6) + ",head (m)\n0,1\n"
	if _, _, err := ReadCurves("f.csv", strings.NewReader(file)); err == nil {
		t.Error("no error")
	}
}
