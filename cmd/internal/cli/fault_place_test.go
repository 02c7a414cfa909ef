package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"sunrill/data/plan"
	"sunrill/data/plantest"
)

// faultLine is a fault as it is told: the file with line and column, the flag or
// --set, or a whole file; then, where the fault is of a key in a file, the key.
var faultLine = regexp.MustCompile(`^sunrill: error: (?:([^ :-][^ :]*|-):(?:(\d+):(\d+):)? |(--set [^ :]+|--[a-z-]+): )(?:([a-z_]+(?:\.[a-z0-9_]+)+): )?(.*)`)

// ofWholeFile is what has no line: what is not in a file, and what all of it says.
var ofWholeFile = regexp.MustCompile(`no such file|is empty|cannot be|not given|no \w+ is given|months? missing|missing in \d+|shorter than a day|the brightest hour|is brighter than|at night|and \d+ more faults|months alone`)

// placeless reports what is wrong with a line of standard error, "" for nothing.
func placeless(line string) string {
	m := faultLine.FindStringSubmatch(line)
	switch {
	case m == nil:
		return "no place"
	case m[1] != "" && m[2] == "" && !ofWholeFile.MatchString(m[6]):
		return "no line"
	case m[2] == "0" || m[3] == "0":
		return "line or column 0"
	}
	if key := plan.Pattern(m[5]); key != "" && !strings.Contains(m[6], "no such") && !isKeyOrTable(key) {
		return "an inner name"
	}
	return ""
}

func isKeyOrTable(pattern string) bool {
	for _, k := range plan.KeyTable() {
		if k.Path == pattern || strings.HasPrefix(k.Path, pattern+".") || strings.HasPrefix(k.Path, pattern+"[].") {
			return true
		}
	}
	return false
}

// refused runs a command that has to end with exit 2 and checks the place of
// each of its faults.
func refused(t *testing.T, args ...string) {
	t.Helper()
	code, stdout, stderr := run(args...)
	if code != exitUsage || stdout != "" {
		t.Errorf("%q: exit %d with %d bytes of page, want 2: %s", args, code, len(stdout), stderr)
		return
	}
	for line := range strings.Lines(stderr) {
		if why := placeless(strings.TrimSpace(line)); why != "" && strings.HasPrefix(line, "sunrill: error: ") {
			t.Errorf("%q: %s: %s", args, why, line)
		}
	}
}

// TestFaultsHaveTheirPlace holds every fault of a plan, of the command line and
// of each reader to a place in the words of the one who gave it.
func TestFaultsHaveTheirPlace(t *testing.T) {
	odd, err := filepath.Abs("../../../data/testdata/odd")
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	put := func(name, text string) string {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	for _, b := range plantest.BrokenPlans() {
		refused(t, "plan", put("pond.toml", b.Text))
	}
	for _, value := range []string{"\x01", "", "1e999", "@@", "none of it"} {
		args := []string{"plan"}
		for _, k := range plan.KeyTable() {
			args = append(args, "--set", k.First()+"="+value, "--set", "x"+k.First()+"="+value)
		}
		refused(t, args...)
	}
	for _, sets := range []string{
		"branch.1.name=bog", "branch.1.feed.1.length=3m", "branch.1.feed.1.bore=25mm", "branch.1.valve_k=1",
		"run.band.1.speed=1|run.band.2.speed=1", "run.band.1.hours=22-06", "run.band.1.months=May",
		"mains.tier.2.price=0.3|mains.tier.2.up_to=9kWh|mains.tier.3.price=1|mains.tier.3.up_to=8kWh", "mains.band.1.hours=06-22", "mains.band.1.price=1", "mains.band.1.days=all",
		"pump.4.name=X", "pump.4.label_flow=900L/h", "pump.1.supply=AC|pump.1.speed_control=follows voltage", "pump.4.curve=nowhere.csv",
		"feed.3.bore=25mm", "feed.3.length=1m", "feed.1.pipe=hose", "feed.1.fittings=2000 x elbow",
		"feed.1.fittings=3 x widget", "feed.1.roughness=5mm", "filter.volume=2000m3|filter.area=10000m2|filter.depth=10m",
		"site.place=Nowhere upon Nothing", "site.climate=nowhere.csv", "upkeep.log=nowhere.csv",
		"choice.pump=nobody", "battery.voltage=13V", "battery.cut_off=0.9|battery.reconnect=0.1", "panel.open_circuit_voltage=2V",
		"pond.intake_height=9m", "pond.depths=2kg", "pond.fill_time=2h", "pond.shape=round|pond.diameter=", "pump.1.metered_power=0.5W",
		"pond.9.volume=1", "feed.9.length=1m", "nonsense=1", "", "=",
	} {
		args := []string{"plan", "--demo"}
		for set := range strings.SplitSeq(sets, "|") {
			args = append(args, "--set", set)
		}
		refused(t, args...)
	}
	for _, flags := range []string{
		"--time 0s --bucket 9L", "--bucket 0", "--bucket 2e4m3 --time 9s", "--meter 0W", "--meter 5",
		"--pump nobody", "--volume 2", "--log nowhere.csv",
	} {
		refused(t, append([]string{"measure", "--demo"}, strings.Fields(flags)...)...)
	}

	refused(t, "sun", "--set", "site.latitude=0", "--lon", "-30")
	refused(t, "sun", "--lat", "-89", "--lon", "-30")
	line := []string{"--static-head", "0.5m", "--pipe-bore", "25mm", "--pipe-length", "5m"}
	curves, err := filepath.Glob(filepath.Join(odd, "bad_*.csv"))
	if err != nil || len(curves) == 0 {
		t.Fatalf("%d curves, %v", len(curves), err)
	}
	for i, text := range []string{"0,2\n1000,2\n", "0,1\n1000,2\n", "0,3\n1000,1e5\n2000,0\n"} {
		curves = append(curves, put("head"+strconv.Itoa(i)+".csv", "flow (L/h),head (m)\n"+text))
	}
	curves = append(curves, put("watts.csv", "flow (L/h),head (m),power (W)\n0,3,5\n1000,2,0\n2000,1,1\n"))
	for _, c := range curves {
		refused(t, append([]string{"duty", "--curve", c}, line...)...)
	}

	site := []string{"--lat", "52", "--lon", "13"}
	sun := "month,ghi_kwh_per_m2_day,temp_c\n"
	for m := range 12 {
		sun += strconv.Itoa(m+1) + ",3,9\n"
	}
	hours := "panel (W),load (W)\n" + strings.Repeat("9,5\n", 30)
	log := "date,bucket (L),time (s),power (W),cleaned\n2026-03-01,10,12,,\n2026-03-02,10,14,,\n"
	plain := "# latitude: 52\n# longitude: 13\n# utc_offset: 1\ntime,ghi (W/m2),temperature (C)\n2023-01-01 00:00,0,3\n2023-01-01 01:00,0,3\n"
	for _, file := range []struct {
		good    string
		cells   []string // of good, each of which is spoilt in turn
		command []string
	}{
		{sun, []string{"month", "temp_c", "7,3,9", ",9", "1,3,9\n", "2,3"}, append(site, "sun", "--climate")},
		{hours, []string{"panel (W)", "load (W)", "(W)", "9,5\n"}, []string{"balance", "--battery", "100Wh", "--series"}},
		{log, []string{"date", "bucket (L)", "time (s)", "(s)", "2026-03-01", "10,12", "12", ",,\n", "10"}, []string{"measure", "--log"}},
		{plain, []string{"52", "13", "1\n", "time", "(W/m2)", "temperature (C)", "2023-01-01 01:00", "0,3\n", ",3"}, []string{"sun", "--weather"}},
	} {
		for _, c := range file.cells {
			for _, bad := range []string{"soon", "-5000", "1e300", "\x01", "0.05", "soon,soon", "\"", ";;;;"} {
				text := strings.Replace(file.good, c, bad, 1)
				code, stdout, stderr := run(append(file.command, put("file.csv", text))...)
				for told := range strings.Lines(stderr) {
					if why := placeless(strings.TrimSpace(told)); code == exitUsage && strings.HasPrefix(told, "sunrill: error: ") && (why != "" || stdout != "") {
						t.Errorf("%s for %s: %s: %s", bad, c, why, told)
					}
				}
			}
		}
	}
	// What only the whole tells: a bucket that fills at once, told by all that read a log.
	put("log.csv", strings.Replace(log, "12", "0.05", 1))
	refused(t, "measure", "--demo", "--log", "log.csv")
	refused(t, "plan", "--demo", "--set", "upkeep.log=log.csv", "--set", "upkeep.flow_loss_when_dirty=")
}
