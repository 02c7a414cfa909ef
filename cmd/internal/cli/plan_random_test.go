package cli

import (
	"context"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/clipperhouse/displaywidth"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/plantest"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
)

// drawnPlans is how many random plans are put on a page. SUNRILL_PLANS asks
// for more: 10000 before a release.
func drawnPlans(t *testing.T) uint64 {
	t.Helper()
	text := os.Getenv("SUNRILL_PLANS")
	if text == "" {
		if testing.Short() {
			return 40
		}
		return 200
	}
	n, err := strconv.ParseUint(text, 10, 32)
	if err != nil {
		t.Fatalf("SUNRILL_PLANS=%q is no number of plans", text)
	}
	return n
}

// TestRandomPlans puts random plans over every key of the table on a page in
// every format: none may fail, panic or print a figure that is none, what is null
// has its reason, and energy closes.
func TestRandomPlans(t *testing.T) {
	drawn := map[string]bool{}
	answered := 0
	n := drawnPlans(t)
	pinned := []uint64{310} // found among two thousand: a weather file, which has no seed
	for i := range n + uint64(len(pinned)) {
		seed := i
		if i >= n {
			seed = pinned[i-n]
		}
		c := plantest.Draw(rand.New(rand.NewPCG(seed, 7)))
		for key := range c.Keys {
			drawn[plan.Pattern(key)] = true
		}
		opt := plan.LoadOptions{ReadOptions: plan.ReadOptions{Need: plan.NeedDuty}, Open: c.Open}
		if seed%25 != 0 { // twenty years or two hundred take the same road
			opt.Sets = []plan.Setting{{Key: "reliability.years", Text: "1"}}
		}
		l, err := plan.LoadPlan(plan.PlanFile, opt)
		if err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, c.Text)
		}
		page, err := (&page.Input{Loaded: l}).JobTo(context.Background(), energy.All)
		if err != nil {
			// The draw knows no astronomy, so that some of its weather no sky allows,
			// some of its beds are deeper than any, and some of its meters, read at
			// another flow, and labels show less than the water takes.
			for _, f := range data.Faults(err) {
				if f.File != "weather.csv" && f.Key != "filter.depth" && !strings.HasSuffix(f.Key, ".metered_power") && !strings.HasSuffix(f.Key, ".label_power") {
					t.Errorf("seed %d: %v\n%s", seed, f, c.Text)
				}
			}
			continue
		}
		checkPage(t, seed, page)
		if page.Result.NoAnswer == "" {
			answered++
		}
	}
	if answered == 0 || uint64(answered) == n {
		t.Errorf("%d of %d plans have an answer: the draw is too one-sided", answered, n)
	}
	for _, k := range plan.KeyTable() {
		if !drawn[k.Path] && n >= 200 {
			t.Errorf("%s is never drawn", k.Path)
		}
	}
}

// badFigure finds what is no number, a zero below zero, what reckoning leaves of a
// zero and an exponent of a size that people write out; noisyFigure finds digits that
// nobody measured, which only programs are given.
var (
	badFigure   = regexp.MustCompile(`\b(NaN|Inf)\b|(^|[^\w.)-])-0(\.0*)?([^\w.]|$)|[0-9]e(\+0|\+1[01]|-0[1-6]|-1[3-9]|-[2-9][0-9])`)
	noisyFigure = regexp.MustCompile(`[0-9]*\.[0-9.]{15,}`)
)

// checkPage renders a page and checks what every page must keep.
func checkPage(t *testing.T, seed uint64, page *page.PlanPage) {
	t.Helper()
	docs := []*document.Document{page.Document()}
	if seed%10 == 0 {
		docs = append(docs, page.TradeoffDocument(), page.CompareDocument(), page.DutyDocument())
	}
	for _, doc := range docs {
		for _, format := range report.Formats {
			forPeople := format.Name == "text" || format.Name == "markdown"
			doc.Working = nil
			if seed%10 == 0 && forPeople {
				doc.Working = doc.Work()
			}
			out, err := report.Render(format, doc, report.Options{Width: pageWidth})
			if err != nil {
				t.Errorf("seed %d: %s: %v", seed, format.Name, err)
			}
			for line := range strings.Lines(string(out)) {
				if badFigure.MatchString(line) || forPeople && noisyFigure.MatchString(line) {
					t.Errorf("seed %d: %s prints %s", seed, format.Name, line)
				}
			}
			if format.Name == "json" {
				var object any
				if err := json.Unmarshal(out, &object); err != nil {
					t.Errorf("seed %d: %v", seed, err)
				}
				for _, where := range unexplained(object, "") {
					t.Errorf("seed %d: %s is null without a reason", seed, where)
				}
			}
		}
	}
	fitsTerminal(t, seed, docs[0])
	if s := page.Result.Solar; s.Known && s.Value.DayAndNight.Known {
		closes(t, seed, s.Value.DayAndNight.Value.Front.Chosen.Connected)
	}
	if s := page.Result.Solar; s.Known && s.Value.Daylight.Known {
		daylightAddsUp(t, seed, s.Value.Daylight.Value.Year)
	}
	for _, s := range page.Result.Tradeoff {
		if s.Possible() && s.Risk.Known && s.Risk.Value.String() == "not graded" {
			t.Errorf("seed %d: %s is not graded", seed, s.Name)
		}
	}
}

// fitsTerminal checks that the short answer is one, whatever it is of.
func fitsTerminal(t *testing.T, seed uint64, doc *document.Document) {
	t.Helper()
	var text report.Format
	if err := text.Set("text"); err != nil {
		t.Fatal(err)
	}
	out, err := report.Render(text, doc, report.Options{Short: true})
	lines := strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
	if err != nil || len(lines) > 24 || !strings.HasPrefix(lines[len(lines)-1], "MORE ") {
		t.Errorf("seed %d: %d lines, %v\n%s", seed, len(lines), err, out)
	}
	for _, line := range lines {
		if displaywidth.String(line) > 80 || badFigure.MatchString(line) {
			t.Errorf("seed %d: %s", seed, line)
		}
	}
}

// daylightAddsUp checks that a day of every month is running, still or between two
// runs, that a month without water stands still all of it, and that the year has the
// water of its months and no stretch that is shorter than one of them.
func daylightAddsUp(t *testing.T, seed uint64, y supply.DaylightYear) {
	t.Helper()
	var water units.Volume
	var longest units.Duration
	for i, m := range y.Months {
		month := units.Duration(data.MonthDays[i]) * units.Day
		never := m.PerDay == 0
		if never != (m.Running == 0) || never != (m.Night == units.Day) || never && m.Longest != month ||
			m.Running+m.Night > units.Day*(1+1e-9) || m.Longest > month || m.Night > 0 && m.Longest < units.Hour {
			t.Errorf("seed %d: month %d moves %v m3 a day in %v h, is still for %v h a night and %v h at the longest",
				seed, i+1, m.PerDay, m.Running.In(units.Hour), m.Night.In(units.Hour), m.Longest.In(units.Hour))
		}
		water += m.PerDay * units.Volume(data.MonthDays[i])
		if !never {
			longest = max(longest, m.Longest)
		}
	}
	if math.Abs(float64(water-y.PerYear)) > 1e-9*float64(water) || y.Longest < longest {
		t.Errorf("seed %d: the year moves %v m3 and is still for %v h at the longest, its months %v m3 and %v h",
			seed, y.PerYear, y.Longest.In(units.Hour), water, longest.In(units.Hour))
	}
}

// closes checks that energy in is energy out, stored and lost.
func closes(t *testing.T, seed uint64, b battery.Balance) {
	t.Helper()
	in := b.PanelWh + b.StartWh
	out := b.Delivered() + b.SpilledWh + b.ChargeLossWh + b.DischargeLossWh + b.SelfDischargeWh + b.EndWh
	if math.Abs(in-out) > 1e-6*(in+out+1) {
		t.Errorf("seed %d: %g Wh come in, %g Wh go out", seed, in, out)
	}
}
