package cli

import (
	"cmp"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// takes are the questions whose answer is more, or less, than the value of a key.
var takes = map[string]func(a *asker, key, text string) error{
	"pond.volume":        (*asker).setVolume,
	"pond.fill_flow":     (*asker).setFill,
	"pump.1.curve":       (*asker).setCurve,
	"pump.1.label_head":  (*asker).setLabelHead,
	"pump.1.label_power": (*asker).setWatts,
	"pump.1.supply":      (*asker).setSupply,
	"lift.static_head":   (*asker).setLift,
	"feed.1.pipe":        (*asker).setPipe,
	"feed.1.length":      (*asker).setLength,
	"feed.1.fittings":    (*asker).setFittings,
	"mains.price":        (*asker).setPrice,
	"site.place":         (*asker).setSite,

	"panel.price_per_watt": (*asker).setPrice,
	"battery.price_per_wh": (*asker).setPrice,

	"@mains": (*asker).setMains,
	"@more":  (*asker).setMore,
	"@runs":  (*asker).setRuns,
	"@today": (*asker).setToday,
	"@page":  (*asker).setPage,
}

// shapes are what a pond may look like, and the word of the plan for it.
var shapes = map[string]string{
	"rectangle": "rectangle", "oval": "oval", "round": "round", "bowl": "bowl", "sloping": "frustum", "soundings": "depths",
}

// setVolume takes a volume, or the way to work it out.
func (a *asker) setVolume(key, text string) error {
	word := strings.ToLower(text)
	if word == "fill" || shapes[word] != "" {
		a.facts[word] = true
		key, text = "pond.shape", shapes[word]
	}
	if text == "" { // a fill has no shape
		return nil
	}
	return a.set(key, text)
}

var inSeconds = regexp.MustCompile(`(?i)^([\d.,]+)\s*l\w*\s+in\s+([\d.,]+)\s*s\w*$`)

// setFill takes a flow, or a bucket with its time.
func (a *asker) setFill(key, text string) error {
	if m := inSeconds.FindStringSubmatch(text); m != nil {
		litres, err := units.ParseNumber(m[1])
		seconds, failed := units.ParseNumber(m[2])
		if err == nil && failed == nil && seconds > 0 {
			text = units.Sprintf("%.4g L/h", 3600*litres/seconds)
			a.remark("that is " + text)
		}
	}
	return a.set(key, text)
}

// setCurve takes a file as the pump's curve. A curve is meant, also where it
// cannot be read: the box is not asked for, unless a person takes it back with an
// empty answer.
func (a *asker) setCurve(key, path string) error {
	a.facts["box"] = path == ""
	if path == "" {
		return nil
	}
	for _, kind := range []units.Kind{units.KindFlow, units.KindHead, units.KindPower, units.KindVolume} {
		if _, err := units.Parse(kind, path); err == nil || plainNumber.MatchString(path) {
			return &data.Error{Found: path, Message: "one figure from the box is no curve: a pump gives its largest flow only at no " +
				"lift at all",
				Allowed: "the name of a CSV file, or an empty answer",
				Hint:    "leave this answer empty; the box's flow and head come next and give a bracket"}
		}
	}
	if strings.EqualFold(path, "yes") {
		return &data.Error{Found: path, Message: "then name it", Allowed: "the name of a CSV file such as pump.csv, or an empty answer"}
	}
	curves, err := a.curves(path)
	if err != nil {
		return err
	}
	if len(curves) > 1 {
		a.remark(fmt.Sprintf("the file holds %d pumps; the plan starts with the first, add a [[pump]] for each other", len(curves)))
	}
	c := curves[0]
	for _, row := range c.Rows {
		a.maxHead = max(a.maxHead, row.Head)
	}
	a.facts["watts"] = !c.HasPower
	if err := a.set(section(key)+".name", c.Pump); err != nil {
		return err
	}
	return a.set(key, a.fromPlan(path))
}

// curves reads the pump curves of a file of the working folder. The plan that
// names it reads it again, which a pipe does not allow.
func (a *asker) curves(path string) ([]data.CurveRows, error) {
	const allowed = "a CSV file with the pump's curve, or an empty answer"
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, &data.Error{Found: path, Message: "a plan cannot read a pipe or a device again", Allowed: allowed}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, &data.Error{Found: path, Message: "the file cannot be opened: " + cause(err).Error(), Allowed: allowed}
	}
	defer f.Close() // only read
	curves, warnings, err := data.ReadCurves(path, f)
	for _, w := range warnings {
		a.remark(w.String())
	}
	return curves, err
}

// fromPlan returns how a file of the working folder is called in the plan:
// relative to it where that can be, with slashes on every system.
func (a *asker) fromPlan(path string) string {
	if !filepath.IsAbs(path) {
		if rel, err := filepath.Rel(a.dir, path); err == nil {
			path = rel
		} else if full, err := filepath.Abs(path); err == nil { // the plan goes elsewhere
			path = full
		}
	}
	return filepath.ToSlash(path)
}

func (a *asker) setLabelHead(key, text string) error {
	if err := a.set(key, text); err != nil {
		return err
	}
	h, err := units.Parse(units.KindHead, text)
	a.maxHead = max(a.maxHead, units.Length(h))
	return err
}

var perDay = regexp.MustCompile(`(?i)(k?w)(?:atts?)?\s*h?\s*(a|per|/|p\.)\s*(day|d\b)|\bk?wh\b`)

// setWatts takes the pump's power, but no energy of a day, and says which watts
// that may stand for.
func (a *asker) setWatts(key, text string) error {
	switch {
	case text == "":
		return nil
	case !perDay.MatchString(text):
		return a.set(key, text)
	}
	low := strings.ToLower(text)
	hint := "give the watts on the box, or leave the answer empty"
	if v, err := units.ParseNumber(strings.Trim(perDay.ReplaceAllString(low, " "), " /ady")); err == nil {
		if strings.Contains(low, "kw") {
			v *= 1000
		}
		hint = units.Sprintf("a box that says %.4g W means at any moment, %.4g Wh in a day of 24 hours: write %.4g W", v, 24*v, v)
		if strings.Contains(low, "wh") {
			hint = units.Sprintf("%.4g Wh a day are %.3g W if the pump runs day and night", v, v/24)
		}
	}
	return &data.Error{Found: text, Message: "that is energy over a day; watts are what the pump draws at any moment",
		Allowed: "a power such as 65 W", Hint: hint}
}

func (a *asker) setSupply(key, text string) error {
	a.facts["DC"] = strings.EqualFold(text, "DC")
	return a.set(key, text)
}

// setLift refuses a lift that the pump does not reach, which nearly always was
// measured from the pump, and doubts one that takes most of its head.
func (a *asker) setLift(key, text string) error {
	const most = 0.7 // common practice, no source: beyond it little is left for the hose
	v, err := units.Parse(units.KindHead, text)
	lift := units.Length(v)
	switch {
	case err != nil || a.maxHead == 0: // the key's own parser says what is wrong
	case lift >= a.maxHead:
		return &data.Error{Found: text, Message: fmt.Sprintf("the pump reaches %v at most, so nothing would flow", a.maxHead),
			Allowed: "a lift below that", Hint: "measure from the pond's surface, not from the pump; if the lift is right, it needs " +
				"another pump"}
	case lift > most*a.maxHead:
		a.remark(units.Sprintf("that is %.0f %% of the pump's largest head of %v: was it measured from the pond's surface, not from the "+
			"pump?",
			100*float64(lift/a.maxHead), a.maxHead))
	}
	a.lift = lift
	return a.set(key, text)
}

// setPipe takes a pipe of the table, or a bore.
func (a *asker) setPipe(key, text string) error {
	_, err := data.PipeNamed(text)
	if err == nil {
		return a.set(key, text)
	}
	if _, noBore := units.Parse(units.KindBore, text); noBore == nil {
		return a.set("feed.1.bore", text)
	}
	for _, f := range data.Faults(err) {
		f.Allowed += "; or the inside diameter such as 25 mm"
	}
	return err
}

func (a *asker) setLength(key, text string) error {
	if v, err := units.Parse(units.KindLength, text); err == nil && units.Length(v) < a.lift {
		return &data.Error{Found: text, Message: fmt.Sprintf("the hose would be shorter than the lift of %v", a.lift),
			Allowed: "a length such as 10 m, at least the lift"}
	}
	return a.set(key, text)
}

func (a *asker) setFittings(key, text string) error {
	if text == "" {
		return nil
	}
	if spoken := spokenFittings(text); spoken != text {
		text = spoken
		a.remark("taken as " + text)
	}
	p := plan.NewPlan()
	if err := p.Set(key, text); err != nil {
		for _, f := range data.Faults(err) {
			f.Key = ""
		}
		return err
	}
	for _, f := range p.Feeds[0].Fittings {
		if _, err := data.FittingNamed(f.Name); err != nil {
			for _, fault := range data.Faults(err) {
				fault.Hint = "such as 2 x elbow 90, 1 x ball valve, 1 x check valve; " + fault.Hint
			}
			return err
		}
	}
	return a.set(key, text)
}

var (
	amount    = regexp.MustCompile(`^([^\d\s.,+-]*)\s*([\d.,]+)\s*([^\d\s.,+-]*)$`)
	perKWh    = regexp.MustCompile(`(?i)\s*(/|\ba\b|\bper\b)\s*kwh$`)
	cents     = regexp.MustCompile(`(?i)^(¢|c|ct|cts|cents?|p|pence)$`)
	wattsWord = regexp.MustCompile(`(?i)^k?wh?$`)
	isMoney   = regexp.MustCompile(`^(\pL{3}|\p{Sc})$`)
	noMoney   = regexp.MustCompile(`(?i)^(no|none|n)$`)
)

// setPrice takes the price of a kWh, with its currency if there is one.
func (a *asker) setPrice(key, text string) error {
	text = perKWh.ReplaceAllString(text, "")
	if text == "" {
		return nil
	}
	m := amount.FindStringSubmatch(text)
	if m == nil || m[1] != "" && m[3] != "" {
		return a.set(key, text)
	}
	currency := m[1] + m[3]
	if v, err := units.ParseNumber(m[2]); err == nil && cents.MatchString(currency) {
		m[2], currency = strconv.FormatFloat(v/100, 'g', 6, 64), ""
		a.remark("taken as " + m[2])
	}
	if wattsWord.MatchString(currency) {
		return &data.Error{Found: text, Message: "that is power or energy, not money",
			Allowed: "a price such as 0.30 EUR, or an empty answer"}
	}
	const most = 5 // of a kWh, W or Wh in most currencies; common practice, no source
	if v, err := units.ParseNumber(m[2]); err == nil && v >= most && !a.s.inIsTTY {
		a.remark("taken as " + text + " for one") // there are such currencies, and no unit to insist with
	} else if err == nil && v >= most {
		if err := a.doubt(m[2], text, []string{strings.TrimSpace(units.Sprintf("%.3g ", v/100) + currency)}); err != nil {
			return err
		}
	}
	if err := a.set(key, m[2]); err != nil {
		return err
	}
	return a.setCurrency(m[2], currency)
}

// setCurrency takes the currency of a price, "" where it was told without. A plan has one, so that
// it is asked back where none was told with the first price, or where two differ.
func (a *asker) setCurrency(price, currency string) error {
	const key = "mains.currency"
	before := a.value(key)
	var fault *data.Error
	switch {
	case currency != "" && before != "" && !strings.EqualFold(currency, before):
		fault = &data.Error{Message: fmt.Sprintf("is that %s, or %s as the price before? A plan has one currency", currency, before),
			Hint: "write the one that all prices are in"}
		if !a.s.inIsTTY {
			return fault
		}
	case currency == "" && before == "" && !a.facts["priced"] && !a.s.inIsTTY:
		a.remark("no currency given: prices stand without one, unlike 0.30 EUR")
	case currency == "" && before == "" && !a.facts["priced"]:
		fault = &data.Error{Message: "in which currency is that?", Hint: "three letters such as EUR, or none to leave it out"}
	}
	if fault != nil {
		if err := a.askBack(key, fault); err != nil {
			a.empty = cmp.Or(before, "none")
			a.whole = func(text string) string { return inCurrency(price, text, currency, before) }
			return err
		}
	}
	a.facts["priced"] = true
	switch i := a.answered(key); {
	case currency == "":
	case i < 0:
		return a.set(key, currency)
	case !strings.EqualFold(currency, before):
		a.answers[i].Text = currency
		a.remark("all prices are in " + currency)
	}
	return nil
}

// inCurrency returns price in what was told when asked for its currency, one of known or three
// letters or a sign; without one where there is none, and nothing where that is no currency.
func inCurrency(price, told string, known ...string) string {
	switch {
	case noMoney.MatchString(told) || dontKnow.MatchString(told):
		return price
	case isMoney.MatchString(told) && !cents.MatchString(told) && !wattsWord.MatchString(told):
		return price + " " + strings.ToUpper(told)
	case slices.ContainsFunc(known, func(k string) bool { return strings.EqualFold(k, told) }):
		return price + " " + told
	}
	return ""
}
