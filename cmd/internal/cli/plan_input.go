package cli

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"sunrill/cmd/internal/report"
	"sunrill/data"

	"github.com/spf13/cobra"
)

// planFile is the name of the plan in a folder.
const planFile = "pond.toml"

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
		k, ok := data.KeyForFlag(name)
		if !ok {
			panic("cli: no key has the flag --" + name)
		}
		flags.Var(&keyValue{key: k}, name, usageOf(k))
		markGroup(cmd, k.Group, name)
		switch {
		case k.Kind == "choice":
			completeWords(cmd, name, k.Choices)
		case k.Kind != "file":
			completeWords(cmd, name, nil) // no file names where none belongs
		}
	}
	flags.StringArrayVar(&o.sets, "set", nil, "set any `key=value` of a plan, as feed.1.length=9m; see sunrill help keys")
	flags.BoolVar(&o.demo, "demo", false, "use the built-in demo, which is not your pond")
	completeKeys(cmd)
	markGroup(cmd, groupPlan, "set", "demo")
}

// keyValue is a shorthand flag. It keeps the text as typed, so that all faults
// of the command line are found together with those of the plan.
type keyValue struct {
	key   data.Key
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

func usageOf(k data.Key) string {
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
		for _, k := range data.KeyTable() {
			keys = append(keys, k.First()+"=\t"+k.Help)
		}
		return keys, cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic("cli: completion of --set: " + err.Error())
	}
}

// given returns the settings of the shorthand flags that were typed on cmd.
func (o *planOptions) given(cmd *cobra.Command) []data.Setting {
	var all []data.Setting
	for _, name := range o.flags {
		if v, ok := cmd.Flags().Lookup(name).Value.(*keyValue); ok && v.typed {
			all = append(all, data.FlagSetting(name, v.text))
		}
	}
	return all
}

// settings returns what the command line sets, in its order: flags, then
// --set. given holds the value of each shorthand flag that was typed.
func (o *planOptions) settings(given []data.Setting) ([]data.Setting, error) {
	all := slices.Clone(given)
	var faults []error
	for _, arg := range o.sets {
		s, err := data.ParseSetting(arg)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		all = append(all, s)
	}
	return all, errors.Join(faults...)
}

// input is a plan with the files that it was made from.
type input struct {
	plan     data.Plan
	curves   [][]data.CurveRow // of each pump
	demo     bool
	files    []string // that were read, for --output not to replace one
	warnings []data.Warning
}

// name returns what the page says of where the plan came from.
func (in *input) name() string {
	switch {
	case in.demo:
		return "the built-in demo"
	case in.plan.File == "-":
		return "plan from standard input"
	case in.plan.File != "":
		return "plan " + in.plan.File
	}
	return "from the command line"
}

// readInput reads the plan that args name, applies the command line, and reads
// the curves of its pumps. Without a plan it starts from the documented
// defaults alone.
func (o *planOptions) readInput(s *Streams, args []string, given []data.Setting, need data.Need) (*input, error) {
	sets, setErr := o.settings(given)
	in := &input{demo: o.demo}
	var err error
	switch {
	case o.demo && len(args) > 0:
		return nil, &usageError{"--demo and a plan are two inputs: give one", ""}
	case o.demo:
		err = in.readDemo(sets, need)
	case len(args) > 0:
		err = in.readPlan(s, args[0], sets, need)
	default:
		in.plan = data.NewPlan()
		if err = in.plan.Apply(sets); err == nil {
			err = joined(in.plan.Missing(need))
		}
	}
	if err := errors.Join(setErr, err); err != nil {
		return nil, err
	}
	return in, in.readCurves(s)
}

func joined(faults []*data.Error) error {
	all := make([]error, len(faults))
	for i, f := range faults {
		all[i] = f
	}
	return errors.Join(all...)
}

func (in *input) readDemo(sets []data.Setting, need data.Need) error {
	return &usageError{"the demo is still to come", ""}
}

func (in *input) readPlan(s *Streams, path string, sets []data.Setting, need data.Need) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		path = filepath.Join(path, planFile)
	}
	text, err := s.readAll(path)
	if err != nil {
		return err
	}
	in.files = append(in.files, path)
	in.plan, in.warnings, err = data.ReadPlan(path, bytes.NewReader(text), data.ReadOptions{Sets: sets, Need: need})
	return err
}

// banner says loudly that a page is not about the reader's pond.
func (in *input) banner() report.Prose {
	if !in.demo {
		return report.Prose{}
	}
	return report.Sentence("THE BUILT-IN DEMO, NOT YOUR POND. Every figure below is of an invented pond.")
}

// readCurves reads the curve file of every pump. A pump that only the command
// line describes stands for every pump in its file.
func (in *input) readCurves(s *Streams) error {
	read := map[string][]data.CurveRows{}
	var faults []error
	var pumps []data.Pump
	for i, p := range in.plan.Pumps {
		if p.Curve == "" {
			pumps, in.curves = append(pumps, p), append(in.curves, nil)
			continue
		}
		path := in.resolve(i, p.Curve)
		curves, seen := read[path]
		if !seen {
			var err error
			curves, err = in.readCurveFile(s, path)
			read[path] = curves
			faults = append(faults, err)
		}
		if len(curves) == 0 {
			continue // its faults are listed already
		}
		if p.Name == "" && p.CurveRow == "" {
			for _, c := range curves {
				p.Name = c.Pump
				pumps, in.curves = append(pumps, p), append(in.curves, c.Rows)
			}
			continue
		}
		c, err := rowNamed(curves, p)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		pumps, in.curves = append(pumps, p), append(in.curves, c.Rows)
	}
	in.plan.Pumps = pumps
	return errors.Join(faults...)
}

// resolve returns where the curve file of pump i lies: paths in a plan are
// relative to the plan, paths on the command line to the working folder.
func (in *input) resolve(i int, path string) string {
	origin := in.plan.Origins[fmt.Sprintf("pump.%d.curve", i+1)]
	fromPlan := origin.Kind == data.FromFile || origin.Kind == data.FromStarter
	if !fromPlan || filepath.IsAbs(path) || in.plan.File == "-" {
		return path
	}
	return filepath.Join(filepath.Dir(in.plan.File), path)
}

func (in *input) readCurveFile(s *Streams, path string) ([]data.CurveRows, error) {
	text, err := s.readAll(path)
	if err != nil {
		return nil, err
	}
	in.files = append(in.files, path)
	curves, warnings, err := data.ReadCurves(path, bytes.NewReader(text))
	in.warnings = append(in.warnings, warnings...)
	return curves, err
}

// rowNamed returns the curve of pump p among those of its file.
func rowNamed(curves []data.CurveRows, p data.Pump) (data.CurveRows, error) {
	want := p.CurveRow
	if want == "" {
		if len(curves) == 1 {
			return curves[0], nil
		}
		want = p.Name
	}
	var names []string
	for _, c := range curves {
		if c.Pump == want {
			return c, nil
		}
		names = append(names, c.Pump)
	}
	return data.CurveRows{}, &data.Error{File: p.Curve, Key: "pump", Found: want, Message: "the file has no curve of that name",
		Allowed: strings.Join(names, ", "), Hint: "curve_row says which pump of the file is meant"}
}
