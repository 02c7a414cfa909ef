package answer

import (
	"context"
	"encoding/json"
	"io/fs"
	"strings"
	"testing"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
)

// demoFiles are the files of the demo, as somebody picks them.
func demoFiles(t *testing.T) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	entries, err := fs.ReadDir(data.Demo(), ".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if all[e.Name()], err = fs.ReadFile(data.Demo(), e.Name()); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

func (p *Picked) ask(t *testing.T, what string, body any) (r reply) {
	t.Helper()
	text, err := json.Marshal(body)
	if err == nil {
		err = json.Unmarshal(p.Do(context.Background(), what, text), &r)
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestPickedPlanIsOpenedChangedAndSaved: what is saved can be opened, and says what was set.
func TestPickedPlanIsOpenedChangedAndSaved(t *testing.T) {
	p, files := Demo(), demoFiles(t)
	if html, err := p.Page(context.Background(), document.Engine{}); err != nil || strings.Contains(string(html), `id="save"`) {
		t.Errorf("%v, or the demo can be saved", err)
	}
	r := p.ask(t, "open", map[string]any{"files": files, "page": true})
	if len(r.Faults) > 0 || !strings.Contains(r.Page, `id="save"`) || !strings.Contains(r.Page, `id="files"`) || strings.Contains(r.Page, "NOT YOUR POND") {
		t.Errorf("it has %v and %d letters", r.Faults, len(r.Page))
	}
	set := Request{N: 7, Set: [][2]string{{"lift.static_head", "1.6 m"}}, Depth: "water"}
	changed := p.ask(t, "answer", set)
	if changed.N != 7 || changed.Announce == "" {
		t.Errorf("it answers %v", changed)
	}
	saved := p.ask(t, "save", set)
	if want := strings.Replace(string(files[plan.PlanFile]), "1.05 m", "1.6 m", 1); saved.Name != plan.PlanFile || string(saved.Text) != want {
		t.Errorf("it saves %s:\n%s", saved.Name, saved.Text)
	}
	files[saved.Name] = saved.Text
	if r := p.ask(t, "open", map[string]any{"files": files}); len(r.Faults) > 0 || r.Page != "" {
		t.Errorf("what was saved is not opened: %v", r.Faults)
	}
	for path, v := range p.ask(t, "answer", Request{Depth: "water"}).Values {
		if changed.Values[path] != v {
			t.Errorf("saved, %s is %v, was %v", path, v, changed.Values[path])
		}
	}
}

// TestWrongFilesAreNotOpened: each is told what is wrong with its place, and what was
// shown stays.
func TestWrongFilesAreNotOpened(t *testing.T) {
	toml := "[pond]\nvolume = \"9 m3\"\nstocking = \"light\"\n[lift]\nstatic_head = \"1 m\"\n[[feed]]\npipe = \"hose 32 mm\"\nlength = \"10 m\"\n"
	one, two := "[[pump]]\nname = \"A\"\ncurve = \"a/c.csv\"\n", "[[pump]]\nname = \"B\"\ncurve = \"b/c.csv\"\n"
	curve := []byte("flow (L/h);head (m);power (W)\n0;3;40\n3000;0.5;60\n")
	p := Demo()
	before := p.ask(t, "answer", Request{Depth: "water"})
	for says, files := range map[string]map[string][]byte{
		`which of the files is the plan is not clear: found "a.toml, b.toml"`:        {"a.toml": nil, "b.toml": nil},
		"which of the files is the plan is not clear; allowed:":                      nil,
		`pond.toml:2:10: pond.volume: it does not begin with a number: found "much"`: {"pond.toml": []byte("[pond]\nvolume = \"much\"\n")},
		"pond.toml:11:9: pump.1.curve: there is no such file":                        {"pond.toml": []byte(toml + one)},
		"pond.toml:14:9: pump.2.curve: the file cannot be opened":                    {"pond.toml": []byte(toml + one + two), "c.csv": curve},
		"c.csv:3:6: head": {"pond.toml": []byte(toml + one), "c.csv": []byte("flow (L/h);head (m)\n0;3\n3000;much\n")},
		"climate.csv:1:1: month: the column is missing": {"pond.toml": []byte(toml + one + "[site]\nclimate = \"climate.csv\"\n"), "c.csv": curve, "climate.csv": []byte("x\n1\n")},
		"pond.toml:1:1: not TOML":                       {"pond.toml": []byte("<html>")},
	} {
		r := p.ask(t, "open", map[string]any{"files": files, "page": true})
		told := ""
		for _, f := range r.Faults {
			told += f.Message + "\n" + f.Hint + "\n"
		}
		if !strings.Contains(told, says) || r.Page != "" || strings.Contains(says, "no such") && !strings.Contains(told, "pick it together") {
			t.Errorf("want %q, it says\n%s", says, told)
		}
		if after := p.ask(t, "answer", Request{Depth: "water"}); after.Announce != before.Announce {
			t.Errorf("after %q it answers for another plan", says)
		}
	}
	if r := p.ask(t, "sell", Request{}); r.Error == "" {
		t.Error("any request is answered")
	}
	if err := json.Unmarshal(p.Do(context.Background(), "answer", []byte("{")), &reply{}); err != nil {
		t.Error(err)
	}
}
