package cli

import (
	"bufio"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	_ "embed"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// asker asks one question after the other on the message stream, reads an answer
// a line and collects what makes a plan. On a terminal a bad answer is asked for
// again. Answers that are piped in keep their place, a line a question: a bad one
// is noted and the next question takes the next line, so that every fault is told
// at once.
type asker struct {
	s       *Streams
	dir     string
	in      *bufio.Reader
	asked   int // questions so far
	ended   bool
	faults  []error
	answers []plan.StarterValue

	facts   map[string]bool // words of the column when that are true
	maxHead units.Length    // that the pump is said to reach; 0 where it is not known
	lift    units.Length    // as answered
}

// question is a row of questions.csv.
type question struct{ when, key, text, fallback, empty, why string }

//go:embed questions.csv
var questionsFile string

func questions() []question {
	in := csv.NewReader(strings.NewReader(questionsFile))
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		panic("cli: " + err.Error())
	}
	var all []question
	for _, c := range rows[1:] {
		all = append(all, question{c[0], c[1], c[2], c[3], c[4], c[5]})
	}
	return all
}

const longestAnswer = 4096

var errStopped = errors.New("stopped; nothing was written")

func newAsker(s *Streams, dir string) *asker {
	return &asker{s: s, dir: dir, in: bufio.NewReader(s.In), facts: map[string]bool{"box": true, "watts": true}}
}

// runAsk asks for a plan step by step, writes it, and prints its short answer.
func runAsk(s *Streams, dir string) error {
	a := newAsker(s, dir)
	if err := nothingThere(dir, newFiles(nil)); err != nil {
		return err
	}
	if s.inIsTTY {
		a.say("An empty answer takes what stands in brackets.")
		a.say("Nothing is written before the last question.")
	}
	for _, q := range questions() {
		if q.when == "" || slices.ContainsFunc(strings.Fields(q.when), func(word string) bool { return a.facts[word] }) {
			if err := a.ask(q); err != nil {
				return err
			}
		}
	}
	if err := errors.Join(a.faults...); err != nil {
		return err
	}
	files := newFiles(a.answers)
	// Each answer was checked alone; this is about how they fit together.
	path := filepath.Join(dir, plan.PlanFile)
	if _, _, err := plan.ReadPlan(path, strings.NewReader(files[0].text), plan.ReadOptions{Need: plan.NeedPond}); err != nil {
		return err
	}
	if err := writeNew(dir, files); err != nil {
		return err
	}
	return a.shortAnswer(path)
}

// shortAnswer prints the first lines of the page of the plan just written.
func (a *asker) shortAnswer(path string) error {
	r := &request{s: a.s, args: []string{path}}
	return r.run(func(r *request) (*document.Document, error) {
		doc, err := r.planPage()
		var none *page.NoAnswer
		if err != nil && !errors.As(err, &none) {
			return nil, err
		}
		return &document.Document{Title: doc.Title, Subtitle: doc.Subtitle, Warnings: doc.Warnings,
			Answer: append(doc.Answer, document.Line{Label: "All of it", Text: document.Plain("sunrill plan " + typed(a.dir))},
				document.Line{Label: "To change", Text: document.Plain("any answer, edit " + path)})}, err
	})
}

// ask puts one question until its answer is taken; errStopped is for a person who
// closed the input.
func (a *asker) ask(q question) error {
	a.asked++
	if a.s.inIsTTY {
		a.say("")
		a.say(fmt.Sprintf("%d. %s", a.asked, q.text))
		a.explain(q.why)
	}
	for before := len(a.answers); ; {
		text, err := a.read(q)
		if err != nil {
			return err
		}
		if err = a.take(q, text); err == nil {
			a.wrote(q, a.answers[before:])
			return nil
		}
		a.answers = a.answers[:before]
		if !a.s.inIsTTY {
			a.note(q, err)
			return nil
		}
		for _, f := range data.Faults(err) {
			a.explain(f.Error())
			a.explain(f.Hint)
		}
	}
}

// take keeps the values that an answer stands for.
func (a *asker) take(q question, text string) error {
	text = cmp.Or(text, q.fallback)
	switch special := takes[q.key]; {
	case text == "" && q.empty == "":
		message := "an answer is needed"
		if a.ended {
			message = "the answers end before this question"
		}
		allowed := strings.TrimSuffix(q.why, ".")
		if k, ok := plan.KeyNamed(q.key); ok && k.Kind != "text" {
			allowed = k.Allowed()
		}
		return &data.Error{Message: message, Allowed: allowed}
	case special != nil:
		return special(a, q.key, text)
	case text != "":
		return a.set(q.key, text)
	}
	return nil
}

// set keeps the value of a key.
func (a *asker) set(key, text string) error {
	k, ok := plan.KeyNamed(key)
	if !ok {
		panic("cli: no key " + key)
	}
	if err := k.Takes(text); err != nil {
		return err
	}
	for _, word := range k.Choices { // as the file writes it, so that a starter value keeps its mark
		if strings.EqualFold(word, text) {
			text = word
		}
	}
	a.answers = append(a.answers, plan.StarterValue{Key: key, Text: text})
	return nil
}

// read returns the next answer without the space around it.
func (a *asker) read(q question) (string, error) {
	if a.s.inIsTTY {
		bracket := ""
		if empty := q.fallback + q.empty; empty != "" {
			bracket = "[" + empty + "] "
		}
		_, _ = io.WriteString(a.s.Err, "   "+bracket+"> ")
	}
	if a.ended {
		return "", nil
	}
	text, err := a.in.ReadString('\n')
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return "", fmt.Errorf("cannot read the answers: %w", err)
	case len(text) > longestAnswer:
		return "", &data.Error{File: "-", Line: a.asked, Message: "the answer is too long", Allowed: "one line for each question"}
	case err != nil && text == "":
		a.ended = true
		if a.s.inIsTTY {
			a.say("")
			return "", errStopped
		}
	}
	return strings.TrimSpace(strings.TrimPrefix(text, "\ufeff")), nil
}

// wrote shows the lines of the plan that an answer became.
func (a *asker) wrote(q question, values []plan.StarterValue) {
	for _, v := range values {
		k, _ := plan.KeyNamed(v.Key)
		line := "   " + k.PlanLine(v.Text)
		if !a.s.inIsTTY {
			line = fmt.Sprintf("%2d. %s %s", a.asked, q.text, k.PlanLine(v.Text))
		}
		a.say(line)
	}
}

// note keeps the fault of a piped answer: the question is the line.
func (a *asker) note(q question, err error) {
	for _, f := range data.Faults(err) {
		f := *f
		f.File, f.Line, f.Column = "-", a.asked, 0
		f.Key = fmt.Sprintf("question %d, %s", a.asked, q.key)
		a.faults = append(a.faults, &f)
	}
}

// explain prints text under a question, as wide as the page.
func (a *asker) explain(text string) {
	if text == "" {
		return
	}
	for _, line := range strings.Split(wrapAfter(text, 3, a.s.width), "\n") {
		a.say("   " + strings.TrimSpace(line))
	}
}

// remark prints a doubt about an answer: as wide as the page for a person, on
// one line where it is piped.
func (a *asker) remark(text string) {
	if a.s.inIsTTY {
		a.explain(text)
		return
	}
	a.say("   " + text)
}

func (a *asker) say(line string) {
	_, _ = io.WriteString(a.s.Err, document.Clean(line)+"\n") // nobody is left to tell where it fails
}
