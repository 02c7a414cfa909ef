package cli

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"sunrill/cmd/internal/live"
	"sunrill/data"
	"sunrill/data/plan"
)

// TestTrySavesWhatItRead: into the plan that was read, again after that, and never into
// one that somebody else has changed or taken away.
func TestTrySavesWhatItRead(t *testing.T) {
	name := filepath.Join(t.TempDir(), plan.PlanFile)
	const before = "[lift] # from the water\nstatic_head = \"1 m\" # mine\n"
	put := func(text string) {
		t.Helper()
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put(before)
	files := &planFiles{held: map[string][]byte{}}
	f, err := files.open(name)
	if err == nil {
		err = f.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	set := func(text string) []plan.Setting { return []plan.Setting{{Key: "lift.static_head", Text: text}} }
	for _, to := range []string{"1.2 m", "1.4 m"} {
		err := files.save(name, set(to))
		now, _ := os.ReadFile(name)
		if want := strings.Replace(before, "1 m", to, 1); err != nil || string(now) != want {
			t.Errorf("%v: it holds %q, want %q", err, now, want)
		}
	}
	var fault *data.Error
	if err := files.save(name, set("high")); !errors.As(err, &fault) {
		t.Errorf("a wrong value: %v", err)
	}
	put(before + "# yours\n")
	if err := files.save(name, set("1.6 m")); !errors.Is(err, live.ErrChanged) {
		t.Errorf("a changed plan: %v", err)
	}
	if now, _ := os.ReadFile(name); string(now) != before+"# yours\n" {
		t.Errorf("it holds %q", now)
	}
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	if err := files.save(name, set("1.6 m")); !errors.Is(err, live.ErrChanged) {
		t.Errorf("a plan that is gone: %v", err)
	}
}

// TestTrySavesNothingThatIsNotAPlan: the demo, standard input, a plan for reading alone.
func TestTrySavesNothingThatIsNotAPlan(t *testing.T) {
	for name, test := range map[string]struct {
		o    tryOptions
		file string
		want bool
	}{
		"a plan":         {file: "pond.toml", want: true},
		"read only":      {o: tryOptions{readOnly: true}, file: "pond.toml"},
		"the demo":       {o: tryOptions{plan: planOptions{demo: true}}, file: "pond.toml"},
		"standard input": {file: "-"},
	} {
		if got := test.o.saves(test.file); got != test.want {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// TestBrowserIsStartedOnAPrivatePage: no list of processes shows the address.
func TestBrowserIsStartedOnAPrivatePage(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the browser is started by xdg-open")
	}
	folder := t.TempDir()
	record := filepath.Join(folder, "asked")
	if err := os.WriteFile(filepath.Join(folder, "xdg-open"), []byte("#!/bin/sh\nprintf %s \"$*\" >"+record+".part; mv "+record+".part "+
		record+"\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", folder+":"+os.Getenv("PATH"))
	const address = "http://127.0.0.1:1/a-secret/"
	remove, err := openBrowser(address)
	if err != nil {
		t.Fatal(err)
	}
	var asked []byte
	for range 500 {
		if asked, err = os.ReadFile(record); err == nil {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	info, missing := os.Stat(string(asked))
	inner, _ := os.ReadFile(string(asked))
	if strings.Contains(string(asked), "secret") || missing != nil || info.Mode().Perm() != 0o600 || !strings.Contains(string(inner), address) {
		t.Errorf("asked for %q: %v, %v, %s", asked, missing, info, inner)
	}
	if folder, err := os.Stat(filepath.Dir(string(asked))); err != nil || folder.Mode().Perm() != 0o700 {
		t.Errorf("its folder: %v %v", folder, err)
	}
	remove()
	if _, err := os.Stat(string(asked)); err == nil {
		t.Error("the page was left behind")
	}
}
