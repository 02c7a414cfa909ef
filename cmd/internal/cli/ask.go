package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// asker collects the answers that make a plan.
type asker struct {
	*prompt
	dir     string
	answers []plan.StarterValue
	maxHead units.Length // that the pump is said to reach; 0 where it is not known
	lift    units.Length // as answered
	powered bool         // the curve gives watts
}

// runAsk asks for a plan step by step, writes it, and prints its short answer.
func runAsk(s *Streams, dir string) error {
	a := &asker{prompt: newPrompt(s), dir: dir}
	if err := nothingThere(dir, newFiles(nil)); err != nil {
		return err
	}
	if s.inIsTTY {
		a.say("An empty answer takes what stands in brackets.")
		a.say("Nothing is written before the last question.")
	}
	if err := a.all(); err != nil {
		return err
	}
	if err := errors.Join(a.faults...); err != nil {
		return err
	}
	files := newFiles(a.answers)
	// Each answer was checked alone; this is about how they fit together.
	if _, _, err := plan.ReadPlan(filepath.Join(dir, plan.PlanFile), strings.NewReader(files[0].text), plan.ReadOptions{Need: plan.NeedPond}); err != nil {
		return err
	}
	if err := writeNew(dir, files); err != nil {
		return err
	}
	return a.shortAnswer()
}

// all puts every question.
func (a *asker) all() error {
	for _, step := range []func() error{a.askPond, a.askPump, a.askLine, a.askMoney, a.askSite} {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// shortAnswer prints the first lines of the page of the plan just written.
func (a *asker) shortAnswer() error {
	var o planCmdOptions
	doc, _, err := runPlan(a.s, &o, []string{filepath.Join(a.dir, plan.PlanFile)}, nil)
	var none *page.NoAnswer
	if err != nil && !errors.As(err, &none) {
		return err
	}
	short := &document.Document{Title: doc.Title, Subtitle: doc.Subtitle, Answer: doc.Answer, Warnings: doc.Warnings, Names: doc.Names}
	short.Answer = append(short.Answer, document.Line{Label: "All of it", Text: document.Plain("sunrill plan " + typed(a.dir))},
		document.Line{Label: "To change", Text: document.Plain("any answer, edit " + filepath.Join(a.dir, plan.PlanFile))})
	if werr := writePage(a.s, short, &pageOptions{format: "text"}, nil); werr != nil {
		return werr
	}
	return err
}

// set keeps the answer to a key and returns the line of the plan for it.
func (a *asker) set(key, text string) ([]string, error) {
	k, ok := plan.KeyNamed(key)
	if !ok {
		panic("cli: no key " + key)
	}
	if err := k.Takes(text); err != nil {
		return nil, err
	}
	if k.Kind == "choice" {
		for _, word := range k.Choices { // as the file writes it, so that a starter value keeps its mark
			if strings.EqualFold(word, text) {
				text = word
			}
		}
	}
	a.answers = append(a.answers, plan.StarterValue{Key: key, Text: text})
	return []string{k.PlanLine(text)}, nil
}

// plain is a question whose answer is the value of one key. empty is what an
// empty answer stands for, "" where an answer is needed; fallback is the value
// that is written for it, "" for none.
func (a *asker) plain(key, text, empty, fallback string, why ...string) question {
	return question{key: key, text: text, why: why, empty: empty, answer: func(answer string) ([]string, error) {
		switch {
		case answer != "":
			return a.set(key, answer)
		case fallback != "":
			return a.set(key, fallback)
		}
		return nil, nil
	}}
}

// each puts questions until one stops the whole.
func (a *asker) each(list ...question) error {
	for _, q := range list {
		if _, err := a.ask(q); err != nil {
			return err
		}
	}
	return nil
}

// fromPlan returns how a file of the working folder is called in the plan:
// relative to it where that can be, with slashes on every system.
func (a *asker) fromPlan(path string) string {
	if filepath.IsAbs(path) {
		return filepath.ToSlash(path)
	}
	dir, err := filepath.Abs(a.dir)
	if err != nil {
		return filepath.ToSlash(path)
	}
	full, err := filepath.Abs(path)
	if err != nil {
		return filepath.ToSlash(path)
	}
	rel, err := filepath.Rel(dir, full)
	if err != nil { // another drive
		return filepath.ToSlash(full)
	}
	return filepath.ToSlash(rel)
}

// curves reads the pump curves of a file of the working folder. The plan that
// names it reads it again, which a pipe does not allow.
func (a *asker) curves(path string) ([]data.CurveRows, error) {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, &data.Error{Found: path, Message: "a plan cannot read a pipe or a device again", Allowed: "a CSV file with the pump's curve, or an empty answer"}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, &data.Error{Found: path, Message: "the file cannot be opened: " + fmt.Sprint(cause(err)),
			Allowed: "a CSV file with the pump's curve, or an empty answer"}
	}
	defer f.Close() // only read
	curves, warnings, err := data.ReadCurves(path, f)
	for _, w := range warnings {
		a.remark(w.String())
	}
	return curves, err
}
