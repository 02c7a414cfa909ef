package cli

import (
	"os"
	"strings"
	"testing"

	"sunrill/cmd/internal/report"
	"sunrill/data"
	"sunrill/energy"
)

// demoResult is the whole plan of the demo.
func demoResult(t *testing.T) *energy.Result {
	t.Helper()
	o := planOptions{demo: true}
	in, err := o.readInput(newStreams(strings.NewReader(""), os.Stdout, os.Stderr), nil, nil, data.NeedDuty)
	if err != nil {
		t.Fatal(err)
	}
	r, err := energy.Plan(energy.Inputs{Plan: &in.Plan, Curves: in.Curves})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestDemoHasEveryPicture(t *testing.T) {
	pictures := planPictures(demoResult(t))
	if file := os.Getenv("SUNRILL_PICTURES"); file != "" {
		page, err := report.Render(report.Formats[4], &report.Document{Title: report.Sentence("Pictures"), Sections: []report.Section{{Pictures: pictures}}}, report.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, page, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var keys []string
	for _, p := range pictures {
		keys = append(keys, p.Key)
	}
	const want = "curves head tradeoff front months fortnight daylight_months daylight_day"
	if got := strings.Join(keys, " "); got != want {
		t.Errorf("pictures %s, want %s", got, want)
	}
}
