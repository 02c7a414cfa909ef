package cli

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// asker asks one question after the other on the message stream, reads an answer
// a line and collects what makes a plan. On a terminal a bad answer is asked for
// again, back goes one question back, ? tells more, and what stops it keeps the answers
// so far. Answers that are piped in keep their place, a line a question: a bad one
// is noted and the next question takes the next line, so that every fault is told
// at once.
type asker struct {
	s      *Streams
	dir    string
	in     *bufio.Reader
	ended  bool
	faults []error
	stop   chan os.Signal
	kept   []string          // answers of an earlier time that are still to be taken
	told   []dialogue        // before each question that was answered
	old    map[string]string // what was answered before a way back, by place and key
	sure   bool              // the answer was taken before

	asksBack

	dialogue
}

// dialogue is how far the questions have come.
type dialogue struct {
	queue   []question // still to be put
	asked   int
	answers []plan.Setting
	said    []string        // the answers as they were given
	facts   map[string]bool // words of the column when that are true
	pumps   int             // told of so far
	maxHead units.Length    // that the strongest pump is said to reach; 0 where it is not known
	lift    units.Length    // as answered
}

// copied returns d so that neither changes the other.
func (d dialogue) copied() dialogue {
	d.queue, d.answers, d.said, d.facts = slices.Clone(d.queue), slices.Clone(d.answers), slices.Clone(d.said), maps.Clone(d.facts)
	return d
}

const longestAnswer = 4096

var (
	errStopped = errors.New("stopped")
	errBack    = errors.New("back")
)

func newAsker(s *Streams, dir string) *asker {
	return &asker{s: s, dir: dir, in: bufio.NewReader(s.In), stop: make(chan os.Signal, 1), old: map[string]string{},
		asksBack: newAsksBack(),
		dialogue: dialogue{queue: questions(), facts: map[string]bool{"box": true, "watts": true, "one": true}, pumps: 1}}
}

// runAsk asks for a plan step by step, writes it, and prints its short answer.
func runAsk(s *Streams, dir string) error {
	a := newAsker(s, dir)
	if err := nothingThere(dir, []newFile{{name: plan.PlanFile}}); err != nil {
		return err
	}
	if s.inIsTTY {
		signal.Notify(a.stop, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
		defer signal.Stop(a.stop)
		a.say("An empty answer takes what stands in brackets; ? tells more.")
		a.say("back goes one question back; there an empty answer keeps the old one.")
		a.say("Ctrl-C stops, and keeps the answers so far.")
		if text, err := os.ReadFile(a.keptIn()); err == nil {
			a.kept = strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
			a.say("It goes on from the answers in " + a.keptIn() + ".")
		}
	}
	if err := a.askAll(); errors.Is(err, errStopped) {
		return a.keep()
	} else if err != nil {
		return err
	}
	if err := errors.Join(a.faults...); err != nil {
		return err
	}
	a.namePumps()
	file := newFile{plan.PlanFile, plan.AnsweredPlan(a.answers)}
	// Each answer was checked alone; this is about how they fit together.
	path := filepath.Join(dir, plan.PlanFile)
	_, _, err := plan.ReadPlan(path, strings.NewReader(file.text), plan.ReadOptions{Need: plan.NeedPond})
	if err != nil && !s.inIsTTY {
		return err
	}
	if failed := writeNew(dir, []newFile{file}); failed != nil {
		return failed
	}
	if s.inIsTTY {
		_ = os.Remove(a.keptIn()) // the plan has them
	}
	if err != nil {
		return errors.Join(err, fmt.Errorf("the answers are kept in %s: mend that in it, then sunrill plan %s", path, typed(dir)))
	}
	return a.shortAnswer(path)
}

// askAll puts every question; errStopped is for a person who stops.
func (a *asker) askAll() error {
	for len(a.queue) > 0 && len(a.faults) < data.MaxFaults {
		before := a.copied()
		q := a.queue[0]
		a.queue = a.queue[1:]
		if q.When != "" && !slices.ContainsFunc(strings.Fields(q.When), func(word string) bool { return a.facts[word] }) {
			continue
		}
		switch err := a.ask(q); {
		case errors.Is(err, errBack) && len(a.told) == 0:
			a.dialogue = before
			a.remark("This is the first question.")
		case errors.Is(err, errBack):
			last := len(a.told) - 1
			a.dialogue, a.told = a.told[last], a.told[:last]
		case err != nil:
			return err
		default:
			a.told = append(a.told, before)
		}
	}
	return nil
}

// shortAnswer prints the short answer of the plan just written, and writes the page for
// a browser where that was asked for.
func (a *asker) shortAnswer(path string) error {
	r := &request{s: a.s, args: []string{path}}
	err := r.run(func(r *request) (*document.Document, error) {
		doc, err := r.planPage()
		if doc != nil {
			doc.Further = document.Sentence("%v --all; to change an answer, edit %v", "sunrill plan "+typed(a.dir), path)
		}
		return doc, err
	})
	var none *page.NoAnswer
	if err != nil && !errors.As(err, &none) || !a.facts["page"] {
		return err
	}
	r = &request{s: a.s, args: r.args, page: pageOptions{output: filepath.Join(a.dir, "page.html")}}
	if err = r.run((*request).planPage); err == nil || errors.As(err, &none) {
		a.say("The page for the browser is " + r.page.output + ".")
	}
	return err
}

// ask puts one question until its answer is taken; errStopped is for a person who
// closed the input or stopped.
func (a *asker) ask(q question) error {
	a.asked++
	a.asksBack = newAsksBack()
	if q.Key == "pond.stocking" {
		a.tellVolume()
	}
	if a.s.inIsTTY {
		a.say("")
		a.say(fmt.Sprintf("%d. %s", a.asked, q.Text))
		a.remark(q.Why)
	}
	at := fmt.Sprintf("%d %s", len(a.said), q.Key)
	for before := a.copied(); ; {
		text, err := a.read(cmp.Or(a.empty, a.old[at], q.Default, q.Empty))
		if err != nil {
			return err
		}
		if text == "" {
			text = cmp.Or(a.empty, a.old[at])
			a.sure = a.empty == "" && text != ""
		}
		switch word := strings.ToLower(text); {
		case a.s.inIsTTY && word == "back":
			return errBack
		case a.s.inIsTTY && (word == "?" || word == "help"):
			a.help(q)
			continue
		}
		text = a.completed(text)
		if err = a.take(q, text); err == nil {
			a.said, a.old[at] = append(a.said, text), text
			a.wrote(q, a.answers[len(before.answers):])
			return nil
		}
		if !a.s.inIsTTY { // what was meant still decides which questions follow
			a.answers = a.answers[:len(before.answers)]
			a.note(q, err)
			return nil
		}
		a.dialogue, a.kept = before.copied(), nil // of what was kept the rest may not fit
		for _, f := range data.Faults(err) {
			a.remark(f.Error())
			a.remark(f.Hint)
		}
	}
}

// take keeps the values that an answer stands for.
func (a *asker) take(q question, text string) error {
	text = a.meant(q, text)
	if dontKnow.MatchString(text) {
		if q.Default+q.Empty == "" {
			return &data.Error{Message: "nobody knows it exactly; a rough answer will do", Hint: cmp.Or(q.Unsure, q.Why)}
		}
		text = ""
		a.remark("left at: " + q.Default + q.Empty)
	}
	text = cmp.Or(text, q.Default)
	if q.Units != "" && plainNumber.MatchString(text) {
		number, rather := text, q.rather(text)
		if text += " " + q.unit(); rather == nil {
			a.remark("no unit given: taken as " + text)
		} else if err := a.doubt(number, text, rather); err != nil {
			a.whole = func(unit string) string { return q.withUnit(number, unit) }
			return err
		}
	}
	return a.taken(q, text)
}

// taken keeps the values of an answer that has its unit.
func (a *asker) taken(q question, text string) error {
	switch special := takes[pumpNumber.ReplaceAllString(q.Key, "pump.1.")]; {
	case text == "" && q.Empty == "":
		message := "an answer is needed"
		if a.ended {
			message = "the answers end before this question"
		}
		allowed := strings.TrimSuffix(q.Why, ".")
		if k, ok := plan.KeyNamed(q.Key); ok && k.Kind != "text" {
			allowed = k.Allowed()
		}
		return &data.Error{Message: message, Allowed: allowed}
	case special != nil:
		return special(a, q.Key, text)
	case text != "":
		err := a.set(q.Key, text)
		if k, _ := plan.KeyNamed(q.Key); len(k.Choices) > 0 {
			for _, f := range data.Faults(err) {
				f.Hint = q.Why // what each choice means
			}
		}
		return err
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
	a.answers = append(a.answers, plan.Setting{Key: key, Text: text})
	return nil
}

// read returns the next answer without the space around it; empty is what none stands for.
func (a *asker) read(empty string) (string, error) {
	a.sure = false
	if a.s.inIsTTY {
		bracket := ""
		if empty != "" {
			bracket = "[" + empty + "] "
		}
		_, _ = io.WriteString(a.s.Err, "   "+bracket+"> ")
	}
	if a.ended {
		return "", nil
	}
	if len(a.kept) > 0 {
		text := a.kept[0]
		a.kept, a.sure = a.kept[1:], true
		a.say(text)
		return text, nil
	}
	text, err := a.line()
	switch {
	case errors.Is(err, errStopped):
		a.say("")
		return "", err
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

// line reads a line, or returns errStopped where a person interrupts.
func (a *asker) line() (string, error) {
	if !a.s.inIsTTY {
		return a.in.ReadString('\n')
	}
	type read struct {
		text string
		err  error
	}
	got := make(chan read, 1)
	go func() {
		text, err := a.in.ReadString('\n')
		got <- read{text, err}
	}()
	select {
	case r := <-got:
		return r.text, r.err
	case <-a.stop:
		return "", errStopped
	}
}

// wrote shows the lines of the plan that an answer became.
func (a *asker) wrote(q question, values []plan.Setting) {
	for _, v := range values {
		k, _ := plan.KeyNamed(v.Key)
		line := "   " + k.PlanLine(v.Text)
		if !a.s.inIsTTY {
			line = fmt.Sprintf("%2d. %s %s", a.asked, q.Text, k.PlanLine(v.Text))
		}
		a.say(line)
	}
}

// note keeps the fault of a piped answer: the question is the line.
func (a *asker) note(q question, err error) {
	for _, f := range data.Faults(err) {
		f := *f
		f.File, f.Line, f.Column = "-", a.asked, 0
		f.Key = fmt.Sprintf("question %d, %s", a.asked, q.Key)
		a.faults = append(a.faults, &f)
	}
}

// remark prints text under a question or an answer: as wide as the page for a person, on
// one line where it is piped.
func (a *asker) remark(text string) {
	if a.s.inIsTTY {
		text = wrapAfter(text, 3, a.s.width)
	}
	for line := range strings.Lines(text) {
		a.say("   " + strings.TrimSpace(line))
	}
}

func (a *asker) say(line string) {
	_, _ = io.WriteString(a.s.Err, document.Clean(line)+"\n") // nobody is left to tell where it fails
}
