package main

import (
	"bytes"
	"os/exec"
	"strings"
	"testing"
)

// TestFile: it is small, opens with the answer, which needs no script, and its policy lets
// nothing be asked of anybody.
func TestFile(t *testing.T) {
	page, err := generate()
	if err != nil {
		t.Fatal(err)
	}
	if len(page) > 6_000_000 || len(page) < 1_000_000 {
		t.Errorf("%d bytes", len(page))
	}
	answer, script := bytes.Index(page, []byte("<h1 data-slot=\"verdict\"")), bytes.Index(page, []byte("<script"))
	if answer < 0 || script < answer {
		t.Errorf("the answer stands at %d, the first script at %d", answer, script)
	}
	head := string(page[:answer])
	for _, says := range []string{"default-src 'none'", "'wasm-unsafe-eval'; worker-src blob:; connect-src 'none'", "script-src 'sha256-"} {
		if !strings.Contains(head, strings.ReplaceAll(says, "'", "&#39;")) && !strings.Contains(head, says) {
			t.Errorf("its policy lacks %s", says)
		}
	}
	if n := bytes.Count(page, []byte("</script>")); n != 2 {
		t.Errorf("%d scripts end", n)
	}
}

// TestEngineAnswersLines: outside a browser the engine answers the same requests by lines.
func TestEngineAnswersLines(t *testing.T) {
	command := exec.Command("go", "run", "./engine")
	command.Stdin = strings.NewReader("answer {\"n\": 3, \"depth\": \"water\"}\n\nopen {\"files\": {}}")
	out, err := command.Output()
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	if err != nil || len(lines) != 2 || !strings.HasPrefix(lines[0], `{"n":3,"faults":[],"state":"`) || !strings.Contains(lines[1], "is the plan is not clear") {
		t.Errorf("%v: %.300q", err, lines)
	}
}
