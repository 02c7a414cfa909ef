package answer

import (
	"context"
	"fmt"
	"html"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
)

// of answers for the demo with settings, or for a plan of settings alone.
func of(system units.System, demo bool, base ...string) *Engine {
	return &Engine{System: system, Load: func(sets []plan.Setting) (*page.Input, error) {
		where, all := "", []plan.Setting(nil)
		if demo {
			where = plan.PlanFile
		}
		for _, s := range base {
			key, text, _ := strings.Cut(s, "=")
			if !slices.ContainsFunc(sets, func(s plan.Setting) bool { return s.Key == key }) {
				all = append(all, plan.Setting{Key: key, Text: text})
			}
		}
		loaded, err := plan.LoadPlan(where, plan.LoadOptions{Open: plan.FromFS(data.Demo()),
			ReadOptions: plan.ReadOptions{Sets: append(all, sets...), Need: plan.NeedDuty}})
		return &page.Input{Loaded: loaded, Demo: demo}, err
	}}
}

func answered(t *testing.T, e *Engine, depth string, set ...[2]string) Answer {
	t.Helper()
	a, err := e.Answer(context.Background(), Request{Set: set, Depth: depth})
	if err != nil || len(a.Faults) > 0 {
		t.Fatalf("%v %v: %v", set, err, a.Faults)
	}
	return a
}

// TestFiguresOfEveryDepthAreThoseOfThePlan: less depth leaves figures out and changes none.
func TestFiguresOfEveryDepthAreThoseOfThePlan(t *testing.T) {
	e := of(units.Metric, true)
	for _, set := range [][][2]string{nil, {{"lift.static_head", "1.6 m"}}, {{"choice.pump", "24 V 38 W"}, {"battery.size", "60 Ah"}},
		{{"site.mains", "no"}}, {{"site.mains", "no"}, {"panel.watts", "450 W"}, {"battery.size", "1000 Wh"}}} {
		all, mains := answered(t, e, "all", set...), !slices.Contains(set, [2]string{"site.mains", "no"})
		for _, depth := range []string{"water", "sun", "front"} {
			a := answered(t, e, depth, set...)
			if len(a.Values) < 300 || len(a.Values) >= len(all.Values) ||
				a.Announce != "" && (a.Announce != all.Announce || a.State != all.State) || a.Announce == "" && (depth != "water" || mains) {
				t.Errorf("%v to %s: %d figures of %d, %q", set, depth, len(a.Values), len(all.Values), a.Announce)
			}
			for path, v := range a.Values {
				if want, is := all.Values[path]; !is || v != want {
					t.Errorf("%v to %s: %s is %v, want %v", set, depth, path, v, want)
				}
			}
			for id, slot := range a.Slots {
				if slot != all.Slots[id] {
					t.Errorf("%v to %s: another %s", set, depth, id)
				}
			}
		}
		front := answered(t, e, "front", set...)
		if rest := len(all.Slots) - len(front.Slots); rest != 2 || front.Slots["care"] != all.Slots["care"] || front.Slots["sections"] != "" {
			t.Errorf("%v: without its tables it leaves out %d slots, or differs", set, rest)
		}
		if all.Values["pumps.1.dirty.turnover_h"] == 0 || all.Slots["care"] == "" || all.Slots["sections"] == "" {
			t.Errorf("%v: %d figures, slots %v", set, len(all.Values), slices.Sorted(maps.Keys(all.Slots)))
		}
	}
}

// demoFront returns the plan of e as it is and its front with every table.
func demoFront(t *testing.T, e *Engine) (*page.Input, *document.Front) {
	t.Helper()
	in, err := e.Load(nil)
	if err != nil {
		t.Fatal(err)
	}
	made, err := in.JobTo(context.Background(), energy.All)
	if err != nil {
		t.Fatal(err)
	}
	return in, made.Document().Front(e.System)
}

// TestEveryStepIsTaken: what a control offers, the plan takes, in any units.
func TestEveryStepIsTaken(t *testing.T) {
	for system := range units.Imperial + 1 {
		e, steps := of(system, true), 0
		in, front := demoFront(t, e)
		for _, g := range front.Groups {
			for _, c := range g.Controls {
				if len(c.Steps) < 2 || c.At >= len(c.Steps) || len(c.Steps) > 80 {
					t.Errorf("%s has %d steps, the plan's is %d", c.Key, len(c.Steps), c.At)
				}
				for _, s := range c.Steps {
					sets, faults := Settings(s.Set)
					if len(faults) > 0 {
						t.Errorf("%s: %v", c.Key, faults)
					}
					if _, err := e.Load(sets); err != nil && c.Key != "pond.stocking" {
						t.Errorf("%s: %v", s.Name, err)
					}
					steps++
				}
				own, err := e.Load(must(Settings(c.Steps[c.At].Set)))
				if err != nil {
					t.Errorf("%s as it is: %v", c.Key, err)
				} else if diff := cmp.Diff(values(in), values(own)); diff != "" && !strings.HasPrefix(c.Key, "pond.volume") {
					t.Errorf("%s as it is changes the plan:\n%s", c.Key, diff)
				}
			}
		}
		if steps < 200 {
			t.Errorf("%d steps", steps)
		}
	}
}

// TestBestPlanIsAStepOfItsControls: a press sets what the plan then says costs so much, and
// the speed is one that its control shows.
func TestBestPlanIsAStepOfItsControls(t *testing.T) {
	e := of(units.Metric, true)
	_, f := demoFront(t, e)
	steps := map[[2]string]bool{}
	for _, g := range f.Groups {
		for _, c := range g.Controls {
			for _, s := range c.Steps {
				for _, set := range s.Set {
					steps[set] = true
				}
			}
		}
	}
	before := answered(t, e, "front")
	a := answered(t, e, "front", f.Best.Set...)
	if a.Values["best.equivalent_cost_per_year"] > 0 && a.Values["best.saves_per_year"] > 0.04*before.Values["best.equivalent_cost_per_year"] {
		t.Errorf("after %v there is more to save: %v", f.Best.Set, a.Values["best.saves_per_year"])
	}
	for _, set := range f.Best.Set {
		if (strings.HasPrefix(set[0], "run.") || set[0] == "feed.2.pipe") && !steps[set] {
			t.Errorf("no control has %v", set)
		}
	}
	if len(f.Best.Set) < 3 {
		t.Errorf("the best plan of the demo sets %v", f.Best.Set)
	}
}

func must(sets []plan.Setting, _ []Fault) []plan.Setting { return sets }

// values are those of a plan as texts.
func values(in *page.Input) map[string]string {
	all := map[string]string{}
	in.Plan.Fields(func(key string, v reflect.Value) { all[key] = fmt.Sprint(reflect.Indirect(v)) })
	return all
}

// many are more pumps than anybody compares, with names of every kind.
func many() []string {
	all := []string{"pond.volume=9 m3", "pond.stocking=medium", "lift.static_head=1 m", "feed.1.pipe=hose 32 mm", "feed.1.length=10 m",
		"mains.price=0.3", "mains.currency=EUR"}
	for i := range 12 {
		at := fmt.Sprintf("pump.%d.", i+1)
		all = append(all, at+"name="+[]string{"", "<script>alert(1)</script>", "\u202egnp.exe", strings.Repeat("long name ", 15)}[i%4]+
			fmt.Sprint(" no ", i+1), at+fmt.Sprintf("label_flow=%d L/h", 2000+500*i), at+"label_head=3 m", at+fmt.Sprintf("label_power=%d W", 20+8*i))
	}
	return all
}

// TestFronts keeps what pages open with, as their words: many pumps with odd names,
// branches, no site, no mains, other units, no pump that does.
func TestFronts(t *testing.T) {
	branches := []string{"pond.volume=9 m3", "pond.stocking=light", "pump.1.label_flow=6000 L/h", "pump.1.label_head=4 m", "pump.1.name=A",
		"pump.1.label_power=80 W", "lift.static_head=0.6 m", "branch.1.name=bog", "branch.1.static_head=0.6 m", "branch.1.feed.1.pipe=hose 32 mm",
		"branch.1.feed.1.length=6 m", "branch.2.name=fall", "branch.2.static_head=1.4 m", "branch.2.feed.1.pipe=hose 32 mm",
		"branch.2.feed.1.length=9 m"}
	box := []string{"pond.volume=5 m3", "pond.stocking=light", "pump.1.label_flow=3500 L/h", "pump.1.label_head=2.2 m",
		"pump.1.label_power=45 W", "lift.static_head=0.9 m", "feed.1.pipe=hose 25 mm", "feed.1.length=8 m"}
	for name, e := range map[string]*Engine{
		"demo": of(units.Metric, true), "us": of(units.US, true), "many": of(units.Metric, false, many()...),
		"branches": of(units.Metric, false, branches...), "box": of(units.Metric, false, box...),
		"own_pair": of(units.Metric, true, "panel.watts=450 W", "battery.size=100 Ah"),
		"off_grid": of(units.US, true, "site.mains=false", "panel.tilt=60"),
		"no_mains": of(units.Metric, false, append(box, "site.place=Upington", "inverter.efficiency=90 %", "inverter.idle=7 W")...),
		"nothing":  of(units.Metric, false, append(box[:5:5], "lift.static_head=5 m", "feed.1.pipe=hose 25 mm", "feed.1.length=8 m")...),
	} {
		t.Run(name, func(t *testing.T) {
			page, _, err := e.Page(context.Background(), nil)
			if err != nil {
				t.Fatal(err)
			}
			got := words(string(page))
			file := filepath.Join("testdata", name+".txt")
			if os.Getenv("UPDATE_GOLDEN") != "" {
				if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if diff := cmp.Diff(string(want), got); err != nil || diff != "" {
				t.Errorf("%v\n%s", err, diff)
			}
			live, _, err := e.Page(context.Background(), &document.Engine{Policy: "; connect-src 'self'", Save: "pond.toml"})
			if err != nil || !strings.Contains(string(live), `<input type="range"`) {
				t.Errorf("it cannot be changed: %v", err)
			}
		})
	}
}

var (
	besides = regexp.MustCompile(`(?s)<head>.*</head>|<details>.*?</details>|<section class="folds".*`)
	ends    = regexp.MustCompile(`</(h[1-4]|p|div|dl|tr|figure|section|header|nav|svg|li|caption)>`)
	parts   = regexp.MustCompile(`</(td|th|dt|text|a)>`)
	labels  = regexp.MustCompile(`<svg class="mark ([a-z]+)"[^>]*>|<svg [^>]*aria-label="([^"]*)"[^>]*>`)
	tags    = regexp.MustCompile(`(?s)<[^>]*>`)
	blanks  = regexp.MustCompile(`[ \n\x{a0}]*\n[ \n\x{a0}]*`)
)

// words returns what a page says above its tables, a line for each part.
func words(page string) string {
	s := besides.ReplaceAllString(page, "")
	s = labels.ReplaceAllString(s, "[$1$2] ")
	s = parts.ReplaceAllString(strings.ReplaceAll(s, "\n", ""), " | ")
	s = tags.ReplaceAllString(ends.ReplaceAllString(s, "\n"), "")
	return strings.TrimSpace(blanks.ReplaceAllString(html.UnescapeString(s), "\n")) + "\n"
}

// TestLinksLittle: a page that holds its own engine is small only without what the
// command needs for terminals, templates, plots and the network.
func TestLinksLittle(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", ".").Output()
	if err != nil || !strings.Contains(string(out), "sunrill/cmd/internal/page") {
		t.Fatalf("%v: %s", err, out)
	}
	for path := range strings.FieldsSeq(string(out)) {
		for _, never := range []string{"spf13", "tablewriter", "html/template", "gonum.org/v1/plot", "net/http"} {
			if strings.Contains(path, never) {
				t.Errorf("it links %s", path)
			}
		}
	}
}

func BenchmarkAnswer(b *testing.B) {
	for _, depth := range []string{"water", "sun", "all"} {
		b.Run(depth, func(b *testing.B) {
			e := of(units.Metric, true)
			for i := range b.N {
				set := [][2]string{{"lift.static_head", fmt.Sprintf("%.2f m", 0.5+float64(i%20)*0.05)}}
				if _, err := e.Answer(context.Background(), Request{Set: set, Depth: depth}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
