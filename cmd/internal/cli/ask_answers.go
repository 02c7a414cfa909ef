package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// takes are the questions whose answer is more, or less, than the value of a key.
var takes = map[string]func(a *asker, key, text string) error{
	"pond.volume":     (*asker).setVolume,
	"pump.1.curve":    (*asker).setCurve,
	"pump.1.supply":   (*asker).setSupply,
	"feed.1.pipe":     (*asker).setPipe,
	"feed.1.fittings": (*asker).setFittings,
	"mains.price":     (*asker).setPrice,
	"site.place":      (*asker).setSite,

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

// setCurve takes a file as the pump's curve. A curve is meant, also where it
// cannot be read: the box is not asked for, unless a person takes it back with an
// empty answer.
func (a *asker) setCurve(key, path string) error {
	a.facts["box"] = path == ""
	if path == "" {
		return nil
	}
	curves, err := a.curves(path)
	if err != nil {
		return err
	}
	if len(curves) > 1 {
		a.remark(fmt.Sprintf("the file holds %d pumps; the plan starts with the first, add a [[pump]] for each other", len(curves)))
	}
	c := curves[0]
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
		return nil, &data.Error{Found: path, Message: "the file cannot be opened: " + cause(err).Error(), Allowed: allowed,
			Hint: "figures of the box are no curve: leave this answer empty, and its flow and head come next"}
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

func (a *asker) setSupply(key, text string) error {
	a.facts["DC"] = strings.EqualFold(text, "DC")
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
	amount   = regexp.MustCompile(`^([^\d\s.,+-]*)\s*([\d.,]+)\s*([^\d\s.,+-]*)$`)
	perKWh   = regexp.MustCompile(`(?i)\s*(/|\ba\b|\bper\b)\s*kwh$`)
	notMoney = regexp.MustCompile(`(?i)^(k?wh?|¢|c|ct|cts|cents?|p|pence)$`)
)

// setPrice takes a price, with its currency if there is one: a plan has one.
func (a *asker) setPrice(key, text string) error {
	text = perKWh.ReplaceAllString(text, "")
	m := amount.FindStringSubmatch(text)
	switch {
	case text == "":
		return nil
	case m == nil || m[1] != "" && m[3] != "":
		return a.set(key, text)
	}
	currency, before := m[1]+m[3], a.value("mains.currency")
	switch {
	case notMoney.MatchString(currency):
		return &data.Error{Found: text, Message: "that is no currency", Allowed: "a price such as 0.30 EUR, or an empty answer"}
	case currency != "" && before != "" && !strings.EqualFold(currency, before):
		return &data.Error{Found: text, Message: "the price before was in " + before + ", and a plan has one currency"}
	}
	const most = 5 // of a kWh, W or Wh in most currencies; common practice, no source
	if v, err := units.ParseNumber(m[2]); err == nil && v >= most {
		a.remark(units.Sprintf("that is much: was %.3g meant?", v/100))
	}
	if err := a.set(key, m[2]); err != nil || currency == "" || before != "" {
		return err
	}
	return a.set("mains.currency", currency)
}

// setSite takes latitude and longitude, or a place of the table.
func (a *asker) setSite(key, text string) error {
	if text == "" {
		return nil
	}
	latitude, longitude := coordinates(text)
	k, _ := plan.KeyNamed("site.latitude")
	switch err := k.Takes(latitude); {
	case err == nil && longitude != "":
		if err := a.set("site.latitude", latitude); err != nil {
			return err
		}
		return a.set("site.longitude", longitude)
	case strings.Trim(text, "0123456789.,;+-−° \t") == "":
		return &data.Error{Found: text, Message: "latitude and longitude are two numbers", Allowed: "such as -32.0, 23.0"}
	}
	if _, err := data.FindClimatePlace(text); err != nil {
		return err
	}
	return a.set(key, text)
}

// coordinates takes two of them apart: after N or S, at a semicolon or between words, else
// at a comma.
func coordinates(text string) (latitude, longitude string) {
	at, after := strings.IndexAny(strings.ToUpper(text), "NS;")+1, ""
	if words := strings.Fields(text); at == 0 && len(words) == 2 {
		return strings.TrimRight(words[0], ","), words[1]
	} else if at == 0 {
		latitude, after, _ = strings.Cut(text, ",")
	} else {
		latitude, after = strings.TrimRight(text[:at], ";"), text[at:]
	}
	return strings.TrimSpace(latitude), strings.Trim(after, " ,;")
}
