package plan_test

import (
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
)

// A figure that is plain in a plan with points alone is doubtful beside a comma.
func TestPointMayMarkThousands(t *testing.T) {
	const text = "[pond]\nvolume = %\n[lift]\nstatic_head = &\n"
	for _, tt := range []struct {
		volume, head string
		refused      string // what is allowed instead, "" where the plan is read
	}{
		{`"300.000 L"`, `"0.8 m"`, ""},
		{`"300.000 L"`, `"0,8 m"`, "300000 L, or 300,0 L"},
		{`"3.250 m3"`, `"0,8 m"`, "3250 m3, or 3,25 m3"},
		{`"3.25 m3"`, `"0,8 m"`, ""},
		{`"0.250 m3"`, `"0,8 m"`, ""},
		{`"3.250 m3"`, `"1,800 m"`, "two ways"}, // the comma settles nothing
	} {
		text := strings.NewReplacer("%", tt.volume, "&", tt.head).Replace(text)
		_, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{})
		switch {
		case tt.refused == "" && err != nil:
			t.Errorf("%s and %s: %v", tt.volume, tt.head, err)
		case tt.refused != "" && (err == nil || !strings.Contains(err.Error(), tt.refused)):
			t.Errorf("%s and %s: %v, want %s", tt.volume, tt.head, err, tt.refused)
		}
	}
}

// A hint that somebody follows must not be refused next, nor be a thousand
// times what was meant.
func TestHintsOfUnits(t *testing.T) {
	for text, want := range map[string]string{
		"[lift]\nstatic_head = 0.9\n": `static_head = "0.9 m"`,
		"[pond]\ndepth = 70\n":        "", // 70 m is no pond
		"[pond]\nvolume = 4100\n":     "", // litres or cubic metres
		"[battery]\nsize = 1000\n":    `size = "1000 Wh"`,
	} {
		_, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{})
		faults := data.Faults(err)
		if len(faults) == 0 || faults[0].Hint != want {
			t.Errorf("%q: %v, want the hint %q", text, err, want)
		}
	}
}

// A file of another kind gets one fault, not one a line.
func TestNoPlanAtAll(t *testing.T) {
	_, _, err := plan.ReadPlan("curve.csv", strings.NewReader("flow (L/h),head (m)\n0,3\n1000,2\n2000,1\n"), plan.ReadOptions{})
	if f := data.Faults(err); len(f) != 1 || !strings.Contains(f[0].Hint, "such as a curve") {
		t.Errorf("%v", err)
	}
	_, _, err = data.ReadCurves("pond.toml", strings.NewReader("[pond]\nvolume = \"4 m3\"\n"))
	if f := data.Faults(err); len(f) != 1 || !strings.Contains(f[0].Message, "the line of a plan") {
		t.Errorf("%v", err)
	}
}

// A name that no table has is told beside another fault of the same table, in a
// file and on the command line.
func TestUnknownNameBesideAnotherFault(t *testing.T) {
	const text = "[[feed]]\npipe = \"hoze 25 mm\"\nlength = 6\n"
	_, _, err := plan.ReadPlan("pond.toml", strings.NewReader(text), plan.ReadOptions{})
	if f := data.Faults(err); len(f) != 2 || !strings.Contains(err.Error(), "hoze") {
		t.Errorf("%v", err)
	}
	p := plan.NewPlan()
	err = p.Apply([]plan.Setting{plan.FlagSetting("pipe", "hoze 25 mm"), plan.FlagSetting("pipe-length", "6")})
	if f := data.Faults(err); len(f) != 2 || !strings.Contains(err.Error(), "hoze") {
		t.Errorf("%v", err)
	}
}
