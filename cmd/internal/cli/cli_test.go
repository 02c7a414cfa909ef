package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/reftest"
)

// run runs the command line and returns its exit code and both streams.
func run(args ...string) (code int, stdout, stderr string) {
	var out, errs bytes.Buffer
	code = Main(args, strings.NewReader(""), &out, &errs)
	return code, out.String(), errs.String()
}

// TestDutyAgainstReferenceSolver runs every system of the reference tables
// through the command line (checks AF3 and the duty points): the curve goes in
// as CSV, the system as flags, the answer comes out of the JSON. The tables
// were solved by scipy's monotone cubic and brentq with a Churchill friction
// factor of another library.
func TestDutyAgainstReferenceSolver(t *testing.T) {
	const tolerance = 0.003 // of flow, head and power: finer than any pump curve
	t.Chdir(t.TempDir())
	writeCurves(t)
	solutions := map[string][]reftest.Row{}
	for _, row := range reftest.Load(t, "operating_point_solutions.csv") {
		solutions[row.Text("case")] = append(solutions[row.Text("case")], row)
	}
	for _, system := range reftest.Load(t, "operating_point_systems.csv") {
		name := system.Text("case")
		code, stdout, stderr := run(dutyArgs(system)...)
		var page dutyPageJSON
		if err := json.Unmarshal([]byte(stdout), &page); err != nil || len(page.Pumps) != 1 {
			t.Fatalf("%s: %v: %s%s", system.At, err, stdout, stderr)
		}
		pump := page.Pumps[0]
		want := solutions[name]
		if want[0].Text("status") != "ok" {
			if code != exitNoAnswer || len(pump.Duty) != 0 || pump.Why == "" {
				t.Errorf("%s: exit %d with %d points and why %q, want none", system.At, code, len(pump.Duty), pump.Why)
			}
			continue
		}
		if code != exitAnswered || len(pump.Duty) != len(want) {
			t.Errorf("%s: exit %d with %d points, want %d", system.At, code, len(pump.Duty), len(want))
			continue
		}
		for i, row := range want {
			d := pump.Duty[i]
			for _, c := range []struct {
				what      string
				got, want float64
			}{{"flow", d.Flow, row.Float("q_m3h")}, {"head", d.Head, row.Float("head_m")}, {"power", d.Power, row.Float("power_w")}} {
				if math.Abs(c.got-c.want) > tolerance*c.want {
					t.Errorf("%s: %s %.8g, want %.8g", row.At, c.what, c.got, c.want)
				}
			}
			if stable := row.Text("stability") == "stable"; d.Stable != stable {
				t.Errorf("%s: stable %t, want %t", row.At, d.Stable, stable)
			}
		}
	}
}

// dutyPageJSON is what other programs read of duty's object. It is written out
// here, apart from the code's own struct, because it is a promise.
type dutyPageJSON struct {
	Pumps []struct {
		Duty []struct {
			Flow   float64 `json:"flow_m3_per_h"`
			Head   float64 `json:"head_m"`
			Power  float64 `json:"power_w"`
			Stable bool    `json:"stable"`
		} `json:"duty"`
		Why string `json:"why"`
	} `json:"pumps"`
}

func writeCurves(t *testing.T) {
	t.Helper()
	curves := map[string]string{}
	for _, row := range reftest.Load(t, "operating_point_curves.csv") {
		name := row.Text("curve")
		if curves[name] == "" {
			curves[name] = "flow (m3/h);head (m);power (W)\n"
		}
		curves[name] += fmt.Sprintf("%s;%s;%s\n", row.Text("q_m3h"), row.Text("head_m"), row.Text("power_w"))
	}
	for name, text := range curves {
		if err := os.WriteFile(name+".csv", []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}

func dutyArgs(r reftest.Row) []string {
	args := []string{"duty", "--format", "json", "--curve", r.Text("curve") + ".csv", "--speed", r.Text("speed_ratio"),
		"--static-head", r.Text("static_head_m") + "m", "--pipe-bore", r.Text("d1_mm") + "mm", "--pipe-length", r.Text("length1_m") + "m",
		"--pipe-roughness", r.Text("roughness_mm") + "mm", "--loss-k", r.Text("k_sum_on_pipe1"), "--water-temp", r.Text("t_c") + "C"}
	if r.Has("d2_mm") {
		args = append(args, "--set", "feed.2.bore="+r.Text("d2_mm")+"mm", "--set", "feed.2.length="+r.Text("length2_m")+"m",
			"--set", "feed.2.roughness="+r.Text("roughness_mm")+"mm", "--set", "feed.2.loss_k=0")
	}
	return args
}

// TestJSONHoldsEveryNumberOfThePage compares the formats of the same page: the
// CSV holds every table of it.
func TestJSONHoldsEveryNumberOfThePage(t *testing.T) {
	for _, command := range []string{"plan", "duty", "compare"} {
		numbers := numbersOf(t, command, "--demo")
		_, table, _ := run(command, "--demo", "--format", "csv")
		rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
		if err != nil || len(rows) < 20 {
			t.Fatalf("%s: %d rows, %v", command, len(rows), err)
		}
		for _, row := range rows[1:] {
			value := row[3]
			if _, err := strconv.ParseFloat(value, 64); err == nil && !numbers[value] {
				t.Errorf("%s: JSON has no %s of table %s, row %s: %s", command, row[2], row[0], row[1], value)
			}
		}
	}
}

// TestExamples runs every "$ sunrill" line of the commands' help.
func TestExamples(t *testing.T) {
	t.Chdir(t.TempDir())
	const curve = "flow (L/h),head (m),power (W)\n0,2.5,18\n800,2.1,22\n1600,1.25,24.5\n2000,0.6,25\n"
	if err := os.WriteFile("pump.csv", []byte(curve), 0o666); err != nil {
		t.Fatal(err)
	}
	ran := 0
	for _, cmd := range newRoot(newStreams(nil, io.Discard, io.Discard), nil).Commands() {
		if cmd.Runnable() && !cmd.HasExample() && cmd.Name() != "version" && cmd.Name() != "help" {
			t.Errorf("%s has no example", cmd.Name())
		}
		for line := range strings.Lines(cmd.Example) {
			text, ok := strings.CutPrefix(strings.TrimSpace(line), "$ sunrill ")
			if !ok {
				continue
			}
			ran++
			if code, _, stderr := run(strings.Fields(text)...); code != exitAnswered {
				t.Errorf("%s: %s: exit %d\n%s", cmd.Name(), text, code, stderr)
			}
		}
	}
	if ran < 4 {
		t.Errorf("only %d examples", ran)
	}
}

// TestCommandsAreDescribed asks of every command a line of help with a capital
// and no full stop, as the others have, and of every flag a description.
func TestCommandsAreDescribed(t *testing.T) {
	for _, cmd := range newRoot(newStreams(nil, io.Discard, io.Discard), nil).Commands() {
		if cmd.Short == "" || strings.HasSuffix(cmd.Short, ".") || page.Capital(cmd.Short) != cmd.Short {
			t.Errorf("%s: short help %q", cmd.Name(), cmd.Short)
		}
		if cmd.Runnable() && cmd.GroupID == "" {
			t.Errorf("%s stands in no group", cmd.Name())
		}
		cmd.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Usage == "" {
				t.Errorf("%s: --%s has no description", cmd.Name(), f.Name)
			}
		})
	}
}

// TestFlagsOfKeysAreTaken holds every flag of the key table to commands that there are.
func TestFlagsOfKeysAreTaken(t *testing.T) {
	for _, k := range plan.KeyTable() {
		if (k.Flag == "") != (len(k.Takers) == 0) {
			t.Errorf("%s has the flag %q of the commands %q", k.Path, k.Flag, k.Takers)
		}
		for _, name := range k.Takers {
			if c, _, err := Command().Find([]string{name}); err != nil || c.Flags().Lookup(k.Flag) == nil {
				t.Errorf("%s does not take --%s: %v", name, k.Flag, err)
			}
		}
	}
}

// brokenPipe is a standard output whose reader has gone.
type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) {
	return 0, &os.PathError{Op: "write", Path: "/dev/stdout", Err: syscall.EPIPE}
}

func TestClosedPipeIsQuiet(t *testing.T) {
	for _, args := range [][]string{{"plan"}, {"version"}, {"plan", "--format", "json"}} {
		var errs bytes.Buffer
		if code := Main(args, strings.NewReader(""), brokenPipe{}, &errs); code != exitAnswered || errs.Len() > 0 {
			t.Errorf("%v: exit %d, says %q", args, code, errs.String())
		}
	}
}

// fullDisk is a standard output that takes nothing.
type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, syscall.ENOSPC }

func TestFailedWriteIsOne(t *testing.T) {
	for _, args := range [][]string{{"plan"}, {"version"}, {"tables"}, {"help", "keys"}, {"duty", "--help"}, {}, {"completion", "bash"}} {
		var errs bytes.Buffer
		if code := Main(args, strings.NewReader(""), fullDisk{}, &errs); code != exitNoAnswer ||
			!strings.HasPrefix(errs.String(), "sunrill: error: cannot write standard output") {
			t.Errorf("%v: exit %d, says %q", args, code, errs.String())
		}
	}
}

func TestMessagesAreHarmless(t *testing.T) {
	_, _, stderr := run("duty", "a\x1b[2J\u202eb\n.toml")
	if strings.ContainsAny(stderr, "\x1b\u202e") || strings.Count(stderr, "\n") != 2 {
		t.Errorf("standard error holds %q", stderr)
	}
}

func TestExitCodes(t *testing.T) {
	tests := []struct {
		err  error
		runs bool
		want int
	}{
		{nil, true, exitAnswered},
		{errors.New("accepts 1 arg(s), received 2"), false, exitUsage}, // what cobra itself says
		{&usageError{"two inputs", ""}, true, exitUsage},
		{&page.NoAnswer{Why: "no pump"}, true, exitNoAnswer},
		{errors.New("disk full"), true, exitNoAnswer},
		{syscall.EPIPE, true, exitAnswered},
	}
	for _, tt := range tests {
		s := newStreams(nil, io.Discard, io.Discard)
		s.running = tt.runs
		if got := finish(s, tt.err); got != tt.want {
			t.Errorf("finish(%v) = %d, want %d", tt.err, got, tt.want)
		}
	}
}

// TestCompletion asks the shell completion for enum flags, keys and tables.
func TestCompletion(t *testing.T) {
	tests := []struct {
		args []string
		want string
	}{
		{[]string{"duty", "--format", ""}, "markdown\n"},
		{[]string{"duty", "--units", ""}, "imperial\n"},
		{[]string{"tables", ""}, "pipes\n"},
		{[]string{"plan", "--stocking", ""}, "light\n"},
	}
	for _, tt := range tests {
		_, out, _ := run(append([]string{cobra.ShellCompRequestCmd}, tt.args...)...)
		if !strings.Contains(out, tt.want) {
			t.Errorf("%v completes to %q, want %q among them", tt.args, out, tt.want)
		}
	}
}
