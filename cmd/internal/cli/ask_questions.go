package cli

import (
	"fmt"
	"regexp"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// askPond asks for the water and what lives in it.
func (a *asker) askPond() error {
	shape := ""
	volume := a.plain("pond.volume", "How much water is in the pond?", "", "",
		"A volume such as 6 m3 or 1600 US gal. If nobody knows it, name what it looks like and",
		"the next questions work it out: rectangle, round, oval, bowl, sloping (a flat floor",
		"smaller than the surface) or soundings (depths taken all over it); or fill, to time the",
		"hose that fills it.")
	whole := volume.answer
	volume.answer = func(text string) ([]string, error) {
		word := strings.ToLower(text)
		if word == "fill" {
			shape = word
			return nil, nil
		}
		if pondSizes[word] == nil {
			return whole(text)
		}
		shape = word
		if key := shapeKeys[word]; key != "" {
			word = key
		}
		return a.set("pond.shape", word)
	}
	if err := a.each(a.plain("name", "What do you call the pond?", "My pond", "My pond"), volume); err != nil {
		return err
	}
	for _, name := range pondSizes[shape] {
		if err := a.each(a.plain("pond."+name, pondWords[name][0], "", "", pondWords[name][1:]...)); err != nil {
			return err
		}
	}
	return a.each(a.plain("pond.stocking", "How much fish?", "", "",
		"none, light (a few small fish), medium, or heavy (koi, or fed every day).",
		"It decides how often the water should pass the filter."))
}

// pondSizes are the sizes that each shape needs.
var pondSizes = map[string][]string{
	"rectangle": {"length", "width", "depth"},
	"oval":      {"length", "width", "depth"},
	"round":     {"diameter", "depth"},
	"bowl":      {"diameter", "depth"},
	"sloping":   {"length", "width", "depth", "bottom_length", "bottom_width"},
	"soundings": {"depths", "surface"},
	"fill":      {"fill_flow", "fill_time"},
}

// shapeKeys are the shapes that the plan calls by another word.
var shapeKeys = map[string]string{"sloping": "frustum", "soundings": "depths"}

var pondWords = map[string][]string{
	"length":   {"How long is the water's surface?", "Such as 3.2 m, at the normal level, along the longest way."},
	"width":    {"How wide is it?", "At the widest place, square to the length."},
	"diameter": {"How far across is the water's surface?"},
	"depth": {"How deep is it?", "At the deepest place: lower a marked stick. Rectangle, round and oval take straight walls;",
		"where yours slope, give the mean depth here."},
	"bottom_length": {"How long is the flat floor?", "Along the same way as the surface."},
	"bottom_width":  {"How wide is the flat floor?"},
	"depths":        {"Which depths did you find?", "Ten or more, spread evenly over the pond, the edge too: 0.2 m, 0.5 m, 0.9 m, 0.4 m."},
	"surface":       {"How large is the water's surface?", "Such as 8 m2."},
	"fill_flow":     {"How much does the hose give?", "Time a bucket: 10 L in 30 s are 1200 L/h."},
	"fill_time":     {"How long did that hose take to fill the pond?", "Such as 6 h."},
}

// askPump asks for a curve, or for what the box says.
func (a *asker) askPump() error {
	known := false
	file := question{key: "pump.1.curve", text: "Is there a file with the pump's curve?", empty: "no, only the box",
		why: []string{"A CSV of flow and head, such as pump.csv, from a data sheet or your own measurements.",
			"The largest flow on the box is no curve: it comes with the next question."}}
	file.answer = func(text string) (lines []string, err error) {
		// A curve is meant, also where it cannot be read: the box is not asked
		// for, unless a person takes it back with an empty answer.
		if known = text != ""; !known {
			return nil, nil
		}
		if err := boxFigure(text); err != nil {
			return nil, err
		}
		return a.setCurve(text)
	}
	if err := a.each(file); err != nil {
		return err
	}
	if !known {
		if err := a.each(a.box()...); err != nil {
			return err
		}
	}
	if !a.powered {
		if err := a.each(a.watts()); err != nil {
			return err
		}
	}
	return a.askSupply()
}

// setCurve takes a file as the pump's curve.
func (a *asker) setCurve(path string) ([]string, error) {
	curves, err := a.curves(path)
	if err != nil {
		return nil, err
	}
	if len(curves) > 1 {
		a.remark(fmt.Sprintf("the file holds %d pumps; the plan starts with the first, add a [[pump]] for each other", len(curves)))
	}
	c := curves[0]
	a.maxHead = 0 // of a file that was named before
	for _, row := range c.Rows {
		a.maxHead = max(a.maxHead, row.Head)
	}
	a.powered = c.HasPower
	name, err := a.set("pump.1.name", c.Pump)
	if err != nil {
		return nil, err
	}
	line, err := a.set("pump.1.curve", a.fromPlan(path))
	return append(name, line...), err
}

// boxFigure explains what a figure from a box is, typed where a curve belongs.
func boxFigure(text string) error {
	for _, kind := range []units.Kind{units.KindFlow, units.KindHead, units.KindPower} {
		if _, err := units.Parse(kind, text); err == nil {
			return &data.Error{Found: text, Message: "one figure from the box is no curve: a pump gives its largest flow only at no lift at all",
				Allowed: "the name of a CSV file, or an empty answer", Hint: "leave this answer empty; the box's flow and head come next and give a bracket"}
		}
	}
	return nil
}

// box are the questions for a pump without a curve.
func (a *asker) box() []question {
	flow := a.plain("pump.1.label_flow", "What is the largest flow on the box?", "", "",
		"Often Qmax or just L/h: what flows with no lift and no hose. With the head below it",
		"gives a bracket of what really flows, not one figure.")
	head := a.plain("pump.1.label_head", "What is the largest head on the box?", "", "",
		"Often Hmax or max. lift, such as 2.2 m: the height at which nothing flows any more.")
	take := head.answer
	head.answer = func(text string) ([]string, error) {
		lines, err := take(text)
		if err != nil {
			return nil, err
		}
		h, err := units.Parse(units.KindHead, text)
		a.maxHead = units.Length(h)
		if err != nil {
			return nil, err
		}
		name, err := a.set("pump.1.name", "pump") // the box asked for nothing that tells it from another
		return append(name, lines...), err
	}
	return []question{flow, head}
}

var perDay = regexp.MustCompile(`(?i)(k?w)(?:atts?)?\s*h?\s*(a|per|/|p\.)\s*(day|d\b)|\bk?wh\b`)

// watts asks for the pump's power.
func (a *asker) watts() question {
	q := a.plain("pump.1.label_power", "How many watts does the box say?", "not known", "",
		"Such as 65 W: what it draws at any moment. A plug-in meter knows better than a box.")
	take := q.answer
	q.answer = func(text string) ([]string, error) {
		if perDay.MatchString(text) {
			e := &data.Error{Found: text, Message: "that is energy over a day; watts are what the pump draws at any moment", Allowed: "a power such as 65 W"}
			e.Hint = energyHint(text)
			return nil, e
		}
		return take(text)
	}
	return q
}

// energyHint says which watts an energy of a day may stand for.
func energyHint(text string) string {
	low := strings.ToLower(text)
	v, err := units.ParseNumber(strings.Trim(perDay.ReplaceAllString(low, " "), " /ady"))
	if err != nil {
		return "give the watts on the box, or leave the answer empty"
	}
	if strings.Contains(low, "kw") {
		v *= 1000
	}
	if strings.Contains(low, "wh") {
		return units.Sprintf("%.4g Wh a day are %.3g W if the pump runs day and night", v, v/24)
	}
	return units.Sprintf("a box that says %.4g W means at any moment, %.4g Wh in a day of 24 hours: write %.4g W", v, 24*v, v)
}

func (a *asker) askSupply() error {
	dc := false
	supply := a.plain("pump.1.supply", "What is it plugged into: AC or DC?", "AC", "AC",
		"AC is a wall socket; DC is a power pack, a battery or a panel.")
	take := supply.answer
	supply.answer = func(text string) ([]string, error) {
		dc = strings.EqualFold(text, "DC")
		return take(text)
	}
	if err := a.each(supply); err != nil || !dc {
		return err
	}
	return a.each(a.plain("pump.1.voltage", "At how many volts?", "the battery's", "", "Such as 24 V; it stands on the box or on the pack."))
}

// askLine asks for lift and hose.
func (a *asker) askLine() error {
	lift := a.plain("lift.static_head", "How high is the water lifted?", "", "",
		"From the pond's surface up to the highest free water level or open outlet, such as 0.9 m.",
		"Never from the pump: the water above the pump carries itself.")
	take := lift.answer
	lift.answer = func(text string) ([]string, error) {
		if err := a.tooHigh(text); err != nil {
			return nil, err
		}
		v, _ := units.Parse(units.KindHead, text)
		a.lift = units.Length(v) // 0 where it is none, which the next line says
		return take(text)
	}
	hose := question{key: "feed.1.pipe", text: "Which hose or pipe leads up?", answer: a.setPipe,
		why: []string{`A name such as hose 25 mm or PE 32 SDR 11 ("sunrill tables pipes" lists them), or the`,
			"inside diameter such as 25 mm. Measure the hole, not the outside."}}
	length := a.plain("feed.1.length", "How long is it?", "", "", "Along the hose from pump to outlet, such as 10 m.")
	long := length.answer
	length.answer = func(text string) ([]string, error) {
		v, err := units.Parse(units.KindLength, text)
		if err == nil && units.Length(v) < a.lift {
			return nil, &data.Error{Found: text, Message: fmt.Sprintf("the hose would be shorter than the lift of %v", a.lift), Allowed: "a length such as 10 m, at least the lift"}
		}
		return long(text)
	}
	fittings := question{key: "feed.1.fittings", text: "Which bends and valves are in it?", empty: "none",
		why:    []string{`Such as 4 x elbow 90, 1 x ball valve ("sunrill tables fittings" lists them).`},
		answer: a.setFittings}
	return a.each(lift, hose, length, fittings)
}

// tooHigh refuses a lift that the pump does not reach, which nearly always was
// measured from the pump, and doubts one that takes most of its head.
func (a *asker) tooHigh(text string) error {
	v, err := units.Parse(units.KindHead, text)
	lift := units.Length(v)
	if err != nil || a.maxHead == 0 {
		return nil // the key's own parser says what is wrong
	}
	const most = 0.7 // common practice, no source: beyond it little is left for the hose
	switch {
	case lift >= a.maxHead:
		return &data.Error{Found: text, Message: fmt.Sprintf("the pump reaches %v at most, so nothing would flow", a.maxHead),
			Allowed: "a lift below that", Hint: "measure from the pond's surface, not from the pump; if the lift is right, it needs another pump"}
	case lift > most*a.maxHead:
		a.remark(units.Sprintf("that is %.0f %% of the pump's largest head of %v: was it measured from the pond's surface, not from the pump?", 100*float64(lift/a.maxHead), a.maxHead))
	}
	return nil
}

// setPipe takes a pipe of the table, or a bore.
func (a *asker) setPipe(text string) ([]string, error) {
	_, err := data.PipeNamed(text)
	if err == nil {
		return a.set("feed.1.pipe", text)
	}
	bore, _ := plan.KeyNamed("feed[].bore")
	if _, perr := units.Parse(units.KindBore, text); perr == nil {
		if err := bore.Takes(text); err != nil {
			return nil, err
		}
		return a.set("feed.1.bore", text)
	}
	for _, f := range data.Faults(err) {
		f.Allowed = "a row of the table of pipes, or the inside diameter such as 25 mm"
	}
	return nil, err
}

func (a *asker) setFittings(text string) ([]string, error) {
	if text == "" || strings.EqualFold(text, "none") {
		return nil, nil
	}
	p := plan.NewPlan()
	if err := p.Set("feed.1.fittings", text); err != nil {
		for _, f := range data.Faults(err) {
			f.Key = ""
		}
		return nil, err
	}
	for _, f := range p.Feeds[0].Fittings {
		if _, err := data.FittingNamed(f.Name); err != nil {
			return nil, err
		}
	}
	return a.set("feed.1.fittings", text)
}
