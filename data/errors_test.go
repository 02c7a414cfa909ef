package data

import (
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestChangedTakesEveryFault, those inside other errors too, and leaves err itself as
// it was; of no error there is none.
func TestChangedTakesEveryFault(t *testing.T) {
	first, second := &Error{Key: "lift"}, &Error{Key: "feed", Line: 3}
	err := errors.Join(first, fmt.Errorf("of the line: %w", second))
	var keys []string
	for _, f := range Faults(Changed(err, func(f *Error) *Error {
		f.Key = "plan." + f.Key
		return f
	})) {
		keys = append(keys, f.Key)
	}
	if diff := cmp.Diff([]string{"plan.lift", "plan.feed"}, keys); diff != "" || first.Key != "lift" {
		t.Errorf("%s; the first is %q now", diff, first.Key)
	}
	if err := Changed(nil, func(f *Error) *Error { return f }); err != nil {
		t.Errorf("no error became %v", err)
	}
}
