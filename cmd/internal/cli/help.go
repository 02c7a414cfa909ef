package cli

import (
	"cmp"
	"embed"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/data/plan"
	"sunrill/data/units"
)

// helpFiles hold what commands and topics say of themselves: the line of the list
// of commands, a blank line, what it is for, and examples under that heading.
//
//go:embed help/*.txt
var helpFiles embed.FS

// explained gives cmd the help of its name.
func explained(cmd *cobra.Command) *cobra.Command {
	text, err := helpFiles.ReadFile("help/" + cmd.Name() + ".txt")
	if err != nil {
		panic("cli: " + err.Error())
	}
	cmd.Short, cmd.Long, _ = strings.Cut(strings.TrimSpace(string(text)), "\n\n")
	cmd.Long, cmd.Example, _ = strings.Cut(cmd.Long, "\n\nExamples:\n")
	return cmd
}

// topics are the names of "sunrill help TOPIC" and the list in each.
var topics = map[string]func() string{
	"exit-codes": func() string { return "" },
	"units":      kindsTaken,
	"keys":       keyList,
}

// newHelpCmd is cobra's help command, except that an unknown name is wrong usage
// rather than the help of the root.
func newHelpCmd() *cobra.Command {
	return &cobra.Command{
		Use:               "help [COMMAND or TOPIC]",
		Short:             "Explain a command or a topic",
		GroupID:           groupCheck,
		ValidArgsFunction: completeFirst(func(cmd *cobra.Command) []string { return commandNames(cmd.Root()) }),
		RunE: func(cmd *cobra.Command, args []string) error {
			found, rest, err := cmd.Root().Find(args)
			if err != nil || found == nil || len(rest) > 0 {
				return noSuch("there is no command and no topic %q", strings.Join(args, " "), commandNames(cmd.Root()),
					"sunrill help ", `"sunrill help" lists both`)
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
func printHelp(cmd *cobra.Command, _ []string) {
	out := cmd.OutOrStdout()
	text := cmp.Or(cmd.Long, cmd.Short)
	if list := topics[cmd.Name()]; list != nil {
		text = strings.Replace(text, "{list}", list(), 1)
	}
	_, _ = fmt.Fprintln(out, strings.TrimSpace(text)) // standard output keeps its failure
	if cmd.Runnable() || cmd.HasAvailableSubCommands() {
		_, _ = fmt.Fprintln(out)
		_ = printUsage(cmd)
	}
}

// printUsage prints the line to type, examples, commands by group and flags by
// group.
func printUsage(cmd *cobra.Command) error {
	var b strings.Builder
	b.WriteString("Usage:\n")
	if cmd.Runnable() && cmd.HasParent() {
		b.WriteString("  " + cmd.UseLine() + "\n")
	}
	if cmd.HasAvailableSubCommands() {
		b.WriteString("  " + cmd.CommandPath() + " COMMAND\n")
	}
	if cmd.HasExample() {
		b.WriteString("\nExamples:\n" + cmd.Example + "\n")
	}
	for _, g := range append([]*cobra.Group{{Title: "Commands:"}}, cmd.Groups()...) {
		writeCommands(&b, cmd, g.Title, func(c *cobra.Command) bool { return c.GroupID == g.ID && c.IsAvailableCommand() })
	}
	writeCommands(&b, cmd, "Topics (sunrill help TOPIC):", (*cobra.Command).IsAdditionalHelpTopicCommand)
	if cmd.HasAvailableFlags() && cmd.HasParent() {
		b.WriteString(groupedFlags(cmd))
	}
	_, err := io.WriteString(cmd.OutOrStdout(), b.String())
	return err
}

func writeCommands(b *strings.Builder, cmd *cobra.Command, title string, wanted func(*cobra.Command) bool) {
	heading := "\n" + title + "\n"
	for _, c := range cmd.Commands() {
		if wanted(c) {
			fmt.Fprintf(b, "%s  %-12s %s\n", heading, c.Name(), wrapAfter(c.Short, 15, pageWidth))
			heading = ""
		}
	}
}

// wrapAfter breaks s between words so that it fits width after an indent that
// its first line has already.
func wrapAfter(s string, indent, width int) string {
	before := strings.Repeat(" ", indent)
	lines := units.Wrapped(before, before, strings.ReplaceAll(s, "\n", " "), width, utf8.RuneCountInString)
	return strings.TrimPrefix(strings.Join(lines, "\n"), before)
}

// kindsTaken lists the kinds of quantity with an example and their units.
func kindsTaken() string {
	var b strings.Builder
	for _, k := range units.Kinds() {
		fmt.Fprintf(&b, "  %-12s %-12s %s\n", k, k.Example(), wrapAfter(k.Allowed(), 27, pageWidth))
	}
	return b.String()
}

// keyList lists the keys of a plan under their headings.
func keyList() string {
	var b strings.Builder
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
				b.WriteString("      " + wrapAfter(line, 6, pageWidth) + "\n")
			}
		}
	}
	return b.String()
}

// keyDefault returns what a key is where nobody gives it.
func keyDefault(k plan.Key) string {
	value := k.Default + k.Rule // one of them at most
	switch {
	case value == "" && k.Needed:
		return "Needed."
	case value == "":
		return ""
	case k.Source == "":
		return "Default: " + value + "."
	}
	return "Default: " + value + " (" + k.Source + ")."
}

// Groups of flags, as help shows them.
const (
	groupTest    = "The test"
	groupReading = "Reading the hours"
	groupPlan    = "Any value of a plan"
	groupPage    = "The page"
	groupMore    = "More"
)

const groupAnnotation = "sunrill_group"

// completeWords makes the shell complete a flag to words alone.
func completeWords(cmd *cobra.Command, name string, words []string) {
	err := cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
	if err != nil {
		panic("cli: completion of --" + name + ": " + err.Error())
	}
}

// completeFirst makes the shell complete the first argument to words.
func completeFirst(words func(*cobra.Command) []string) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return words(cmd), cobra.ShellCompDirectiveNoFileComp
	}
}

// markGroup puts flags under a heading of the help text.
func markGroup(flags *pflag.FlagSet, group string, names ...string) {
	for _, name := range names {
		if err := flags.SetAnnotation(name, groupAnnotation, []string{group}); err != nil {
			panic("cli: group of --" + name + ": " + err.Error())
		}
	}
}

// groupedFlags returns the flags of cmd under their headings, in the order in
// which they were declared.
func groupedFlags(cmd *cobra.Command) string {
	var order []string
	groups := map[string]*pflag.FlagSet{}
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		group := groupMore
		if g := f.Annotations[groupAnnotation]; len(g) > 0 {
			group = g[0]
		}
		if groups[group] == nil {
			set := pflag.NewFlagSet(group, pflag.ContinueOnError)
			set.SortFlags = false
			groups[group] = set
			order = append(order, group)
		}
		groups[group].AddFlag(f)
	})
	last := map[string]int{groupReading: 1, groupPlan: 2, groupPage: 3, groupMore: 4}
	slices.SortStableFunc(order, func(a, b string) int { return last[a] - last[b] })
	var b strings.Builder
	for _, group := range order {
		b.WriteString("\n" + group + ":\n" + groups[group].FlagUsagesWrapped(pageWidth))
	}
	return b.String()
}
