package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunrill/cmd/internal/cli"
)

// manual is what the README's fenced blocks hold: files shown with
// "$ cat NAME", and commands with what is printed under them.
type manual struct {
	files    map[string]string
	commands []example
}

type example struct {
	line int
	text string // after "$ "
	want string // the output shown under it, "" where the README shows none
}

func readManual(t *testing.T, text string) manual {
	t.Helper()
	m := manual{files: map[string]string{}}
	inside := false
	into := func(string) {}
	for i, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, "```") {
			inside = !inside
			into = func(string) {}
			continue
		}
		command, ok := strings.CutPrefix(line, "$ ")
		switch {
		case !inside:
		case !ok:
			into(line + "\n")
		case strings.HasPrefix(command, "cat "):
			name := strings.TrimPrefix(command, "cat ")
			into = func(s string) { m.files[name] += s }
		default:
			m.commands = append(m.commands, example{line: i + 1, text: command})
			n := len(m.commands) - 1
			into = func(s string) { m.commands[n].want += s }
		}
	}
	return m
}

// TestManual runs every "$ sunrill" line of the README in a folder that holds
// the files it shows. Each has to answer, and to print what is shown under it.
func TestManual(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	m := readManual(t, string(text))
	if len(m.files) < 2 || len(m.commands) < 5 {
		t.Fatalf("README.md shows %d files and %d commands", len(m.files), len(m.commands))
	}
	t.Chdir(t.TempDir())
	for name, content := range m.files {
		if err := os.WriteFile(name, []byte(content), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	for _, e := range m.commands {
		args := words(t, e)
		var out, errs bytes.Buffer
		if code := cli.Main(args[1:], strings.NewReader(""), &out, &errs); code != 0 {
			t.Errorf("README.md:%d: %s: exit %d\n%s", e.line, e.text, code, errs.String())
		}
		if e.want != "" && out.String() != e.want {
			t.Errorf("README.md:%d: %s prints\n%s\nREADME has\n%s", e.line, e.text, out.String(), e.want)
		}
	}
}

// words splits a command of the manual as every shell would: examples hold
// double quotes or none.
func words(t *testing.T, e example) []string {
	t.Helper()
	var args []string
	var word strings.Builder
	quoted, started := false, false
	for _, r := range e.text + " " {
		switch {
		case r == '"':
			quoted, started = !quoted, true
		case r == ' ' && !quoted:
			if started {
				args = append(args, word.String())
			}
			word.Reset()
			started = false
		case strings.ContainsRune("'`$|><;&*", r) && !quoted:
			t.Fatalf("README.md:%d: %q means something else in another shell", e.line, r)
		default:
			word.WriteRune(r)
			started = true
		}
	}
	if quoted || len(args) == 0 || args[0] != "sunrill" {
		t.Fatalf("README.md:%d: cannot run %q", e.line, e.text)
	}
	return args
}
