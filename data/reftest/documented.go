package reftest

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// Documented compares text with the part of DEVELOPERS.md between the comments
// <!-- name --> and <!-- end -->: a table there is what a test finds, and a
// change of either shows.
func Documented(t testing.TB, name, text string) {
	t.Helper()
	_, self, _, _ := runtime.Caller(0)
	page, err := os.ReadFile(filepath.Join(filepath.Dir(self), "..", "..", "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(strings.ReplaceAll(string(page), "\r\n", "\n"), "<!-- "+name+" -->\n")
	part, _, closed := strings.Cut(rest, "<!-- end -->")
	if !ok || !closed || strings.TrimSpace(part) != strings.TrimSpace(text) {
		t.Errorf("DEVELOPERS.md between <!-- %s --> and <!-- end --> should be:\n%s", name, text)
	}
}
