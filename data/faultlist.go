package data

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
)

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
