package data

import (
	"strconv"
	"strings"
	"time"
)

// MonthDays is the number of days of each month of a year of 365; February may
// have its 29th in a file.
var MonthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// dayOf returns the day, 0 to 364, of a year of 365 days. leap says that it is
// 29 February, ok that the day exists.
func dayOf(month, day int) (n int, leap, ok bool) {
	if month == 2 && day == 29 {
		return 59, true, true
	}
	t := time.Date(2001, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	return t.YearDay() - 1, false, int(t.Month()) == month && t.Day() == day
}

// Month reads a number from 1 or at least three letters of an English name
// and returns the month counted from 0.
func Month(s string) (int, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	if n, err := strconv.Atoi(s); err == nil {
		return n - 1, n >= 1 && n <= 12
	}
	for i := range 12 {
		if len(s) >= 3 && strings.HasPrefix(strings.ToLower(time.Month(i+1).String()), s) {
			return i, true
		}
	}
	return 0, false
}

var timeLayouts = []string{"2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006-01-02 15:04", "2006-01-02T15:04",
	"2006-01-02T15:04:05Z07:00", "2006-01-02T15:04Z07:00", "2006-01-02 15:04:05Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02"}

// timeReader reads the times of one file. The zone of the first that carries one is
// that of all.
type timeReader struct {
	layout string
	zone   *time.Location // nil where they carry none
	offset time.Duration
}

// read returns the time that text is. 24:00 ends a day; time.Parse has no such hour.
func (r *timeReader) read(text string) (t time.Time, ok bool) {
	late := 0
	if i := strings.Index(text, "24:00"); i >= 10 {
		text, late = text[:i]+"00:00"+text[i+5:], 1
	}
	t, err := time.Parse(r.layout, text)
	for k := 0; (r.layout == "" || err != nil) && k < len(timeLayouts); k++ {
		if t, err = time.Parse(timeLayouts[k], text); err == nil {
			r.layout = timeLayouts[k]
		}
	}
	if err == nil && strings.HasSuffix(r.layout, "Z07:00") {
		if r.zone == nil {
			_, seconds := t.Zone()
			r.zone, r.offset = time.FixedZone("", seconds), time.Duration(seconds)*time.Second
		}
		t = t.In(r.zone)
	}
	return t.AddDate(0, 0, late), err == nil
}
