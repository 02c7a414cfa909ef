package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sunrill/cmd/internal/cli"
)

// UPDATE_README=1 go test ./cmd/sunrill -run TestManual renews the outputs that the
// README shows.

// manual is what the README's fenced blocks hold: files shown with
// "$ cat NAME", and commands with what is printed under them.
type manual struct {
	lines    []string
	files    map[string]string
	commands []example
}

type example struct {
	line int    // of the command, from 1
	text string // after "$ "
	want string // the output shown under it, "" where the README shows none
}

func readManual(t *testing.T) manual {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	m := manual{lines: strings.Split(string(text), "\n"), files: map[string]string{}}
	inside := false
	into := func(string) {}
	for i, line := range m.lines {
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

// shown is out as far as the README shows it: whole, or where its last line is
// "...", as many paragraphs as stand before that.
func (e example) shown(out string) string {
	const more = "...\n"
	head, cut := strings.CutSuffix(e.want, more)
	if !cut {
		return out
	}
	n := strings.Count(strings.TrimRight(head, "\n"), "\n\n") + 1
	parts := strings.SplitAfter(out, "\n\n")
	return strings.TrimRight(strings.Join(parts[:min(n, len(parts))], ""), "\n") + "\n" + more
}

// TestManual runs every "$ sunrill" line of the README in a folder that holds
// the files it shows. Each has to answer, and to print what is shown under it.
func TestManual(t *testing.T) {
	m := readManual(t)
	if len(m.files) < 3 || len(m.commands) < 10 {
		t.Fatalf("README.md shows %d files and %d commands", len(m.files), len(m.commands))
	}
	readme, err := filepath.Abs(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("COLUMNS", "")
	t.Chdir(t.TempDir())
	for name, content := range m.files {
		if err := os.WriteFile(name, []byte(content), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	shows := 0
	for i, e := range m.commands {
		args := words(t, e)
		var out, errs bytes.Buffer
		if code := cli.Main(args[1:], strings.NewReader(""), &out, &errs); code != 0 {
			t.Errorf("README.md:%d: %s: exit %d\n%s", e.line, e.text, code, errs.String())
		}
		if e.want == "" {
			continue
		}
		shows++
		got := e.shown(out.String())
		m.commands[i].want = got
		if got != e.want && os.Getenv("UPDATE_README") == "" {
			t.Errorf("README.md:%d: %s prints\n%s\nREADME has\n%s\nUPDATE_README=1 renews it", e.line, e.text, got, e.want)
		}
	}
	if shows < 3 {
		t.Errorf("README.md shows the output of %d commands", shows)
	}
	if os.Getenv("UPDATE_README") != "" {
		m.renew(t, readme)
	}
}

// renew writes the README with the outputs of m's commands as they are now.
func (m manual) renew(t *testing.T, path string) {
	t.Helper()
	for _, e := range slices.Backward(m.commands) {
		if e.want == "" {
			continue
		}
		end := e.line + slices.Index(m.lines[e.line:], "```")
		// The next command in the block ends the output of this one.
		if next := slices.IndexFunc(m.lines[e.line:end], func(s string) bool { return strings.HasPrefix(s, "$ ") }); next >= 0 {
			end = e.line + next
		}
		m.lines = slices.Replace(m.lines, e.line, end, strings.Split(strings.TrimSuffix(e.want, "\n"), "\n")...)
	}
	if err := os.WriteFile(path, []byte(strings.Join(m.lines, "\n")), 0o666); err != nil {
		t.Fatal(err)
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
