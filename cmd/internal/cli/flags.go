package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

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
