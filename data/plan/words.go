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
func texts(w written) (all []written, bad []misfit) {
	switch w.form {
	case array:
		for _, item := range w.items {
			part, bad := texts(item)
			if bad != nil {
				return nil, bad
			}
			all = append(all, part...)
		}
		return all, nil
	case quoted, plainNumber:
		for _, part := range strings.FieldsFunc(w.text, func(r rune) bool { return r == ',' || r == ';' }) {
			if part = strings.TrimSpace(part); part != "" {
				all = append(all, written{form: quoted, text: part, offset: w.offset})
			}
		}
		if len(all) == 0 {
			return nil, misfits(w, "nothing is written", "")
		}
		return all, nil
	}
	return nil, misfits(w, "text is needed", "")
}

// bandsOf reads bands into a set; add returns what is wrong with one, if anything.
func bandsOf[T any](w written, form string, whole T, add func(*T, string) string) (set T, bad []misfit) {
	parts, bad := texts(w)
	for _, part := range parts {
		switch text := strings.ToLower(part.text); text {
		case "all":
			set = whole
		case "none":
		default:
			if problem := add(&set, text); problem != "" {
				bad = append(bad, misfits(part, problem, form)...)
			}
		}
	}
	return set, bad
}

var hourBand = regexp.MustCompile(`^(\d{1,2})(?::(\d\d))?\s*h?\s*(?:-|–|to|until)\s*(\d{1,2})(?::(\d\d))?\s*h?$`)

// hours reads clock hours: "22-06", "6:00-9:00, 17-21", "all", "none".
func hours(w written) (Hours, []misfit) {
	return bandsOf(w, `clock hours such as "22-06" or "00:30-07:30", several as "06-09, 17-21", or "all"`, AllDay(), addHours)
}

// addHours adds one band to set and returns what is wrong with it, if anything.
func addHours(set *Hours, text string) string {
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

// months reads months: "May-Sep", "Jan, Jun-Aug", "11-2", [6, 7], "all", "none".
func months(w written) (MonthSet, []misfit) {
	return bandsOf(w, `months such as "May-Sep", several as "Jan, Jun-Aug", or "all"`, AllYear, addMonths)
}

func addMonths(set *MonthSet, text string) string {
	from, to, band := strings.Cut(strings.ReplaceAll(text, "–", "-"), "-")
	if !band {
		to = from
	}
	first, ok1 := data.Month(from)
	last, ok2 := data.Month(to)
	if !ok1 || !ok2 {
		return "not months"
	}
	for m := first; ; m = (m + 1) % 12 {
		if *set |= 1 << m; m == last {
			return ""
		}
	}
}

var fittingForm = regexp.MustCompile(`^(?:(\d{1,9})\s*[x×*]\s*)?(\D.*|\d.*\D.*)$`)

// fittings reads "4 x elbow, 1 x ball valve", a list of such texts, or a table
// of counts by name.
func fittings(w written) (all []Fitting, bad []misfit) {
	const most = 64 // kinds of fitting on one feed
	const allowed = `fittings with their number such as "4 x elbow, 1 x ball valve"`
	parts, bad := texts(w)
	if w.form == inlineTable {
		parts, bad = counted(w, allowed)
	}
	if n := len(parts); n > most {
		w.text = strconv.Itoa(n)
		return nil, misfits(w, "too many fittings", units.Sprintf("up to %d, several of a kind with their number", most))
	}
	for _, part := range parts {
		m := fittingForm.FindStringSubmatch(part.text)
		if m == nil {
			bad = append(bad, misfits(part, "not a fitting", allowed)...)
			continue
		}
		count := 1
		if m[1] != "" {
			count, _ = strconv.Atoi(m[1])
		}
		if count < 1 || count > 1000 {
			bad = append(bad, misfits(part, "the number of a fitting is from 1 to 1000", allowed)...)
			continue
		}
		all = append(all, Fitting{strings.TrimSpace(m[2]), count})
	}
	return all, bad
}

// parts reads "0.4 m at 3000 L/h", several divided by commas, or a list of such texts.
func parts(w written) (all []Part, bad []misfit) {
	const most = 16
	list, bad := texts(w)
	for _, part := range list {
		var p Part
		head, flow, ok := strings.Cut(part.text, " at ")
		if h, err := units.Parse(units.KindHead, head); ok && err == nil {
			p.Head = units.Length(h)
		} else {
			ok = false
		}
		if q, err := units.Parse(units.KindFlow, flow); ok && err == nil {
			p.Flow = units.Flow(q)
		}
		if !ok || !(p.Head >= 0 && p.Head <= 100 && p.Flow > 0) || len(list) > most {
			bad = append(bad, misfits(part, "not what a part takes",
				units.Sprintf("up to %d of them, each the head at a flow, such as %q", most,
					"0.4 m at 3000 L/h"))...)
		}
		all = append(all, p)
	}
	return all, bad
}

// counted returns the fittings of a table of counts by name, each once, as texts.
func counted(w written, allowed string) (parts []written, bad []misfit) {
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
		parts = append(parts, written{text: strconv.Itoa(max(0, min(count, 9999))) + " x " + name, offset: p.value.offset})
	}
	if len(w.pairs) == 0 {
		bad = misfits(w, "nothing is written", "")
	}
	return parts, bad
}
