package cli

import (
	"fmt"
	"io"
	"os"
	"strconv"

	"golang.org/x/term"

	"sunrill/cmd/internal/document"
	"sunrill/data/units"
)

// Streams are what a command reads and writes.
//
// Out carries the result and nothing else, so that it can be piped. Err
// carries messages for the person, each a line that opens with
// "sunrill: error:", "sunrill: warning:" or "sunrill: hint:".
type Streams struct {
	In  io.Reader
	Out *result
	Err io.Writer

	width   int          // columns of a page of text on Out
	inIsTTY bool         // a person can answer on In
	running bool         // a command has begun, so that an error is its own
	system  units.System // of the page, in which the reason for no answer is told too
}

// result is standard output, which keeps its first failure: cobra's help has
// no way to return one.
type result struct {
	io.Writer
	failed error
}

// Write writes to standard output.
func (r *result) Write(page []byte) (int, error) {
	n, err := r.Writer.Write(page)
	if err != nil && r.failed == nil {
		r.failed = fmt.Errorf("cannot write standard output: %w", err)
	}
	return n, err
}

const (
	pageWidth  = 80 // of a pipe, and the most that is used of a wide terminal
	leastWidth = 30
)

// newStreams returns the streams with what is known of the terminal behind
// them. COLUMNS, where somebody exports it, is heard before the terminal.
func newStreams(in io.Reader, out, err io.Writer) *Streams {
	s := &Streams{In: in, Out: &result{Writer: out}, Err: err, width: pageWidth}
	if f, ok := in.(*os.File); ok {
		s.inIsTTY = term.IsTerminal(int(f.Fd()))
	}
	width := 0
	if f, ok := out.(*os.File); ok {
		width, _, _ = term.GetSize(int(f.Fd())) // 0 of what is no terminal
	}
	if w, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && w > 0 {
		width = w
	}
	if width > 0 {
		s.width = min(pageWidth, max(leastWidth, width))
	}
	return s
}

// say prints one line to the person.
func (s *Streams) say(kind, message string) {
	// Nobody is left to tell where the error stream itself fails.
	_, _ = io.WriteString(s.Err, "sunrill: "+kind+": "+document.Clean(message)+"\n")
}
