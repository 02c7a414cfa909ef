package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"sunrill/data"
	"sunrill/data/plan"
)

func newNewCmd(s *Streams) *cobra.Command {
	ask := false
	cmd := &cobra.Command{
		Use:     "new DIR",
		Short:   "Write a plan to fill in, with a curve and a climate beside it",
		GroupID: groupStart,
		Long: `Write a plan to fill in: DIR/pond.toml with every key explained, curve.csv for
the curve of your pump and climate.csv for the sun of your site. All three run
as they are; the page lists every value that is still the example's.

With --ask it asks step by step instead, explains each question, checks each
answer and ends with the short answer of the plan. Answers may also be piped in,
one a line, an empty line for what stands in brackets:
"type answers.txt | sunrill new mypond --ask", with cat for type on Linux and
macOS. A bad answer is then named by its question, and nothing is written.

Nothing is ever overwritten.`,
		Example: `  $ sunrill new mypond
  $ sunrill plan mypond
  # or answer questions instead of editing a file
  sunrill new mypond --ask`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 || args[0] == "" {
				return &usageError{"new needs the folder to write to", "sunrill new mypond"}
			}
			return atMostOne(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			run := runNew
			if ask {
				run = runAsk
			}
			if err := run(s, args[0]); err != nil {
				return &ranError{err}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&ask, "ask", false, "ask for the values step by step")
	return cmd
}

func runNew(s *Streams, dir string) error {
	if err := writeNew(dir, newFiles(plan.StarterValues(), data.StarterCurve, data.StarterClimate)); err != nil {
		return err
	}
	_, err := fmt.Fprintf(s.Out, `Written in %s:
  %-12s the plan, with every key explained
  %-12s the curve of the pump: flow, head, watts
  %-12s sun and temperature of the site, by month

Next, in %s change what you know first, and delete its mark #?:
  volume       how much water the pond holds
  static_head  from the pond's surface up to where the water comes out, never
               from the pump
  length       of the hose, and which pipe or hose it is
and put the points of your own pump in %s. Then:
  sunrill plan %s
It runs already as it is, and says which values are not yet yours.
`, dir, plan.PlanFile, data.StarterCurve, data.StarterClimate, plan.PlanFile, data.StarterCurve, typed(dir))
	return err
}

// typed returns a path as a shell takes it: in double quotes, which every one
// knows, or where it holds what they leave with a meaning, as a POSIX shell does.
func typed(path string) string {
	switch {
	case strings.ContainsAny(path, "$`\"!"):
		return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
	case strings.ContainsAny(path, " ()&;'<>|*?#~"):
		return `"` + path + `"`
	}
	return path
}

// newFile is a file that sunrill new writes.
type newFile struct{ name, text string }

// newFiles returns the plan that answers make, after the files it stands on.
func newFiles(answers []plan.StarterValue, beside ...string) []newFile {
	var all []newFile
	for _, name := range beside {
		all = append(all, newFile{name, data.StarterFile(name)})
	}
	return append(all, newFile{plan.PlanFile, plan.StarterPlan(answers)})
}

// writeNew writes files to dir, all of them or none, and none over another. They
// are made whole in a folder beside the place they go to. A folder that is not
// there yet appears with all of them in one move, however the program ends; in
// one that is there the plan comes last, so that a plan never lacks its files.
func writeNew(dir string, files []newFile) error {
	if err := nothingThere(dir, files); err != nil {
		return err
	}
	missing, under := firstMissing(dir)
	beside := filepath.Dir(missing)
	if missing == "" {
		beside = dir
	}
	stage, err := os.MkdirTemp(beside, ".sunrill-*")
	if err != nil {
		return fmt.Errorf("cannot write in %s: %w", beside, cause(err))
	}
	defer func() { _ = os.RemoveAll(stage) }() // the error of the files is the one to tell
	top := filepath.Join(stage, "new")
	full := filepath.Join(top, under)
	if err := os.MkdirAll(full, 0o777); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w", dir, cause(err))
	}
	for _, f := range files {
		if err := writeFresh(filepath.Join(full, f.name), f.text); err != nil {
			return fmt.Errorf("cannot write %s: %w", filepath.Join(dir, f.name), cause(err))
		}
	}
	if missing == "" {
		return placeEach(full, dir, files)
	}
	if err := os.Rename(top, missing); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w", dir, cause(err))
	}
	return nil
}

// firstMissing returns the outermost folder of dir that is not there and the
// path of dir under it, or "" where dir is there.
func firstMissing(dir string) (missing, under string) {
	for at := filepath.Clean(dir); ; at = filepath.Dir(at) {
		if _, err := os.Stat(at); !errors.Is(err, fs.ErrNotExist) || at == filepath.Dir(at) {
			return missing, under
		}
		if missing != "" {
			under = filepath.Join(filepath.Base(missing), under)
		}
		missing = at
	}
}

// placeEach moves files from one folder to another, in order, over no other
// file; where one cannot be placed it takes those before it away again.
func placeEach(from, to string, files []newFile) error {
	for i, f := range files {
		err := placeFresh(filepath.Join(from, f.name), filepath.Join(to, f.name))
		if err == nil {
			continue
		}
		for _, done := range files[:i] {
			_ = os.Remove(filepath.Join(to, done.name)) // the first error is the one to tell
		}
		return fmt.Errorf("cannot write %s: %w", filepath.Join(to, f.name), cause(err))
	}
	return nil
}

// placeFresh moves a file to a name that nothing has. A link never replaces a
// file that came up meanwhile; a file system without links is looked at first.
func placeFresh(from, to string) error {
	err := os.Link(from, to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return os.Rename(from, to)
}

// nothingThere returns a fault for each file that would be overwritten, and for
// a folder that cannot be one.
func nothingThere(dir string, files []newFile) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return &data.Error{Key: "DIR", Found: dir, Message: "it is a file", Allowed: "a folder, new or there already"}
	}
	var faults []error
	for _, f := range files {
		path := filepath.Join(dir, f.name)
		if _, err := os.Lstat(path); err == nil {
			faults = append(faults, &data.Error{File: path, Message: "the file is there already, and nothing is overwritten",
				Hint: "choose another folder, or move the file away"})
		}
	}
	return errors.Join(faults...)
}

// writeFresh writes a file that is not there yet, or leaves none.
func writeFresh(path, text string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	_, err = f.WriteString(text)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		_ = os.Remove(path)
	}
	return err
}
