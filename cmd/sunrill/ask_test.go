//go:build unix

package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
)

// ctrlC is what a terminal sends where it is typed.
const ctrlC = "\x03"

// dialogue is "sunrill new pond --ask" on a terminal of its own.
type dialogue struct {
	t    *testing.T
	dir  string
	cmd  *exec.Cmd
	tty  *os.File
	done chan struct{}

	mu   sync.Mutex
	said bytes.Buffer
	read int // of said, by wait
}

func startDialogue(t *testing.T) *dialogue {
	t.Helper()
	d := &dialogue{t: t, dir: t.TempDir(), done: make(chan struct{})}
	d.cmd = exec.Command("sunrill", "new", "pond", "--ask")
	d.cmd.Dir = d.dir
	var err error
	if d.tty, err = pty.StartWithSize(d.cmd, &pty.Winsize{Rows: 24, Cols: 80}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = d.cmd.Process.Kill() // it may have ended
		_ = d.tty.Close()
	})
	go func() {
		defer close(d.done)
		part := make([]byte, 4096)
		for {
			n, err := d.tty.Read(part)
			d.mu.Lock()
			d.said.Write(part[:n])
			d.mu.Unlock()
			if err != nil {
				return
			}
		}
	}()
	return d
}

// wait waits until the terminal says what matches pattern after what was waited for
// before, and returns that.
func (d *dialogue) wait(pattern string) string {
	d.t.Helper()
	re := regexp.MustCompile(pattern)
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		d.mu.Lock()
		text := strings.ReplaceAll(d.said.String(), "\r\n", "\n")
		found := re.FindStringIndex(text[min(d.read, len(text)):])
		if found != nil {
			said := text[d.read : d.read+found[1]]
			d.read += found[1]
			d.mu.Unlock()
			return said
		}
		d.mu.Unlock()
		if time.Now().After(end) {
			d.t.Fatalf("no %q in\n%s", pattern, text)
		}
	}
}

// answer waits for a question and answers it.
func (d *dialogue) answer(question, text string) {
	d.t.Helper()
	d.wait(regexp.QuoteMeta(question) + `[^>]*> $`)
	if text != ctrlC {
		text += "\r"
	}
	if _, err := io.WriteString(d.tty, text); err != nil {
		d.t.Fatal(err)
	}
}

// again answers the same question once more.
func (d *dialogue) again(text string) {
	d.t.Helper()
	d.answer("", text)
}

// plan ends the dialogue and returns what was written.
func (d *dialogue) plan() string {
	d.t.Helper()
	<-d.done
	_ = d.cmd.Wait() // its exit code says whether the pumps are enough
	text, err := os.ReadFile(filepath.Join(d.dir, "pond", "pond.toml"))
	if err != nil {
		d.t.Fatalf("%v\n%s", err, d.said.String())
	}
	return string(text)
}

func wants(t *testing.T, plan string, lines ...string) {
	t.Helper()
	for _, line := range lines {
		if !strings.Contains(plan, line+"\n") {
			t.Errorf("the plan lacks %s:\n%s", line, plan)
		}
	}
}

// TestAskTwoPumps: on a terminal, with a way back, help, bare numbers, counted fittings,
// a volume from its size, a price that is doubted, and two pumps, to the short answer
// and the page for a browser.
func TestAskTwoPumps(t *testing.T) {
	d := startDialogue(t)
	d.answer("What do you call the pond?", "Heron")
	d.answer("How much water is in the pond, in m3?", "back")
	d.answer("What do you call the pond?", "Heron Nook")
	d.answer("How much water is in the pond, in m3?", "dont know")
	d.wait("nobody knows it exactly")
	d.wait("Name what it looks like and the next questions work it out: rectangle, round")
	d.again("5000")
	d.wait(`is that 5000 m3 or 5000 L or 5000 US gal\?`)
	d.again("oval")
	d.answer("How long is the water's surface, in m?", "3.4")
	d.wait("no unit given: taken as 3.4 m")
	d.answer("How wide is it, in m?", "7 ft")
	d.wait(`width = "7 ft"`) // as it was given
	d.answer("How deep is it, in m?", "back")
	d.answer("How wide is it, in m?", "back")
	d.answer("[3.4]", "")
	d.wait("no unit given: taken as 3.4 m")
	d.answer("[7 ft]", "")
	d.wait(`width = "7 ft"`)
	d.answer("How deep is it, in m?", "no idea")
	d.wait("Knee deep is 0.5 m")
	d.again("0.7")
	// pi/4 x 3.4 m x 2.1336 m x 0.7 m
	d.wait(`that makes 3\.99 m3, from shape oval, length 3.4 m, width 7 ft, depth 0.7 m`)
	d.answer("How much fish?", "perhaps")
	d.wait("not one of the choices")
	d.again("light")
	d.answer("Is there a file with the pump's curve?", "")
	d.answer("What is the largest flow on the box, in L/h?", "?")
	d.wait("A bare number is taken in L/h")
	d.again("5200")
	d.answer("How high does the box say it lifts at most, in m?", "3.6")
	d.answer("How many watts does the box say?", "95")
	d.answer("What is it plugged into", "")
	d.answer("How high is the water lifted, in m?", "0.8 m")
	d.answer("Which hose or pipe leads up", "?")
	d.wait("a thumb hose 25 mm")
	d.again("garden hose 25")
	d.wait(`pipe = "garden hose 25"`)
	d.answer("How long is it, in m?", "6")
	d.answer("Which bends and valves are in it?", "2 elbows, 3 wombats")
	d.wait("there is no such fitting")
	d.again("2 elbows and 1 ball valve")
	d.wait("taken as 2 x elbow 90, 1 x ball valve")
	d.answer("Is there mains here", "")
	d.answer("What does one kWh cost?", "34")
	d.wait(`is that 34 or 0\.34\?`)
	d.again("0.34 EUR")
	d.answer("Where is the pond?", "don't know")
	d.wait("left at: not now")
	d.answer("Another pump to compare", "yes")
	d.answer("Is there a file with the pump's curve?", "")
	d.answer("What is the largest flow on the box, in L/h?", "3000")
	d.answer("How high does the box say it lifts at most, in m?", "2.9")
	d.answer("How many watts does the box say?", "55")
	d.answer("What is it plugged into", "")
	d.answer("Another pump to compare", "")
	d.answer("Which of them runs there today?", "1")
	d.answer("Write a page for the browser too", "yes")
	d.wait(`Heron Nook, `)
	d.wait(`ENOUGH\? +95 W, yours +yes `)
	d.wait(`MORE +sunrill plan pond --all; to change an answer, edit pond/pond.toml`)
	d.wait(`The page for the browser is pond/page.html`)
	text := d.plan()
	wants(t, text, `name = "Heron Nook"`, `width = "7 ft"`, "[[pump]]\nname = \"95 W\"\nlabel_flow = \"5200 L/h\"\nlabel_head = \"3.6 m\"",
		"present = true", "[[pump]]\nname = \"55 W\"", `fittings = "2 x elbow 90, 1 x ball valve"`, "price = 0.34")
	if n := strings.Count(text, "\n"); n > 120 {
		t.Errorf("the plan has %d lines", n)
	}
	if page, err := os.ReadFile(filepath.Join(d.dir, "pond", "page.html")); err != nil || !bytes.Contains(page, []byte("Enough?")) {
		t.Errorf("the page for the browser: %v", err)
	}
}

// TestAskNoMains: without mains nothing is asked about a bill, but what panel and battery
// cost.
func TestAskNoMains(t *testing.T) {
	d := startDialogue(t)
	d.answer("What do you call the pond?", "Meadow")
	d.answer("How much water", "2.6")
	d.answer("How much fish?", "light")
	d.answer("Is there a file", "")
	d.answer("largest flow on the box", "1300")
	d.answer("lifts at most", "2.2")
	d.answer("How many watts", "18")
	d.answer("What is it plugged into", "dc")
	d.answer("At how many volts?", "12")
	d.answer("How high is the water lifted", "0.4")
	d.answer("Which hose", "25")
	d.wait("no unit given: taken as 25 mm")
	d.answer("How long is it", "4")
	d.answer("Which bends", "no idea")
	d.answer("Is there mains here", "no")
	d.answer("Where is the pond?", "36.8N 2.4W")
	d.answer("What does one watt of panel cost?", "0.50 EUR")
	d.answer("What does one Wh of battery cost?", "0.35")
	d.answer("Another pump", "")
	d.answer("Does it run there today", "")
	d.answer("Write a page", "")
	said := d.wait(`MORE `)
	if !strings.Contains(said, "NO MAINS") || strings.Contains(said, "\nCOST") || strings.Contains(said, "kWh cost") {
		t.Errorf("the short answer: %s", said)
	}
	wants(t, d.plan(), "price_per_watt = 0.50", "price_per_wh = 0.35", `voltage = "12 V"`, `longitude = "2.4W"`)
}

// TestAskInterrupted: Ctrl-C keeps what was answered in the folder and says so; before
// the first answer there is nothing to keep.
func TestAskInterrupted(t *testing.T) {
	d := startDialogue(t)
	d.answer("What do you call the pond?", "Heron Nook")
	d.answer("How much water", "4100 L")
	d.answer("How much fish?", ctrlC)
	d.wait(`the answers so far are kept in pond/answers.txt: sunrill new pond --ask goes on from there`)
	<-d.done
	if text, err := os.ReadFile(filepath.Join(d.dir, "pond", "answers.txt")); err != nil || string(text) != "Heron Nook\n4100 L\n" {
		t.Errorf("%q, %v", text, err)
	}

	d = startDialogue(t)
	d.answer("What do you call the pond?", ctrlC)
	d.wait("stopped; nothing was written")
	<-d.done
	if _, err := os.Stat(filepath.Join(d.dir, "pond")); err == nil {
		t.Error("the folder was made")
	}
}
