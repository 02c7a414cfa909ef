package page

import (
	"errors"
	"io"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// Input is a plan with its curves and the files that it was made from.
type Input struct {
	plan.Loaded
	Demo     bool
	Files    []string              // that were read, for --output not to replace one
	NotYours []document.Assumption // values that are still those of a new plan
	Nearby   bool                  // whether a plan lies in the working folder
	Made     *sky.Made             // weather that an earlier job made, nil for none
}

// name returns what the page says of where the plan came from.
func (in *Input) name() string {
	switch {
	case in.Demo:
		return "the built-in demo"
	case in.Plan.File == "-":
		return "plan from standard input"
	case in.Plan.File != "":
		return "plan " + in.Plan.File
	}
	return "from the command line"
}

// banner says loudly that a page is not about the reader's pond.
func (in *Input) banner() document.Prose {
	if !in.Demo {
		return document.Prose{}
	}
	if in.Nearby {
		return document.Sentence("EXAMPLE, NOT YOUR POND. Yours, it seems: sunrill plan %v", plan.PlanFile)
	}
	return document.Sentence("EXAMPLE, NOT YOUR POND. For your own: sunrill new mypond --ask")
}

// document returns a page about the plan that holds nothing yet but its object.
func (in *Input) document(title document.Prose, object any) *document.Document {
	doc := &document.Document{Title: title, Subtitle: document.Plain(in.name()), Banner: in.banner(), Object: object}
	if !in.Demo {
		doc.NotYours = in.NotYours
	}
	return doc
}

// titled returns a title that begins with the plan's name, where it has one.
func (in *Input) titled(what string) document.Prose {
	if in.Plan.Name == "" {
		return document.Sentence(Capital(what))
	}
	return document.Sentence("%v: "+what, in.Plan.Name)
}

// money returns the unit of the plan's sums.
func (in *Input) money() document.Unit { return document.Money(in.Plan.Mains.Currency) }

// Surroundings returns what the place adds to the plan; its climate or weather
// file is read where the answer rests on it.
func (in *Input) Surroundings(asked bool) (works.Surroundings, error) {
	if !asked {
		return works.Surroundings{}, nil
	}
	files, err := in.ReadSite()
	if err != nil {
		return works.Surroundings{}, err
	}
	place, err := energy.SurroundingsOf(&in.Plan, files)
	return place, in.Placed(err)
}

// ReadSite reads the climate or weather file that a plan names.
func (in *Input) ReadSite() (sky.SiteFiles, error) {
	var files sky.SiteFiles
	if in.Plan.Site.Climate != "" {
		c, err := ReadFile(in, "site.climate", data.ReadClimate)
		if err != nil {
			return files, err
		}
		files.Climate = &c
	}
	if in.Plan.Site.Weather != "" {
		w, err := ReadFile(in, "site.weather", data.ReadWeather)
		if err != nil {
			return files, err
		}
		files.Weather = w
	}
	return files, nil
}

// ReadFile reads the file that a key of the plan names.
func ReadFile[T any](in *Input, key string, read func(string, io.Reader) (T, error)) (T, error) {
	f, err := in.Open(key)
	if err != nil {
		var none T
		return none, err
	}
	defer f.Close() // only read
	return read(in.Path(key), f)
}

// Placed puts the faults of a site at the key or flag that the person wrote,
// where the domain knew only the key.
func (in *Input) Placed(err error) error {
	var fault *data.Error
	if !errors.As(err, &fault) {
		return err
	}
	return data.Changed(err, in.Plan.Placed)
}

// Logged returns what the plan's log says of its line; the zero value where none is named
// or the log does not say how large the bucket was.
func (in *Input) Logged() (l works.Logged, err error) {
	if in.Path(logKey) == "" {
		return l, nil
	}
	file, err := ReadFile(in, logKey, data.ReadLog)
	if err != nil {
		return l, err
	}
	if slices.ContainsFunc(file.Rows, func(r data.LogRow) bool { return r.Time > 0 && r.Bucket == 0 }) {
		l.Loss = figure.Unknown[float64]("the log does not say how large the bucket was")
		return l, nil
	}
	log, err := newMeasuredLog(file, 0)
	if err != nil {
		return l, err
	}
	return log.logged(in), nil
}

// NoAnswer says that the page was written and holds no answer, as the topic
// exit-codes has it.
type NoAnswer struct{ Why units.Text }

// Error returns the reason in metric units.
func (e *NoAnswer) Error() string { return e.Why.String() }

// Answered returns the error of a page that holds no answer for the reason why, nil
// where there is none.
func Answered(why units.Text) error {
	if why == "" {
		return nil
	}
	return &NoAnswer{why}
}

// notYoursLine is the line of the short answer about values of a new plan.
func notYoursLine(list []document.Assumption) []document.Line {
	if len(list) == 0 {
		return nil
	}
	among := ""
	for _, a := range list {
		if k, ok := plan.KeyNamed(a.Key); ok && k.Needed && k.Kind != "text" {
			among += ", " + a.Key
		}
	}
	if among != "" {
		among = " (among them" + strings.TrimPrefix(among, ",") + ")"
	}
	values := "values in the plan are still examples"
	if len(list) == 1 {
		values = "value in the plan is still an example"
	}
	text := document.Sentence("%v %v and not about your pond%v; see Not yet yours.", len(list), values, among)
	return []document.Line{{Label: "Not yours", Text: text}}
}

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
