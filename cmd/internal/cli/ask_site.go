package cli

import (
	"math"
	"regexp"
	"strconv"
	"strings"

	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
)

// askSite asks where the pond lies.
func (a *asker) askSite() error {
	return a.each(question{key: "site.place", text: "Where is the pond?", empty: "not now: nothing about sun on the page", answer: a.setSite,
		why: []string{"Latitude and longitude as a map shows them, such as -32.0, 23.0 or 32.0 S 23.0 E, or a place of",
			`the built-in table ("sunrill tables climate_places").`}})
}

func (a *asker) setSite(text string) ([]string, error) {
	if text == "" {
		return nil, nil
	}
	if found := onMap.FindStringSubmatch(text); found != nil {
		text = degrees(found[1:5]) + "; " + degrees(found[5:9])
	}
	if strings.Trim(text, "0123456789.,;+-−° \t") != "" {
		if _, err := data.FindClimatePlace(text); err != nil {
			return nil, err
		}
		return a.set("site.place", text)
	}
	parts := coordinates(text)
	if len(parts) != 2 {
		return nil, &data.Error{Found: text, Message: "latitude and longitude are two numbers", Allowed: "such as -32.0, 23.0"}
	}
	lat, _ := plan.KeyNamed("site.latitude")
	lon, _ := plan.KeyNamed("site.longitude")
	if err := lat.Takes(parts[0]); err != nil {
		return nil, err
	}
	if err := lon.Takes(parts[1]); err != nil {
		return nil, err
	}
	lines, err := a.set("site.latitude", parts[0])
	if err != nil {
		return nil, err
	}
	more, err := a.set("site.longitude", parts[1])
	return append(lines, more...), err
}

// onMap is a place as maps write it: 50.9° N, 4.4° E or 50°54'36"N 4°24'E.
var onMap = regexp.MustCompile(`(?i)^` + onMapDegrees + `([NS])[\s,;]*` + onMapDegrees + `([EW])$`)

const onMapDegrees = `(\d+(?:[.,]\d+)?)\s*°?\s*(?:(\d+(?:[.,]\d+)?)\s*['′’]\s*)?(?:(\d+(?:[.,]\d+)?)\s*(?:"|″|”|'')\s*)?`

// degrees returns degrees, minutes, seconds and a quarter of the compass as a
// number, south and west below 0.
func degrees(parts []string) string {
	sum, size := 0.0, 1.0
	for _, p := range parts[:3] {
		v, _ := units.ParseNumber(strings.Replace(p, ",", ".", 1)) // digits alone, or nothing
		sum += v / size
		size *= 60
	}
	if strings.ContainsAny(parts[3], "SsWw") {
		sum = -sum
	}
	return strconv.FormatFloat(math.Round(sum*1e5)/1e5, 'f', -1, 64)
}

// coordinates takes two numbers apart at a semicolon, else at a comma with a
// space after it, else at space, else at the only comma.
func coordinates(text string) []string {
	for _, mark := range []string{";", ", ", " ", ","} {
		if strings.Contains(text, mark) {
			var parts []string
			for _, p := range strings.Split(text, mark) {
				if p = strings.TrimSpace(p); p != "" {
					parts = append(parts, p)
				}
			}
			return parts
		}
	}
	return []string{text}
}
