// Package browser drives the built command through its page in a real browser.
package browser

import (
	"bufio"
	"context"
	_ "embed"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// axe looks for what keeps people out of a page.
//
//go:embed axe/axe.min.js
var axe string

// sunrill is the built command.
func sunrill(t *testing.T) string {
	t.Helper()
	path := os.Getenv("SUNRILL")
	if path == "" {
		t.Skip("SUNRILL does not name a built command")
	}
	return path
}

// plans writes the files of the demo as a plan of its own.
func plans(t *testing.T) (folder string) {
	t.Helper()
	folder = t.TempDir()
	demo := filepath.Join("..", "..", "data", "demo")
	files, err := os.ReadDir(demo)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		text, err := os.ReadFile(filepath.Join(demo, f.Name()))
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, f.Name()), text, 0o600)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// serve starts the command on a plan and returns its address.
func serve(t *testing.T, args ...string) string {
	t.Helper()
	cmd := exec.Command(sunrill(t), append([]string{"try", "--no-browser"}, args...)...)
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = cmd.Process.Signal(os.Interrupt)
		if err := cmd.Wait(); err != nil {
			t.Errorf("interrupted, it ends with %v", err)
		}
	})
	address, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(address)
}

// blank is a page before another is opened in its place, whose requests are looked at there.
const blank = "about:blank"

const verdictScript = `globalThis.verdict = () => document.querySelector("[data-slot=verdict]").innerText.replace(/\s+/g, " ").trim(); null`

// tab is an open page and what it said and asked for.
type tab struct {
	context.Context
	lock     sync.Mutex
	said     []string
	requests []string
}

// open shows an address in a window of its own.
func open(t *testing.T, address string, width, height int64, features ...*emulation.MediaFeature) *tab {
	t.Helper()
	options := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]), chromedp.NoSandbox, chromedp.Flag("disable-dev-shm-usage", true),
		chromedp.UserDataDir(t.TempDir()))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	p := &tab{}
	note := func(list *[]string, s string) {
		p.lock.Lock()
		defer p.lock.Unlock()
		*list = append(*list, s)
	}
	err := chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *runtime.EventExceptionThrown:
			note(&p.said, e.ExceptionDetails.Text)
		case *runtime.EventConsoleAPICalled:
			note(&p.said, string(e.Type))
		case *log.EventEntryAdded:
			note(&p.said, e.Entry.Text+" "+e.Entry.URL)
		case *network.EventRequestWillBeSent:
			note(&p.requests, e.Request.URL)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	p.Context, stop = context.WithTimeout(ctx, 20*time.Minute) // only now: it would end the browser
	t.Cleanup(stop)
	_, err = chromedp.Call(p, network.Enable, network.EnableParams{})
	if err == nil {
		_, err = chromedp.Call(p, log.Enable, cdp.Empty{})
	}
	if err == nil {
		_, err = chromedp.Call(p, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features})
	}
	if err != nil {
		t.Fatal(err)
	}
	p.do(t, chromedp.EmulateViewport(width, height), chromedp.Navigate(address))
	ask[chromedp.Void](t, p, verdictScript)
	t.Cleanup(func() {
		p.lock.Lock()
		defer p.lock.Unlock()
		if len(p.said) > 0 {
			t.Errorf("the console has %q", p.said)
		}
		for _, url := range p.requests {
			if !strings.HasPrefix(url, strings.TrimSuffix(address, "/")) && !strings.HasSuffix(url, "/favicon.ico") && address != blank && !strings.HasPrefix(url, "data:") {
				t.Errorf("it asks for %s", url)
			}
		}
	})
	return p
}

func (p *tab) do(t *testing.T, actions ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(p, actions...); err != nil {
		t.Fatal(err)
	}
}

// ask runs a script on the page.
func ask[T any](t *testing.T, p *tab, script string) T {
	t.Helper()
	v, err := chromedp.Run(p, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%v: %.300s", err, script)
	}
	return v
}

// until waits for a script to be true.
func (p *tab) until(t *testing.T, script string) {
	t.Helper()
	for start := time.Now(); !ask[bool](t, p, script); time.Sleep(10 * time.Millisecond) {
		if time.Since(start) > time.Minute {
			t.Fatalf("%s is not so", script)
		}
	}
}

// settled is true once nothing waits for an answer.
const settled = `!document.querySelector(".pending")`

var dark = &emulation.MediaFeature{Name: "prefers-color-scheme", Value: "dark"}

// TestLooks: at the widths of a phone and a desk, light and dark, nothing scrolls sideways
// and the accessibility check finds nothing, before and after a change.
func TestLooks(t *testing.T) {
	address := serve(t, plans(t))
	for _, width := range []int64{400, 1200} {
		for _, scheme := range []string{"light", "dark"} {
			t.Run(fmt.Sprint(width, scheme), func(t *testing.T) {
				p := open(t, address, width, 900, &emulation.MediaFeature{Name: "prefers-color-scheme", Value: scheme})
				check := func(when string) {
					if wide := ask[int](t, p, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
						t.Errorf("%s: %d pixels too wide", when, wide)
					}
					ask[chromedp.Void](t, p, axe+";null")
					for _, found := range ask[[]string](t, p, `axe.run().then(r => r.violations.map(v => v.id + ": " +
						v.nodes.slice(0, 3).map(n => n.html.slice(0, 120) + " " + n.failureSummary).join(" | ")))`) {
						t.Errorf("%s: %s", when, found)
					}
				}
				check("at first")
				move(t, p, "lift.static_head", 12)
				p.until(t, settled)
				check("changed")
				shoot(t, p, fmt.Sprint(width, "-", scheme))
				ask[chromedp.Void](t, p, `document.querySelectorAll("details").forEach(d => d.open = true)`)
				check("unfolded")
			})
		}
	}
}

// shoot keeps a picture of the page where SHOTS names a folder.
func shoot(t *testing.T, p *tab, name string) {
	t.Helper()
	folder := os.Getenv("SHOTS")
	if folder == "" {
		return
	}
	whole, err := chromedp.Run(p, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, name+".png"), whole, 0o600); err != nil {
		t.Fatal(err)
	}
}

// move sets a slider as a hand does.
func move(t *testing.T, p *tab, key string, at int) {
	t.Helper()
	ask[chromedp.Void](t, p, fmt.Sprintf(`(() => { const i = document.getElementById("c-" + %q); i.value = %d; i.dispatchEvent(new Event("input", { bubbles: true })); })()`, key, at))
}

// TestPhone: as a page to send, at most nine screens of a phone, safety before tables.
func TestPhone(t *testing.T) {
	file := filepath.Join(t.TempDir(), "page.html")
	if out, err := exec.Command(sunrill(t), "plan", "--demo", "--output", file).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	info, err := os.Stat(file)
	if err != nil || info.Size() > 200_000 {
		t.Errorf("%v, %d bytes", err, info.Size())
	}
	p := open(t, "file://"+file, 400, 900, dark)
	screens := ask[float64](t, p, `document.documentElement.scrollHeight / 900`)
	t.Logf("%.1f screens, %d bytes; words before the first picture: %d", screens, info.Size(),
		ask[int](t, p, `(() => { const r = document.createRange(); r.setStart(document.body, 0); r.setEndBefore(document.querySelector("figure")); return r.toString().split(/\s+/).length })()`))
	if screens > 9 {
		t.Errorf("%.1f screens", screens)
	}
	if !ask[bool](t, p, `document.querySelector(".take-care").compareDocumentPosition(document.querySelector(".folds")) === 4`) {
		t.Error("safety stands behind the tables")
	}
	if ask[int](t, p, `document.documentElement.scrollWidth`) > 400 {
		t.Error("it scrolls sideways")
	}
	p.do(t, chromedp.Focus(chromedp.CSS(".folds summary")), chromedp.KeyEvent(kb.Enter))
	if !ask[bool](t, p, `document.querySelector(".folds details").open`) {
		t.Error("the keyboard opens no fold")
	}
	if ask[bool](t, p, `document.querySelector("input, button, script") !== null`) {
		t.Error("a page without an engine has what it would take one for")
	}
	shoot(t, p, "static-400-dark")
}

// TestKeyboardMovesAndHears: by keys alone a slider moves, and the verdict is said once,
// after the last move; "put back" and "put all back" bring the plan back.
func TestKeyboardMovesAndHears(t *testing.T) {
	p := open(t, serve(t, plans(t)), 1200, 900, &emulation.MediaFeature{Name: "prefers-reduced-motion", Value: "reduce"})
	ask[chromedp.Void](t, p, `window.heard = []; new MutationObserver(() => heard.push(document.getElementById("said").textContent)).observe(
		document.getElementById("said"), { childList: true, characterData: true, subtree: true })`)
	if n := ask[int](t, p, `[...document.querySelectorAll("*")].filter(e => (s => s.transitionDuration !== "0s" || s.animationName !== "none")(
		getComputedStyle(e))).length`); n > 0 {
		t.Errorf("with reduced motion %d elements move", n)
	}
	at := `document.activeElement.closest(".control")?.dataset.key`
	for i := 0; ask[string](t, p, at+` || ""`) != "lift.static_head"; i++ {
		if i > 60 {
			t.Fatal("the keyboard does not reach the lift")
		}
		p.do(t, chromedp.KeyEvent(kb.Tab))
	}
	before := ask[string](t, p, `verdict()`)
	for range 12 {
		p.do(t, chromedp.KeyEvent(kb.ArrowRight))
	}
	p.until(t, `heard.length > 0`)
	p.until(t, settled)
	time.Sleep(time.Second)
	verdict := ask[string](t, p, `verdict()`)
	if heard := ask[[]string](t, p, `heard`); len(heard) != 1 || heard[0] != verdict || verdict == before {
		t.Errorf("heard %q, the verdict was %q and is %q", heard, before, verdict)
	}
	if text := ask[string](t, p, `document.activeElement.getAttribute("aria-valuetext")`); !strings.HasSuffix(text, " m") {
		t.Errorf("the slider says %q", text)
	}
	p.do(t, chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter)) // put back
	p.until(t, `verdict() === `+strconv.Quote(before))
	if !ask[bool](t, p, `document.getElementById("tray").hidden && document.activeElement.id === "c-lift.static_head"`) {
		t.Error("something is still changed, or the keyboard has lost its place")
	}
	p.do(t, chromedp.KeyEvent(kb.ArrowLeft))
	p.until(t, `!document.getElementById("tray").hidden`)
	p.do(t, chromedp.Focus(chromedp.CSS("#back")), chromedp.KeyEvent(kb.Enter))
	p.until(t, `document.getElementById("tray").hidden && verdict() === `+strconv.Quote(before))
}

// TestFiguresEqualTheCommand: after each of twenty random moves the figures are those of
// the command with the same settings, and the page shows them.
func TestFiguresEqualTheCommand(t *testing.T) {
	folder := plans(t)
	p := open(t, serve(t, folder), 1200, 900)
	ask[chromedp.Void](t, p, `window.sent = []; const real = fetch; window.fetch = async (what, how) => { const r = await real(what, how);
		const answer = await r.clone().json(); sent.push({ asked: JSON.parse(how.body), answer }); return r; }`)
	type setting struct {
		Key  string
		Sets [][][2]string
		At   int
	}
	controls := ask[[]setting](t, p, `[...document.querySelectorAll("div.control:not(.picker)")].map(e => ({ Key: e.dataset.key,
		Sets: JSON.parse(e.dataset.sets), At: +e.dataset.at }))`)
	r := rand.New(rand.NewPCG(4, 2))
	for n := range 20 {
		c := controls[r.IntN(len(controls))]
		at := r.IntN(len(c.Sets))
		ask[chromedp.Void](t, p, `sent = []`)
		move(t, p, c.Key, at)
		p.until(t, `sent.some(s => s.asked.depth === "front") && sent.some(s => s.asked.depth === "water")`)
		for _, depth := range []string{"water", "front"} {
			type exchange struct {
				Asked  struct{ Set [][2]string }
				Answer struct {
					Faults []struct{ Key, Message string }
					Values map[string]float64
				}
			}
			got := ask[exchange](t, p, `(s => ({ Asked: { Set: s.asked.set }, Answer: { Faults: s.answer.faults, Values: s.answer.values } }))(
				sent.findLast(s => s.asked.depth === "`+depth+`"))`)
			args := []string{"plan", folder, "--format", "json"}
			for _, s := range got.Asked.Set {
				args = append(args, "--set", s[0]+"="+s[1])
			}
			out, err := exec.Command(sunrill(t), args...).Output()
			if len(got.Answer.Faults) > 0 {
				if err == nil {
					t.Errorf("move %d, %v: refused with %v", n, args[3:], got.Answer.Faults)
				}
				continue
			}
			var whole any
			if err := json.Unmarshal(out, &whole); err != nil {
				t.Fatalf("%v: %v", args, err)
			}
			if len(got.Answer.Values) < 300 {
				t.Errorf("move %d: %d figures", n, len(got.Answer.Values))
			}
			for path, v := range got.Answer.Values {
				if want, is := figure(whole, path); !is || math.Abs(v-want) > 1e-9*max(1, math.Abs(want)) {
					t.Errorf("move %d, %v, %s: %s is %v, the command has %v", n, args[3:], depth, path, v, want)
					break
				}
			}
		}
	}
}

// figure returns the number at a path, items of lists counted from 1.
func figure(v any, path string) (float64, bool) {
	for part := range strings.SplitSeq(path, ".") {
		switch at := v.(type) {
		case map[string]any:
			v = at[part]
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i < 1 || i > len(at) {
				return 0, false
			}
			v = at[i-1]
		}
	}
	number, is := v.(float64)
	return number, is
}

// TestSavesAndReadsBack: what is saved is in the plan, with its comments, and the page is
// then of that plan; a file that somebody else has changed is left alone.
func TestSavesAndReadsBack(t *testing.T) {
	folder := plans(t)
	file := filepath.Join(folder, "pond.toml")
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	p := open(t, serve(t, folder), 1200, 900)
	move(t, p, "lift.static_head", 12)
	shown := ask[string](t, p, `document.querySelector("[data-key='lift.static_head'] output").textContent`)
	p.do(t, chromedp.Click(chromedp.CSS("#save")))
	p.until(t, `!!document.getElementById("changes")?.textContent.startsWith("Saved into")`)
	after, err := os.ReadFile(file)
	want := strings.Replace(string(before), `"1.05 m"`, strconv.Quote(shown), 1)
	if err != nil || string(after) != want || want == string(before) {
		t.Errorf("%v: it holds\n%s", err, after)
	}
	if now := ask[string](t, p, `document.querySelector("[data-key='lift.static_head'] output").textContent`); now != shown {
		t.Errorf("it shows %q, was saved as %q", now, shown)
	}
	if err := os.WriteFile(file, append(after, "# mine\n"...), 0o600); err != nil {
		t.Fatal(err)
	}
	move(t, p, "lift.static_head", 3)
	p.do(t, chromedp.Click(chromedp.CSS("#save")))
	p.until(t, `!!document.querySelector("#tray .fault")?.textContent.includes("changed")`)
	if now, err := os.ReadFile(file); err != nil || string(now) != string(after)+"# mine\n" {
		t.Errorf("%v: a changed file was written over", err)
	}
	p.lock.Lock()
	p.said = slices.DeleteFunc(p.said, func(s string) bool { return strings.Contains(s, "409") }) // the browser tells every such answer
	p.lock.Unlock()
}

// TestWrongValuesStandBesideTheirControl: the last good answer stays.
func TestWrongValuesStandBesideTheirControl(t *testing.T) {
	p := open(t, serve(t, plans(t)), 1200, 900)
	before := ask[string](t, p, `verdict()`)
	ask[chromedp.Void](t, p, `(() => { const real = fetch; window.fetch = (what, how) => real(what, { ...how, body: how.body.replace(/"([0-9.]+) m"/, '"900 m"') }) })()`)
	move(t, p, "lift.static_head", 12)
	p.until(t, `!!document.querySelector("[data-key='lift.static_head'] .fault")?.textContent.includes("900 m")`)
	if now := ask[string](t, p, `verdict()`); now != before {
		t.Errorf("the verdict became %q", now)
	}
}

// TestWithoutMains: where the sun decides, the page shows what it did until that is known again, and
// then what a page of that plan opens with; it is heard once.
func TestWithoutMains(t *testing.T) {
	folder := plans(t)
	file := filepath.Join(folder, "pond.toml")
	text, err := os.ReadFile(file)
	if err == nil {
		err = os.WriteFile(file, []byte(strings.Replace(string(text), "[site]\n", "[site]\nmains = false\n", 1)), 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	p := open(t, serve(t, folder), 1200, 900)
	ask[chromedp.Void](t, p, `window.heard = []; new MutationObserver(() => heard.push(document.getElementById("said").textContent)).observe(
		document.getElementById("said"), { childList: true, characterData: true, subtree: true })`)
	const shown = `["verdict", "tile-water", "tile-cost", "tile-sun", "scene"].map(s => document.querySelector("[data-slot=" + s + "]").textContent).join("\n")`
	const pumps = `document.querySelector("[data-slot=pic-pumps]").innerHTML`
	before := ask[string](t, p, shown+"+(window.drawn = "+pumps+", '')")
	move(t, p, "lift.static_head", 20)
	p.until(t, pumps+" !== drawn") // by the water alone
	if now := ask[string](t, p, shown); now != before || ask[bool](t, p, settled) {
		t.Errorf("by the water alone it shows %s", now)
	}
	p.until(t, settled+` && heard.length > 0`)
	set := ask[[][2]string](t, p, `JSON.parse(document.querySelector("[data-key='lift.static_head']").dataset.sets)[20]`)
	page := filepath.Join(t.TempDir(), "page.html")
	if out, err := exec.Command(sunrill(t), "plan", folder, "--output", page, "--set", set[0][0]+"="+set[0][1]).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	now, heard := ask[string](t, p, shown), ask[[]string](t, p, `heard`)
	if want := ask[string](t, open(t, "file://"+page, 1200, 900), shown); now != want || now == before || len(heard) != 1 {
		t.Errorf("it shows\n%s\nand the command writes\n%s\nheard %q", now, want, heard)
	}
}

// TestBestPlanByOnePress: it sets what the command prints as the best plan, the controls show
// it, and the tables are asked for only when their fold is opened.
func TestBestPlanByOnePress(t *testing.T) {
	folder := plans(t)
	p := open(t, serve(t, folder), 1200, 900)
	ask[chromedp.Void](t, p, `window.sent = []; const real = fetch; window.fetch = async (what, how) => { const r = await real(what, how);
		sent.push(JSON.parse(how.body)); return r; }`)
	ask[chromedp.Void](t, p, `document.getElementById("best").click()`)
	p.until(t, `sent.some(s => s.depth === "front")`)
	set := ask[[][2]string](t, p, `sent.findLast(s => s.depth === "front").set`)
	out, err := exec.Command(sunrill(t), "plan", folder, "--format", "json").Output()
	var whole struct {
		Best struct{ Changes []struct{ Key, Value string } }
	}
	if err != nil || json.Unmarshal(out, &whole) != nil || len(whole.Best.Changes) == 0 {
		t.Fatalf("the command tells no best plan: %v", err)
	}
	for _, c := range whole.Best.Changes {
		if !slices.Contains(set, [2]string{c.Key, c.Value}) {
			t.Errorf("%v is not set: %v", c, set)
		}
		if shown := ask[string](t, p, `document.querySelector("[data-key='`+c.Key+`'] output")?.textContent || ""`); c.Key == "run.speed" && shown != c.Value {
			t.Errorf("the speed shows %q, not %q", shown, c.Value)
		}
	}
	if len(set) != len(whole.Best.Changes) || ask[bool](t, p, `document.getElementById("tray").hidden || sent.some(s => s.depth === "all")`) {
		t.Errorf("it sets %v, or hides that, or asks for tables", set)
	}
	ask[chromedp.Void](t, p, `document.querySelector(".folds details").open = true`)
	p.until(t, `sent.some(s => s.depth === "all")`)
}

// TestSpeed measures from the move of a slider to the painted figures, and reports it.
func TestSpeed(t *testing.T) {
	p := open(t, serve(t, plans(t)), 1200, 900)
	ask[chromedp.Void](t, p, `window.moved = (key, at, depth) => new Promise(done => {
		const real = fetch, start = performance.now();
		window.fetch = async (what, how) => {
			const r = await real(what, how), json = await r.json();
			if (JSON.parse(how.body).depth === depth) {
				window.fetch = real; // what is placed now is painted with the next frame
				requestAnimationFrame(() => setTimeout(() => done(performance.now() - start)));
			}
			return { ok: true, json: () => json };
		};
		const i = document.getElementById("c-" + key); i.value = at; i.dispatchEvent(new Event("input", { bubbles: true }));
	})`)
	for depth, wait := range map[string]float64{"water": 0, "sun": 120, "front": 120} {
		var all []float64
		for at := range 20 {
			all = append(all, ask[float64](t, p, fmt.Sprintf(`moved("lift.static_head", %d, %q)`, 1+at, depth))-wait)
			p.until(t, settled)
			time.Sleep(150 * time.Millisecond)
		}
		slices.Sort(all)
		t.Logf("%s: least %.0f ms, middle %.0f ms, most %.0f ms after the move, the wait of %.0f ms apart", depth, all[0], all[len(all)/2],
			all[len(all)-1], wait)
	}
}

// TestBrowserIsLedToThePage: the page that the browser is started on leads to the plan.
func TestBrowserIsLedToThePage(t *testing.T) {
	address := serve(t, plans(t))
	file := filepath.Join(t.TempDir(), "open.html")
	if err := os.WriteFile(file, fmt.Appendf(nil, `<meta http-equiv="refresh" content="0;url=%s">`, address), 0o600); err != nil {
		t.Fatal(err)
	}
	p := open(t, "file://"+file, 1200, 900)
	p.until(t, `(document.querySelector("h1")?.textContent.length || 0) > 20`)
	p.lock.Lock()
	p.requests = nil
	p.said = slices.DeleteFunc(p.said, func(s string) bool { return strings.Contains(s, "403") }) // on the way
	p.lock.Unlock()
}
