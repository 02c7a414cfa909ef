package plan

import (
	"regexp"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// texts returns the parts of a value that may be one text, with commas or
// semicolons, or a list.
func texts(w written) ([]written, []misfit) {
	switch w.form {
	case array:
		var all []written
		for _, item := range w.items {
			part, bad := texts(item)
			if bad != nil {
				return nil, bad
			}
			all = append(all, part...)
		}
		return all, nil
	case quoted, plainNumber:
		var all []written
		for _, part := range strings.FieldsFunc(w.text, func(r rune) bool { return r == ',' || r == ';' }) {
			if part = strings.TrimSpace(part); part != "" {
				all = append(all, written{form: quoted, text: part, offset: w.offset})
			}
		}
		if len(all) == 0 {
			return nil, misfits(w, "nothing is written")
		}
		return all, nil
	}
	return nil, misfits(w, "text is needed")
}

var hourBand = regexp.MustCompile(`^(\d{1,2})(?::(\d\d))?\s*h?\s*(?:-|–|to|until)\s*(\d{1,2})(?::(\d\d))?\s*h?$`)

const hoursForm = `clock hours such as "22-06" or "00:30-07:30", several as "06-09, 17-21", or "all"`

// hours reads clock hours: "22-06", "6:00-9:00, 17-21", "all", "none".
func hours(w written) (Hours, []misfit) {
	var set Hours
	parts, bad := texts(w)
	for _, part := range parts {
		problem := addHours(&set, strings.ToLower(part.text))
		if problem != "" {
			m := misfits(part, problem)
			m[0].Allowed = hoursForm
			bad = append(bad, m...)
		}
	}
	return set, bad
}

// addHours adds one band to set and returns what is wrong with it, if anything.
func addHours(set *Hours, text string) string {
	switch text {
	case "all":
		*set = AllDay()
		return ""
	case "none":
		return ""
	}
	m := hourBand.FindStringSubmatch(text)
	if m == nil {
		return "not clock hours"
	}
	half := func(hour, minute string) int {
		h, _ := strconv.Atoi(hour)
		return 2*h + map[string]int{"30": 1}[minute]
	}
	for _, minute := range []string{m[2], m[4]} {
		if minute != "" && minute != "00" && minute != "30" {
			return "only whole and half hours are counted"
		}
	}
	from, to := half(m[1], m[2]), half(m[3], m[4])
	switch {
	case from > 48 || to > 48:
		return "a day has 24 hours"
	case from == 0 && to == 48:
		*set = AllDay()
		return ""
	case from%48 == to%48:
		return `from an hour to itself can be none or the whole day: write "none" or "all"`
	}
	for h := from % 48; h != to%48; h = (h + 1) % 48 {
		set[h] = true
	}
	return ""
}

const monthsForm = `months such as "May-Sep", several as "Jan, Jun-Aug", or "all"`

// months reads months: "May-Sep", "Jan, Jun-Aug", "11-2", [6, 7], "all", "none".
func months(w written) (MonthSet, []misfit) {
	var set MonthSet
	parts, bad := texts(w)
	for _, part := range parts {
		if !addMonths(&set, part.text) {
			m := misfits(part, "not months")
			m[0].Allowed = monthsForm
			bad = append(bad, m...)
		}
	}
	return set, bad
}

func addMonths(set *MonthSet, text string) bool {
	switch strings.ToLower(text) {
	case "all":
		*set = AllYear()
		return true
	case "none":
		return true
	}
	from, to, isBand := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	first, ok := data.Month(from)
	if !ok {
		return false
	}
	last := first
	if isBand {
		if last, ok = data.Month(to); !ok {
			return false
		}
	}
	for m := first; ; m = (m + 1) % 12 {
		set[m] = true
		if m == last {
			return true
		}
	}
}

var fittingForm = regexp.MustCompile(`^(?:(\d{1,9})\s*[x×*]\s*)?(\D.*|\d.*\D.*)$`)

// fittings reads "4 x elbow, 1 x ball valve", a list of such texts, or a table
// of counts by name.
func fittings(w written) ([]Fitting, []misfit) {
	const allowed = `fittings with their number such as "4 x elbow, 1 x ball valve"`
	const most = 64 // kinds of fitting on one feed
	tooMany := func(n int) []misfit {
		m := misfits(w, "too many fittings")
		m[0].Found, m[0].Allowed = units.Sprintf("%d", n), units.Sprintf("up to %d, several of a kind with their number", most)
		return m
	}
	var all []Fitting
	var bad []misfit
	add := func(w written, name string, count int) {
		if name = strings.TrimSpace(name); count < 1 || count > 1000 {
			m := misfits(w, "the number of a fitting is from 1 to 1000")
			m[0].Allowed = allowed
			bad = append(bad, m...)
			return
		}
		all = append(all, Fitting{name, count})
	}
	if w.form == inlineTable {
		if n := len(w.pairs); n > most {
			return nil, tooMany(n)
		}
		seen := map[string]bool{}
		for _, p := range w.pairs {
			name := dotted(p.names)
			row, err := data.FittingNamed(name)
			if err != nil { // the line itself says so
				row.Name = name
			}
			if seen[row.Name] {
				bad = append(bad, misfit{data.Error{Found: name, Message: "the fitting is given twice", Allowed: allowed}, p.names[0].offset})
				continue
			}
			seen[row.Name] = true
			count, err := strconv.Atoi(p.value.text)
			if p.value.form != plainNumber || err != nil {
				count = 0
			}
			add(p.value, name, count)
		}
		if len(w.pairs) == 0 {
			bad = misfits(w, "nothing is written")
		}
		return all, bad
	}
	parts, bad := texts(w)
	if n := len(parts); n > most {
		return nil, tooMany(n)
	}
	for _, part := range parts {
		m := fittingForm.FindStringSubmatch(part.text)
		if m == nil {
			one := misfits(part, "not a fitting")
			one[0].Allowed = allowed
			bad = append(bad, one...)
			continue
		}
		count := 1
		if m[1] != "" {
			count, _ = strconv.Atoi(m[1])
		}
		add(part, m[2], count)
	}
	return all, bad
}
