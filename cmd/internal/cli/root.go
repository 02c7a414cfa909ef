package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/data"
	"sunrill/data/units"
)

// Main runs the command line args (without the program's name) and returns
// the exit code. It prints the result on stdout and messages on stderr.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	s := newStreams(stdin, stdout, stderr)
	root := newRoot(s)
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetErr(stderr)
	err := root.Execute()
	if s.Out.failed != nil {
		err = &ranError{s.Out.failed}
	}
	return finish(s, err)
}

// Command returns the command tree, for what is generated from it.
func Command() *cobra.Command { return newRoot(newStreams(nil, io.Discard, io.Discard)) }

// Command groups of the root's help.
const (
	groupStart = "start"
	groupParts = "parts"
	groupCheck = "check"
)

func newRoot(s *Streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "sunrill",
		Short: "Plan the water, power and money of one small circulating pond pump",
		Long: `Sunrill plans the water, power and money of one small circulating pond pump:
what really flows at your lift and hose, how often the pond turns over, what it
costs, and what sun and storage would carry it.

Start with "sunrill plan", which shows a worked example; "sunrill new mypond"
then writes a plan to fill in, and "sunrill new mypond --ask" asks for it.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          noArguments,
		RunE:          func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	root.AddGroup(
		&cobra.Group{ID: groupStart, Title: "Start here:"},
		&cobra.Group{ID: groupParts, Title: "The parts of a plan:"},
		&cobra.Group{ID: groupCheck, Title: "Check and look up:"},
	)
	root.SetFlagErrorFunc(flagError)
	root.SetUsageFunc(func(cmd *cobra.Command) error { return printUsage(cmd, s.width) })
	root.SetHelpFunc(func(cmd *cobra.Command, _ []string) { printHelp(cmd, s.width) })
	// One a line, so that two new commands do not meet in one.
	root.AddCommand(
		newPlanCmd(s),
		newNewCmd(s),
		newDutyCmd(s),
		newCompareCmd(s),
		newSunCmd(s),
		newBalanceCmd(s),
		newTradeoffCmd(s),
		newSizeCmd(s),
		newMeasureCmd(s),
		newTablesCmd(s),
		newVersionCmd(s),
	)
	root.AddCommand(newTopics()...)
	root.SetHelpCommand(newHelpCmd())
	root.SetCompletionCommandGroupID(groupCheck)
	root.SetOut(s.Out) // completion keeps the output that it is made with
	refuseOtherShells(root)
	return root
}

// refuseOtherShells makes cobra's completion command refuse a shell that it
// does not know, which it would answer with its help and success.
func refuseOtherShells(root *cobra.Command) {
	root.InitDefaultCompletionCmd()
	completion, _, err := root.Find([]string{"completion"})
	if err != nil {
		panic("cli: no completion command: " + err.Error())
	}
	completion.Args = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		hint := "allowed: " + strings.Join(commandNames(cmd), ", ")
		if near := data.Nearest(args[0], commandNames(cmd)); near != "" {
			hint = "did you mean: sunrill completion " + near
		}
		return &usageError{fmt.Sprintf("there is no completion for %q", args[0]), hint}
	}
	completion.Example = "  # what bash is to load, as with: source <(sunrill completion bash)\n  $ sunrill completion bash"
	completion.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
}

// noArguments refuses arguments of a command that takes none, naming the
// commands that come close where it is the root.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if !cmd.HasParent() {
		hint := `"sunrill help" lists the commands`
		if near := data.Nearest(args[0], commandNames(cmd)); near != "" {
			hint = "did you mean: sunrill " + near
		}
		return &usageError{fmt.Sprintf("there is no command %q", args[0]), hint}
	}
	return &usageError{fmt.Sprintf("%s takes no argument: found %q", cmd.CommandPath(), args[0]), seeHelp(cmd)}
}

// atMostOne refuses a second argument.
func atMostOne(cmd *cobra.Command, args []string) error {
	if len(args) > 1 {
		return &usageError{fmt.Sprintf("%s takes one argument at most: found %q too", cmd.CommandPath(), args[1]), seeHelp(cmd)}
	}
	return nil
}

func seeHelp(cmd *cobra.Command) string { return fmt.Sprintf("see: %s --help", cmd.CommandPath()) }

// flagError turns what pflag says into our own words.
func flagError(cmd *cobra.Command, err error) error {
	var invalid *pflag.InvalidValueError
	var unknown *pflag.NotExistError
	var quantity *units.Error
	switch {
	case errors.As(err, &quantity) && errors.As(err, &invalid):
		return &data.Error{Key: "--" + invalid.GetFlag().Name, Found: invalid.GetValue(),
			Message: quantity.Problem, Allowed: quantity.Allowed, Err: err}
	case errors.As(err, &invalid):
		message, allowed, _ := strings.Cut(errors.Unwrap(invalid).Error(), "; allowed: ")
		return &data.Error{Key: "--" + invalid.GetFlag().Name, Found: invalid.GetValue(),
			Message: message, Allowed: allowed, Err: err}
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		hint := seeHelp(cmd)
		if name == "version" || name == "v" {
			return &usageError{"the version is a command", "sunrill version"}
		}
		if near := nearFlag(cmd, name); near != "" {
			hint = "did you mean: --" + near
		}
		return &usageError{fmt.Sprintf("%s has no flag %s%s", cmd.CommandPath(), dashes(name), name), hint}
	}
	return &usageError{err.Error(), seeHelp(cmd)}
}

// dashes returns what stands before the name of a flag.
func dashes(name string) string {
	if len([]rune(name)) == 1 {
		return "-"
	}
	return "--"
}

// nearFlag returns the flag of cmd whose name is closest to name, or "".
func nearFlag(cmd *cobra.Command, name string) string {
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	return data.Nearest(name, names)
}

// sayCobra prints what cobra itself has to say of a command of its own, such as
// an argument too many of its completion.
func sayCobra(s *Streams, err error) {
	s.say("error", err.Error())
	s.say("hint", `"sunrill help" lists the commands`)
}
