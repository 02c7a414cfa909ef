package page

import (
	"io"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
)

// starterKeys are the plan's keys that name a file of a new plan.
var starterKeys = map[string]string{
	"pump.1.curve": data.StarterCurve,
	"site.climate": data.StarterClimate,
}

// FindNotYours fills NotYours with the values that are still as sunrill new wrote them,
// in the order of the key table. A file counts by what it holds: one that was filled in
// is the reader's own, whatever the mark in the plan says, and one that was not
// is not. again says whether the file at a path can be read more than once.
func (in *Input) FindNotYours(again func(path string) bool) {
	for _, k := range plan.KeyTable() {
		key := k.First()
		o, given := in.Plan.Origins[key]
		if !given {
			continue
		}
		still, what := o.Kind == plan.FromStarter, "still the example"
		if file := starterKeys[key]; file != "" {
			still, what = !in.Demo && again(in.Path(key)) && in.holdsStarter(key, file), "the file still holds the example"
		}
		if still {
			in.NotYours = append(in.NotYours, document.Assumption{Key: k.Path, Value: document.Plain(o.Text), Why: document.Plain(what)})
		}
	}
}

// holdsStarter reports whether the file that key names is that of a new plan.
func (in *Input) holdsStarter(key, file string) bool {
	f, err := in.Open(key)
	if err != nil {
		return false // whoever needs the file says so
	}
	defer f.Close() // only read
	want := data.StarterFile(file)
	text, err := io.ReadAll(io.LimitReader(f, 4*int64(len(want))))
	return err == nil && strings.ReplaceAll(string(text), "\r\n", "\n") == want
}
