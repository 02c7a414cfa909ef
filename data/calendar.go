package data

import (
	"strconv"
	"strings"
)

// MonthDays is the number of days of each month of a year of 365; February may
// have its 29th in a file.
var MonthDays = [12]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// dayOf returns the day, 0 to 364, of a year of 365 days. leap says that it is
// 29 February, ok that the day exists.
func dayOf(month, day int) (n int, leap, ok bool) {
	if month < 1 || month > 12 || day < 1 {
		return 0, false, false
	}
	if month == 2 && day == 29 {
		return 59, true, true
	}
	for _, length := range MonthDays[:month-1] {
		n += length
	}
	return n + day - 1, false, day <= MonthDays[month-1]
}

// Month reads a number from 1 or at least three letters of an English name
// and returns the month counted from 0.
func Month(s string) (int, bool) {
	s = strings.ToLower(strings.TrimSpace(s))
	if n, err := strconv.Atoi(s); err == nil {
		return n - 1, n >= 1 && n <= 12
	}
	for i, full := range [12]string{"january", "february", "march", "april", "may", "june", "july", "august",
		"september", "october", "november", "december"} {
		if len(s) >= 3 && strings.HasPrefix(full, s) {
			return i, true
		}
	}
	return 0, false
}
