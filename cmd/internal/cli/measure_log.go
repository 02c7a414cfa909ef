package cli

import (
	"math"
	"time"

	"sunrill/data"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/pumps"
)

// measuredLog is a log of dated tests and what it shows.
type measuredLog struct {
	file     data.LogFile
	readings []pumps.FlowReading // one for each row
	upkeep   energy.Maybe[energy.Upkeep]
}

// readLog reads the log that the plan or --log names.
func (m *measurement) readLog() error {
	const key = "upkeep.log"
	f, err := m.in.Open(key)
	if err != nil {
		return err
	}
	defer f.Close() //nolint:errcheck // only read
	file, err := data.ReadLog(m.in.Path(key), f)
	if err != nil {
		return err
	}
	m.log = &measuredLog{file: file}
	m.warnings = append(m.warnings, file.Warnings...)
	var faults data.FaultList
	for _, row := range file.Rows {
		if row.Flow > 0 {
			m.log.readings = append(m.log.readings, pumps.ReadFlow(row.Flow))
			continue
		}
		bucket := row.Bucket
		if bucket == 0 {
			bucket = m.bucket
		}
		if bucket == 0 {
			faults.Add(&data.Error{File: file.File, Line: row.Line, Key: "bucket", Message: "nothing says how large the bucket was",
				Allowed: "a column bucket (L), or --bucket for all rows"})
			continue
		}
		r, err := pumps.TimeBucket(bucket, []units.Duration{row.Time})
		if err != nil {
			return err
		}
		m.log.readings = append(m.log.readings, r)
	}
	return faults.Err()
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
	tests := make([]energy.DatedFlow, len(m.log.readings))
	for i, r := range m.log.readings {
		tests[i] = energy.DatedFlow{Day: m.log.day(i), Flow: r.Flow, Cleaned: m.log.file.Rows[i].Cleaned}
	}
	var u energy.Upkeep
	var err error
	if m.works == nil || m.works.Pumps[m.pump].LabelOnly() || m.clean.LeastFlow() == 0 {
		u, err = energy.UpkeepOfFlow(tests, m.log.file.HasCleaned, m.in.Plan.Upkeep.FlowLossWhenDirty)
	} else {
		var warnings []data.Warning
		u, warnings, err = m.works.Upkeep(m.pump, tests, m.log.file.HasCleaned)
		m.warnings = append(m.warnings, warnings...)
	}
	if err != nil {
		// Too few tests are no fault of the log: it grows.
		m.log.upkeep = energy.Unknown[energy.Upkeep](data.Faults(err)[0].Message)
		return nil
	}
	m.log.upkeep = energy.Known(u)
	return nil
}
