package cli

import (
	"io"
	"os"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
)

// starterKeys are the plan's keys that name a file of a new plan.
var starterKeys = map[string]string{
	"pump.1.curve": data.StarterCurve,
	"site.climate": data.StarterClimate,
}

// notYours returns the values that are still as sunrill new wrote them, in the
// order of the key table. A file counts by what it holds: one that was filled in
// is the reader's own, whatever the mark in the plan says, and one that was not
// is not.
func notYours(in *page.Input) []document.Assumption {
	var all []document.Assumption
	for _, k := range plan.KeyTable() {
		key := k.First()
		o, given := in.Plan.Origins[key]
		if !given {
			continue
		}
		still, what := o.Kind == plan.FromStarter, "still the example"
		if file := starterKeys[key]; file != "" {
			still, what = stillStarter(in, key, file), "the file still holds the example"
		}
		if still {
			all = append(all, document.Assumption{Key: k.Path, Value: document.Plain(o.Text), Why: document.Plain(what)})
		}
	}
	return all
}

// stillStarter reports whether the file that key names is that of a new plan. A
// pipe is not: it gives its text once, to whoever needs it.
func stillStarter(in *page.Input, key, file string) bool {
	if info, err := os.Stat(in.Path(key)); in.Demo || err != nil || !info.Mode().IsRegular() {
		return false
	}
	f, err := in.Open(key)
	if err != nil {
		return false // whoever needs the file says so
	}
	defer f.Close() // only read
	want := data.StarterFile(file)
	text, err := io.ReadAll(io.LimitReader(f, 4*int64(len(want))))
	return err == nil && strings.ReplaceAll(string(text), "\r\n", "\n") == want
}
