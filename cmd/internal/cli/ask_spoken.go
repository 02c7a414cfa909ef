package cli

import (
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps/works"
)

// pumpNumber is the part of a key that says which pump it is of.
var pumpNumber = regexp.MustCompile(`^pump\.\d+\.`)

// section returns the key of the table that a key stands in.
func section(key string) string { return key[:strings.LastIndexByte(key, '.')] }

// question is a row of questions.csv, which says what its columns hold.
type question struct {
	When    string `csv:"when"`
	Key     string `csv:"key"`
	Text    string `csv:"question"`
	Units   string `csv:"units"`
	Usual   string `csv:"usual"`
	Default string `csv:"default"`
	Empty   string `csv:"empty"`
	Why     string `csv:"why"`
	Unsure  string `csv:"unsure"`
}

//go:embed questions.csv
var questionsFile string

func questions() []question { return data.RowsOf[question]("questions.csv", questionsFile) }

// unit is that of a bare number.
func (q question) unit() string {
	unit, _, _ := strings.Cut(q.Units, "|")
	return unit
}

// spoken is a row of spoken.csv, which says what its columns hold.
type spoken struct {
	Question regexp.Regexp `csv:"question"`
	Said     regexp.Regexp `csv:"said"`
	Means    string        `csv:"means"`
}

//go:embed spoken.csv
var spokenFile string

var spokenRows = sync.OnceValue(func() []spoken { return data.RowsOf[spoken]("spoken.csv", spokenFile) })

// meant returns what an answer in somebody's own words stands for.
func (a *asker) meant(q question, text string) string {
	if _, err := os.Stat(text); text == "" || err == nil && strings.HasSuffix(q.Key, ".curve") { // a file is what it is called
		return text
	}
	about := pumpNumber.ReplaceAllString(q.Key, "pump.1.")
	if q.Units != "" {
		about += " unit"
	}
	if q.Empty != "" {
		about += " free"
	}
	is := text
	if strings.Trim(text, " .!?") == "" {
		return text
	}
	for _, row := range spokenRows() {
		if low := strings.ToLower(strings.TrimRight(is, " .!?")); row.Question.MatchString(about) && row.Said.MatchString(low) {
			is = row.Said.ReplaceAllString(low, row.Means)
		}
	}
	if strings.EqualFold(is, text) {
		return text
	}
	if !strings.HasPrefix(q.Key, "@") && !plainNumber.MatchString(is) && (is == "" || !strings.HasSuffix(q.Key, ".fittings")) {
		a.remark("taken as " + cmp.Or(is, q.Empty)) // else what it becomes is said
	}
	return is
}

// yes takes yes or no.
func yes(text string) (bool, error) {
	is := strings.EqualFold(text, "yes")
	if is || strings.EqualFold(text, "no") {
		return is, nil
	}
	return false, &data.Error{Found: text, Message: "neither yes nor no", Allowed: "yes or no"}
}

func (a *asker) setMains(_, text string) error {
	mains, err := yes(text)
	if a.facts["mains"], a.facts["off"] = mains, !mains; err != nil || mains {
		return err
	}
	return a.set("site.mains", "false")
}

func (a *asker) setPage(_, text string) (err error) {
	a.facts["page"], err = yes(text)
	return err
}

// setMore asks all about a pump once more, for the next one.
func (a *asker) setMore(_, text string) error {
	const most = 20 // asked for one after another
	more, err := yes(text)
	if more && a.pumps == most {
		err = &data.Error{Message: "that is enough to ask for", Allowed: "no; further pumps go into the file as [[pump]]"}
	}
	if err != nil || !more {
		return err
	}
	a.pumps++
	a.facts["box"], a.facts["watts"], a.facts["DC"] = true, true, false
	a.facts["one"], a.facts["several"] = false, true
	var again []question
	for _, q := range questions() {
		if key, of := strings.CutPrefix(q.Key, "pump.1."); of || q.Key == "@more" {
			if of {
				q.Key = fmt.Sprintf("pump.%d.%s", a.pumps, key)
			}
			again = append(again, q)
		}
	}
	a.queue = append(again, a.queue...)
	return nil
}

// setRuns takes whether the only pump runs today.
func (a *asker) setRuns(_, text string) error {
	runs, err := yes(text)
	if err != nil || !runs {
		return err
	}
	return a.set("pump.1.present", "true")
}

// setToday takes the number of the pump that runs today.
func (a *asker) setToday(_, text string) error {
	if text == "" {
		return nil
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > a.pumps {
		return &data.Error{Found: text, Message: "there is no such pump", Allowed: fmt.Sprintf("a number from 1 to %d, or none", a.pumps)}
	}
	return a.set(fmt.Sprintf("pump.%d.present", n), "true")
}

// answered is where in the answers the one for key is, -1 where it is not.
func (a *asker) answered(key string) int {
	return slices.IndexFunc(a.answers, func(v plan.Setting) bool { return v.Key == key })
}

// value is the answer for key, empty where there is none.
func (a *asker) value(key string) string {
	if i := a.answered(key); i >= 0 {
		return a.answers[i].Text
	}
	return ""
}

// namePumps gives each pump without one a name by its watts, or its number.
func (a *asker) namePumps() {
	taken := map[string]bool{}
	for n := 1; n <= a.pumps; n++ {
		at := fmt.Sprintf("pump.%d.", n)
		if !slices.ContainsFunc(a.answers, func(v plan.Setting) bool { return strings.HasPrefix(v.Key, at) }) {
			continue // stopped before it
		}
		name := a.value(at + "name")
		if name == "" { // a curve is found in its file by the name that it has there
			if name = a.value(at + "label_power"); a.pumps == 1 {
				name = "pump"
			} else if name == "" || taken[strings.ToLower(name)] {
				name = fmt.Sprintf("pump %d", n)
			}
			a.answers = append([]plan.Setting{{Key: at + "name", Text: name}}, a.answers...)
		}
		taken[strings.ToLower(name)] = true
	}
}

// tellVolume says what the pond holds where its size was told, and from what.
func (a *asker) tellVolume() {
	p, from := plan.NewPlan(), []string(nil)
	for _, v := range a.answers {
		if name, of := strings.CutPrefix(v.Key, "pond."); of && p.Set(v.Key, v.Text) == nil {
			from = append(from, strings.ReplaceAll(name, "_", " ")+" "+v.Text)
		}
	}
	if p.Pond.Volume != nil || len(from) == 0 {
		return
	}
	if w, err := works.NewPondWater(&p); err == nil && w.Known {
		a.remark(units.Sprintf("that makes %.3g m3, from %s", float64(w.Value.Volume), strings.Join(from, ", ")))
	}
}

// kind is that of the quantity asked for.
func (q question) kind() units.Kind {
	k, _ := plan.KeyNamed(q.Key)
	if kind, quantity := units.KindNamed(k.Kind); quantity {
		return kind
	}
	return units.KindBore // the hose, by its hole
}

// withUnit returns number in a unit that was told alone, or nothing where it is none.
func (q question) withUnit(number, unit string) string {
	text := number + " " + unit
	if _, err := units.Parse(q.kind(), text); err != nil || strings.IndexFunc(unit, unicode.IsLetter) != 0 {
		return ""
	}
	return text
}

// rather returns what a bare number more likely means that is not usual in the unit asked for:
// itself in each other unit that makes it so.
func (q question) rather(number string) (all []string) {
	size := func(text string) float64 {
		v, _ := units.Parse(q.kind(), text)
		return v
	}
	low, high, _ := strings.Cut(q.Usual, " to ")
	for i, unit := range strings.Split(q.Units, "|") {
		text := number + " " + unit
		switch usual := size(low) <= size(text) && size(text) <= size(high); {
		case usual && i == 0:
			return nil
		case usual:
			all = append(all, text)
		}
	}
	return all
}

// asksBack is what a question asks back of its answers.
type asksBack struct {
	about map[string]bool          // what was asked back, once each
	whole func(text string) string // the answer that text completes, empty where it is none to what was asked back
	empty string                   // what an empty one stands for, empty where for what the question says
}

func newAsksBack() asksBack { return asksBack{about: map[string]bool{}} }

// completed returns the answer that text is, with what was asked back of those before.
func (a *asker) completed(text string) string {
	if a.whole == nil {
		return text
	}
	whole := a.whole(text)
	if whole == "" && strings.ContainsAny(text, "0123456789") { // that figure is asked about from now on
		a.whole, a.empty = nil, ""
	}
	return cmp.Or(whole, text)
}

// askBack returns fault unless that was asked back before.
func (a *asker) askBack(about string, fault *data.Error) error {
	if a.sure || a.about[about] {
		return nil
	}
	a.about[about] = true
	return fault
}

// doubt asks back once where a figure taken as it stands is not usual and rather are.
// Piped answers are not asked again, so that there it is a fault.
func (a *asker) doubt(figure, taken string, rather []string) error {
	fault := &data.Error{Message: "is that " + strings.Join(append([]string{taken}, rather...), " or ") + "?",
		Hint: "write the one that is meant"}
	if a.s.inIsTTY {
		fault.Hint += ", or the same again for " + taken
	}
	return a.askBack(figure, fault)
}

var fittingCount = regexp.MustCompile(`^(\d+)\s*[x×*]?\s*(.+)$`)

// spokenFittings returns a list of fittings as a person says it, "2 elbows and a tap",
// as the plan has it, as far as each is understood.
func spokenFittings(text string) string {
	var all []string
	for part := range strings.SplitSeq(strings.ReplaceAll(text, " and ", ","), ",") {
		part = strings.TrimSpace(part)
		count, name := "1", strings.TrimPrefix(strings.TrimPrefix(part, "a "), "an ")
		if m := fittingCount.FindStringSubmatch(part); m != nil {
			count, name = m[1], m[2]
		}
		if f, err := data.FittingNamed(name); err == nil {
			name = f.Name
		}
		all = append(all, count+" x "+name)
	}
	return strings.Join(all, ", ")
}

// help says what a question takes.
func (a *asker) help(q question) {
	a.remark(q.Why)
	if k, ok := plan.KeyNamed(q.Key); ok && k.Kind != "text" && len(k.Choices) == 0 { // those stand in the question
		a.remark(k.Help + " It takes " + k.Allowed() + ".")
	}
	if q.Units != "" {
		a.remark("A bare number is taken in " + q.unit() + ".")
	}
	a.remark(q.Unsure)
	if empty := q.Default + q.Empty; empty != "" {
		a.remark("An empty answer, or \"don't know\": " + empty + ".")
	} else {
		a.remark("An answer is needed here; a rough one will do, and the page says what it hangs on.")
	}
}

// dontKnow are the ways to say so.
var dontKnow = regexp.MustCompile(`(?i)^(i )?(don['’]?t|do not) know|^no idea|^not sure|^unknown$|^dunno|^\?+$`)

// plainNumber is a number without a unit.
var plainNumber = regexp.MustCompile(`^(\d+([.,]\d+)?|[.,]\d+)$`)

// keptIn is the file of the answers so far.
func (a *asker) keptIn() string { return filepath.Join(a.dir, "answers.txt") }

// keep writes the answers so far, a line each, and says how to go on.
func (a *asker) keep() error {
	a.said = append(a.said, a.kept...)
	if len(a.said) == 0 {
		return errors.New("stopped; nothing was written")
	}
	err := os.MkdirAll(a.dir, 0o777)
	if err == nil {
		err = os.WriteFile(a.keptIn(), []byte(strings.Join(a.said, "\n")+"\n"), 0o666)
	}
	if err != nil {
		return fmt.Errorf("stopped; the answers could not be kept: %w", err)
	}
	return fmt.Errorf("stopped; the answers so far are kept in %s: sunrill new %s --ask goes on from there", a.keptIn(), typed(a.dir))
}
