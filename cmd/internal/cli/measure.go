package cli

import (
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
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

// measurement is everything that a page about a test shows.
type measurement struct {
	in    *input
	works *works.Waterworks // nil without a plan
	pump  int

	times  durations    // of the command line
	bucket units.Volume // of the test, or to say what one should show
	flow   *pumps.FlowReading
	power  pumps.PowerReading
	volts  units.Voltage
	amps   units.Current

	clean, dirty pumps.Run // of one line where each of several pumps has one
	finding      figure.Maybe[pumps.Finding]
	log          *measuredLog
	warnings     []data.Warning
}

func runMeasure(s *Streams, o *measureOptions, args []string, given []data.Setting) (*document.Document, []string, error) {
	if err := o.check(); err != nil {
		return nil, nil, err
	}
	m := &measurement{times: o.times, bucket: o.bucket, volts: o.volts, amps: o.amps}
	withPlan := len(args) > 0 || o.plan.demo || len(o.plan.sets) > 0
	named := ""
	for _, g := range given {
		withPlan = withPlan || g.Flag != "log"
		if g.Flag == "pump" {
			named = g.Text
		}
	}
	need := data.Need(0)
	if withPlan {
		need = data.NeedDuty
	} else if len(o.times) == 0 && len(given) == 0 {
		return nil, nil, &usageError{"neither a test nor a plan is given", "sunrill measure --bucket 12L --time 9.8s, or sunrill measure mypond"}
	}
	var err error
	if m.in, err = o.plan.readInput(s, args, given, need); err != nil {
		return nil, nil, err
	}
	if err := m.read(o); err != nil {
		return nil, nil, err
	}
	if withPlan {
		if err := m.compare(named); err != nil {
			return nil, nil, err
		}
	}
	if err := m.trend(); err != nil {
		return nil, nil, err
	}
	return m.document(), m.in.files, m.noAnswer()
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

// read takes the readings of the command line and of the log.
func (m *measurement) read(o *measureOptions) error {
	m.power = pumps.PowerReading{Power: o.meter}
	if o.volts > 0 {
		m.power = pumps.PowerReading{Power: units.Power(float64(o.volts) * float64(o.amps)), Bound: true}
	}
	if len(o.times) > 0 {
		r, err := pumps.TimeBucket(o.bucket, o.times)
		if err != nil {
			return underFlags(err)
		}
		m.flow = &r
		m.warnings = append(m.warnings, r.Warnings...)
	}
	if m.in.Path(logKey) == "" {
		return nil
	}
	if err := m.readLog(); err != nil {
		return err
	}
	if m.flow == nil {
		last := m.log.readings[len(m.log.readings)-1]
		m.flow = &last
		if m.power.Power == 0 {
			m.power.Power = m.log.file.Rows[len(m.log.readings)-1].Power
		}
		if m.bucket == 0 {
			m.bucket = last.Bucket
		}
	}
	return nil
}

// underFlags returns the faults of a bucket test under the flags that gave it.
func underFlags(err error) error {
	for _, f := range data.Faults(err) {
		f.Key = "--" + f.Key
	}
	return err
}

// doubtful reports whether the test cannot be right, so that nothing rests on it.
func (m *measurement) doubtful() bool {
	return m.finding.Known && m.finding.Value.Cause == pumps.DoubtfulTest
}

// compare holds the readings against the plan.
func (m *measurement) compare(named string) error {
	p := &m.in.Plan
	place, err := m.in.surroundings(m.in.Plan.Water.Temperature == nil)
	if err != nil {
		return err
	}
	if m.log != nil && !m.in.Plan.Given(dirtLossKey) {
		place.Loss = m.log.loss()
	}
	if m.works, err = works.NewWaterworks(p, m.in.Curves, place); err != nil {
		return m.in.placed(err)
	}
	if m.pump, err = m.works.Running(p, named); err != nil {
		return err
	}
	runs, err := m.line().Runs()
	if err != nil {
		return err
	}
	m.clean, m.dirty = runs[0].Clean, runs[0].Dirty
	m.doubtWhen()
	if m.flow == nil {
		m.finding = figure.Unknown[pumps.Finding]("no flow was measured")
		return nil
	}
	m.finding, err = m.works.Explained(m.pump, *m.flow, m.power)
	return err
}

// line returns the works with the measured pump alone, and one of it where each
// of several has a line.
func (m *measurement) line() *works.Waterworks {
	one := *m.works
	one.Pumps = []pumps.Pump{m.works.Pumps[m.pump].OneLine()}
	return &one
}

// lines returns how many lines like the measured one feed the pond.
func (m *measurement) lines() int {
	if m.works == nil {
		return 1
	}
	return m.works.Pumps[m.pump].Lines()
}

// doubtWhen says at which speed and in which water the test is taken to have
// been made, where the plan knows more than one.
func (m *measurement) doubtWhen() {
	doubt := func(key, format string, args ...any) {
		m.warnings = append(m.warnings, data.Warning{Key: key, Message: units.Sprintf(format, args...)})
	}
	for _, b := range m.in.Plan.Run.Bands {
		if b.Speed != m.works.Speed {
			doubt("run.band", "the clock is not looked at: the pump is taken to run at %.3g %% of its curve's speed; if the test fell into hours with another, give that with --speed", 100*m.works.Speed)
			break
		}
	}
	if t := m.in.Plan.Water.Temperature; t != nil && slices.Max(t[:]) > slices.Min(t[:]) {
		doubt("water.temperature", "the calendar is not looked at: the water is taken at the year's mean of %.3g C, and colder water flows a little less; give that of the test with --water-temp", m.works.Water.InCelsius())
	}
}

// noAnswer returns the error of a page that could not hold a test against the
// plan.
func (m *measurement) noAnswer() error {
	if m.works != nil && m.clean.LeastFlow() == 0 {
		return &noAnswer{m.works.Pumps[m.pump].Name() + ": " + m.clean.Why}
	}
	return nil
}
