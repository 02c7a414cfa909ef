package plan

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"sunrill/data"
	"sunrill/data/units"
)

// goodPlan is enough for the pond of a plan and contradicts nothing.
const goodPlan = `name = "Test"
[pond]
volume = "6 m3"
stocking = "light"
[[pump]]
name = "A"
curve = "a.csv"
[lift]
static_head = "0.9 m"
[[feed]]
bore = "25 mm"
length = "10 m"
`

func read(t *testing.T, text string) Plan {
	t.Helper()
	p, _, err := ReadPlan("pond.toml", strings.NewReader(text), ReadOptions{Need: NeedPond})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestReadPlanValues(t *testing.T) {
	p := read(t, `name = "Heron Court"
pond.shape = "depths"
[pond]
volume = "250 US gal"
depths = ["0", "1 ft", "50 cm"]
stocking = "Heavy"
evaporation = ["6 mm/day", "5 mm/day", "4 mm/day", "3 mm/day", "2 mm/day", "1 mm/day", "1 mm/day", "2 mm/day", "3 mm/day", "4 mm/day", "5 mm/day", "6 mm/day"]
[[pump]]
name = "A"
label_flow = "3000 L/h"
label_head = "20 kPa"
[[pump]]
name = "B"
curve = "b.csv"
supply = "DC"
present = true
least_speed = "55 %"
[lift]
static_head = 0
[[branch]]
valve_k = 3.5
  [[branch.feed]]
  bore = "1 1/4 in"
  length = "4 m"
  fittings = { "elbow 90" = 2, tee = 1 }
  [[branch.feed]]
  pipe = "hose 25 mm"
  length = "2 m"
[[branch]]
feed = [{ bore = "30 mm", length = "3 m", fittings = ["3 x elbow 45", "ball valve"] }]
[water]
temperature = "12 C"
[run]
months_off = [12, 1, "Feb"]
[[run.band]]
hours = "22-06"
months = "Jun-Aug"
speed = 0.8
[mains]
price = 0.3
[site]
latitude = -32
longitude = "23.5 deg"
[panel]
temperature_coefficient = "-0.35 %/K"
losses.soiling = 0.05
[battery]
size = "110 Ah"
sizes = ["600 Wh", "110 Ah"]
`)
	if got := p.Pond.Volume.In(units.USGallon); math.Abs(got-250) > 1e-9 {
		t.Errorf("volume %v US gal", got)
	}
	if got := p.Pond.Depths; len(got) != 3 || math.Abs(float64(got[1])-0.3048) > 1e-12 {
		t.Errorf("depths %v", got)
	}
	if p.Pond.Stocking != "heavy" {
		t.Errorf("stocking %q", p.Pond.Stocking)
	}
	if got := p.Pond.Evaporation[11] * 86400; math.Abs(float64(got)-0.006) > 1e-12 {
		t.Errorf("evaporation %v", got)
	}
	if len(p.Pumps) != 2 || p.Pumps[0].Supply != "AC" || p.Pumps[1].LeastSpeed != 0.55 || p.Pumps[1].Count != 1 {
		t.Errorf("pumps %+v", p.Pumps)
	}
	// 20 kPa of water at 1000 kg/m³ and 9.80665 m/s² (NIST SP 811).
	if got := float64(*p.Pumps[0].LabelHead); math.Abs(got-2.0394324) > 1e-6 {
		t.Errorf("label head %v", got)
	}
	if *p.Lift.StaticHead != 0 {
		t.Errorf("static head %v", p.Lift.StaticHead)
	}
	fits := [][]Fitting{p.Branches[0].Feeds[0].Fittings, p.Branches[0].Feeds[1].Fittings, p.Branches[1].Feeds[0].Fittings}
	if diff := cmp.Diff([][]Fitting{{{"elbow 90", 2}, {"tee", 1}}, nil, {{"elbow 45", 3}, {"ball valve", 1}}}, fits); diff != "" {
		t.Error(diff)
	}
	if p.Branches[0].ValveK != 3.5 || p.Branches[1].ValveK != 0 {
		t.Errorf("valves %v, %v", p.Branches[0].ValveK, p.Branches[1].ValveK)
	}
	if got := p.Water.Temperature[7].InCelsius(); math.Abs(got-12) > 1e-9 {
		t.Errorf("water %v", got)
	}
	if got := p.Run.MonthsOff.String(); got != "Dec-Feb" {
		t.Errorf("months off %v", got)
	}
	if b := p.Run.Bands[0]; b.Hours.String() != "22-06" || b.Months.String() != "Jun-Aug" || b.Speed != 0.8 {
		t.Errorf("band %v %v %v", b.Hours, b.Months, b.Speed)
	}
	if got := float64(*p.Site.Longitude / units.Degree); math.Abs(got-23.5) > 1e-12 {
		t.Errorf("longitude %v", got)
	}
	if math.Abs(p.Panel.TemperatureCoefficient+0.0035) > 1e-15 || p.Panel.Losses.Soiling != 0.05 || p.Panel.Losses.Nameplate != 0.01 {
		t.Errorf("panel %+v", p.Panel)
	}
	// 110 Ah at 25.6 V is 2816 Wh.
	if got := p.Battery.Size.At(25.6).In(units.WattHour); math.Abs(got-2816) > 1e-6 {
		t.Errorf("battery %v Wh", got)
	}
	for key, want := range map[string]Origin{
		"pond.volume":            {Kind: FromFile, File: "pond.toml", Line: 4, Column: 10, Text: "250 US gal"},
		"branch.1.feed.2.length": {Kind: FromFile, File: "pond.toml", Line: 28, Column: 12, Text: "2 m"},
		"branch.2.feed.1.bore":   {Kind: FromFile, File: "pond.toml", Line: 30, Column: 18, Text: "30 mm"},
		"pump.1.supply":          {Kind: FromDefault, Text: "AC"},
		"panel.losses.nameplate": {Kind: FromDefault, Text: "1 %"},
	} {
		if diff := cmp.Diff(want, p.Origins[key]); diff != "" {
			t.Errorf("%s: %s", key, diff)
		}
	}
	if !p.Given("battery") || !p.Given("pond.volume") || p.Given("inverter") || p.Given("mains.years") {
		t.Error("Given does not tell what was given from defaults")
	}
}

// TestReadPlanForms checks that odd but right files are read.
func TestReadPlanForms(t *testing.T) {
	for name, text := range map[string]string{
		"byte-order mark": "\xEF\xBB\xBF" + goodPlan,
		"CRLF":            strings.ReplaceAll(goodPlan, "\n", "\r\n"),
		"no last newline": strings.TrimSuffix(goodPlan, "\n"),
		"UTF-16":          utf16Text(goodPlan),
		"Windows-1252":    goodPlan + "# gr\xf6\xdfer\n",
		"comments":        strings.ReplaceAll(goodPlan, "\n", " # so\n"),
	} {
		t.Run(name, func(t *testing.T) {
			p := read(t, text)
			if p.Name != "Test" || *p.Pond.Volume != 6 {
				t.Errorf("%q, %v", p.Name, p.Pond.Volume)
			}
		})
	}
}

func utf16Text(s string) string {
	b := []byte{0xFF, 0xFE}
	for _, u := range utf16.Encode([]rune(s)) {
		b = append(b, byte(u), byte(u>>8))
	}
	return string(b)
}

func TestReadPlanRefusesNoText(t *testing.T) {
	for name, text := range map[string]string{
		"binary": "\x7fELF\x02\x01\x01\x00\x00\x00\x00\x00", "a megabyte and more": strings.Repeat("# so\n", maxPlanBytes/5+1),
	} {
		if _, _, err := ReadPlan("plan", strings.NewReader(text), ReadOptions{}); len(data.Faults(err)) != 1 {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestStarterMark(t *testing.T) {
	p := read(t, strings.NewReplacer(`"6 m3"`, `"6 m3"  #? measure yours`, `"light"`, `"medium" #?`).Replace(goodPlan))
	for key, want := range map[string]OriginKind{"pond.volume": FromStarter, "pond.stocking": FromFile, "lift.static_head": FromFile} {
		if got := p.Origins[key].Kind; got != want {
			t.Errorf("%s: origin %d, want %d", key, got, want)
		}
	}
}

// TestAllFaultsAtOnce checks that one reading tells every fault, each with
// its place.
func TestAllFaultsAtOnce(t *testing.T) {
	_, _, err := ReadPlan("pond.toml", strings.NewReader(`[pond]
volume = 9.2
stokcing = "light"
[[pump]]
name = "A"
curve = "a.csv"
[lift]
static_head = "-1 m"
[[feed]]
bore = "25 mm"
length = 14 m
[battery]
reconnect = "10 %"
cut_off = 0.3
`), ReadOptions{Need: NeedPond})
	var got []string
	for _, f := range data.Faults(err) {
		got = append(got, fmt.Sprintf("%d:%d %s", f.Line, f.Column, f.Key))
	}
	want := []string{"2:10 pond.volume", "3:1 pond.stokcing", "8:15 lift.static_head", "11:13 "}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestSettings(t *testing.T) {
	sets := []Setting{
		{Key: "feed.2.length", Text: "3 m"}, {Key: "feed.2.bore", Text: "32mm"},
		FlagSetting("static-head", "4 ft"), FlagSetting("pipe", "hose 19 mm"),
		{Key: "name", Text: `a = "b"`}, {Key: "battery.sizes", Text: "1.2 kWh, 100 Ah"},
		{Key: "site.albedo", Text: "0,2;0,2;0.2;0.2;0.2;0.2;0.2;0.2;0.2;0.2;0.2;70 %"},
		{Key: "pump.2.name", Text: "B"}, {Key: "pump.2.curve", Text: "b.csv"},
	}
	p, _, err := ReadPlan("pond.toml", strings.NewReader(goodPlan), ReadOptions{Sets: sets, Need: NeedPond})
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(*p.Lift.StaticHead); math.Abs(got-1.2192) > 1e-9 {
		t.Errorf("static head %v", got)
	}
	if f := p.Feeds[0]; f.Pipe != "hose 19 mm" || f.Bore != nil {
		t.Errorf("--pipe does not take the place of the file's bore: %+v", f)
	}
	if p.Name != `a = "b"` || len(p.Battery.Sizes) != 2 || p.Site.Albedo[11] != 0.7 || p.Site.Albedo[0] != 0.2 {
		t.Errorf("%q, %v, %v", p.Name, p.Battery.Sizes, p.Site.Albedo)
	}
	if p.Pumps[1].Supply != "AC" || p.Origins["pump.2.supply"].Kind != FromDefault {
		t.Errorf("the new pump has no defaults: %+v", p.Pumps[1])
	}
}

// TestSettingsTakeThePlace checks that a setting drops what the file says of
// the same thing in another way.
func TestSettingsTakeThePlace(t *testing.T) {
	text := goodPlan + `[[pump]]
name = "B"
curve = "b.csv"
present = true
[site]
latitude = 50
longitude = 8
climate = "c.csv"
[mains]
other_use = "200 kWh"
[[mains.tier]]
price = 0.2
up_to = "300 kWh"
[[mains.tier]]
price = 0.3
`
	sets := []Setting{{Key: "pump.1.present", Text: "yes"}, FlagSetting("place", "Perth, Australia"), FlagSetting("price", "0.25"), FlagSetting("loss-k", "4")}
	p, _, err := ReadPlan("pond.toml", strings.NewReader(text), ReadOptions{Sets: sets})
	if err != nil {
		t.Fatal(err)
	}
	if !p.Pumps[0].Present || p.Pumps[1].Present {
		t.Errorf("present: %t, %t", p.Pumps[0].Present, p.Pumps[1].Present)
	}
	if s := p.Site; s.Latitude != nil || s.Longitude != nil || s.Climate != "" {
		t.Errorf("site %+v", s)
	}
	if len(p.Mains.Tiers) != 0 || p.Given("mains.tier") || *p.Mains.Price != 0.25 {
		t.Errorf("mains %+v", p.Mains)
	}
}

func TestSettingFaults(t *testing.T) {
	for _, c := range []struct {
		sets []Setting
		want string // in the message or the hint
	}{
		{[]Setting{{Key: "feed.length", Text: "1m"}}, "feed.1.length"},
		{[]Setting{{Key: "feed.3.length", Text: "1m"}}, "the next is feed.2"},
		{[]Setting{{Key: "feed.0.length", Text: "1m"}}, "count from 1"},
		{[]Setting{{Key: "feed.99999999999999999999.length", Text: "1m"}}, "the next is feed.2"},
		{[]Setting{{Key: "feed[].length", Text: "1m"}}, "feed.1.length"},
		{[]Setting{{Key: "pond.volumne", Text: "1 m3"}}, "pond.volume"},
		{[]Setting{{Key: "static_head", Text: "1 m"}}, "lift"},
		{[]Setting{{Key: "quetzal", Text: "1 m"}}, "help keys"},
		{[]Setting{{Key: "pond.1.volume", Text: "1 m3"}}, "no such key"},
		{[]Setting{{Key: "lift.static_head", Text: "1"}}, "1 m"},
		{[]Setting{{Key: "lift.static_head", Text: ""}}, "nothing is written"},
		{[]Setting{{Key: "lift.static_head", Text: "1m"}, FlagSetting("static-head", "2m")}, "by --set already"},
		{[]Setting{FlagSetting("static-head", "2m"), {Key: "lift.static_head", Text: "1m"}}, "by --static-head already"},
		{[]Setting{{Key: "lift.static_head", Text: "1m"}, {Key: "lift.static_head", Text: "1m"}}, "by --set already"},
		{[]Setting{FlagSetting("pipe", "hose 25 mm"), FlagSetting("pipe-bore", "25 mm")}, "two ways"},
		{[]Setting{FlagSetting("cut-off", "30 %"), FlagSetting("reconnect", "20 %")}, "--reconnect"},
	} {
		_, _, err := ReadPlan("pond.toml", strings.NewReader(goodPlan), ReadOptions{Sets: c.sets, Need: NeedPond})
		faults := data.Faults(err)
		if len(faults) != 1 || !strings.Contains(faults[0].Error()+" "+faults[0].Hint, c.want) {
			t.Errorf("%v: %v, want one fault that says %q", c.sets, err, c.want)
		}
	}
	if _, err := ParseSetting("lift.static_head"); err == nil {
		t.Error("--set without = is taken")
	}
	if s, err := ParseSetting(" name =a=b"); err != nil || s.Key != "name" || s.Text != "a=b" {
		t.Errorf("%+v, %v", s, err)
	}
}

// TestSetLeavesPlan checks that a refused Set changes nothing.
func TestSetLeavesPlan(t *testing.T) {
	p := NewPlan()
	for _, s := range [][2]string{{"feed.1.length", "wet"}, {"feed.2.length", "1 m"}, {"nope", "1"}} {
		if err := p.Set(s[0], s[1]); err == nil {
			t.Errorf("%v is taken", s)
		}
	}
	if diff := cmp.Diff(NewPlan(), p, cmp.AllowUnexported(Plan{})); diff != "" {
		t.Error(diff)
	}
}

func TestMissing(t *testing.T) {
	p := NewPlan()
	for need, want := range map[Need]int{NeedDuty: 3, NeedPond: 5, NeedSite: 1, NeedLoad: 1, NeedSite | NeedLoad | NeedPanel | NeedStore: 4, 0: 0} {
		got := p.Missing(need)
		if len(got) != want {
			t.Errorf("need %b: %d missing, want %d: %v", need, len(got), want, got)
		}
		for _, f := range got {
			if f.Hint == "" {
				t.Errorf("%v does not say what to give", f)
			}
		}
	}
}

func TestLoadPlan(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	const two = "pump,flow (L/h),head (m)\nA,0,2\nA,1000,1\nB,0,3\nB,2000,1\n"
	write("a.csv", two)
	write("one.csv", "flow (L/h),head (m)\n0,2\n1000,1\n")
	write(PlanFile, goodPlan)

	t.Run("folder", func(t *testing.T) {
		l, err := LoadPlan(dir, LoadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if len(l.Curves) != 1 || l.Curves[0].Pump != "A" {
			t.Errorf("%+v", l.Curves)
		}
	})
	t.Run("flags alone", func(t *testing.T) {
		l, err := LoadPlan("", LoadOptions{ReadOptions: ReadOptions{Need: NeedDuty, Sets: []Setting{
			FlagSetting("curve", filepath.Join(dir, "a.csv")), FlagSetting("static-head", "1m"),
			FlagSetting("pipe-bore", "25mm"), FlagSetting("pipe-length", "10m")}}})
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for i, m := range l.Plan.Pumps {
			names = append(names, m.Name+"/"+l.Curves[i].Pump)
		}
		if diff := cmp.Diff([]string{"A/A", "B/B"}, names); diff != "" {
			t.Error(diff)
		}
	})
	t.Run("flag over a plan", func(t *testing.T) {
		l, err := LoadPlan(dir, LoadOptions{ReadOptions: ReadOptions{Sets: []Setting{FlagSetting("curve", filepath.Join(dir, "one.csv"))}}})
		if err != nil {
			t.Fatal(err)
		}
		if l.Plan.Pumps[0].Name != "A" || len(l.Curves[0].Rows) != 2 {
			t.Errorf("%+v", l.Curves)
		}
	})
	for name, c := range map[string]struct {
		where string
		sets  []Setting
		want  string
		is    error
	}{
		"no such plan":   {filepath.Join(dir, "no.toml"), nil, "there is no such file", fs.ErrNotExist},
		"no such curve":  {dir, []Setting{FlagSetting("curve", filepath.Join(dir, "no.csv"))}, "--curve", fs.ErrNotExist},
		"no such row":    {dir, []Setting{{Key: "pump.1.name", Text: "C"}}, "pond.toml:7:9", nil},
		"no pipe length": {"", []Setting{FlagSetting("pipe-bore", "25mm")}, "the length is not given", nil},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := LoadPlan(c.where, LoadOptions{ReadOptions: ReadOptions{Sets: c.sets}})
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %q", err, c.want)
			}
			if f := data.Faults(err); c.is != nil && (len(f) != 1 || !errors.Is(f[0], c.is)) {
				t.Errorf("%v: its cause is not %v", err, c.is)
			}
		})
	}
}

// TestPumpPastItsLife: a pump older than its life is told, one at its end is not.
func TestPumpPastItsLife(t *testing.T) {
	for age, told := range map[string]bool{"9 years": true, "5 years": false} {
		text := "[[pump]]\nname = \"A\"\ncurve = \"a.csv\"\npresent = true\nage = \"" + age + "\"\n"
		_, warnings, err := ReadPlan("pond.toml", strings.NewReader(text), ReadOptions{})
		if err != nil || (len(warnings) == 1 && warnings[0].Key == "pump.1.age") != told {
			t.Errorf("%s: %v, %v", age, warnings, err)
		}
	}
}
