package plan_test

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// TestEditChangesItsLinesAlone: what is changed, what comes new, and what it takes the
// place of, in the line ends of the file.
func TestEditChangesItsLinesAlone(t *testing.T) {
	const before = `# our pond
name = "Yard" # its name
[pond] # the water
shape = "rectangle" # ours
length = "3 m"
width = "2 m"
depth = "1 m"
stocking = 'light'    # a few

[[pump]]
name = "A"
label_flow = "3000 L/h"
label_head = "3 m"
present = true # today
[[pump]]
name = "B"
label_flow = "4000 L/h"
label_head = "4 m"
[lift]
static_head = "1 m"
[[feed]]
pipe = "hose 25 mm"
length = "9 m"
[mains]
other_use = "250 kWh"
[[mains.tier]]
price = 2.5
`
	for name, test := range map[string]struct {
		set  []plan.Setting
		edit []string // pairs: what stood there, what stands there now
	}{
		"in place":      {[]plan.Setting{{Key: "lift.static_head", Text: "1.5 m"}}, []string{`"1 m"` + "\n[[feed]]", `"1.5 m"` + "\n[[feed]]"}},
		"single quotes": {[]plan.Setting{{Key: "pond.stocking", Text: "heavy"}}, []string{`'light'`, `"heavy"`}},
		"new line":      {[]plan.Setting{{Key: "pond.turnover_goal", Text: "4 h"}}, []string{"# a few\n", "# a few\nturnover_goal = \"4 h\"\n"}},
		"new table":     {[]plan.Setting{{Key: "run.speed", Text: "80 %"}}, []string{"price = 2.5\n", "price = 2.5\n\n[run]\nspeed = \"80 %\"\n"}},
		"new item": {[]plan.Setting{{Key: "run.band.1.hours", Text: "22-06"}, {Key: "run.band.1.speed", Text: "0.6"}},
			[]string{"price = 2.5\n", "price = 2.5\n\n[[run.band]]\nhours = \"22-06\"\nspeed = 0.6\n"}},
		"instead of a list": {[]plan.Setting{{Key: "mains.price", Text: "3"}}, []string{
			"kWh\"\n[[mains.tier]]\nprice = 2.5", "kWh\"\nprice = 3\n# [[mains.tier]]\n# price = 2.5"}},
		"another runs today": {[]plan.Setting{{Key: "pump.2.present", Text: "true"}}, []string{"present = true", "# present = true",
			"\"4 m\"\n", "\"4 m\"\npresent = true\n"}},
	} {
		t.Run(name, func(t *testing.T) {
			want := strings.NewReplacer(test.edit...).Replace(before)
			got, err := plan.Edit("pond.toml", []byte(before), test.set)
			if err != nil || string(got) != want {
				t.Fatalf("%v\n%s", err, got)
			}
			const mark = "\xef\xbb\xbf"
			windows := func(s string) string { return mark + strings.ReplaceAll(s, "\n", "\r\n") }
			if got, err = plan.Edit("pond.toml", []byte(windows(before)), test.set); err != nil || string(got) != windows(want) {
				t.Fatalf("with other line ends: %v\n%q", err, got)
			}
		})
	}
}

// TestEditRefuses: a wrong value, and a plan that cannot be changed line by line.
func TestEditRefuses(t *testing.T) {
	for text, set := range map[string]plan.Setting{
		"[lift]\nstatic_head = \"1 m\"\n":         {Key: "lift.static_head", Text: "high"},
		"lift = { static_head = \"1 m\" }\n":      {Key: "lift.crest", Text: "2 m"},
		"[lift]\nstatic_head = \"1 m\"\r\n# x\n ": {Key: "lift.static_head", Text: "2 m"},
	} {
		var fault *data.Error
		if got, err := plan.Edit("pond.toml", []byte(text), []plan.Setting{set}); !errors.As(err, &fault) {
			t.Errorf("%q became %q: %v", text, got, err)
		}
	}
}

// TestEditedPlanIsThePlanWithSettings: over drawn plans and the settings of others,
// reading what was saved equals the plan with the settings applied.
func TestEditedPlanIsThePlanWithSettings(t *testing.T) {
	saved, refused := 0, 0
	for seed := range uint64(600) {
		r := rand.New(rand.NewPCG(seed, 1))
		before, other := plantest.Draw(r), plantest.Draw(r)
		all, sets := other.Settings(), []plan.Setting(nil)
		for range 1 + r.IntN(3) {
			s := all[r.IntN(len(all))]
			key, _ := plan.KeyNamed(s.Key)
			if key.Kind != "file" {
				sets = append(sets, s)
			}
		}
		want, _, err := plan.ReadPlan("pond.toml", strings.NewReader(before.Text), plan.ReadOptions{Sets: sets})
		if err != nil {
			continue
		}
		text, err := plan.Edit("pond.toml", []byte(before.Text), sets)
		if err != nil {
			refused++
			continue
		}
		saved++
		got, _, err := plan.ReadPlan("pond.toml", bytes.NewReader(text), plan.ReadOptions{})
		if err != nil {
			t.Fatalf("%v: %v\n%s", sets, err, text)
		}
		w := map[string]string{}
		want.Fields(func(key string, v reflect.Value) { w[key] = fmt.Sprintf("%#v", reflect.Indirect(v)) })
		got.Fields(func(key string, v reflect.Value) {
			if have := fmt.Sprintf("%#v", reflect.Indirect(v)); w[key] != have {
				t.Errorf("%v: %s is %s, want %s", sets, key, have, w[key])
			}
			delete(w, key)
		})
		if len(w) > 0 {
			t.Errorf("%v: lost %v", sets, w)
		}
	}
	if saved < 100 || refused > saved/50 {
		t.Errorf("%d saved, %d refused", saved, refused)
	}
}
