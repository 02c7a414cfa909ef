package cli

import (
	"errors"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/data/units"
)

type measureOptions struct {
	page   pageOptions
	plan   planOptions
	bucket units.Volume
	times  durations
	meter  units.Power
	volts  units.Voltage
	amps   units.Current
}

// durations is a flag that may be given several times.
type durations []units.Duration

// Set adds one duration, with a unit or as a stopwatch shows it.
func (d *durations) Set(text string) error {
	one, watch := units.ParseStopwatch(text)
	if !watch {
		if err := one.Set(text); err != nil {
			return err
		}
	}
	*d = append(*d, one)
	return nil
}

// Type returns the word that stands for the value in help texts.
func (d *durations) Type() string { return units.KindTime.String() }

// String returns the durations as they may be typed.
func (d *durations) String() string {
	all := make([]string, len(*d))
	for i, one := range *d {
		all[i] = one.String()
	}
	return strings.Join(all, ", ")
}

// reading is a flag of a quantity that was read, which is never 0.
type reading[T ~float64] struct {
	pflag.Value
	to *T
}

// Set refuses 0, which elsewhere stands for what was not read.
func (r reading[T]) Set(text string) error {
	err := r.Value.Set(text)
	if err == nil && *r.to == 0 {
		return errors.New("nothing was measured; allowed: more than 0")
	}
	return err
}

const groupTest = "The test"

func newMeasureCmd(s *Streams) *cobra.Command {
	var o measureOptions
	cmd := &cobra.Command{
		Use:     "measure [PLAN]",
		Short:   "Hold bucket, stopwatch and meter against the plan, and see when to clean",
		GroupID: groupCheck,
		Long: `Hold a bucket, a stopwatch and a plug-in meter against the plan: the flow with
its error, the resistance or lost head that explains it, whether line or pump is
to blame, and what the bucket should show. A log of dated tests gives the trend
and the day to clean.

Catch the water where it falls into the filter, with a bucket that takes 10 s or
more to fill, and time it three times. Read the meter while the pump runs. Volts
times amps are only an upper bound of the watts.

Keep meter, plugs and extension leads dry and away from the pond's edge.`,
		Example: `  # what the bucket should show
  $ sunrill measure --demo --bucket 20L
  # what it did show, and the meter
  $ sunrill measure --demo --bucket 20L --time 25.1s --time 25.6s --time 24.9s --meter 79W
  # the flow alone, without a plan
  $ sunrill measure --bucket 12L --time 19.8s --time 20.3s --time 20.1s
  # a log with the headings date, bucket (L), time (s), power (W)
  sunrill measure mypond --log tests.csv`,
		Args: atMostOne,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPage(s, &o.page, func() (*document.Document, []string, error) {
				return runMeasure(s, &o, args, o.plan.given(cmd))
			})
		},
	}
	flags := cmd.Flags()
	flags.Var(reading[units.Volume]{&o.bucket, &o.bucket}, "bucket", "what the bucket holds up to the mark, such as 12L")
	flags.Var(&o.times, "time", "time to fill it, such as 9.8s or 0:22; give it once for each timing")
	flags.Var(reading[units.Power]{&o.meter, &o.meter}, "meter", "watts of a plug-in meter while the pump runs")
	flags.Var(reading[units.Voltage]{&o.volts, &o.volts}, "meter-volts", "volts, where the meter shows only volts and amps")
	flags.Var(reading[units.Current]{&o.amps, &o.amps}, "meter-amps", "amps, with --meter-volts; the product is an upper bound of the watts")
	for _, name := range []string{"bucket", "meter", "meter-volts", "meter-amps"} {
		flags.Lookup(name).DefValue = "" // nothing read is not a reading of 0
	}
	markGroup(cmd, groupTest, "bucket", "time", "meter", "meter-volts", "meter-amps")
	addPlanFlags(cmd, &o.plan, append([]string{"log", "pump", "volume", "stocking", "turnover-goal"}, dutyFlags...)...)
	addPageFlags(cmd, &o.page)
	return cmd
}

func runMeasure(s *Streams, o *measureOptions, args []string, given []plan.Setting) (*document.Document, []string, error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	m := &page.Measurement{Times: o.times, Bucket: o.bucket, Volts: o.volts, Amps: o.amps}
	withPlan := len(args) > 0 || o.plan.demo || len(o.plan.sets) > 0
	named := ""
	for _, g := range given {
		withPlan = withPlan || g.Flag != "log"
		if g.Flag == "pump" {
			named = g.Text
		}
	}
	need := plan.Need(0)
	if withPlan {
		need = plan.NeedDuty
	} else if len(o.times) == 0 && len(given) == 0 {
		return nil, nil, &usageError{"neither a test nor a plan is given", "sunrill measure --bucket 12L --time 9.8s, or sunrill measure mypond"}
	}
	var err error
	if m.In, err = o.plan.readInput(s, args, given, need); err != nil {
		return nil, nil, err
	}
	if err := m.Read(o.meter); err != nil {
		return nil, nil, err
	}
	if withPlan {
		if err := m.Compare(named); err != nil {
			return nil, nil, err
		}
	}
	if err := m.Trend(); err != nil {
		return nil, nil, err
	}
	return m.Document(), m.In.Files, m.NoAnswer()
}

// check refuses flags that do not make a test.
func (o *measureOptions) check() error {
	switch {
	case len(o.times) > 0 && o.bucket == 0:
		return &usageError{"--time needs the bucket that was filled", "add --bucket, such as --bucket 12L"}
	case (o.volts > 0) != (o.amps > 0):
		return &usageError{"--meter-volts and --meter-amps belong together", "give both, or --meter with the watts"}
	case o.meter > 0 && o.volts > 0:
		return &usageError{"--meter and --meter-volts are two readings of the same", "the watts of --meter are the better one"}
	}
	return nil
}
