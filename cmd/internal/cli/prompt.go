package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
)

// prompt asks one question after the other on the message stream and reads an
// answer a line. On a terminal a bad answer is asked for again. Answers that are
// piped in keep their place, a line a question: a bad one is noted and the next
// question takes the next line, so that every fault is told at once.
type prompt struct {
	s      *Streams
	in     *bufio.Reader
	asked  int // questions so far
	ended  bool
	faults []error
}

// question is one thing to ask.
type question struct {
	key    string   // of the plan; names the question in messages
	text   string   // the question itself
	why    []string // a line or two on how to find the answer
	empty  string   // what an empty answer stands for; "" where an answer is needed
	answer func(text string) ([]string, error)
	// answer takes what was typed ("" only where empty is not) and returns the
	// lines of the plan that it makes.
}

const longestAnswer = 4096

func newPrompt(s *Streams) *prompt { return &prompt{s: s, in: bufio.NewReader(s.In)} }

// ask puts one question. It reports whether there is an answer to go on with;
// errStopped is for a person who closed the input.
func (p *prompt) ask(q question) (bool, error) {
	p.asked++
	p.show(q)
	for {
		text, err := p.read(q)
		if err != nil {
			return false, err
		}
		if text == "" && q.empty == "" {
			message := "an answer is needed"
			if p.ended {
				message = "the answers end before this question"
			}
			err = &data.Error{Message: message, Allowed: q.allowed()}
		} else {
			var lines []string
			if lines, err = q.answer(text); err == nil {
				p.wrote(q, lines)
				return true, nil
			}
		}
		if !p.s.inIsTTY {
			p.note(q, err)
			return false, nil
		}
		for _, f := range data.Faults(err) {
			p.explain(f.Error())
			p.explain(f.Hint)
		}
	}
}

var errStopped = errors.New("stopped; nothing was written")

// allowed says what an answer looks like.
func (q question) allowed() string {
	if k, ok := plan.KeyNamed(q.key); ok && k.Kind != "text" {
		return k.Allowed()
	}
	return strings.TrimSuffix(strings.Join(q.why, " "), ".")
}

// show prints the question; piped answers need no explanation.
func (p *prompt) show(q question) {
	if !p.s.inIsTTY {
		return
	}
	p.say("")
	p.say(fmt.Sprintf("%d. %s", p.asked, q.text))
	p.explain(strings.Join(q.why, " "))
}

// read returns the next answer without the space around it.
func (p *prompt) read(q question) (string, error) {
	if p.s.inIsTTY {
		bracket := ""
		if q.empty != "" {
			bracket = "[" + q.empty + "] "
		}
		_, _ = io.WriteString(p.s.Err, "   "+bracket+"> ")
	}
	if p.ended {
		return "", nil
	}
	text, err := p.in.ReadString('\n')
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return "", fmt.Errorf("cannot read the answers: %w", err)
	case len(text) > longestAnswer:
		return "", &data.Error{File: "-", Line: p.asked, Message: "the answer is too long", Allowed: "one line for each question"}
	case err != nil && text == "":
		p.ended = true
		if p.s.inIsTTY {
			p.say("")
			return "", errStopped
		}
	}
	return strings.TrimSpace(strings.TrimPrefix(text, "\ufeff")), nil
}

// wrote shows the lines that an answer became.
func (p *prompt) wrote(q question, lines []string) {
	for _, line := range lines {
		if p.s.inIsTTY {
			p.say("   " + line)
		} else {
			p.say(fmt.Sprintf("%2d. %s %s", p.asked, q.text, line))
		}
	}
}

// note keeps the fault of a piped answer: the question is the line.
func (p *prompt) note(q question, err error) {
	for _, f := range data.Faults(err) {
		f := *f
		f.File, f.Line, f.Column = "-", p.asked, 0
		f.Key = fmt.Sprintf("question %d, %s", p.asked, q.key)
		p.faults = append(p.faults, &f)
	}
}

// explain prints text under a question, as wide as the page.
func (p *prompt) explain(text string) {
	if text == "" {
		return
	}
	for _, line := range strings.Split(wrapAfter(text, 3, p.s.width), "\n") {
		p.say("   " + strings.TrimSpace(line))
	}
}

// remark prints a doubt about an answer: as wide as the page for a person, on
// one line where it is piped.
func (p *prompt) remark(text string) {
	if p.s.inIsTTY {
		p.explain(text)
		return
	}
	p.say("   " + text)
}

func (p *prompt) say(line string) {
	_, _ = io.WriteString(p.s.Err, document.Clean(line)+"\n") // nobody is left to tell where it fails
}
