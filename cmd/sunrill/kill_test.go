package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestKilledWhileWriting ends the command again and again about the moment at
// which it writes: the page is the old one or the whole new one. A part file may
// be left beside it, named so that nobody takes it for a page.
func TestKilledWhileWriting(t *testing.T) {
	folder := t.TempDir()
	page := filepath.Join(folder, "page.html")
	old := bytes.Repeat([]byte("the page of last year\n"), 10_000)
	command := func() *exec.Cmd { return exec.Command("sunrill", "duty", "--demo", "--output", page) }

	start := time.Now()
	if out, err := command().CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	whole, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	wait := time.Since(start)

	const turns = 20
	killed, left := 0, 0
	for i := range turns {
		if err := os.WriteFile(page, old, 0o666); err != nil {
			t.Fatal(err)
		}
		cmd := command()
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(wait)
		_ = cmd.Process.Kill() // it may have ended by itself
		// The page comes last, so the moments close in on the end of the run.
		if err := cmd.Wait(); err != nil {
			killed++
			wait = wait * 11 / 10
		} else {
			wait = wait * 8 / 10
		}
		now, err := os.ReadFile(page)
		if err != nil || !bytes.Equal(now, old) && !bytes.Equal(now, whole) {
			t.Fatalf("killed after %d of %d turns: %d bytes are neither page: %v", i, turns, len(now), err)
		}
		left += partsIn(t, folder, "page.html")
	}
	t.Logf("killed in %d of %d runs, %d part files left", killed, turns, left)
	if killed == 0 {
		t.Error("no run was killed")
	}
}

// partsIn counts and removes the part files in folder, and fails on anything
// else beside keep.
func partsIn(t *testing.T, folder, keep string) int {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	parts := 0
	for _, e := range entries {
		switch {
		case e.Name() == keep:
		case strings.HasPrefix(e.Name(), keep+".") && strings.HasSuffix(e.Name(), ".part"):
			parts++
			if err := os.Remove(filepath.Join(folder, e.Name())); err != nil {
				t.Fatal(err)
			}
		default:
			t.Errorf("%s is left behind", e.Name())
		}
	}
	return parts
}

// TestPageIsNeverHalfThere reads a page over and over while it is replaced:
// whenever it is looked at, it is one of the whole ones.
func TestPageIsNeverHalfThere(t *testing.T) {
	page := filepath.Join(t.TempDir(), "page.json")
	commands := [][]string{{"duty", "--demo", "--output", page}, {"tables", "--output", page}}
	var whole [][]byte
	for _, args := range commands {
		if out, err := exec.Command("sunrill", args...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		whole = append(whole, text)
	}
	done := make(chan error, 1)
	go func() {
		for i := range 6 {
			if err := exec.Command("sunrill", commands[i%2]...).Run(); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	for looks := 0; ; looks++ {
		select {
		case err := <-done:
			if err != nil || looks == 0 {
				t.Errorf("after %d looks: %v", looks, err)
			}
			return
		default:
		}
		if text, err := os.ReadFile(page); err != nil || !bytes.Equal(text, whole[0]) && !bytes.Equal(text, whole[1]) {
			t.Fatalf("%d bytes are neither page: %v", len(text), err)
		}
	}
}

// TestLargeInputIsRefusedSoon sends two hundred megabytes of curve and a line of
// fifty through a pipe. The command stops reading at its limit and names it.
func TestLargeInputIsRefusedSoon(t *testing.T) {
	for _, c := range []struct {
		name, head, again string
		bytes             int64
		says              string
	}{
		{"200 MB of rows", "flow (L/h),head (m)\n", "1000,1.5\n", 200 << 20, "the file is too large; allowed: up to 32 MB"},
		{"a line of 50 MB", "flow (L/h),head (m)\n", "1000,1.5,", 50 << 20, "the file is too large; allowed: up to 32 MB"},
		{"a line of 2 MB", "flow (L/h),head (m)\n", "1000,1.5,", 2 << 20, ":2:1: the line is too long; allowed: up to 1 MB a line"},
		{"500000 rows", "flow (L/h),head (m)\n", "1000,1.5\n", 500_000 * 9, "too many rows"},
	} {
		sent := &repeated{text: c.head, again: c.again, left: c.bytes}
		cmd := exec.Command("sunrill", "duty", "--curve", "-", "--static-head", "0.8m", "--pipe-bore", "25mm", "--pipe-length", "5m", "--loss-k", "6")
		in, err := cmd.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &errs
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		taken, _ := io.Copy(in, sent) // it fails where the command has seen enough
		_ = in.Close()
		if err := cmd.Wait(); cmd.ProcessState.ExitCode() != 2 || out.Len() > 0 || !strings.Contains(errs.String(), c.says) {
			t.Errorf("%s: %v, prints %d bytes and says %.200q", c.name, err, out.Len(), errs.String())
		}
		if limit := int64(33 << 20); taken > limit {
			t.Errorf("%s: %d bytes were read before the refusal", c.name, taken)
		}
	}
}

// repeated is a text, then another again and again.
type repeated struct {
	text, again string
	left        int64
}

func (r *repeated) Read(p []byte) (int, error) {
	if r.left <= 0 {
		return 0, io.EOF
	}
	for len(r.text) < len(p) {
		r.text += strings.Repeat(r.again, 1+len(p)/len(r.again))
	}
	n := copy(p[:min(int64(len(p)), r.left)], r.text)
	r.text, r.left = r.text[n:], r.left-int64(n)
	return n, nil
}
