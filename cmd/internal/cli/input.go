package cli

import (
	"errors"
	"io"
	"slices"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/energy"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// input is a plan with its curves and the files that it was made from.
type input struct {
	data.Loaded
	demo     bool
	files    []string              // that were read, for --output not to replace one
	notYours []document.Assumption // values that are still those of a new plan
	nearby   bool                  // whether a plan lies in the working folder
}

// name returns what the page says of where the plan came from.
func (in *input) name() string {
	switch {
	case in.demo:
		return "the built-in demo"
	case in.Plan.File == "-":
		return "plan from standard input"
	case in.Plan.File != "":
		return "plan " + in.Plan.File
	}
	return "from the command line"
}

// names returns what the reader named: the pumps of the plan and of its curves.
func (in *input) names() []string {
	var all []string
	for _, p := range in.Plan.Pumps {
		all = append(all, p.Name)
	}
	for _, c := range in.Curves {
		all = append(all, c.Pump)
	}
	return all
}

// banner says loudly that a page is not about the reader's pond.
func (in *input) banner() document.Prose {
	if !in.demo {
		return document.Prose{}
	}
	return document.Sentence("THE BUILT-IN DEMO, NOT YOUR POND. Every figure below is of an invented pond.")
}

// readWater returns the water of the plan, at the place that it names.
func (in *input) readWater() (*works.WaterResult, error) {
	place, err := in.surroundings(in.Plan.Water.Temperature == nil || in.Plan.Pond.Evaporation == nil)
	if err != nil {
		return nil, err
	}
	if place.Loss, err = in.loggedLoss(); err != nil {
		return nil, err
	}
	return works.NewWater(&in.Plan, in.Curves, place)
}

// surroundings returns what the place adds to the plan; its climate or weather
// file is read where the answer rests on it.
func (in *input) surroundings(asked bool) (works.Surroundings, error) {
	if !asked {
		return works.Surroundings{}, nil
	}
	files, err := in.readSite()
	if err != nil {
		return works.Surroundings{}, err
	}
	place, err := energy.SurroundingsOf(&in.Plan, files)
	return place, in.placed(err)
}

// readSite reads the climate or weather file that a plan names.
func (in *input) readSite() (sky.SiteFiles, error) {
	var files sky.SiteFiles
	if in.Plan.Site.Climate != "" {
		c, err := readFile(in, "site.climate", data.ReadClimate)
		if err != nil {
			return files, err
		}
		files.Climate = &c
	}
	if in.Plan.Site.Weather != "" {
		w, err := readFile(in, "site.weather", data.ReadWeather)
		if err != nil {
			return files, err
		}
		files.Weather = w
	}
	return files, nil
}

// readFile reads the file that a key of the plan names.
func readFile[T any](in *input, key string, read func(string, io.Reader) (T, error)) (T, error) {
	f, err := in.Open(key)
	if err != nil {
		var none T
		return none, err
	}
	defer f.Close() // only read
	return read(in.Path(key), f)
}

// placed puts the faults of a site at the key or flag that the person wrote,
// where the domain knew only the key.
func (in *input) placed(err error) error {
	var fault *data.Error
	if !errors.As(err, &fault) {
		return err
	}
	var faults []error
	for _, f := range data.Faults(err) {
		faults = append(faults, in.Plan.Placed(f))
	}
	return errors.Join(faults...)
}

// loggedLoss returns the share of flow lost before a cleaning by the plan's log,
// the zero value where it names none or states the share itself. A log whose
// buckets are not known is no fault here: measure asks for them.
func (in *input) loggedLoss() (figure.Maybe[float64], error) {
	if in.Path(logKey) == "" || in.Plan.Given(dirtLossKey) {
		return figure.Maybe[float64]{}, nil
	}
	file, err := readFile(in, logKey, data.ReadLog)
	if err != nil {
		return figure.Maybe[float64]{}, err
	}
	if slices.ContainsFunc(file.Rows, func(r data.LogRow) bool { return r.Time > 0 && r.Bucket == 0 }) {
		return figure.Unknown[float64]("the log does not say how large the bucket was"), nil
	}
	log, err := newMeasuredLog(file, 0)
	if err != nil {
		return figure.Maybe[float64]{}, err
	}
	return log.loss(), nil
}

// noAnswer says that the page was written and holds no answer, as the topic
// exit-codes has it.
type noAnswer struct{ why string }

func (e *noAnswer) Error() string { return e.why }

// answered returns the error of a page that holds no answer for the reason why, nil
// where there is none.
func answered(why string) error {
	if why == "" {
		return nil
	}
	return &noAnswer{why}
}

// notYoursLine is the line of the short answer about values of a new plan.
func notYoursLine(list []document.Assumption) []document.Line {
	if len(list) == 0 {
		return nil
	}
	among := ""
	for _, a := range list {
		if k, ok := data.KeyNamed(a.Key); ok && k.Needed && k.Kind != "text" {
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
