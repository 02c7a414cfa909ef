package cli

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/plan"
)

// planOptions are the flags of every command that reads a plan.
type planOptions struct {
	sets  []string
	demo  bool
	flags []string // flags that are shorthand for one key, without dashes
}

// addPlanFlags declares --set, --demo and the shorthand flags on cmd. What
// they say comes from the key table.
func addPlanFlags(cmd *cobra.Command, o *planOptions, shorthand ...string) {
	o.flags = shorthand
	flags := cmd.Flags()
	flags.SortFlags = false
	for _, name := range shorthand {
		k, ok := plan.KeyForFlag(name)
		if !ok {
			panic("cli: no key has the flag --" + name)
		}
		flags.Var(&keyValue{key: k}, name, usageOf(k))
		markGroup(cmd, k.Group, name)
		switch {
		case k.Kind == "choice":
			completeWords(cmd, name, k.Choices)
		case k.Kind != "file":
			completeWords(cmd, name, tableRows(k.Path)) // no file names where none belongs
		}
	}
	flags.StringArrayVar(&o.sets, "set", nil, "set any `key=value` of a plan, as feed.1.length=9m; see sunrill help keys")
	flags.BoolVar(&o.demo, "demo", false, "use the built-in demo, which is not your pond")
	completeKeys(cmd)
	markGroup(cmd, groupPlan, "set", "demo")
}

// tableRows returns the rows of the embedded table that the key of path names
// one of, or nil.
func tableRows(path string) []string {
	var rows []string
	switch path {
	case "feed[].pipe":
		for _, p := range data.Pipes() {
			rows = append(rows, p.Name)
		}
	case "site.place":
		for _, p := range data.ClimatePlaces() {
			rows = append(rows, p.String())
		}
	}
	return rows
}

// keyValue is a shorthand flag. It keeps the text as typed, so that all faults
// of the command line are found together with those of the plan.
type keyValue struct {
	key   plan.Key
	text  string
	typed bool
}

// String returns the text as typed.
func (v *keyValue) String() string { return v.text }

// Set keeps the text. A flag given twice is refused, since one of the two
// would be dropped without a word.
func (v *keyValue) Set(text string) error {
	if v.typed {
		return errors.New("given twice; allowed: each flag once")
	}
	v.text, v.typed = text, true
	return nil
}

// Type returns the word that stands for the value in help texts.
func (v *keyValue) Type() string {
	if v.key.Kind == "choice" {
		return strings.Join(v.key.Choices, "|")
	}
	return strings.ReplaceAll(v.key.Kind, " ", "-")
}

func usageOf(k plan.Key) string {
	usage := strings.TrimSuffix(k.Help, ".")
	if k.Default != "" {
		usage += " (default " + k.Default + ")"
	} else if k.Rule != "" {
		usage += " (default: " + k.Rule + ")"
	}
	// pflag takes words in backquotes for the placeholder; help lines hold none.
	return usage
}

// completeKeys completes --set to the keys of the table.
func completeKeys(cmd *cobra.Command) {
	err := cmd.RegisterFlagCompletionFunc("set", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		var keys []string
		for _, k := range plan.KeyTable() {
			keys = append(keys, k.First()+"=\t"+k.Help)
		}
		return keys, cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic("cli: completion of --set: " + err.Error())
	}
}

// given returns the settings of the shorthand flags that were typed on cmd.
func (o *planOptions) given(cmd *cobra.Command) []plan.Setting {
	var all []plan.Setting
	for _, name := range o.flags {
		if v, ok := cmd.Flags().Lookup(name).Value.(*keyValue); ok && v.typed {
			all = append(all, plan.FlagSetting(name, v.text))
		}
	}
	return all
}

// readInput loads the plan that args name with the command line applied and
// the curves of its pumps. Without a plan it starts from the documented
// defaults alone, never from the demo.
func (o *planOptions) readInput(s *Streams, args []string, given []plan.Setting, need plan.Need) (*page.Input, error) {
	if o.demo && len(args) > 0 {
		return nil, &usageError{"--demo and a plan are two inputs", "give one of them"}
	}
	in := &page.Input{Demo: o.demo}
	opt := plan.LoadOptions{ReadOptions: plan.ReadOptions{Sets: given, Need: need}, Stdin: s.In}
	var faults []error
	for _, arg := range o.sets {
		set, err := plan.ParseSetting(arg)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		opt.Sets = append(opt.Sets, set)
	}
	where := ""
	switch {
	case o.demo:
		where, opt.Open = plan.PlanFile, demoOpener(in, s)
	case len(args) > 0:
		where, opt.Open = planPath(args[0]), opener(in, s)
	default:
		opt.Open = opener(in, s)
	}
	var err error
	in.Loaded, err = plan.LoadPlan(where, opt)
	if err := errors.Join(append(faults, err)...); err != nil {
		return nil, err
	}
	in.NotYours = notYours(in)
	_, err = os.Stat(plan.PlanFile)
	in.Nearby = err == nil
	return in, nil
}

// planPath returns the plan of a folder, or path itself.
func planPath(path string) string {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return filepath.Join(path, plan.PlanFile)
	}
	return path
}

// demoOpener opens the files of the demo, and those that the command line names.
func demoOpener(in *page.Input, s *Streams) plan.Opener {
	demo, own := plan.FromFS(data.Demo()), opener(in, s)
	return func(path string) (io.ReadCloser, error) {
		if f, err := demo(path); err == nil {
			return f, nil
		}
		return own(path)
	}
}

// opener opens files and keeps note of them; - is standard input.
func opener(in *page.Input, s *Streams) plan.Opener {
	return func(path string) (io.ReadCloser, error) {
		if path == "-" {
			return io.NopCloser(s.In), nil
		}
		in.Files = append(in.Files, path)
		return os.Open(path)
	}
}
