package cli

import (
	"math"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/figure"
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

// readLog reads the log that the plan or --log names.
func (m *measurement) readLog() error {
	file, err := readFile(m.in, logKey, data.ReadLog)
	if err != nil {
		return err
	}
	m.warnings = append(m.warnings, file.Warnings...)
	m.log, err = newMeasuredLog(file, m.bucket)
	return err
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
		if err != nil {
			for _, f := range data.Faults(err) {
				if f.File, f.Line, f.Column = file.File, row.Line, row.Column; f.Key == "bucket" {
					f.Column = 1
				}
				faults.Add(f)
			}
			continue
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

// loggedLoss returns the share of flow lost before a cleaning by the plan's log,
// the zero value where it names none or states the share itself. A log whose
// buckets are not known is no fault here: measure asks for them.
func (in *input) loggedLoss() (figure.Maybe[float64], error) {
	if in.Path(logKey) == "" || in.Plan.Given(dirtLossKey) {
		return figure.Maybe[float64]{}, nil
	}
	file, err := readFile(in, logKey, data.ReadLog)
	if err != nil {
		return figure.Maybe[float64]{}, err
	}
	if slices.ContainsFunc(file.Rows, func(r data.LogRow) bool { return r.Time > 0 && r.Bucket == 0 }) {
		return figure.Unknown[float64]("the log does not say how large the bucket was"), nil
	}
	log, err := newMeasuredLog(file, 0)
	if err != nil {
		return figure.Maybe[float64]{}, err
	}
	return log.loss(), nil
}

// loss returns the share of flow lost before a cleaning.
func (l *measuredLog) loss() figure.Maybe[float64] {
	return works.LossBeforeCleaning(l.tests(), l.file.HasCleaned)
}

// day returns the days of row i since the first test.
func (l *measuredLog) day(i int) float64 {
	return l.file.Rows[i].Date.Sub(l.file.Rows[0].Date).Hours() / 24
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

// trend finds the trend of the log and the day to clean.
func (m *measurement) trend() error {
	if m.log == nil {
		return nil
	}
	tests := m.log.tests()
	var u works.Upkeep
	var err error
	if m.works == nil || m.works.Pumps[m.pump].LabelOnly() || m.clean.LeastFlow() == 0 {
		u, err = works.UpkeepOfFlow(tests, m.log.file.HasCleaned, m.in.Plan.Upkeep.FlowLossWhenDirty)
	} else {
		var warnings []data.Warning
		u, warnings, err = m.works.Upkeep(m.pump, tests, m.log.file.HasCleaned)
		m.warnings = append(m.warnings, warnings...)
	}
	if err != nil {
		// Too few tests are no fault of the log: it grows.
		why := data.Faults(err)[0].Message
		if u.From > 0 {
			why += " since " + m.log.file.Rows[u.From].Date.Format(pageDate) + ", where it begins: " + u.FromWhy
		}
		m.log.upkeep = figure.Unknown[works.Upkeep](why)
		return nil
	}
	m.log.upkeep = figure.Known(u)
	return nil
}
