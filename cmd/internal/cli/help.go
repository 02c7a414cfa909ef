package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// newHelpCmd is cobra's help command, except that an unknown name is wrong usage
// rather than the help of the root.
func newHelpCmd() *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND or TOPIC]",
		Short:   "Explain a command or a topic",
		GroupID: groupCheck,
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return commandNames(cmd.Root()), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			found, rest, err := cmd.Root().Find(args)
			if err != nil || found == nil || len(rest) > 0 {
				hint := `"sunrill help" lists both`
				if near := data.Nearest(strings.Join(args, " "), commandNames(cmd.Root())); near != "" {
					hint = "did you mean: sunrill help " + near
				}
				return &usageError{fmt.Sprintf("there is no command and no topic %q", strings.Join(args, " ")), hint}
			}
			return found.Help()
		},
	}
}

// commandNames returns the names of the commands and topics under cmd.
func commandNames(cmd *cobra.Command) []string {
	var names []string
	for _, c := range cmd.Commands() {
		if !c.Hidden {
			names = append(names, c.Name())
		}
	}
	return names
}

// printHelp prints what a command is for, then its usage.
func printHelp(cmd *cobra.Command, width int) {
	out := cmd.OutOrStdout()
	text := cmd.Long
	if topic := topics[cmd.Name()]; topic != nil && !cmd.Runnable() {
		text = topic(min(width, pageWidth))
	}
	if text == "" {
		text = cmd.Short
	}
	_, _ = fmt.Fprintln(out, narrowed(strings.TrimSpace(text), width)) // standard output keeps its failure
	if cmd.Runnable() || cmd.HasAvailableSubCommands() {
		_, _ = fmt.Fprintln(out)
		_ = printUsage(cmd, width)
	}
}

// narrowed sets the paragraphs of a text anew where the terminal is narrower
// than the page; what is indented stays as it is.
func narrowed(text string, width int) string {
	paragraphs := strings.Split(text, "\n\n")
	for i, p := range paragraphs {
		if width < pageWidth && !strings.Contains("\n"+p, "\n ") {
			paragraphs[i] = wrapAfter(p, 0, width)
		}
	}
	return strings.Join(paragraphs, "\n\n")
}

// printUsage prints the line to type, examples, commands by group and flags by
// group.
func printUsage(cmd *cobra.Command, width int) error {
	var b strings.Builder
	b.WriteString("Usage:\n")
	if cmd.Runnable() && cmd.HasParent() {
		b.WriteString("  " + cmd.UseLine() + "\n")
	}
	if cmd.HasAvailableSubCommands() {
		b.WriteString("  " + cmd.CommandPath() + " COMMAND\n")
	}
	if cmd.HasExample() {
		b.WriteString("\nExamples:\n" + strings.TrimRight(cmd.Example, "\n") + "\n")
	}
	if len(cmd.Groups()) == 0 {
		writeCommands(&b, cmd, width, "Commands:", (*cobra.Command).IsAvailableCommand)
	}
	for _, g := range cmd.Groups() {
		writeCommands(&b, cmd, width, g.Title, func(c *cobra.Command) bool { return c.GroupID == g.ID && c.IsAvailableCommand() })
	}
	writeCommands(&b, cmd, width, "Topics (sunrill help TOPIC):", (*cobra.Command).IsAdditionalHelpTopicCommand)
	if cmd.HasAvailableFlags() && cmd.HasParent() {
		b.WriteString(groupedFlags(cmd, width))
	}
	_, err := io.WriteString(cmd.OutOrStdout(), b.String())
	return err
}

func writeCommands(b *strings.Builder, cmd *cobra.Command, width int, title string, wanted func(*cobra.Command) bool) {
	first := true
	for _, c := range cmd.Commands() {
		if !wanted(c) {
			continue
		}
		if first {
			b.WriteString("\n" + title + "\n")
			first = false
		}
		fmt.Fprintf(b, "  %-12s %s\n", c.Name(), wrapAfter(c.Short, 15, width))
	}
}

// topics are the pages of "sunrill help TOPIC", made when asked for and as wide as
// told.
var topics = map[string]func(width int) string{
	"exit-codes": exitCodesTopic,
	"units":      unitsTopic,
	"keys":       keysTopic,
}

func newTopics() []*cobra.Command {
	return []*cobra.Command{
		{Use: "exit-codes", Short: "What the exit code says"},
		{Use: "units", Short: "How to write quantities"},
		{Use: "keys", Short: "Every key of a plan file, with its unit, range, default and flag"},
	}
}

// Topic returns the page of a help topic, "" where there is none of that name.
func Topic(name string) string {
	if topic := topics[name]; topic != nil {
		return topic(pageWidth)
	}
	return ""
}

func exitCodesTopic(int) string {
	return `Exit codes:
  0  answered
  1  no answer, or a failure. No pump has a duty point, a goal that you gave is
     missed, no size reaches the target: the page is still written and says why.
     Or a write failed.
  2  wrong usage or input, a missing input file among them. Nothing is written
     to standard output; every fault is named on standard error with its file,
     line and column, what was found and what is allowed.

A reader that closes the pipe early, as "head" does, is no failure.`
}

func unitsTopic(width int) string {
	var b strings.Builder
	b.WriteString(`Write a quantity as a number and a unit, with or without a space: 2400 L/h,
25mm, "1 1/4 in", 0.9 m. Quotes are needed only where there is a space. A plain
0 needs no unit, except for a temperature. A decimal comma is read as one; what
could be either (1,500) is refused with both readings, and so is a gallon that
does not say whether it is US or imperial.

`)
	for _, k := range units.Kinds() {
		fmt.Fprintf(&b, "  %-12s %-12s %s\n", k, k.Example(), wrapAfter(k.Allowed(), 27, width))
	}
	b.WriteString(`
Pages show metric units, or those of --units us or --units imperial. CSV and
JSON always hold the unit that ends the key, as flow_m3_per_h.`)
	return b.String()
}

// wrapAfter breaks s between words so that it fits width after an indent that
// its first line has already.
func wrapAfter(s string, indent, width int) string {
	var b strings.Builder
	used := indent
	for i, word := range strings.Fields(s) {
		n := len([]rune(word))
		switch {
		case i == 0:
		case used+1+n > width:
			b.WriteString("\n" + strings.Repeat(" ", indent))
			used = indent
		default:
			b.WriteByte(' ')
			used++
		}
		b.WriteString(word)
		used += n
	}
	return b.String()
}

func keysTopic(width int) string {
	var b strings.Builder
	b.WriteString(`Every key of a plan file. Where a key stands in a list, as feed[], --set counts
from 1: feed.1.length=9m. A flag is shorthand for the key of the first item.
`)
	group := ""
	for _, k := range plan.KeyTable() {
		if k.Group != group {
			group = k.Group
			b.WriteString("\n" + group + "\n")
		}
		b.WriteString("  " + k.Path)
		if k.Flag != "" {
			b.WriteString("  --" + k.Flag)
		}
		b.WriteByte('\n')
		for _, line := range []string{k.Help, "Takes " + k.Allowed() + ".", keyDefault(k)} {
			if line != "" {
				b.WriteString("      " + wrapAfter(line, 6, width) + "\n")
			}
		}
	}
	return b.String()
}

// keyDefault returns what a key is where nobody gives it.
func keyDefault(k plan.Key) string {
	value := k.Default
	if value == "" {
		value = k.Rule
	}
	switch {
	case k.Needed && value == "":
		return "Needed."
	case value == "":
		return ""
	case k.Source == "":
		return "Default: " + value + "."
	}
	return "Default: " + value + " (" + k.Source + ")."
}
