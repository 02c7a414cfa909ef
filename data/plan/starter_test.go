package plan

import (
	"io"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"sunrill/data"
)

// starterFolder returns what a new folder holds, with the plan's text.
func starterFolder(plan string) fs.FS {
	return fstest.MapFS{
		PlanFile:            {Data: []byte(plan)},
		data.StarterCurve:   {Data: []byte(data.StarterFile(data.StarterCurve))},
		data.StarterClimate: {Data: []byte(data.StarterFile(data.StarterClimate))},
	}
}

func TestStarterPlanReads(t *testing.T) {
	text := StarterPlan()
	l, err := LoadPlan(PlanFile, LoadOptions{ReadOptions: ReadOptions{Need: NeedPond | NeedSite}, Open: FromFS(starterFolder(text))})
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if len(l.Warnings) > 0 {
		t.Errorf("warnings: %v", l.Warnings)
	}
	for _, k := range KeyTable() {
		if o := l.Plan.Origins[k.First()]; (o.Kind == FromStarter) != (k.Starter != "") {
			t.Errorf("%s: origin %v, starter value %q", k.Path, o, k.Starter)
		}
	}
	f, err := l.Open("site.climate")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := data.ReadClimate(data.StarterClimate, strings.NewReader(string(raw))); err != nil {
		t.Error(err)
	}
	for i, line := range strings.Split(text, "\n") {
		if len([]rune(line)) > 80 {
			t.Errorf("line %d has %d columns: %s", i+1, len([]rune(line)), line)
		}
	}
}

// TestStarterPlanHoldsEveryKey checks that each key stands once under its
// heading, and that the value on a line not in use is one that the key takes.
func TestStarterPlanHoldsEveryKey(t *testing.T) {
	text := StarterPlan()
	at := ""
	seen := map[string]int{}
	for _, line := range strings.Split(text, "\n") {
		bare := strings.TrimPrefix(line, "#")
		switch {
		case strings.HasPrefix(bare, "[["):
			at = strings.ReplaceAll(strings.Trim(bare, "[]"), ".", "[].") + "[]."
			if at == "run[].band[]." || at == "mains[].band[]." || at == "mains[].tier[]." {
				at = strings.Replace(at, "[]", "", 1)
			}
		case strings.HasPrefix(bare, "["):
			at = strings.Trim(bare, "[]") + "."
		case strings.Contains(line, " = ") && !strings.HasPrefix(line, "# "):
			name, _, _ := strings.Cut(bare, " = ")
			seen[at+name]++
		}
	}
	for _, k := range KeyTable() {
		if seen[k.Path] != 1 {
			t.Errorf("%s stands %d times", k.Path, seen[k.Path])
		}
		if err := k.Takes(k.example()); err != nil {
			t.Errorf("%s: the example %q: %v", k.Path, k.example(), err)
		}
	}
}

// TestAnsweredPlan: a person's own values carry no mark, whatever they hold.
func TestAnsweredPlan(t *testing.T) {
	text := AnsweredPlan([]Setting{{Key: "pond.volume", Text: "7 m3"}, {Key: "name", Text: `The "deep\" end`}})
	p, _, err := ReadPlan(PlanFile, strings.NewReader(text), ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Origins["pond.volume"].Kind != FromFile || len(p.Pumps) > 0 || p.Name != `The "deep\" end` {
		t.Errorf("volume %v, %d pumps, name %q", p.Origins["pond.volume"], len(p.Pumps), p.Name)
	}
}
