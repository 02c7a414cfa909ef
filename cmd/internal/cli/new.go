package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"sunrill/data"
	"sunrill/data/plan"
)

func newNewCmd(s *Streams) *cobra.Command {
	ask := false
	cmd := explained(&cobra.Command{
		Use:     "new DIR",
		GroupID: groupStart,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 || args[0] == "" {
				return &usageError{"new needs the folder to write to", "sunrill new mypond"}
			}
			return atMostOne(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if ask {
				return runAsk(s, args[0])
			}
			return runNew(s, args[0])
		},
	})
	cmd.Flags().BoolVar(&ask, "ask", false, "ask for the values step by step")
	return cmd
}

func runNew(s *Streams, dir string) error {
	var files []newFile
	for _, name := range []string{data.StarterCurve, data.StarterClimate} {
		files = append(files, newFile{name, data.StarterFile(name)})
	}
	if err := writeNew(dir, append(files, newFile{plan.PlanFile, plan.StarterPlan()})); err != nil {
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

// writeNew writes files to dir, all of them or none, and none over another. The
// plan comes last, so that one never lacks its files.
func writeNew(dir string, files []newFile) (err error) {
	if err := nothingThere(dir, files); err != nil {
		return err
	}
	var made []string // the outermost folder last
	for at := filepath.Clean(dir); !exists(at) && at != filepath.Dir(at); at = filepath.Dir(at) {
		made = append(made, at)
	}
	defer func() {
		if err != nil {
			for _, path := range made {
				_ = os.Remove(path) // the first error is the one to tell
			}
		}
	}()
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("cannot make the folder %s: %w", dir, cause(err))
	}
	for _, f := range files {
		path := filepath.Join(dir, f.name)
		if err := writeFresh(path, []byte(f.text), 0o666); err != nil {
			return fmt.Errorf("cannot write %s: %w", path, cause(err))
		}
		made = append([]string{path}, made...)
	}
	return nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
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
		if exists(path) {
			faults = append(faults, &data.Error{File: path, Message: "the file is there already, and nothing is overwritten",
				Hint: "choose another folder, or move the file away"})
		}
	}
	return errors.Join(faults...)
}
