package cli

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/units"
)

// Main runs the command line args (without the program's name) and returns
// the exit code. It prints the result on stdout and messages on stderr.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	s := newStreams(stdin, stdout, stderr)
	root := newRoot(s, args)
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetErr(stderr)
	err := root.Execute()
	if s.Out.failed != nil {
		err, s.running = s.Out.failed, true
	}
	return finish(s, err)
}

// Command returns the command tree, for what is generated from it.
func Command() *cobra.Command { return newRoot(newStreams(nil, io.Discard, io.Discard), nil) }

// Command groups of the root's help.
const (
	groupStart = "start"
	groupParts = "parts"
	groupCheck = "check"
)

// newRoot returns the tree. Where there are args, only the commands that they name have
// their flags, some hundred each.
func newRoot(s *Streams, args []string) *cobra.Command {
	root := explained(&cobra.Command{
		Use:           "sunrill",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return noSuch("there is no command %q", args[0], commandNames(cmd), "sunrill ", `"sunrill help" lists the commands`)
		},
		PersistentPreRun: func(*cobra.Command, []string) { s.running = true },
		RunE:             func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	})
	root.AddGroup(
		&cobra.Group{ID: groupStart, Title: "Start here:"},
		&cobra.Group{ID: groupParts, Title: "The parts of a plan:"},
		&cobra.Group{ID: groupCheck, Title: "Check and look up:"},
	)
	root.SetFlagErrorFunc(flagError)
	root.SetUsageFunc(printUsage)
	root.SetHelpFunc(printHelp)
	for _, c := range commands {
		root.AddCommand(c.cobra(s, func(name string) bool { return args == nil || slices.Contains(args, name) }))
	}
	root.AddCommand(newNewCmd(s), newTryCmd(s), newVersionCmd(s))
	for name := range topics {
		root.AddCommand(explained(&cobra.Command{Use: name}))
	}
	root.SetHelpCommand(newHelpCmd())
	root.SetCompletionCommandGroupID(groupCheck)
	root.SetOut(s.Out) // completion keeps the output that it is made with
	root.InitDefaultCompletionCmd()
	completion, _, err := root.Find([]string{"completion"})
	if err != nil {
		panic("cli: no completion command: " + err.Error())
	}
	completion.Example = "  # what bash is to load, as with: source <(sunrill completion bash)\n  $ sunrill completion bash"
	completion.RunE = root.RunE // so that it refuses another shell
	return root
}

func newVersionCmd(s *Streams) *cobra.Command {
	return explained(&cobra.Command{
		Use:     "version",
		GroupID: groupCheck,
		Args:    atMost(0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(s.Out, version())
			return err
		},
	})
}

// version returns the module's version, which holds the commit where the build knows it,
// and what it was built with and for.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "sunrill, of an unknown build"
	}
	return "sunrill " + info.Main.Version + "\nbuilt with " + info.GoVersion + " for " + runtime.GOOS + "/" + runtime.GOARCH
}

// atMostOne refuses a second argument.
var atMostOne = atMost(1, "one argument at most")

// atMost refuses what is beyond n arguments.
func atMost(n int, said string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) <= n {
			return nil
		}
		return &usageError{fmt.Sprintf("%s takes %s: found %q too", cmd.CommandPath(), said, args[n]), seeHelp(cmd)}
	}
}

// noSuch refuses a name in the words of format, with what to type for the one of
// names that comes close, else another hint.
func noSuch(format, name string, names []string, before, otherwise string) error {
	hint := otherwise
	if near := data.Nearest(name, names); near != "" {
		hint = "did you mean: " + before + near
	}
	return &usageError{fmt.Sprintf(format, name), hint}
}

func seeHelp(cmd *cobra.Command) string { return fmt.Sprintf("see: %s --help", cmd.CommandPath()) }

// flagError turns what pflag says into our own words.
func flagError(cmd *cobra.Command, err error) error {
	var invalid *pflag.InvalidValueError
	var unknown *pflag.NotExistError
	switch {
	case errors.As(err, &invalid):
		e := &data.Error{Key: "--" + invalid.GetFlag().Name, Found: invalid.GetValue(), Err: err}
		var quantity *units.Error
		if errors.As(err, &quantity) {
			e.Message, e.Allowed = quantity.Problem, quantity.Allowed
		} else {
			e.Message, e.Allowed, _ = strings.Cut(errors.Unwrap(invalid).Error(), "; allowed: ")
		}
		return e
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		if name == "version" || name == "v" {
			return &usageError{"the version is a command", "sunrill version"}
		}
		dashes := "--"
		if len([]rune(name)) == 1 {
			dashes = "-"
		}
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		return noSuch(cmd.CommandPath()+" has no flag "+dashes+"%s", name, names, "--", seeHelp(cmd))
	}
	return &usageError{err.Error(), seeHelp(cmd)}
}

// Exit codes.
const (
	exitAnswered = 0
	exitNoAnswer = 1 // no answer, or a failure
	exitUsage    = 2 // wrong usage or input
)

// usageError is a mistake on the command line that is no fault of one value.
type usageError struct {
	message string
	hint    string
}

func (e *usageError) Error() string { return e.message }

// finish tells the person about err and returns the exit code for it. What cobra
// refused before a command ran, such as an argument too many of its own
// completion, is a mistake in usage.
func finish(s *Streams, err error) int {
	var none *page.NoAnswer
	var usage *usageError
	var fault *data.Error
	switch {
	case err == nil, errors.Is(err, syscall.EPIPE):
		return exitAnswered // whoever closed the pipe has seen enough of the page
	case errors.As(err, &none):
		s.say("error", none.Why.In(s.system))
		return exitNoAnswer
	case errors.As(err, &usage):
		s.say("error", usage.message)
		if usage.hint != "" {
			s.say("hint", usage.hint)
		}
		return exitUsage
	case errors.As(err, &fault):
		sayFaults(s, err)
		return exitUsage
	}
	s.say("error", err.Error())
	if s.running {
		return exitNoAnswer
	}
	s.say("hint", `"sunrill help" lists the commands`)
	return exitUsage
}

// sayFaults prints every fault on a line of its own, and its hint under it; a
// hint that faults in a row share stands under the last of them.
func sayFaults(s *Streams, err error) {
	faults := data.Faults(err)
	for i, f := range faults {
		s.say("error", f.Error())
		last := i == len(faults)-1
		if f.Hint != "" && (last || faults[i+1].Hint != f.Hint) {
			s.say("hint", f.Hint)
		}
	}
}
