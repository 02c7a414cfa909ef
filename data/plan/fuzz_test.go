package plan_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/reftest"
)

// FuzzReadPlan checks that no text makes the reader panic, that each fault
// names the file, and that what is read is finite and read the same way twice.
func FuzzReadPlan(f *testing.F) {
	// Single tables: the fuzzer spends its time minimising whole plans.
	for seed := range uint64(3) {
		for _, table := range strings.Split(plantest.Draw(rand.New(rand.NewPCG(seed, 3))).Text, "\n\n") {
			f.Add(table, []byte{})
		}
	}
	for _, b := range plantest.BrokenPlans() {
		_, tail, _ := strings.Cut(b.Text, "[site]")
		f.Add(tail, []byte{0, 2, 0, 0, 6, 1, 0, 2})
	}
	for _, text := range []string{
		"", "\ufeff", "\xff\xfe[\x00p\x00", "\x00", "=", "[", "[]", "[[]]", "[[[", "a", "a=", "a=[[[[", "a={b={c={}}}",
		"\"\".\"\" = 1", "\"pond.volume\" = \"6 m3\"", "pond.\"vol ume\" = 1", "1.2.3 = 4", "feed.1.length = \"1 m\"",
		"feed = []", "feed = [{}]", "feed = [{}, {length = \"1 m\"}]\n[[feed]]\nlength = \"2 m\"", "feed = [1]", "branch = [{feed = [{}]}]",
		"[branch.feed]\nlength=\"1 m\"", "[[branch.feed]]\nlength=\"1 m\"", "branch.feed.length = \"1 m\"",
		"[pond]\nvolume='''\n6 m3'''", "[pond]\r\nvolume=\"6 m3\"\r\n", "[pond]\rvolume=1", "[pond]\nvolume = \"6\\u00a0m\\u00b3\"",
		"[panel]\nlosses = {soiling = 0.02, \"age\" = '3 %'}", "[panel.losses]\n[panel]", "[run]\nmonths_off = [[1]]", "[run]\nmonths_off = [true]",
		"[run]\nmonths_off = \"Jan-Dec\"", "[[run.band]]\nhours = \"00-24\"\nspeed = 1", "[feed]", "[[feed]]\nfittings = {}", "[[feed]]\nfittings = {a.b = 1}",
		"[[feed]]\nfittings = [[\"tee\"], 3]", "[[feed]]\nfittings = \" x , ; 3 x 4 x\"", "[site]\nshade_by_hour = [0, 1]", "[battery]\nsize = \"1e308 kWh\"",
		"[battery]\nsizes = \"1,2,3\"", "[reliability]\nseed = 1e400", "[reliability]\nseed = 2147483647", "[water]\ntemperature = \"-300 C\"",
		strings.Repeat("[pond]\n", 40), strings.Repeat("x = 1\n", 40), strings.Repeat("[[pump]]\n", 50), "name = \"" + strings.Repeat("é", 150) + "\"",
	} {
		f.Add(text, []byte{})
	}
	f.Fuzz(func(t *testing.T, text string, moves []byte) {
		text = reftest.Damaged(text, "=", moves)
		p, _, err := plan.ReadPlan("plan", strings.NewReader(text), plan.ReadOptions{})
		if err != nil {
			for _, fault := range data.Faults(err) {
				if fault.File != "plan" || fault.Message == "" {
					t.Fatalf("%#v", fault)
				}
			}
			return
		}
		finite(t, reflect.ValueOf(p))
		again, _, err := plan.ReadPlan("plan", strings.NewReader(text), plan.ReadOptions{})
		if err != nil || !reflect.DeepEqual(p, again) {
			t.Fatalf("read twice: %v\n%+v\n%+v", err, p, again)
		}
	})
}

// FuzzSet checks that no setting makes a panic, that a refused one changes
// nothing, and that an accepted one is finite and told in Origins.
func FuzzSet(f *testing.F) {
	for seed := range uint64(2) {
		for _, s := range plantest.Draw(rand.New(rand.NewPCG(seed, 4))).Settings() {
			f.Add(s.Key, s.Text)
		}
	}
	for _, k := range plan.KeyTable() {
		f.Add(k.First(), k.Default)
		f.Add(k.Path, k.Starter)
	}
	for _, s := range [][2]string{
		{"", ""}, {".", "."}, {"1", "1"}, {"feed", "1"}, {"feed.1", "1"}, {"feed.1.", ""}, {"feed.01.length", "1 m"}, {"feed.-1.length", "1 m"},
		{"feed.1.length.1", "1 m"}, {"branch.1.feed.1.length", "1 m"}, {"branch.2.feed.1.length", "1 m"}, {"branch.1.feed.2.length", "1 m"}, {"feed.1e0.length", "1 m"},
		{"run.months_off", "12-1"}, {"run.band.1.hours", "24-0"}, {"pond.depths", "0;1 m;"}, {"site.albedo", ",,,"}, {"battery.size", "1 Ah 2 Ah"},
		{"feed.1.fittings", "9999 x tee"}, {"panel.temperature_coefficient", "-0,4 %/K"}, {"site.longitude", "1e-320"}, {"name", "\x00"},
		{"site.latitude", "S 33°30'"}, {"site.longitude", "4° 24′ 36″ W"}, {"site.latitude", "1e9N"}, {"site.longitude", "-0°0'0\"E"},
	} {
		f.Add(s[0], s[1])
	}
	f.Fuzz(func(t *testing.T, key, text string) {
		p := plan.NewPlan()
		if err := p.Set(key, text); err != nil {
			if !reflect.DeepEqual(plan.NewPlan(), p) {
				t.Fatalf("refused with %v, but changed: %+v", err, p)
			}
			return
		}
		finite(t, reflect.ValueOf(p))
		if p.Origins[key].Kind != plan.FromCommand || p.Origins[key].Flag != "" || p.Origins[key].Text != text {
			t.Fatalf("origin of %s: %+v", key, p.Origins[key])
		}
	})
}

// finite fails on a NaN or infinity anywhere in a plan.
func finite(t *testing.T, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%v in a plan", x)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			finite(t, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, v.Field(i))
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			finite(t, v.Index(i))
		}
	}
}
