package browser

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"sunrill/data/plantest"
)

// single opens the file with its own engine, keeps what its workers answer in sent, and
// waits for it to be ready.
func single(t *testing.T, width int64, features ...*emulation.MediaFeature) *tab {
	t.Helper()
	file := os.Getenv("SINGLE")
	if file == "" {
		t.Skip("SINGLE does not name a written file")
	}
	p := open(t, blank, width, 900, features...)
	_, err := chromedp.Call(p, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
		window.sent = []; window.asked = []; window.barred = []; const Real = Worker;
		addEventListener("securitypolicyviolation", e => barred.push(e.violatedDirective + " " + e.blockedURI));
		window.Worker = class extends Real {
			constructor(address) { super(address); this.addEventListener("message", e => { if (e.data.body) sent.push(JSON.parse(e.data.body)); }); }
			postMessage(m) { if (m.what) asked.push(m); super.postMessage(m); }
		};`})
	if err != nil {
		t.Fatal(err)
	}
	p.do(t, chromedp.Navigate("file://"+file))
	ask[chromedp.Void](t, p, verdictScript)
	p.until(t, `!document.getElementById("pick").hidden`)
	if complaint := ask[string](t, p, `document.getElementById("picked").textContent`); complaint != "" {
		t.Fatal(complaint)
	}
	t.Cleanup(func() {
		p.lock.Lock()
		defer p.lock.Unlock()
		for _, url := range p.requests {
			if url != "file://"+file && !strings.HasPrefix(url, "blob:") {
				t.Errorf("it asks for %s", url)
			}
		}
	})
	return p
}

// pick opens the files of a folder and waits for their page or a complaint, which it returns.
func pick(t *testing.T, p *tab, folder string) (complaint string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("%v: no files", err)
	}
	ask[chromedp.Void](t, p, `window.before = document.getElementById("pick"); document.getElementById("picked").textContent = ""`)
	p.do(t, chromedp.SetUploadFiles(chromedp.CSS("#files"), files))
	p.until(t, `document.getElementById("pick") !== before || document.getElementById("picked").textContent !== ""`)
	return ask[string](t, p, `document.getElementById("picked").textContent`)
}

// draw writes a drawn plan with curves and a climate of its own.
func draw(t *testing.T, n uint64) (folder string) {
	t.Helper()
	folder = t.TempDir()
	c := plantest.Draw(rand.New(rand.NewPCG(n, 22)))
	for name, text := range c.Files {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "pond.toml"), []byte(c.Text), 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

// TestSingleFiguresEqualTheCommand: verdict and figures are the command's, for the demo
// and drawn plans; the last digits may differ where a processor multiplies and adds in
// one step.
func TestSingleFiguresEqualTheCommand(t *testing.T) {
	folders := []string{plans(t)}
	for n := range uint64(28) {
		folders = append(folders, draw(t, n))
	}
	p := single(t, 1200)
	figures, taken := 0, 0
	for _, folder := range folders {
		if complaint := pick(t, p, folder); complaint != "" { // a drawn plan may name what no pond has
			sameComplaint(t, folder, complaint)
			continue
		}
		taken++
		ask[chromedp.Void](t, p, `sent = []; asked = []; document.getElementById("back").click()`) // asks for the plan as it is
		p.until(t, `["water", "front"].every(depth => (q => q && sent.some(a => a?.n === q.n))(asked.filter(m => m.what === "answer").map(m =>
			JSON.parse(m.body)).findLast(q => q.depth === depth)))`)
		got := ask[map[string]float64](t, p, `Object.assign({}, ...sent.map(a => a?.values))`)
		if failed := ask[[]string](t, p, `sent.filter(a => a?.error).map(a => a.error)`); len(failed) > 0 || len(got) < 50 {
			t.Errorf("%s: %d figures, %q", folder, len(got), failed)
		}
		command := exec.Command(sunrill(t), "plan", "pond.toml", "--format", "json")
		command.Dir = folder
		out, _ := command.Output() // no answer is one too
		var whole any
		if err := json.Unmarshal(out, &whole); err != nil {
			t.Fatalf("%s: %v", folder, err)
		}
		for path, v := range got {
			if want, is := figure(whole, path); !is || math.Abs(v-want) > 1e-9*max(1, math.Abs(want)) {
				t.Errorf("%s: %s is %v, the command has %v", folder, path, v, want)
			}
		}
		figures += len(got)
		written := filepath.Join(t.TempDir(), "page.html")
		command = exec.Command(sunrill(t), "plan", "pond.toml", "--output", written)
		command.Dir = folder
		_ = command.Run()
		text, err := os.ReadFile(written)
		if err != nil {
			t.Fatal(err)
		}
		want := ask[string](t, p, `(s => new DOMParser().parseFromString(s, "text/html").querySelector("[data-slot=verdict]").textContent.replace(/\s+/g, " ").trim())(`+
			strconv.Quote(between(string(text), "<h1 data-slot", "</h1>"))+`)`)
		if now := ask[string](t, p, `verdict()`); now != want || want == "" {
			t.Errorf("%s: its verdict is %q, the command's %q", folder, now, want)
		}
	}
	t.Logf("%d plans of %d drawn, %d figures", taken, len(folders), figures)
	if taken < 20 {
		t.Errorf("only %d plans were compared", taken)
	}
}

func between(s, from, to string) string {
	i := strings.Index(s, from)
	if i < 0 {
		return ""
	}
	rest, _, _ := strings.Cut(s[i:], to)
	return rest + to
}

// TestSingleSaves: what is downloaded has the change and every comment, and the page is
// then of that plan.
func TestSingleSaves(t *testing.T) {
	folder, downloads := plans(t), t.TempDir()
	p := single(t, 1200)
	if ask[bool](t, p, `document.getElementById("save") !== null`) {
		t.Error("the demo can be saved")
	}
	pick(t, p, folder)
	_, err := chromedp.Call(p, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: downloads})
	if err != nil {
		t.Fatal(err)
	}
	move(t, p, "lift.static_head", 12)
	shown := ask[string](t, p, `document.querySelector("[data-key='lift.static_head'] output").textContent`)
	p.do(t, chromedp.Click(chromedp.CSS("#save")))
	p.until(t, `!!document.getElementById("changes")?.textContent.startsWith("Saved as")`)
	if now := ask[string](t, p, `document.querySelector("[data-key='lift.static_head'] output").textContent`); now != shown {
		t.Errorf("it shows %q, was saved as %q", now, shown)
	}
	var after []byte
	for start := time.Now(); len(after) == 0 && time.Since(start) < 10*time.Second; time.Sleep(50 * time.Millisecond) {
		after, _ = os.ReadFile(filepath.Join(downloads, "pond.toml"))
	}
	before, err := os.ReadFile(filepath.Join(folder, "pond.toml"))
	if want := strings.Replace(string(before), `"1.05 m"`, strconv.Quote(shown), 1); err != nil || string(after) != want || want == string(before) {
		t.Errorf("%v: it holds\n%s", err, after)
	}
	if err := os.WriteFile(filepath.Join(folder, "pond.toml"), after, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(sunrill(t), "plan", folder).CombinedOutput(); err != nil {
		t.Errorf("the command does not read it: %v\n%s", err, out)
	}
}

// TestSingleWrongFiles: the command's message is shown with its line and column, and what
// was shown stays.
func TestSingleWrongFiles(t *testing.T) {
	p := single(t, 400)
	before := ask[string](t, p, `verdict()`)
	for _, wrong := range []func(folder string) (name, text string){
		func(folder string) (string, string) {
			raw, err := os.ReadFile(filepath.Join(folder, "pond.toml"))
			if err != nil {
				t.Fatal(err)
			}
			return "pond.toml", strings.Replace(string(raw), `"1.05 m"`, `"1.05 mm of"`, 1)
		},
		func(folder string) (string, string) { return curveOf(t, folder), "flow_lph,head_m\n100,much\n" },
	} {
		folder := plans(t)
		name, text := wrong(folder)
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		complaint := pick(t, p, folder)
		sameComplaint(t, folder, complaint)
		if !placed.MatchString(complaint) {
			t.Errorf("it says not where: %q", complaint)
		}
		if now := ask[string](t, p, `verdict()`); now != before {
			t.Errorf("%s: it shows %q", name, now)
		}
	}
	if wide := ask[int](t, p, `document.documentElement.scrollWidth`); wide > 400 {
		t.Errorf("with a complaint it is %d pixels wide", wide)
	}
}

// placed matches where a fault stands.
var placed = regexp.MustCompile(`^[a-z_]+\.(toml|csv):[0-9]+:[0-9]+: `)

// sameComplaint wants the words of the command about the same files.
func sameComplaint(t *testing.T, folder, complaint string) {
	t.Helper()
	command := exec.Command(sunrill(t), "plan", "pond.toml")
	command.Dir = folder
	out, err := command.CombinedOutput()
	if err == nil {
		t.Errorf("it says %q of what the command takes", complaint)
	}
	for line := range strings.Lines(complaint) {
		if !strings.Contains(string(out), strings.TrimSpace(line)) {
			t.Errorf("it says %q, the command\n%s", line, out)
		}
	}
}

// curveOf returns the name of a file with a curve.
func curveOf(t *testing.T, folder string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, "pond.toml"))
	if err != nil {
		t.Fatal(err)
	}
	_, rest, is := strings.Cut(string(text), "curve = \"")
	name, _, _ := strings.Cut(rest, `"`)
	if !is {
		t.Fatal("the demo names no curve")
	}
	return name
}

// TestSingleLooks: light and dark, on a phone and a desk, nothing scrolls sideways, the
// accessibility check finds nothing, keys alone change it, and it asks nobody for anything.
func TestSingleLooks(t *testing.T) {
	for _, width := range []int64{400, 1200} {
		for _, scheme := range []string{"light", "dark"} {
			p := single(t, width, &emulation.MediaFeature{Name: "prefers-color-scheme", Value: scheme})
			at := `document.activeElement.closest(".control")?.dataset.key || document.activeElement.id`
			keys := []string{}
			for range 80 {
				p.do(t, chromedp.KeyEvent(kb.Tab))
				keys = append(keys, ask[string](t, p, at))
				if keys[len(keys)-1] == "lift.static_head" {
					break
				}
			}
			if !slices.Contains(keys, "files") || !slices.Contains(keys, "lift.static_head") {
				t.Fatalf("the keyboard reaches %q", keys)
			}
			before := ask[string](t, p, `document.querySelector("[data-slot=tile-water]").innerHTML`)
			for range 12 {
				p.do(t, chromedp.KeyEvent(kb.ArrowRight))
			}
			p.until(t, `document.querySelector("[data-slot=tile-water]").innerHTML !== `+strconv.Quote(before))
			p.until(t, settled)
			if wide := ask[int](t, p, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("%d pixels too wide", wide)
			}
			ask[chromedp.Void](t, p, axe+";null")
			for _, found := range ask[[]string](t, p, `axe.run().then(r => r.violations.map(v => v.id + ": " +
				v.nodes.slice(0, 3).map(n => n.html.slice(0, 120) + " " + n.failureSummary).join(" | ")))`) {
				t.Errorf("%d %s: %s", width, scheme, found)
			}
			if barred := ask[[]string](t, p, `barred`); len(barred) > 0 {
				t.Errorf("its policy barred %q", barred)
			}
			shoot(t, p, fmt.Sprint("single-", width, "-", scheme))
			ask[chromedp.Void](t, p, `fetch("https://example.org/").catch(() => null)`)
			p.until(t, `barred.some(s => s.startsWith("connect-src"))`) // the policy does bar
			p.lock.Lock()
			p.said = slices.DeleteFunc(p.said, func(s string) bool { return strings.Contains(s, "example.org") || strings.Contains(s, "Fetch API") })
			p.lock.Unlock()
		}
	}
}

// TestSingleSpeed reports how long the engine takes to be ready and a move to be painted.
func TestSingleSpeed(t *testing.T) {
	load, _ := os.ReadFile("/proc/loadavg")
	p := single(t, 1200)
	info, err := os.Stat(os.Getenv("SINGLE"))
	if err != nil || info.Size() > 6_000_000 {
		t.Errorf("%v: %d bytes", err, info.Size())
	}
	t.Logf("%d bytes; ready %.0f ms after it was opened; load %.14s", info.Size(), ask[float64](t, p, `performance.getEntriesByName("engine")[0].startTime`), load)
	ask[chromedp.Void](t, p, `window.moved = (key, at, depth) => new Promise(done => {
		const start = performance.now(), from = asked.length;
		sent = [];
		const look = () => {
			const mine = asked.slice(from).filter(m => m.what === "answer").map(m => JSON.parse(m.body)).filter(q => q.depth === depth).at(-1);
			const answer = mine && sent.find(a => a?.n === mine.n);
			if (answer) requestAnimationFrame(() => setTimeout(() => done(performance.now() - start))); else setTimeout(look, 1);
		};
		const i = document.getElementById("c-" + key); i.value = at; i.dispatchEvent(new Event("input", { bubbles: true })); look();
	})`)
	waits := map[string]float64{"water": 0, "sun": 120}
	for _, depth := range []string{"water", "sun"} {
		var all []float64
		for at := range 10 {
			all = append(all, ask[float64](t, p, fmt.Sprintf(`moved("lift.static_head", %d, %q)`, 1+at, depth))-waits[depth])
			p.until(t, settled)
			time.Sleep(150 * time.Millisecond)
		}
		slices.Sort(all)
		t.Logf("%s: least %.0f ms, middle %.0f ms, most %.0f ms after the move, the wait of %.0f ms apart", depth, all[0], all[len(all)/2],
			all[len(all)-1], waits[depth])
	}
}
