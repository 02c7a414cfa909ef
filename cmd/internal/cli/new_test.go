package cli

import (
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// names returns what a folder holds.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

// TestWriteNewWhole: a folder under folders that are not there either appears
// with all files, and nothing stays beside it.
func TestWriteNewWhole(t *testing.T) {
	base := t.TempDir()
	dir := filepath.Join(base, "garden", "east", "pond")
	if err := writeNew(dir, []newFile{{"a.csv", "a"}, {"b.toml", "b"}}); err != nil {
		t.Fatal(err)
	}
	if got := names(t, dir); len(got) != 2 || got[0] != "a.csv" || got[1] != "b.toml" {
		t.Errorf("%q", got)
	}
	if got := names(t, base); len(got) != 1 {
		t.Errorf("beside it: %q", got)
	}
	if err := writeNew(filepath.Join(base, "garden", "west"), []newFile{{"a.csv", "a"}, {filepath.Join("no", "b"), "b"}}); err == nil {
		t.Error("a file that cannot be written: no error")
	}
	if got := names(t, filepath.Join(base, "garden")); len(got) != 1 {
		t.Errorf("half a folder: %q", got)
	}
}

// TestPlaceEachTakesBack: a file that came up after the look stays as it is,
// and those placed before it go.
func TestPlaceEachTakesBack(t *testing.T) {
	from, to := t.TempDir(), t.TempDir()
	files := []newFile{{"a.csv", "a"}, {"b.csv", "b"}}
	for _, f := range files {
		if err := writeFresh(filepath.Join(from, f.name), f.text); err != nil {
			t.Fatal(err)
		}
	}
	theirs := filepath.Join(to, "b.csv")
	if err := os.WriteFile(theirs, []byte("theirs"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := placeEach(from, to, files); err == nil || !errors.Is(err, fs.ErrExist) {
		t.Errorf("placed over a file: %v", err)
	}
	if got := names(t, to); len(got) != 1 || got[0] != "b.csv" {
		t.Errorf("%q is there", got)
	}
	if text, err := os.ReadFile(theirs); err != nil || string(text) != "theirs" {
		t.Errorf("%q, %v", text, err)
	}
}

// A path that is printed to be typed has to reach the shell as it is.
func TestTypedPathsSurviveTheShell(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no POSIX shell here")
	}
	for _, path := range []string{"mypond", "my pond", "tom's", "a$HOME", "a`b`", `say "so"`, "tom's $1", "a;b & c", "~x", "a*"} {
		out, err := exec.Command(sh, "-c", "printf %s "+typed(path)).Output()
		if err != nil || string(out) != path {
			t.Errorf("%q is printed as %s, which the shell reads as %q (%v)", path, typed(path), out, err)
		}
	}
}
