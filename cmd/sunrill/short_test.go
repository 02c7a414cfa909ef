package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/txtar"

	"sunrill/cmd/internal/cli"
)

// unknownWords are those that a keeper of a pond does not know, or keys of a plan.
var unknownWords = regexp.MustCompile(`(?i)kind end|simulated years|bares the intake|return's mouth|yardstick|wire to water|\bhead\b|cut-off|reconnect|` +
	`array to load|unmet|pump drive|\bSDR\b|\bMPPT\b|\([a-z_]+(\[\])?\.[a-z_.]+\)|NaN|Inf\b|-0\b`)

// figures are those of a page, thousands apart or not.
var figures = regexp.MustCompile(`\d+(?:[ \x{a0}]\d{3})*(?:\.\d+)?`)

// digitsThatCount returns how many significant digits a figure has.
func digitsThatCount(figure string) int {
	digits := strings.NewReplacer(" ", "", "\u00a0", "").Replace(figure)
	if !strings.Contains(digits, ".") {
		digits = strings.TrimRight(digits, "0")
	}
	return len(strings.TrimLeft(strings.ReplaceAll(digits, ".", ""), "0"))
}

// TestShortAnswers: what "sunrill plan" prints of seven ponds fits a terminal, in words
// and figures that people read; each verdict is the word of JSON, and no sentence says
// otherwise.
func TestShortAnswers(t *testing.T) {
	a, err := txtar.ParseFile(filepath.Join(root, "testdata", "script", "short.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	pages := map[string]string{}
	for _, f := range a.Files {
		if err := os.WriteFile(f.Name, f.Data, 0o666); err != nil {
			t.Fatal(err)
		}
		if name, is := strings.CutSuffix(f.Name, ".txt"); is {
			pages[name] = string(f.Data)
		}
	}
	if len(pages) != 14 {
		t.Fatalf("%d pages", len(pages))
	}
	for name, page := range pages {
		lines := strings.Split(strings.TrimSuffix(page, "\n"), "\n")
		if len(lines) > 24 || len(lines) < 8 {
			t.Errorf("%s: %d lines", name, len(lines))
		}
		for _, line := range lines {
			if n := utf8.RuneCountInString(line); n > 80 {
				t.Errorf("%s: %d columns: %s", name, n, line)
			}
			if word := unknownWords.FindString(line); word != "" {
				t.Errorf("%s says %q: %s", name, word, line)
			}
			for _, f := range figures.FindAllString(line, -1) {
				if digitsThatCount(f) > 3 {
					t.Errorf("%s: %s has more than three digits that count: %s", name, f, line)
				}
			}
		}
		if last := lines[len(lines)-1]; !strings.HasPrefix(last, "MORE ") || !strings.Contains(last, "--all") {
			t.Errorf("%s ends with %s", name, last)
		}
		for _, part := range []string{"\nENOUGH?", "\nDANGER"} {
			if !strings.Contains(page, part) {
				t.Errorf("%s has no part %s", name, part)
			}
		}
		checkVerdicts(t, name, page)
	}
}

// checkVerdicts holds the rows and the first sentence of a page to the verdicts in JSON.
func checkVerdicts(t *testing.T, name, page string) {
	args := []string{"plan", "--format", "json"}
	if base := strings.TrimSuffix(name, "-us"); base != "demo" {
		args = append(args, base+".toml")
	}
	var out, errs bytes.Buffer
	cli.Main(args, strings.NewReader(""), &out, &errs)
	var got struct {
		Chosen *string
		Pumps  []struct {
			Name    string
			Present bool
			Verdict struct{ Word string }
		}
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatalf("%s: %v, %s", name, err, errs.String())
	}
	enough := page[strings.Index(page, "\nENOUGH?"):]
	rows, chosen := 0, ""
	for _, p := range got.Pumps {
		label := p.Name
		if p.Present {
			label += ", yours"
		}
		if got.Chosen != nil && p.Name == *got.Chosen {
			chosen = p.Verdict.Word
		}
		if row := regexp.MustCompile(`(?m)^(?:ENOUGH\?)? +` + regexp.QuoteMeta(label) + ` +(yes|no|probably not|probably|too close to tell)(?: \([^)]* sure\))? +every`).
			FindStringSubmatch(enough); row != nil {
			rows++
			if row[1] != p.Verdict.Word {
				t.Errorf("%s: %s is %q on the page and %q in JSON", name, p.Name, row[1], p.Verdict.Word)
			}
		}
	}
	if rows != min(3, len(got.Pumps)) {
		t.Errorf("%s: %d rows for %d pumps", name, rows, len(got.Pumps))
	}
	decided := slices.ContainsFunc([]string{"Keep ", "Use ", "Buy ", " is enough."}, func(s string) bool { return strings.Contains(page, s) })
	if asItStands := !strings.Contains(page, "Not as it stands"); asItStands && decided != (chosen == "yes" || chosen == "probably") {
		t.Errorf("%s: the choice is %q, and the page says\n%s", name, chosen, page)
	}
}
