package data

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"sunrill/data/units"
)

// Error is one fault in something a person wrote: a cell, a key, a flag.
// Line and Column count from 1; 0 means that the fault has no such place.
type Error struct {
	File    string // path as the person gave it, "-" for standard input, "" for a flag
	Line    int    // line in File
	Column  int    // column in that line, in characters
	Key     string // plan key, column heading or flag concerned
	Found   string // the text that was found, as it stands in the file
	Message string // what is wrong, lower case, no full stop
	Allowed string // what is accepted instead, for example "a length such as 0.9 m"
	Hint    string // what to type next, if there is one thing to type
	Err     error  // the cause, if another error says more
}

// Error returns the fault on one line: place, key, message, found, allowed.
func (e *Error) Error() string {
	place, text := e.File, e.Message
	for _, n := range []int{e.Line, e.Column} {
		if n == 0 || e.File == "" {
			break
		}
		place += fmt.Sprintf(":%d", n)
	}
	for _, before := range []string{shortened(e.Key), place} {
		if before != "" {
			text = before + ": " + text
		}
	}
	if e.Found != "" {
		text += fmt.Sprintf(": found %q", shortened(e.Found))
	}
	if e.Allowed != "" {
		text += "; allowed: " + e.Allowed
	}
	return text
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

func shortened(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// Changed returns err with every fault that it holds as change makes a copy of it.
func Changed(err error, change func(*Error) *Error) error {
	faults := Faults(err)
	for i, f := range faults {
		changed := *f
		faults[i] = change(&changed)
	}
	return Joined(faults)
}

// Joined joins faults into one error, nil for none.
func Joined(faults []*Error) error {
	all := make([]error, len(faults))
	for i, f := range faults {
		all[i] = f
	}
	return errors.Join(all...)
}

// Faults returns every *Error held by err, in order, walking joined errors;
// an error of another kind is returned as an Error with its text.
func Faults(err error) (all []*Error) {
	switch e := err.(type) { // the walk itself unwraps
	case nil:
		return nil
	case interface{ Unwrap() []error }:
		for _, inner := range e.Unwrap() {
			all = append(all, Faults(inner)...)
		}
		return all
	}
	var one *Error
	if errors.As(err, &one) {
		return []*Error{one}
	}
	return []*Error{{Message: err.Error(), Err: err}}
}

// Warning is a doubt that does not stop an answer: a value outside a
// correlation's range, a duplicate row, an assumption worth a line.
type Warning struct {
	File    string // where it was read, if it was read
	Line    int
	Column  int        // in that line, in characters, 0 for all of it
	Key     string     // what it is about
	Message units.Text // one sentence, lower case, no full stop
}

// Doubts are the warnings about one answer.
type Doubts []Warning

// Say adds one about key, in the words of format.
func (d *Doubts) Say(key, format string, args ...any) {
	*d = append(*d, Warning{Key: key, Message: units.Say(format, args...)})
}

// String returns the warning on one line.
func (w Warning) String() string {
	e := Error{File: w.File, Line: w.Line, Column: w.Column, Key: w.Key, Message: w.Message.String()}
	return e.Error()
}

// MaxFaults is how many faults of one file are reported; the rest are counted.
const MaxFaults = 20

// TooMany returns the fault of the first item beyond the most that are read.
func TooMany(file string, line, column int, what string, most int) *Error {
	return &Error{File: file, Line: line, Column: column, Message: "too many " + what + "s",
		Found: what + " " + strconv.Itoa(most+1), Allowed: "up to " + strconv.Itoa(most)}
}

// FaultList gathers the faults of one file so that a person sees all at once.
// The zero value is an empty list.
type FaultList struct {
	faults []*Error
	more   int
}

// Add appends one fault.
func (l *FaultList) Add(e *Error) {
	if l.full() {
		l.more++
		return
	}
	l.faults = append(l.faults, e)
}

// full reports whether further faults are only counted.
func (l *FaultList) full() bool { return len(l.faults) >= MaxFaults }

// count returns how many were added.
func (l *FaultList) count() int { return len(l.faults) + l.more }

// Want adds the fault of a figure that is outside its range, unless ok.
func (l *FaultList) Want(ok bool, key string, found any, allowed string) {
	if !ok {
		l.Add(Outside(key, found, allowed))
	}
}

// Outside returns the fault of a figure that is not in its range.
func Outside(key string, found any, allowed string) *Error {
	return &Error{Key: key, Message: "outside the allowed range", Found: fmt.Sprint(found), Allowed: allowed}
}

// Empty reports whether nothing was added.
func (l *FaultList) Empty() bool { return len(l.faults) == 0 }

// Err returns the faults joined in the order of their lines, with a last one
// that counts those beyond twenty; nil if there are none. A fault of a whole
// line stands at its start.
func (l *FaultList) Err() error {
	if l.Empty() {
		return nil
	}
	slices.SortStableFunc(l.faults, func(a, b *Error) int { return cmp.Or(a.Line-b.Line, a.Column-b.Column) })
	all := slices.Clone(l.faults)
	for _, e := range all {
		if e.Line > 0 {
			e.Column = max(1, e.Column)
		}
	}
	if l.more > 0 {
		all = append(all, &Error{File: all[0].File, Message: fmt.Sprintf("and %d more faults", l.more)})
	}
	return Joined(all)
}
