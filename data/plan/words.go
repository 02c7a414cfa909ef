package plan

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// texts returns the parts of a value that may be one text, with commas or
// semicolons, or a list.
func texts(w written) (all []written, bad []*data.Error) {
	for _, item := range w.items {
		parts, bad := texts(item)
		if bad != nil {
			return nil, bad
		}
		all = append(all, parts...)
	}
	switch w.form {
	case array:
		return all, nil
	case quoted, plainNumber:
	default:
		return nil, misfits(w, "text is needed", "")
	}
	for _, part := range strings.FieldsFunc(w.text, func(r rune) bool { return r == ',' || r == ';' }) {
		if part = strings.TrimSpace(part); part != "" {
			all = append(all, written{text: part, offset: w.offset})
		}
	}
	if len(all) == 0 {
		return nil, misfits(w, "nothing is written", "")
	}
	return all, nil
}

// listed reads a value of several parts into set; add takes one of them, or says what is
// wrong with it.
func listed[T any](set *T, w written, form string, add func(*T, string) string) []*data.Error {
	parts, bad := texts(w)
	return append(bad, addParts(set, parts, form, add)...)
}

func addParts[T any](set *T, parts []written, form string, add func(*T, string) string) (bad []*data.Error) {
	for _, part := range parts {
		if problem := add(set, part.text); problem != "" {
			bad = append(bad, misfits(part, problem, form)...)
		}
	}
	return bad
}

var hourBand = regexp.MustCompile(`(?i)^(\d{1,2})(?::(\d\d))?\s*h?\s*(?:-|–|to|until)\s*(\d{1,2})(?::(\d\d))?\s*h?$`)

// addHours adds "22-06", "6:00-9:00" or "all" to clock hours.
func addHours(set *Hours, text string) string {
	if wholeOrNone(set, AllDay(), text) {
		return ""
	}
	m := hourBand.FindStringSubmatch(text)
	if m == nil {
		return "not clock hours"
	}
	var ends [2]int
	for i := range ends {
		hour, _ := strconv.Atoi(m[2*i+1])
		minute, _ := strconv.Atoi(m[2*i+2])
		if minute != 0 && minute != 30 {
			return "only whole and half hours are counted"
		}
		ends[i] = 2*hour + minute/30
	}
	switch from, to := ends[0], ends[1]; {
	case from > 48 || to > 48:
		return "a day has 24 hours"
	case from == 0 && to == 48:
		*set = AllDay()
	case from%48 == to%48:
		return `from an hour to itself can be none or the whole day: write "none" or "all"`
	default:
		for h := from % 48; h != to%48; h = (h + 1) % 48 {
			set[h] = true
		}
	}
	return ""
}

// wholeOrNone reports whether text is all, which makes set the whole of it, or none.
func wholeOrNone[T any](set *T, whole T, text string) bool {
	all := strings.EqualFold(text, "all")
	if all {
		*set = whole
	}
	return all || strings.EqualFold(text, "none")
}

// addMonths adds "May-Sep", "Jan", "11-2" or "all" to months.
func addMonths(set *MonthSet, text string) string {
	if wholeOrNone(set, AllYear, text) {
		return ""
	}
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

// onMap is an angle as maps write it: 47.5° N, S 33°30' or 4°24'36" W.
var onMap = regexp.MustCompile(`(?i)^\s*([NSEW]?)\s*([-+−]?)([\d.,]+)\s*(?:[°º˚]|deg(?:rees)?)?\s*(?:([\d.,]+)\s*['′’]\s*)?` +
	`(?:([\d.,]+)\s*(?:["″”]|'')\s*)?(?:([NSEW])(?:orth|outh|ast|est)?)?\s*$`)

// compass returns what onMap found as an angle [rad], south and west below 0.
func (k Key) compass(found []string) (float64, error) {
	letter, sum, size := strings.ToUpper(found[1]+found[6]), 0.0, 1.0
	for i, part := range found[3:6] {
		v, err := units.ParseNumber(cmp.Or(part, "0"))
		switch {
		case err != nil:
			return 0, err
		case part != "" && i > 0 && (v >= 60 || strings.ContainsAny(found[2+i], ".,")):
			return 0, errors.New("minutes and seconds are below 60, and only the last number has decimals")
		}
		sum += v / size
		size *= 60
	}
	switch sides := map[string]string{"latitude": "NS", "longitude": "EW"}[k.Kind]; {
	case len(letter) > 1 || letter != "" && found[2] != "":
		return 0, errors.New("the side is said twice: one sign or one letter is enough")
	case !strings.Contains(sides, letter):
		return 0, fmt.Errorf("%s is no side of a %s, which lies %c or %c", letter, k.Kind, sides[0], sides[1])
	case letter == "S" || letter == "W" || found[2] == "-" || found[2] == "−":
		sum = -sum
	}
	return sum*float64(units.Degree) + 0, nil // -0 becomes 0
}

func addPart(all *[]Part, text string) string {
	const most = 16
	head, flow, _ := strings.Cut(text, " at ")
	h, err := units.Parse(units.KindHead, head)
	q, noFlow := units.Parse(units.KindFlow, flow)
	if err != nil || noFlow != nil || h < 0 || h > 100 || q == 0 || len(*all) == most {
		return "not what a part takes"
	}
	*all = append(*all, Part{units.Length(h), units.Flow(q)})
	return ""
}

// fittings reads "4 x elbow, 1 x ball valve", a list of such texts, or a table
// of counts by name.
func fittings(all *[]Fitting, w written, form string) []*data.Error {
	const most = 64 // kinds of fitting on one feed
	parts, bad := texts(w)
	if w.form == inlineTable {
		parts, bad = counted(w, form)
	}
	if n := len(parts); n > most {
		w.text = strconv.Itoa(n)
		return misfits(w, "too many fittings", units.Sprintf("up to %d, several of a kind with their number", most))
	}
	return append(bad, addParts(all, parts, form, addFitting)...)
}

var fittingForm = regexp.MustCompile(`^(?:(\d{1,9})\s*[x×*]\s*)?(\D.*|\d.*\D.*)$`)

func addFitting(all *[]Fitting, text string) string {
	m := fittingForm.FindStringSubmatch(text)
	if m == nil {
		return "not a fitting"
	}
	count, _ := strconv.Atoi(cmp.Or(m[1], "1"))
	if count < 1 || count > 1000 {
		return "the number of a fitting is from 1 to 1000"
	}
	*all = append(*all, Fitting{strings.TrimSpace(m[2]), count})
	return ""
}

// counted returns the fittings of a table of counts by name, each once, as texts.
func counted(w written, form string) (parts []written, bad []*data.Error) {
	if len(w.pairs) == 0 {
		return nil, misfits(w, "nothing is written", "")
	}
	seen := map[string]bool{}
	for _, p := range w.pairs {
		name := dotted(p.names)
		row, err := data.FittingNamed(name)
		if err != nil { // the line itself says so
			row.Name = name
		}
		if seen[row.Name] {
			bad = append(bad, misfits(written{text: name, offset: p.names[0].offset}, "the fitting is given twice", form)...)
			continue
		}
		seen[row.Name] = true
		count, err := strconv.Atoi(p.value.text)
		if p.value.form != plainNumber || err != nil {
			count = 0
		}
		parts = append(parts, written{text: strconv.Itoa(max(0, min(count, 9999))) + " x " + name, offset: p.value.offset})
	}
	return parts, bad
}
