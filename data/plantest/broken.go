package plantest

import "strings"

// Broken is a plan that has to be refused with a fault in Line that says Want.
type Broken struct {
	Name string
	Text string
	Line int
	Want string // in the message, what is allowed or the hint
}

// sound is the plan that Broken plans are made from by one change.
const sound = `name = "Teal Lane"
[pond]
volume = "6 m3"
stocking = "light"
depth = "1 m"
[[pump]]
name = "A"
label_flow = "3000 L/h"
label_head = "3 m"
label_power = "40 W"
[lift]
static_head = "0.9 m"
[[feed]]
bore = "25 mm"
length = "10 m"
[site]
latitude = 52
longitude = 13
[battery]
kind = "LiFePO4"
`

// change is one slip: old becomes new, or new is added at the end where old is
// empty. line counts from the first line of the changed text, or from the
// first added one.
type change struct {
	old, new string
	line     int
	want     string
}

// BrokenPlans returns plans with one fault each.
func BrokenPlans() []Broken {
	var all []Broken
	for _, c := range changes {
		b := Broken{Name: strings.ReplaceAll(c.new, "\n", " | "), Line: c.line, Want: c.want}
		if c.old == "" {
			b.Text = sound + c.new + "\n"
			b.Line += strings.Count(sound, "\n")
		} else {
			at := strings.Index(sound, c.old)
			if at < 0 {
				panic("plantest: no " + c.old)
			}
			b.Text = sound[:at] + c.new + sound[at+len(c.old):]
			b.Line += strings.Count(sound[:at], "\n")
		}
		all = append(all, b)
	}
	return all
}

var changes = []change{
	// quantities
	{`"6 m3"`, `6`, 1, "6 L or 6 m³"},
	{`"6 m3"`, `6 m3`, 1, `volume = "6 m3"`},
	{`"6 m3"`, `"6"`, 1, "no unit"},
	{`"6 m3"`, `"6 gal"`, 1, "6 imp gal"},
	{`"6 m3"`, `"6 kg"`, 1, "a volume is needed"},
	{`"6 m3"`, `"six m3"`, 1, "begin with a number"},
	{`"6 m3"`, `"1,500 L"`, 1, "two ways"},
	{`"6 m3"`, `"6 m3 or so"`, 1, "unit"},
	{`"6 m3"`, `"-6 m3"`, 1, "negative"},
	{`"6 m3"`, `"1e9 m3"`, 1, "too large"},
	{`"6 m3"`, `"1e999 m3"`, 1, "too large"},
	{`"6 m3"`, `"0 m3"`, 1, "too small"},
	{`"6 m3"`, `"NaN m3"`, 1, "number"},
	{`"6 m3"`, `nan`, 1, "number"},
	{`"6 m3"`, `inf`, 1, "number"},
	{`"6 m3"`, `0x10`, 1, "volume"},
	{`"6 m3"`, `""`, 1, "nothing is written"},
	{`"6 m3"`, `true`, 1, "no place here"},
	{`"6 m3"`, `2026-05-01`, 1, "date"},
	{`"6 m3"`, `["6 m3"]`, 1, "not a list"},
	{`"6 m3"`, `{ m3 = 6 }`, 1, "not a table"},
	{`"0.9 m"`, `"-0.9 m"`, 1, "too small"},
	{`"0.9 m"`, `"2 bananas"`, 1, "unit"},
	{`"0.9 m"`, `"12 V"`, 1, "a head is needed"},
	{`"0.9 m"`, `0.9`, 1, `static_head = "0.9 m"`},
	{`"25 mm"`, `"25"`, 1, "no unit"},
	{"\"3000 L/h\"\nlabel_head = \"3 m\"", "\"3.000 L/h\"\nlabel_head = \"2,9 m\"", 1, "may mark thousands"},
	{`"25 mm"`, `"1/0 in"`, 1, "fraction"},
	{`"3000 L/h"`, `"3000 gph"`, 1, "US gal/h"},
	// keys and tables
	{`volume`, `volumne`, 1, "did you mean volume?"},
	{`latitude`, `lat`, 1, "did you mean latitude?"},
	{`stocking`, `static_head`, 1, "in [lift]"},
	{`[lift]`, `[lfit]`, 1, "did you mean [lift]?"},
	{`[[pump]]`, `[pump]`, 1, "write [[pump]]"},
	{`[lift]`, `[[lift]]`, 1, "write [lift]"},
	{`[[feed]]`, `[feed.1]`, 1, "not numbered"},
	{`[site]`, `[pond]`, 1, "given twice"},
	{`depth = "1 m"`, `volume = "7 m3"`, 1, "given twice"},
	{``, "[pond.plants]\nshare = 0.3", 1, "no such table"},
	{``, "[air]\npower.mean = \"4 W\"", 2, "no such table"},
	{`name = "Teal Lane"`, `pump = "A"`, 1, "write [[pump]]"},
	{`name = "Teal Lane"`, `water = 12`, 1, "write [water]"},
	{`name = "Teal Lane"`, `quetzal = 1`, 1, "no such key"},
	{`name = "Teal Lane"`, `name = 65`, 1, "in quotes"},
	{`name = "Teal Lane"`, `name = "a\u0007b"`, 1, "control"},
	// TOML
	{`name = "Teal Lane"`, `name = "Teal Lane`, 1, "not closed on its line"},
	{`name = "Teal Lane"`, `name "Teal Lane"`, 1, "not TOML"},
	{`name = "Teal Lane"`, `name = “Teal Lane”`, 1, `name = "Teal Lane"`},
	{`name = "Teal Lane"`, `name =`, 1, "nothing stands after the = sign"},
	{`name = "Teal Lane"`, `name = Teal Lane`, 1, `name = "Teal Lane"`},
	{`[lift]`, `[lift`, 1, "not TOML"},
	{``, "[water]\ntemperature = [\"3 C\",", 2, "not TOML"},
	// words
	{`"light"`, `"lihgt"`, 1, `did you mean "light"?`},
	{`"light"`, `"koi"`, 1, "none, light, medium, heavy"},
	{`"light"`, `3`, 1, "none, light, medium, heavy"},
	{`"LiFePO4"`, `"lithium"`, 1, "LiFePO4"},
	// shares, money, counts, degrees
	{``, "[filter]\nvoids = 40", 2, "two ways: write 40 %"},
	{``, "[filter]\nvoids = \"140 %\"", 2, "too large"},
	{``, "[battery.x]\nusable = 1", 1, "no such table"},
	{`kind = "LiFePO4"`, "voltage = \"48 V\"\nsizes = \"100 Ah\"", 1, "51.2 V (4 in series)"},
	{`kind = "LiFePO4"`, "voltage = \"64 V\"\nsizes = \"100 Ah\"", 1, "51.2 V (4 in series)"},
	{`kind = "LiFePO4"`, `usable = "120 %"`, 1, "too large"},
	{`kind = "LiFePO4"`, `usable = -0.2`, 1, "too small"},
	{``, "[mains]\nprice = -0.3", 2, "too small"},
	{``, "[mains]\nprice = \"0.30 EUR\"", 2, "plain number"},
	{``, "[mains]\nyears = 2.5", 2, "whole number"},
	{``, "[mains]\nyears = 0", 2, "too small"},
	{``, "[reliability]\nunmet_flow = \"100 %\"", 2, "too large"},
	{`latitude = 52`, `latitude = 95`, 1, "too large"},
	{`latitude = 52`, `latitude = "52 E"`, 1, "no side"},
	{`longitude = 13`, `place = "Nowhere upon Nothing"`, 1, "not in the table"},
	{`longitude = 13`, `altitude = "20 m"`, 0, "belong together"},
	{`longitude = 13`, "longitude = 13\nutc_offset = 1.1", 2, "quarters"},
	// times of day and year
	{``, "[[run.band]]\nhours = \"22-26\"\nspeed = 0.8", 2, "24 hours"},
	{``, "[[run.band]]\nhours = \"22-22\"\nspeed = 0.8", 2, "whole day"},
	{``, "[[run.band]]\nhours = \"at night\"\nspeed = 0.8", 2, "22-06"},
	{``, "[[run.band]]\nhours = \"06:15-07\"\nspeed = 0.8", 2, "half hours"},
	{``, "[[run.band]]\nhours = \"22-06\"", 1, "no speed"},
	{``, "[[run.band]]\nspeed = 0.05", 2, "that slowly"},
	{``, "[[run.band]]\nspeed = 2", 2, "too large"},
	{``, "[[run.band]]\nhours = \"22-06\"\nspeed = 0.8\n[[run.band]]\nhours = \"05-08\"\nspeed = 1", 5, "overlaps"},
	{``, "[[run.band]]\nspeed = 0.8\n[[run.band]]\nspeed = 1", 3, "overlaps"},
	{``, "[run]\nmonths_off = [13]", 2, "not months"},
	{``, "[run]\nmonths_off = \"Brumaire\"", 2, "not months"},
	{``, "[run]\nmonths_off = \"all\"", 2, "never run"},
	{``, "[water]\ntemperature = [\"3 C\", \"4 C\"]", 2, "12"},
	{``, "[water]\ntemperature = [\"3 C\", 4, \"5 C\", \"6 C\", \"7 C\", \"8 C\", \"9 C\", \"9 C\", \"8 C\", \"7 C\", \"6 C\", \"5 C\"]", 2, "needs its unit"},
	{``, "[water]\ntemperature = []", 2, "empty"},
	// tariffs
	{``, "[[mains.band]]\nhours = \"06-22\"\nprice = 0.3", 2, "no band"},
	{``, "[[mains.band]]\nhours = \"06-22\"\nprice = 0.3\n[[mains.band]]\nhours = \"21-06\"\nprice = 0.2", 5, "overlaps"},
	{``, "[[mains.band]]\nhours = \"all\"", 1, "price"},
	{``, "[mains]\nprice = 0.3\n[[mains.band]]\nprice = 0.3", 2, "flat price"},
	{``, "[mains]\nother_use = \"9 kWh\"\n[[mains.tier]]\nprice = 0.3\nup_to = \"100 kWh\"", 5, "last block"},
	{``, "[mains]\nother_use = \"9 kWh\"\n[[mains.tier]]\nprice = 0.3\n[[mains.tier]]\nprice = 0.3", 3, "up_to"},
	{``, "[mains]\nother_use = \"9 kWh\"\n[[mains.tier]]\nprice = 0.3\nup_to = \"100 kWh\"\n[[mains.tier]]\nprice = 0.3\nup_to = \"90 kWh\"\n[[mains.tier]]\nprice = 0.3", 8, "rise"},
	{``, "[[mains.tier]]\nprice = 0.3", 1, "other_use"},
	// what contradicts itself
	{`depth = "1 m"`, "depth = \"1 m\"\nintake_height = \"1.2 m\"", 2, "above the surface"},
	{`depth = "1 m"`, "depth = \"1 m\"\nintake_depth = \"1.2 m\"", 2, "below the floor"},
	{`volume = "6 m3"`, `shape = "round"`, 1, "diameter"},
	{`volume = "6 m3"`, "shape = \"frustum\"\ndiameter = \"3 m\"\nbottom_diameter = \"4 m\"", 3, "larger than the surface"},
	{`volume = "6 m3"`, `fill_flow = "600 L/h"`, 1, "fill_time"},
	{`depth = "1 m"`, "depth = \"1 m\"\nintake_height = \"0.2 m\"\nintake_depth = \"0.8 m\"", 3, "two ways to say the same"},
	{`label_head = "3 m"`, `price = 30`, 0, "label_head"},
	{`label_power = "40 W"`, "[[pump]]\nname = \"A\"\ncurve = \"a.csv\"", 2, "pump 1 already"},
	{`label_power = "40 W"`, `speed_control = "follows voltage"`, 1, "AC pump"},
	{`label_power = "40 W"`, "[[pump]]\ncurve = \"a.csv\"", 1, "no name"},
	{`bore = "25 mm"`, "bore = \"25 mm\"\npipe = \"hose 25 mm\"", 1, "two ways"},
	{`bore = "25 mm"`, `pipe = "hose 26 cm"`, 1, "no such pipe"},
	{`bore = "25 mm"`, `roughness = "0.01 mm"`, 0, "bore"},
	{`length = "10 m"`, "length = \"10 m\"\nfittings = \"3 x elbo w\"\nloss_k = 2", 3, "two ways"},
	{`length = "10 m"`, "length = \"10 m\"\nfittings = \"3 x widget\"", 2, "no such fitting"},
	{`length = "10 m"`, "length = \"10 m\"\nfittings = \"0 x tee\"", 2, "from 1 to 1000"},
	{`length = "10 m"`, "length = \"10 m\"\nfittings = { elbow = 1, elbow = 2 }", 2, "given twice"},
	{`length = "10 m"`, `loss_k = 2`, -1, "length"},
	{``, "[[branch]]\nname = \"bog\"", 1, "no feed"},
	{``, "[return]\npipe = \"hose 25 mm\"\nbore = \"25 mm\"", 3, "two ways"},
	{``, "[measured]\nflow = \"900 L/h\"\ndate = \"yesterday\"", 3, "such as 2026-03-14"},
	{``, "[choice]\npump = \"B\"", 2, "no pump of the plan"},
	{`kind = "LiFePO4"`, "cut_off = 0.3\nreconnect = 0.2", 2, "cut-off"},
	{`kind = "LiFePO4"`, `voltage = "24 V"`, 1, "cells"},
	{``, "[panel]\nworking_voltage = \"36 V\"\nopen_circuit_voltage = \"30 V\"", 3, "working voltage"},
	{``, "[panel]\nwatts = \"10 W\"\n[controller]\nown_draw = \"12 W\"", 4, "draws as much"},
	{``, "[load]\npower = \"20 W\"\nseries = \"s.csv\"", 3, "two ways"},
}
