package plan

import (
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"sunrill/data"
	"sunrill/data/units"
)

var keyForm = regexp.MustCompile(`^[a-z][a-z0-9_]*(\[\])?(\.[a-z][a-z0-9_]*(\[\])?)*$`)

// TestKeyTableRows checks that every row says all that is made from it.
func TestKeyTableRows(t *testing.T) {
	seen := map[string]bool{}
	flags := map[string]string{}
	for _, k := range KeyTable() {
		if !keyForm.MatchString(k.Path) || strings.HasSuffix(k.Path, "[]") {
			t.Errorf("%s: not the form of a key", k.Path)
		}
		if seen[k.Path] {
			t.Errorf("%s: twice in the table", k.Path)
		}
		seen[k.Path] = true
		if k.Help == "" || !strings.HasSuffix(k.Help, ".") || k.Group == "" {
			t.Errorf("%s: help must be a sentence under a group", k.Path)
		}
		if _, such, is := strings.Cut(k.kind.Takes, " such as "); is && k.quantity != 0 {
			for _, example := range strings.Split(such, " or ") {
				if err := k.Takes(example); err != nil {
					t.Errorf("help says %s, but %v", example, err)
				}
			}
		}
		if (k.Default != "" || k.Rule != "") != (k.Source != "") {
			t.Errorf("%s: default or rule %q%q and source %q must go together", k.Path, k.Default, k.Rule, k.Source)
		}
		if k.Default != "" && k.Rule != "" {
			t.Errorf("%s: both a constant and a rule", k.Path)
		}
		if (k.Kind == "choice") != (len(k.Choices) > 0) {
			t.Errorf("%s: kind %s with choices %v", k.Path, k.Kind, k.Choices)
		}
		if k.quantity != 0 && (k.Min == "" || k.Max == "") {
			t.Errorf("%s: a quantity needs a range", k.Path)
		}
		if !slices.Contains([]Shape{One, Monthly, Hourly, List}, k.Shape) {
			t.Errorf("%s: no shape is %q", k.Path, k.Shape)
		}
		if k.lo > k.hi {
			t.Errorf("%s: range from %s to %s", k.Path, k.Min, k.Max)
		}
		if k.Flag != "" {
			if other := flags[k.Flag]; other != "" {
				t.Errorf("%s: flag --%s is also %s", k.Path, k.Flag, other)
			}
			flags[k.Flag] = k.Path
			if got, ok := KeyForFlag(k.Flag); !ok || got.Path != k.Path {
				t.Errorf("KeyForFlag(%q) = %q, %t", k.Flag, got.Path, ok)
			}
		}
	}
}

// TestKeyTableMatchesPlan checks that each field of Plan has a row of the table, and
// that it is a pointer just where it may be missing. A row without a field is no table.
func TestKeyTableMatchesPlan(t *testing.T) {
	for _, k := range KeyTable() {
		ft := k.holds
		if fixed := k.Default != "" || k.Needed && strings.Contains(k.Path, "[]"); fixed && ft.Kind() == reflect.Pointer {
			t.Errorf("%s: always has a value, so %s need not be a pointer", k.Path, ft)
		} else if !fixed && ft.Kind() != reflect.Pointer && ft.Kind() != reflect.String && ft.Kind() != reflect.Slice && k.Kind != "months" {
			t.Errorf("%s: may be missing, which %s cannot say", k.Path, ft)
		}
		for ft.Kind() == reflect.Pointer || ft.Kind() == reflect.Slice && k.Shape == List {
			ft = ft.Elem()
		}
		if n := map[Shape]int{Monthly: 12, Hourly: 24}[k.Shape]; n > 0 {
			if ft.Kind() != reflect.Array || ft.Len() != n {
				t.Errorf("%s: %d values do not fit %s", k.Path, n, ft)
			}
		}
	}
	ix := keyTable()
	for i, name := range ix.names[reflect.TypeFor[Plan]()] {
		if f := reflect.TypeFor[Plan]().Field(i).Name; name == "" && f != "File" && f != "Origins" && f != "tables" {
			t.Errorf("%s: a field of Plan without a row in the table", f)
		}
	}
	for at, table := range ix.tables {
		for i, name := range ix.names[table] {
			path := at + "." + name
			if _, row := ix.byPath[path]; !row && ix.tables[path] == nil && ix.tables[path+"[]"] == nil {
				t.Errorf("%s.%s: a field without a row in the table", at, table.Field(i).Name)
			}
		}
	}
}

func TestPattern(t *testing.T) {
	for key, want := range map[string]string{
		"pond.volume":             "pond.volume",
		"feed.1.length":           "feed[].length",
		"branch.2.feed.10.loss_k": "branch[].feed[].loss_k",
		"feed[].length":           "feed[].length",
		"1.x":                     "1.x",
	} {
		if got := Pattern(key); got != want {
			t.Errorf("Pattern(%q) = %q, want %q", key, got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	words := []string{"static_head", "pond.volume", "turnover_goal", "LiFePO4"}
	for found, want := range map[string]string{
		"static-head":  "static_head",
		"statichaed":   "static_head",
		"pond.volumne": "pond.volume",
		"lifepo":       "LiFePO4",
		"quetzal":      "",
		"":             "",
	} {
		if got := data.Nearest(found, words); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", found, got, want)
		}
	}
}

// TestRefusalsNameTheRangeOfTheTable sets every key with a range at either end and
// just beyond. What is refused names the range of the table and no other.
func TestRefusalsNameTheRangeOfTheTable(t *testing.T) {
	tried := 0
	for _, k := range KeyTable() {
		for _, end := range []struct {
			text string
			out  float64
		}{{k.Min, -1}, {k.Max, 1}} {
			if end.text == "" {
				continue
			}
			tried++
			at, err := strconv.ParseFloat(end.text, 64)
			if err != nil {
				t.Fatal(err)
			}
			if err := k.Takes(k.typed(at)); err != nil {
				t.Errorf("%s = %s: %v", k.Path, k.typed(at), err)
			}
			step := max(math.Abs(at)/1000, 1e-4)
			if k.Kind == "count" {
				step = 1
			}
			f := data.Faults(k.Takes(k.typed(at + end.out*step)))
			if len(f) != 1 || !strings.Contains(f[0].Allowed, k.rangeText()) || strings.ContainsAny(f[0].Message, "0123456789") {
				t.Errorf("%s = %s: %v, want the range %s", k.Path, k.typed(at+end.out*step), f, k.rangeText())
			}
		}
	}
	if tried < 200 {
		t.Errorf("%d ends of ranges", tried)
	}
}

// typed returns a value of k as a person would type it.
func (k Key) typed(v float64) string {
	text := strconv.FormatFloat(v, 'f', -1, 64)
	switch {
	case k.needsUnit():
		text += " " + k.Unit
	case k.quantity == units.KindShare || k.Kind == "speed_or_off":
		text = strconv.FormatFloat(v*100, 'f', -1, 64) + " %"
		if v < 0 {
			text = strconv.FormatFloat(v, 'f', -1, 64) // a fall as a bare share
		}
	}
	return text
}

// TestLettersAreCounted: what a text may hold is counted in letters, and a path is
// for the system to judge.
func TestLettersAreCounted(t *testing.T) {
	long := strings.Repeat("é", 200)
	name, _ := KeyNamed("name")
	path, _ := KeyNamed("site.weather")
	if err := name.Takes(long); err != nil {
		t.Errorf("200 letters: %v", err)
	}
	if err := name.Takes(long + "é"); err == nil || !strings.Contains(err.Error(), "longer than 200 letters") {
		t.Errorf("201 letters: %v", err)
	}
	if err := path.Takes(strings.Repeat("folder/", 40) + "a.epw"); err != nil {
		t.Errorf("a path: %v", err)
	}
}

// TestTablesAndKeysNameTheSameWords: a kind or stocking that only one of them knows
// could be chosen without its figures, or not chosen at all.
func TestTablesAndKeysNameTheSameWords(t *testing.T) {
	words := func(table, column string) (all []string) {
		found, err := data.TableNamed(table)
		if err != nil {
			t.Fatal(err)
		}
		c := found.Contents()
		k := slices.Index(c.Columns, column)
		for _, row := range c.Rows {
			all = append(all, row[k])
		}
		slices.Sort(all)
		return slices.Compact(all)
	}
	for _, c := range [][3]string{{"battery.kind", "batteries", "kind"}, {"pond.stocking", "stocking", "stocking"}, {"pond.stocking", "turnover", "stocking"}} {
		k, ok := KeyNamed(c[0])
		if want := slices.Sorted(slices.Values(k.Choices)); !ok || !slices.Equal(words(c[1], c[2]), want) {
			t.Errorf("%s: the table %s has %q, the key %q", c[0], c[1], words(c[1], c[2]), want)
		}
	}
	for _, kind := range words("battery_cold", "kind") {
		if kind != "lead" && !slices.Contains(words("batteries", "kind"), kind) {
			t.Errorf("battery_cold: %q is no kind of battery", kind)
		}
	}
	for _, stocking := range words("filter_share", "stocking") {
		if !slices.Contains(words("stocking", "stocking"), stocking) {
			t.Errorf("filter_share: %q is no stocking", stocking)
		}
	}
}
