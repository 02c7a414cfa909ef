package document

import "testing"

// TestSentencesGrow: what is said behind a sentence keeps the figures of both, and is
// left out where it does not hold.
func TestSentencesGrow(t *testing.T) {
	s := Sentence("a pump of %v", Power.Of(62.0))
	for _, c := range []struct {
		got  Prose
		want string
	}{
		{s.And(" at 100 %% for %v", Hours.Of(3.0)), "a pump of 62.0 W at 100 % for 3.00 h"},
		{s.When(true, ", %v", "slowed").And("."), "a pump of 62.0 W, slowed."},
		{s.When(false, ", %v", Hours.Of("no hours")).And("."), "a pump of 62.0 W."},
	} {
		if got := c.got.String(); got != c.want || c.got.check() != nil {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
