package cli

import (
	"regexp"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
)

// onMap is a place as maps write it: 50.9° N, 4.4° E or 50°54'36"N 4°24'E.
var onMap = regexp.MustCompile(`(?i)^(.*\d.*[NS]|[NS].*\d[^a-z]*)[\s,;]*(\d.*[EW]|[EW].*\d.*)$`)

// setSite takes latitude and longitude, or a place of the table.
func (a *asker) setSite(key, text string) error {
	if text == "" {
		return nil
	}
	parts, words := coordinates(text), strings.Trim(text, "0123456789.,;+-−° \t") != ""
	switch found := onMap.FindStringSubmatch(text); {
	case found != nil:
		parts = []string{strings.TrimRight(found[1], " ,;"), found[2]}
	case !words && len(parts) == 2:
	case takesIt("site.latitude", text):
		return a.askOther("latitude", "longitude", func(other string) string { return text + "; " + other })
	case takesIt("site.longitude", text):
		return a.askOther("longitude", "latitude", func(other string) string { return other + "; " + text })
	case len(parts) == 2 && takesIt("site.latitude", parts[0]) && takesIt("site.longitude", parts[1]):
	case words:
		if _, err := data.FindClimatePlace(text); err != nil {
			return err
		}
		return a.set(key, text)
	default:
		return &data.Error{Found: text, Message: "latitude and longitude are two numbers", Allowed: "such as -32.0, 23.0"}
	}
	if err := a.set("site.latitude", parts[0]); err != nil {
		return err
	}
	return a.set("site.longitude", parts[1])
}

// takesIt reports whether a key takes text.
func takesIt(key, text string) bool {
	k, _ := plan.KeyNamed(key)
	return k.Takes(text) == nil
}

// askOther asks for the other coordinate where one was told alone; both makes them one answer.
func (a *asker) askOther(told, other string, both func(text string) string) error {
	a.whole = func(text string) string {
		if !takesIt("site."+other, text) {
			return ""
		}
		return both(text)
	}
	return &data.Error{Message: "that is the " + told + " alone", Hint: "the " + other + " is needed too, as the map shows it"}
}

// coordinates takes two of them apart: at a semicolon or between words, else at a comma.
func coordinates(text string) []string {
	if one, other, two := strings.Cut(text, ";"); two {
		return []string{strings.TrimSpace(one), strings.TrimSpace(other)}
	}
	if parts := strings.Fields(strings.ReplaceAll(text, ", ", " ")); len(parts) > 1 {
		return parts
	}
	return strings.Split(text, ",")
}
