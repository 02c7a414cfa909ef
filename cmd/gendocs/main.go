// Command gendocs writes the manual pages and the shell completions of sunrill
// from its command tree. They are never committed: whoever packages sunrill makes
// them, and gets the same bytes everywhere.
//
//	go run ./cmd/gendocs DIR
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"sunrill/cmd/internal/cli"
)

// printed is the date that the manual pages bear: that of the command tree's
// last change of words would differ with every commit, the day of the run with
// every run.
var printed = time.Date(2026, time.January, 1, 0, 0, 0, 0, time.UTC)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: gendocs DIR")
		os.Exit(2)
	}
	if err := generate(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "gendocs:", err)
		os.Exit(1)
	}
}

// generate writes man1 and completions into dir.
func generate(dir string) error {
	manual, completions := filepath.Join(dir, "man1"), filepath.Join(dir, "completions")
	for _, d := range []string{manual, completions} {
		if err := os.MkdirAll(d, 0o777); err != nil {
			return err
		}
	}
	root := cli.Command()
	root.DisableAutoGenTag = true // it holds the day of the run
	root.Long += "\n\nExit codes, the keys of a plan and how to write quantities: sunrill help\n" +
		"exit-codes, sunrill help keys, sunrill help units."
	header := &doc.GenManHeader{Section: "1", Date: &printed, Source: "Sunrill", Manual: "Sunrill"}
	if err := doc.GenManTree(root, header, manual); err != nil {
		return err
	}
	for name, write := range map[string]func(*cobra.Command, string) error{
		"sunrill.bash": func(c *cobra.Command, f string) error { return c.GenBashCompletionFileV2(f, true) },
		"_sunrill":     func(c *cobra.Command, f string) error { return c.GenZshCompletionFile(f) },
		"sunrill.fish": func(c *cobra.Command, f string) error { return c.GenFishCompletionFile(f, true) },
		"sunrill.ps1":  func(c *cobra.Command, f string) error { return c.GenPowerShellCompletionFileWithDesc(f) },
	} {
		if err := write(root, filepath.Join(completions, name)); err != nil {
			return err
		}
	}
	return nil
}
