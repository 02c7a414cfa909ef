package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/cmd/internal/cli"
)

// TestGenerate makes everything twice: each command has a page with its flags and
// examples, and the bytes are the same.
func TestGenerate(t *testing.T) {
	first, second := t.TempDir(), t.TempDir()
	for _, dir := range []string{first, second} {
		if err := generate(dir); err != nil {
			t.Fatal(err)
		}
	}
	read := func(dir string, path ...string) string {
		text, err := os.ReadFile(filepath.Join(append([]string{dir}, path...)...))
		if err != nil {
			t.Error(err)
		}
		return string(text)
	}
	pages := 0
	for _, c := range cli.Command().Commands() {
		if !c.IsAvailableCommand() {
			continue
		}
		pages++
		name := "sunrill-" + c.Name() + ".1"
		page := read(first, "man1", name)
		if !strings.Contains(page, c.Short) || c.HasAvailableLocalFlags() && !strings.Contains(page, ".SH OPTIONS") || c.HasExample() && !strings.Contains(page, ".SH EXAMPLE") {
			t.Errorf("%s lacks what the command says", name)
		}
		if page != read(second, "man1", name) {
			t.Errorf("%s differs between two runs", name)
		}
	}
	if pages < 10 {
		t.Errorf("%d pages", pages)
	}
	for _, name := range []string{"sunrill.bash", "_sunrill", "sunrill.fish", "sunrill.ps1"} {
		script := read(first, "completions", name)
		if !strings.Contains(script, "sunrill") || script != read(second, "completions", name) {
			t.Errorf("%s is empty or differs between two runs", name)
		}
	}
	if bash, err := exec.LookPath("bash"); err == nil {
		if out, err := exec.Command(bash, "-n", filepath.Join(first, "completions", "sunrill.bash")).CombinedOutput(); err != nil {
			t.Errorf("the completion of bash: %v\n%s", err, out)
		}
	}
}
