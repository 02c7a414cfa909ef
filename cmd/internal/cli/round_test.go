package cli

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
)

// roundArgs are choices of arguments with round numbers, by what they are about. What
// begins with ? is left out of three runs in four; what is no flag is for --set.
var roundArgs = map[string]string{
	"line": `--static-head 0m|25cm|50cm|98cm|1m|2m|4m; --pipe-bore 10mm|20mm|25mm|50mm|100mm; --pipe-length 1m|3m|10m|100m; ?--crest 1m|2m|4m; ?--loss-k 0|1|10
		?--speed 25%|50%|70%|100%; ?--water-temp 0C|10C|20C; ?feed.2.bore=20mm feed.2.rib_pitch=5mm feed.2.length=1m
		?lift.vented=true|upkeep.flow_loss_when_dirty=0|upkeep.flow_loss_when_dirty=50%; ?filter.depth=50cm filter.area=1m2 filter.grain=10mm
		?branch.1.static_head=1m branch.1.feed.1.bore=20mm branch.1.feed.1.length=1m branch.2.static_head=2m branch.2.feed.1.bore=50mm branch.2.feed.1.length=1m`,
	"label": "--label-flow 100L/h|1000L/h|2000L/h|10m3/h; --label-head 1m|2m|4m; ?--label-power 100W; ?pump.1.count=2",
	"curve": "--curve falling.csv|flat.csv|rising.csv|late.csv",
	"pond":  "?--volume 1m3|10m3|100m3; ?--stocking none|light|heavy; ?--turnover-goal 1h|2h|10h",
	"test":  "--bucket 1L|10L|100L; --time 1s|10s|100s; ?--meter 1W|10W|100W",
	"site":  "site.latitude=0 site.longitude=10|site.latitude=30 site.longitude=20|site.latitude=50 site.longitude=10|site.latitude=-30 site.longitude=20|site.latitude=70 site.longitude=100; --years 1; ?--tilt 0|30|90; ?--azimuth 0|90|180; ?--albedo 0|0.5; ?--panel-loss 0|10%|50%",
	"load":  "--load 0W|1W|10W|100W; ?--load-hours all|none|8-16; ?--battery-kind ideal|LiFePO4; ?--usable 50%|100%; ?--start-charge 0%|50%|100%",
	"store": "--panel 0W|1W|10W|100W|1000W; --battery 0Wh|1Wh|100Wh|1000Wh",
	"aim":   "?--unmet 0|1%|10%; ?--longest-stop 0h|1h|24h",
	"power": "?panel.watts=0W|panel.watts=1W|panel.watts=100W; ?pump.1.voltage=12V|pump.1.voltage=24V; ?controller.kind=none|controller.kind=MPPT; ?mains.price=0|mains.price=1; ?run.months_off=Jan",
}

// TestRoundNumbers runs every command on many combinations of round numbers, among
// which heads, flows and hours are equal or nothing far oftener than among measured
// ones: each run ends in a page or in a refusal, and none in both.
func TestRoundNumbers(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, rows := range map[string]string{"falling": "0,4\n1000,3\n2000,0", "flat": "0,2\n1000,2\n2000,1", "rising": "0,1\n1000,2\n2000,0", "late": "1000,2\n2000,1"} {
		if err := os.WriteFile(name+".csv", []byte("flow (L/h),head (m)\n"+rows+"\n"), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for command, about := range map[string]string{
		"duty": "line", "compare": "line pond", "plan": "line pond site power", "tradeoff": "line pond site power", "measure": "test line pond",
		"sun": "site", "balance": "site load store", "size": "site load aim",
	} {
		t.Run(command, func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(1, 5))
			ended := [exitUsage + 1]int{}
			for range drawnPlans(t) / 4 {
				args := append(append([]string{command}, drawArgs(r, about)...), "--working", "--format", oneOf(r, "json", "html"))
				if strings.Contains(about, "line") {
					args = append(args, drawArgs(r, oneOf(r, "label", "curve"))...)
				}
				ended[checkRun(t, args)]++
			}
			if ended[exitUsage] > ended[exitAnswered]+ended[exitNoAnswer] {
				t.Errorf("of the runs %v end in a page with an answer, one without, a refusal: the draw is too one-sided", ended)
			}
			t.Log(ended)
		})
	}
}

func oneOf[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// drawArgs draws from each choice about some matters.
func drawArgs(r *rand.Rand, about string) (args []string) {
	for _, matter := range strings.Fields(about) {
		for choice := range strings.FieldsFuncSeq(roundArgs[matter], func(c rune) bool { return c == ';' || c == '\n' }) {
			choice, maybe := strings.CutPrefix(strings.TrimSpace(choice), "?")
			if maybe && r.IntN(4) > 0 {
				continue
			}
			flag, values, is := strings.Cut(choice, " ")
			if is = is && strings.HasPrefix(flag, "--"); is {
				args, choice = append(args, flag), values
			}
			choice = oneOf(r, strings.Split(choice, "|")...)
			if is {
				args = append(args, choice)
				continue
			}
			for _, setting := range strings.Fields(choice) {
				args = append(args, "--set", setting)
			}
		}
	}
	return args
}

// checkRun runs a command line and returns its exit code.
func checkRun(t *testing.T, args []string) (code int) {
	t.Helper()
	defer func() {
		if broken := recover(); broken != nil {
			t.Errorf("sunrill %s: %v", strings.Join(args, " "), broken)
		}
	}()
	code, page, messages := run(args...)
	fault := ""
	switch {
	case code < exitAnswered || code > exitUsage:
		fault = "no such exit code"
	case (code == exitUsage) != (page == ""):
		fault = fmt.Sprintf("%d bytes of page", len(page))
	case strings.Contains(messages, "report: ") || badFigure.MatchString(page+messages):
		fault = "what is no number"
	case page != "" && page[0] == '{' && !json.Valid([]byte(page)):
		fault = "no JSON"
	}
	if fault != "" {
		t.Errorf("sunrill %s: exit %d, %s: %s", strings.Join(args, " "), code, fault, messages)
	}
	return code
}
