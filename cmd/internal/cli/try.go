package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"html"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"syscall"

	"github.com/spf13/cobra"

	answers "sunrill/cmd/internal/answer"
	"sunrill/cmd/internal/live"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// tryOptions are the flags of try.
type tryOptions struct {
	plan      planOptions
	port      int
	noBrowser bool
	readOnly  bool
	units     units.System
}

func newTryCmd(s *Streams) *cobra.Command {
	var o tryOptions
	cmd := explained(&cobra.Command{Use: "try [FILE or folder or -]", GroupID: groupStart, Args: atMostOne})
	cmd.RunE = func(_ *cobra.Command, args []string) error { return o.run(s, args) }
	flags := cmd.Flags()
	flags.SortFlags = false
	flags.BoolVar(&o.noBrowser, "no-browser", false, "open no browser; the address is printed")
	flags.IntVar(&o.port, "port", 0, "port of this machine to serve on; 0 takes a free one")
	flags.BoolVar(&o.readOnly, "read-only", false, "save nothing into the plan")
	flags.BoolVar(&o.plan.demo, "demo", false, "use the built-in demo, which is not your pond")
	flags.Var(&o.units, "units", "units of the page")
	completeWords(cmd, "units", strings.Split(o.units.Type(), "|"))
	return cmd
}

// run serves the page of a plan until it is interrupted.
func (o *tryOptions) run(s *Streams, args []string) error {
	s.system = o.units
	o.plan.demo = o.plan.demo || len(args) == 0
	files := &planFiles{held: map[string][]byte{}}
	var typed []byte // on standard input
	if len(args) > 0 && args[0] == "-" {
		var err error
		if typed, err = io.ReadAll(s.In); err != nil {
			return fmt.Errorf("standard input cannot be read: %w", err)
		}
	}
	load := func(sets []plan.Setting) (*page.Input, error) {
		again := *s
		again.In = bytes.NewReader(typed)
		r := &request{s: &again, args: args, plan: planOptions{demo: o.plan.demo}, given: sets, open: files.open}
		err := r.read(plan.NeedDuty)
		return r.in, err
	}
	in, err := load(nil) // a plan with faults is told here, not in a browser
	if err != nil {
		return err
	}
	served := live.Plan{Engine: &answers.Engine{Load: load, System: o.units}, Name: shortPath(in.Plan.File)}
	if name := in.Plan.File; o.saves(name) {
		served.Save = func(sets []plan.Setting) error { return files.save(name, sets) }
	}
	server, err := live.Listen(o.port, served)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if _, err := fmt.Fprintln(s.Out, server.Address()); err != nil {
		return err
	}
	if !o.noBrowser {
		remove, err := openBrowser(server.Address())
		defer remove()
		if err != nil {
			s.say("warning", "no browser could be started ("+err.Error()+"): open the address above in one")
		}
	}
	return server.Serve(ctx, func(why string) { s.say("hint", why) })
}

// saves reports whether changes may be saved into the plan file name.
func (o *tryOptions) saves(name string) bool { return !o.readOnly && !o.plan.demo && name != "-" }

// shortPath names a file by its folder and itself.
func shortPath(name string) string {
	return filepath.ToSlash(filepath.Join(filepath.Base(filepath.Dir(name)), filepath.Base(name)))
}

// planFiles holds what a plan was read from, so that every answer is about the same.
type planFiles struct {
	lock sync.Mutex
	held map[string][]byte
}

// open reads each file once.
func (f *planFiles) open(path string) (io.ReadCloser, error) {
	f.lock.Lock()
	defer f.lock.Unlock()
	text, held := f.held[path]
	if !held {
		var err error
		if text, err = os.ReadFile(path); err != nil {
			return nil, err
		}
		f.held[path] = text
	}
	return io.NopCloser(bytes.NewReader(text)), nil
}

// save puts settings into the plan file name, whole or not at all, where it still is
// what was read.
func (f *planFiles) save(name string, sets []plan.Setting) error {
	f.lock.Lock()
	defer f.lock.Unlock()
	now, err := os.ReadFile(name)
	if err != nil || !bytes.Equal(now, f.held[name]) {
		return errors.Join(live.ErrChanged, err)
	}
	text, err := plan.Edit(name, now, sets)
	if err != nil {
		return err
	}
	if err := writeWhole(name, text); err != nil {
		return fmt.Errorf("cannot write %s: %w", name, cause(err))
	}
	f.held[name] = text
	return nil
}

// openBrowser starts the person's browser on a page of their own that leads to address,
// which no list of processes then shows. remove takes that page away again.
func openBrowser(address string) (remove func(), err error) {
	folder, err := os.MkdirTemp("", "sunrill") // for its owner alone
	if err != nil {
		return func() {}, err
	}
	remove = func() { _ = os.RemoveAll(folder) } // at the worst it stays until the machine clears up
	file := filepath.Join(folder, "open.html")
	text := fmt.Sprintf("<!DOCTYPE html><meta charset=\"utf-8\"><meta http-equiv=\"refresh\" content=\"0;url=%s\"><title>Sunrill</title>"+
		"<p><a href=\"%[1]s\">Open the page</a></p>\n", html.EscapeString(address))
	if err := os.WriteFile(file, []byte(text), fs.FileMode(0o600)); err != nil {
		return remove, err
	}
	command := map[string][]string{"darwin": {"open"}, "windows": {"rundll32", "url.dll,FileProtocolHandler"}}[runtime.GOOS]
	if command == nil {
		command = []string{"xdg-open"}
	}
	started := exec.Command(command[0], append(command[1:], file)...)
	if err := started.Start(); err != nil {
		return remove, err
	}
	go func() { _ = started.Wait() }() // however it ends, the address is printed
	return remove, nil
}
