package page

import (
	"math"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
	"sunrill/pumps/works"
)

// measuredLog is a log of dated tests and what it shows.
type measuredLog struct {
	file     data.LogFile
	readings []pumps.FlowReading // one for each row
	upkeep   figure.Maybe[works.Upkeep]
}

// Keys of the log of dated tests and of the share of flow that it may tell.
const (
	logKey      = "upkeep.log"
	dirtLossKey = "upkeep.flow_loss_when_dirty"
)

// newMeasuredLog returns the flows of a log; bucket is taken where a row names
// none.
func newMeasuredLog(file data.LogFile, bucket units.Volume) (*measuredLog, error) {
	l := &measuredLog{file: file}
	var faults data.FaultList
	for _, row := range file.Rows {
		if row.Flow > 0 {
			l.readings = append(l.readings, pumps.ReadFlow(row.Flow))
			continue
		}
		size := row.Bucket
		if size == 0 {
			size = bucket
		}
		if size == 0 {
			faults.Add(&data.Error{File: file.File, Line: row.Line, Key: "bucket", Message: "nothing says how large the bucket was",
				Allowed: "a column bucket (L), or --bucket for all rows"})
			continue
		}
		r, err := pumps.TimeBucket(size, []units.Duration{row.Time})
		for _, f := range data.Faults(err) {
			if f.File, f.Line, f.Column = file.File, row.Line, row.Column; f.Key == "bucket" {
				f.Column = 1
			}
			faults.Add(f)
		}
		l.readings = append(l.readings, r)
	}
	return l, faults.Err()
}

// tests returns the flows with their days.
func (l *measuredLog) tests() []works.DatedFlow {
	tests := make([]works.DatedFlow, len(l.readings))
	for i, r := range l.readings {
		tests[i] = works.DatedFlow{Day: l.day(i), Flow: r.Flow, Cleaned: l.file.Rows[i].Cleaned}
	}
	return tests
}

// logged returns what the log says of the line: its clean flow, and the share that is lost
// before a cleaning where the plan does not state that.
func (l *measuredLog) logged(in *Input) works.Logged {
	out := works.Logged{Clean: works.CleanFlow(l.tests(), l.file.HasCleaned)}
	if !in.Plan.Given(dirtLossKey) {
		out.Loss = works.LossBeforeCleaning(l.tests(), l.file.HasCleaned)
	}
	return out
}

// day returns the days of row i since the first test.
func (l *measuredLog) day(i int) float64 {
	return l.file.Rows[i].Date.Sub(l.file.Rows[0].Date.Time).Hours() / 24
}

// date returns the calendar day so many days after the first test, false beyond
// what anybody plans.
func (l *measuredLog) date(days float64) (time.Time, bool) {
	const far = 100 * 365
	if !(math.Abs(days) < far) {
		return time.Time{}, false
	}
	return l.file.Rows[0].Date.AddDate(0, 0, int(math.Floor(days))), true
}

// Trend finds the trend of the log and the day to clean.
func (m *Measurement) Trend() error {
	if m.log == nil {
		return nil
	}
	tests := m.log.tests()
	var u works.Upkeep
	var err error
	if m.works == nil || m.works.Pumps[m.pump].LabelOnly() || m.clean.LeastFlow() == 0 {
		u, err = works.UpkeepOfFlow(tests, m.log.file.HasCleaned, m.In.Plan.Upkeep.FlowLossWhenDirty)
	} else {
		var warnings []data.Warning
		u, warnings, err = m.works.Upkeep(m.pump, tests, m.log.file.HasCleaned)
		m.warnings = append(m.warnings, warnings...)
	}
	if err != nil {
		// Too few tests are no fault of the log: it grows.
		why := units.Text(data.Faults(err)[0].Message)
		if u.From > 0 {
			why += units.Say(" since %s, where it begins: %s", m.log.file.Rows[u.From].Date.Format(pageDate), u.FromWhy)
		}
		m.log.upkeep = figure.Unknown[works.Upkeep](why)
		return nil
	}
	m.log.upkeep = figure.Known(u)
	return nil
}

// Measurement is everything that a page about a test shows.
type Measurement struct {
	In    *Input
	works *works.Waterworks // nil without a plan
	pump  int

	Times  []units.Duration // of the command line
	Bucket units.Volume     // of the test, or to say what one should show
	flow   figure.Maybe[pumps.FlowReading]
	power  units.Power // of a meter, 0 where none was read

	clean, dirty pumps.Run // of one line where each of several pumps has one
	finding      figure.Maybe[pumps.Finding]
	log          *measuredLog
	warnings     []data.Warning
}

// Read takes the readings of the command line and of the log.
func (m *Measurement) Read(meter units.Power) error {
	m.power, m.finding = meter, figure.Unknown[pumps.Finding](noPlanWhy)
	m.flow = figure.Unknown[pumps.FlowReading]("no flow was measured")
	if len(m.Times) > 0 {
		r, err := pumps.TimeBucket(m.Bucket, m.Times)
		if err != nil {
			return data.Changed(err, func(f *data.Error) *data.Error {
				f.Key = "--" + f.Key // the flag that gave it
				return f
			})
		}
		m.flow = figure.Known(r)
		m.warnings = append(m.warnings, r.Warnings...)
	}
	if m.In.Path(logKey) == "" {
		return nil
	}
	file, err := ReadFile(m.In, logKey, data.ReadLog)
	if err != nil {
		return err
	}
	m.warnings = append(m.warnings, file.Warnings...)
	if m.log, err = newMeasuredLog(file, m.Bucket); err != nil {
		return err
	}
	if !m.flow.Known {
		last := m.log.readings[len(m.log.readings)-1]
		m.flow = figure.Known(last)
		if m.power == 0 {
			m.power = m.log.file.Rows[len(m.log.readings)-1].Power
		}
		if m.Bucket == 0 {
			m.Bucket = last.Bucket.Value.Bucket
		}
	}
	return nil
}

// doubtful reports whether the test cannot be right, so that nothing rests on it.
func (m *Measurement) doubtful() bool {
	return m.finding.Known && m.finding.Value.Cause == pumps.DoubtfulTest
}

// Compare holds the readings against the plan.
func (m *Measurement) Compare(named string) error {
	p := &m.In.Plan
	place, err := m.In.Surroundings(m.In.Plan.Water.Temperature == nil)
	if err != nil {
		return err
	}
	if m.log != nil {
		place.Logged = m.log.logged(m.In)
	}
	if m.works, err = works.NewWaterworks(p, m.In.Curves, place); err != nil {
		return m.In.Placed(err)
	}
	if m.pump, err = works.Running(p, named); err != nil {
		return err
	}
	if now := slices.IndexFunc(p.Pumps, func(p plan.Pump) bool { return p.Present }); now >= 0 && !p.Pumps[m.pump].Present {
		m.warnings = append(m.warnings, data.Warning{Key: "pump.present", Message: units.Say("%s runs today: what it fills says nothing "+
			"of %s, which the test is held against here", p.Pumps[now].Name, p.Pumps[m.pump].Name)})
	}
	// Of pumps with a line each one was measured.
	pump := m.works.Pumps[m.pump].OneLine()
	m.clean, m.dirty = pump.Run(m.works.Speed, m.works.Line), pump.Run(m.works.Speed, m.works.Dirty())
	otherSpeed := func(b plan.RunBand) bool { return b.Speed != m.works.Speed }
	if slices.ContainsFunc(p.Run.Bands, otherSpeed) {
		m.warnings = append(m.warnings, data.Warning{Key: "run.band", Message: units.Say("the clock is not looked at: the pump is taken "+
			"to run at %.3g %% of its curve's speed; if the test fell into hours with another, give that with --speed", 100*m.works.Speed)})
	}
	if m.finding = figure.Unknown[pumps.Finding](m.flow.Why); m.flow.Known {
		m.finding = pump.Explain(m.flow.Value, m.power, m.works.Speed, m.works.Line)
	}
	return nil
}

// lines returns how many lines like the measured one feed the pond.
func (m *Measurement) lines() int {
	if m.works == nil {
		return 1
	}
	return m.works.Pumps[m.pump].Lines()
}

// NoAnswer returns the error of a page that could not hold a test against the
// plan.
func (m *Measurement) NoAnswer() error {
	if m.works != nil && m.clean.LeastFlow() == 0 {
		return &NoAnswer{units.Say("%s: %s", m.works.Pumps[m.pump].Name(), m.clean.Why)}
	}
	return nil
}
