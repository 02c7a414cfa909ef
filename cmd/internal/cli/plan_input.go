package cli

import (
	"errors"
	"io"
	"os"
	"slices"
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
	flags []*keyValue // shorthand for one key each
}

// addPlanFlags declares --set, --demo and the shorthand flags of cmd by the key table.
func addPlanFlags(cmd *cobra.Command, o *planOptions) {
	flags := cmd.Flags()
	for _, k := range plan.KeyTable() {
		if !slices.Contains(k.Takers, cmd.Name()) {
			continue
		}
		name, v := k.Flag, &keyValue{key: k}
		o.flags = append(o.flags, v)
		flags.Var(v, name, usageOf(k))
		markGroup(flags, k.Group, name)
		if k.Kind != "file" {
			completeWords(cmd, name, k.Choices)
		}
	}
	flags.StringArrayVar(&o.sets, "set", nil, "set any `key=value` of a plan, as feed.1.length=9m; see sunrill help keys")
	flags.BoolVar(&o.demo, "demo", false, "use the built-in demo, which is not your pond")
	markGroup(flags, groupPlan, "set", "demo")
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

// usageOf returns what help says of a flag. Words in backquotes, which pflag
// takes for the placeholder, are in no help line.
func usageOf(k plan.Key) string {
	usage := strings.TrimSuffix(k.Help, ".")
	switch {
	case k.Default != "":
		usage += " (default " + k.Default + ")"
	case k.Rule != "":
		usage += " (default: " + k.Rule + ")"
	}
	return usage
}

// given returns the settings of the shorthand flags that were typed.
func (o *planOptions) given() []plan.Setting {
	var all []plan.Setting
	for _, v := range o.flags {
		if v.typed {
			all = append(all, plan.FlagSetting(v.key.Flag, v.text))
		}
	}
	return all
}

// read loads the plan with the command line applied and the curves of its pumps
// into r.in. Without a plan it starts from the documented defaults alone, never
// from the demo.
func (r *request) read(need plan.Need) error {
	if r.plan.demo && len(r.args) > 0 {
		return &usageError{"--demo and a plan are two inputs", "give one of them"}
	}
	in := &page.Input{Demo: r.plan.demo}
	opt := plan.LoadOptions{ReadOptions: plan.ReadOptions{Sets: r.given, Need: need}, Stdin: r.s.In, Open: opener(in, r.s)}
	if r.open != nil {
		opt.Open = r.open
	}
	var faults []error
	for _, arg := range r.plan.sets {
		set, err := plan.ParseSetting(arg)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		opt.Sets = append(opt.Sets, set)
	}
	where := ""
	switch {
	case in.Demo:
		where, opt.Open = plan.PlanFile, demoOpener(opt.Open)
	case len(r.args) > 0:
		where = r.args[0]
	}
	var err error
	in.Loaded, err = plan.LoadPlan(where, opt)
	if err := errors.Join(append(faults, err)...); err != nil {
		return err
	}
	in.FindNotYours(func(path string) bool { // a pipe gives its text once, to whoever needs it
		info, err := os.Stat(path)
		return err == nil && info.Mode().IsRegular()
	})
	_, err = os.Stat(plan.PlanFile)
	in.Nearby = err == nil
	r.in = in
	return nil
}

// demoOpener opens the files of the demo, and those that the command line names.
func demoOpener(own plan.Opener) plan.Opener {
	demo := plan.FromFS(data.Demo())
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
