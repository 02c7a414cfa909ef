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

// TestWriteNewTakesBack: in a folder that is there, what was written before a file
// that cannot be goes again, and everything else stays.
func TestWriteNewTakesBack(t *testing.T) {
	dir := t.TempDir()
	theirs := filepath.Join(dir, "theirs.csv")
	if err := os.WriteFile(theirs, []byte("theirs"), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := writeNew(dir, []newFile{{"a.csv", "a"}, {filepath.Join("no", "b.csv"), "b"}}); err == nil {
		t.Error("a file that cannot be written: no error")
	}
	if got := names(t, dir); len(got) != 1 || got[0] != "theirs.csv" {
		t.Errorf("%q is there", got)
	}
	if err := writeFresh(theirs, []byte("ours"), 0o666); !errors.Is(err, fs.ErrExist) {
		t.Errorf("written over a file: %v", err)
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
