package cli

import (
	"errors"
	"syscall"

	"sunrill/cmd/internal/page"
	"sunrill/data"
)

// Exit codes.
const (
	exitAnswered = 0
	exitNoAnswer = 1 // no answer, or a failure
	exitUsage    = 2 // wrong usage or input
)

// usageError is a mistake on the command line that is no fault of one value.
type usageError struct {
	message string
	hint    string
}

func (e *usageError) Error() string { return e.message }

// ranError marks an error that a command returned, so that any other error
// out of cobra is known to be a mistake in usage.
type ranError struct{ err error }

func (e *ranError) Error() string { return e.err.Error() }
func (e *ranError) Unwrap() error { return e.err }

// finish tells the person about err and returns the exit code for it.
func finish(s *Streams, err error) int {
	var none *page.NoAnswer
	var usage *usageError
	var ran *ranError
	var fault *data.Error
	if errors.As(err, &ran) {
		err = ran.err
	}
	switch {
	case err == nil:
		return exitAnswered
	case errors.Is(err, syscall.EPIPE):
		// Whoever reads the page has seen enough of it.
		return exitAnswered
	case errors.As(err, &none):
		s.say("error", none.Why)
		return exitNoAnswer
	case errors.As(err, &usage):
		s.say("error", usage.message)
		if usage.hint != "" {
			s.say("hint", usage.hint)
		}
		return exitUsage
	case errors.As(err, &fault):
		sayFaults(s, err)
		return exitUsage
	case ran != nil:
		s.say("error", err.Error())
		return exitNoAnswer
	}
	sayCobra(s, err)
	return exitUsage
}

// sayFaults prints every fault on a line of its own, and its hint under it; a
// hint that faults in a row share stands under the last of them.
func sayFaults(s *Streams, err error) {
	faults := data.Faults(err)
	for i, f := range faults {
		s.say("error", f.Error())
		last := i == len(faults)-1
		if f.Hint != "" && (last || faults[i+1].Hint != f.Hint) {
			s.say("hint", f.Hint)
		}
	}
}
