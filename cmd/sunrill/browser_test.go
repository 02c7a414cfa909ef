package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sunrill/cmd/internal/cli"
)

// browser returns the command of a headless browser. Without one the test is
// skipped, and fails where CI=true.
func browser(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	const why = "no chromium here: apt-get install chromium"
	if os.Getenv("CI") == "true" {
		t.Fatal(why)
	}
	t.Skip(why)
	return ""
}

// browse runs the browser in a folder of its own and returns what it prints.
func browse(t *testing.T, path string, args ...string) (stdout, stderr string) {
	t.Helper()
	home := t.TempDir()
	args = append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-extensions",
		"--user-data-dir=" + home, "--enable-logging=stderr", "--virtual-time-budget=3000"}, args...)
	cmd := exec.Command(path, args...)
	cmd.Env = append(os.Environ(), "HOME="+home)
	// Processes of the browser outlive it for a moment and hold its pipes.
	cmd.WaitDelay = 10 * time.Second
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v: %v\n%s", args, err, errs.String())
	}
	return out.String(), errs.String()
}

// pageOf writes the page of a command and returns its file.
func pageOf(t *testing.T, folder, name string, args ...string) string {
	t.Helper()
	file := filepath.Join(folder, name+".html")
	var errs bytes.Buffer
	if code := cli.Main(append(args, "--output", file), strings.NewReader(""), &bytes.Buffer{}, &errs); code != 0 {
		t.Fatalf("%v: exit %d: %s", args, code, errs.String())
	}
	return file
}

// widths are a phone, a tablet and a desk. A headless window does not go
// below 500 pixels, so every page is looked at in frames.
var widths = []int{390, 768, 1280}

// looked is what the script below finds in a frame.
type looked struct {
	Page     string
	Width    int
	Client   int
	Scroll   int
	Outside  []string // elements that reach beyond the right edge
	Pictures int
	Fetched  []string
	Scripts  int
	Words    int
	Small    []string // text of pictures under 9 pixels
}

const looker = `<!DOCTYPE html><meta charset="utf-8"><body><pre id="found"></pre>%s<script>
onload = () => {
  const found = [...document.querySelectorAll("iframe")].map(f => {
    const d = f.contentDocument, w = f.contentWindow, root = d.documentElement;
    const name = e => e.tagName + " " + e.textContent.trim().slice(0, 40);
    const seen = e => getComputedStyle(e).clipPath === "none" && !e.closest("caption") && !e.closest(".wide thead");
    const scale = e => e.getScreenCTM ? Math.abs(e.getScreenCTM().a) : 1;
    return {
      Page: f.dataset.page, Width: +f.width, Client: root.clientWidth, Scroll: root.scrollWidth,
      Outside: [...d.body.querySelectorAll("*")].filter(e => seen(e) && e.getBoundingClientRect().right > root.clientWidth + 1).map(name).slice(0, 5),
      Pictures: d.querySelectorAll("svg").length,
      Fetched: w.performance.getEntriesByType("resource").map(e => e.name),
      Scripts: d.scripts.length, Words: d.body.innerText.split(/\s+/).length,
      Small: [...d.querySelectorAll("svg text")].filter(e => parseFloat(getComputedStyle(e).fontSize) * scale(e) < 9).map(name).slice(0, 5),
    };
  });
  document.getElementById("found").textContent = JSON.stringify(found);
};
</script>`

// TestBrowserShowsThePages looks at the pages in frames of three widths: nothing
// reaches beyond the edge, nothing is fetched, no error is said.
func TestBrowserShowsThePages(t *testing.T) {
	chromium := browser(t)
	folder := t.TempDir()
	curve := "pump,flow (L/h),head (m),power (W)\n"
	for _, name := range []string{strings.Repeat("x", 10_000), "<script>alert(1)</script>", "\u202egnp.exe", "=1+1"} {
		curve += name + ",0,2.5,18\n" + name + ",1000,1.9,22\n" + name + ",2000,0.6,25\n"
	}
	odd := filepath.Join(folder, "odd.csv")
	if err := os.WriteFile(odd, []byte(curve), 0o666); err != nil {
		t.Fatal(err)
	}
	pages := map[string]string{
		"odd":     pageOf(t, folder, "odd", "duty", "--curve", odd, "--static-head", "0.9m", "--pipe-bore", "25mm", "--pipe-length", "10m"),
		"balance": pageOf(t, folder, "balance", "balance", "--place", "Upington", "--panel", "60W", "--battery", "300Wh", "--load", "20W"),

		"plan":    pageOf(t, folder, "plan", "plan", "--demo", "--working"),
		"duty":    pageOf(t, folder, "duty", "duty", "--demo"),
		"compare": pageOf(t, folder, "compare", "compare", "--demo"),
		"tables":  pageOf(t, folder, "tables", "tables", "pipes"),
	}
	var frames strings.Builder
	for name, file := range pages {
		for _, w := range widths {
			fmt.Fprintf(&frames, `<iframe data-page=%q width="%d" height="900" src=%q></iframe>`, name, w, filepath.Base(file))
		}
	}
	frame := filepath.Join(folder, "frames.html")
	if err := os.WriteFile(frame, fmt.Appendf(nil, looker, frames.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	dom, said := browse(t, chromium, "--allow-file-access-from-files", "--dump-dom", "file://"+frame)
	for line := range strings.Lines(said) {
		if strings.Contains(line, "CONSOLE") {
			t.Errorf("the browser says %s", line)
		}
	}
	match := regexp.MustCompile(`(?s)<pre id="found">(.*?)</pre>`).FindStringSubmatch(dom)
	if match == nil || match[1] == "" {
		t.Fatalf("the frames were not read:\n%.2000s", dom)
	}
	var found []looked
	if err := json.Unmarshal([]byte(html.UnescapeString(match[1])), &found); err != nil {
		t.Fatal(err)
	}
	if len(found) != len(pages)*len(widths) {
		t.Fatalf("%d frames, want %d", len(found), len(pages)*len(widths))
	}
	least := map[string]int{"odd": 1, "balance": 2, "plan": 7, "duty": 1, "compare": 2, "tables": 0}
	for _, f := range found {
		at := fmt.Sprintf("%s at %d", f.Page, f.Width)
		if f.Client < f.Width-20 || f.Words < 50 {
			t.Errorf("%s: the frame is %d wide and holds %d words", at, f.Client, f.Words)
		}
		if f.Scroll > f.Client || len(f.Outside) > 0 {
			t.Errorf("%s: %d wide in %d; outside are %q", at, f.Scroll, f.Client, f.Outside)
		}
		if f.Scripts > 0 || len(f.Fetched) > 0 {
			t.Errorf("%s: %d scripts, asks for %q", at, f.Scripts, f.Fetched)
		}
		if f.Pictures < least[f.Page] {
			t.Errorf("%s: %d pictures", at, f.Pictures)
		}
		if len(f.Small) > 0 {
			t.Errorf("%s: too small in pictures: %q", at, f.Small)
		}
	}
}

// mostSheets is how many sheets of A4 a plan may take in print: the short
// answer, some ten tables, six pictures, and what was assumed and read.
const mostSheets = 4

func TestBrowserPrintsThePlan(t *testing.T) {
	chromium := browser(t)
	folder := t.TempDir()
	page := pageOf(t, folder, "plan", "plan", "--demo")
	pdf := filepath.Join(folder, "plan.pdf")
	browse(t, chromium, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+page)
	text, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	sheets := len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(text, -1))
	if sheets < 1 || sheets > mostSheets {
		t.Errorf("the plan prints on %d sheets, want 1 to %d", sheets, mostSheets)
	}
	if !slices.ContainsFunc([]string{"/MediaBox [0 0 594", "/MediaBox [0 0 595", "/MediaBox [0 0 596"}, func(a4 string) bool { return bytes.Contains(text, []byte(a4)) }) {
		t.Error("the sheets are not A4")
	}
}
