package data

import (
	"os"
	"path/filepath"
	"testing"
)

// OddFiles returns every odd file met: encodings, delimiters, marks, damage. They
// were met as curves, but whatever a reader expects it may get.
func OddFiles(tb testing.TB) []string {
	tb.Helper()
	names, err := filepath.Glob("testdata/odd/*.csv")
	if err != nil || len(names) == 0 {
		tb.Fatal("no odd files", err)
	}
	var all []string
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			tb.Fatal(err)
		}
		all = append(all, string(text))
	}
	return all
}
