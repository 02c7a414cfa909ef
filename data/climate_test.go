package data

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestClimateGridIsWhole(t *testing.T) {
	// 3486 cells at multiples of 2.5 degrees, from 57.5 S to 80 N.
	n := 0
	for _, p := range ClimateGrid() {
		c := p.MonthlyClimate
		n++
		found, ok := ClimateCell(c.LatDeg, c.LonDeg)
		if !ok || found != c {
			t.Errorf("cell %g, %g is not found by its centre", c.LatDeg, c.LonDeg)
		}
		if math.Mod(c.LatDeg, GridStep) != 0 || math.Mod(c.LonDeg, GridStep) != 0 || c.LonDeg < -180 || c.LonDeg >= 180 {
			t.Errorf("cell %g, %g is off the grid", c.LatDeg, c.LonDeg)
		}
		for m := range 12 {
			if c.GHI[m] < 0 || c.GHI[m] > 10 || c.TempC[m] < -60 || c.TempC[m] > 45 {
				t.Errorf("cell %g, %g month %d: %g kWh, %g C", c.LatDeg, c.LonDeg, m+1, c.GHI[m], c.TempC[m])
			}
		}
	}
	if n != 3486 {
		t.Errorf("%d cells", n)
	}
	// Copied by eye from the table's source: the first and a well-known row.
	if c, ok := ClimateCell(80, -110); !ok || c.GHI[5] != 6.25 || c.TempC[0] != -31.0 {
		t.Errorf("80 N 110 W: %+v", c)
	}
	if c, ok := ClimateCell(67.5, 180); !ok || c.LonDeg != -180 {
		t.Errorf("67.5 N 180 E: %+v, %v", c, ok)
	}
	if _, ok := ClimateCell(-30, -20); ok {
		t.Error("land in the South Atlantic")
	}
}

func TestClimatePlacesHaveSensibleSeasons(t *testing.T) {
	places := ClimatePlaces()
	if len(places) != 282 {
		t.Errorf("%d places", len(places))
	}
	for _, p := range places {
		june, december := p.GHI[5], p.GHI[11]
		if p.LatDeg > 30 && june <= december || p.LatDeg < -30 && june >= december {
			t.Errorf("%v: June %g, December %g", p, june, december)
		}
	}
}

func TestFindClimatePlace(t *testing.T) {
	for typed, want := range map[string]string{
		"Cape Town": "Cape Town, South Africa", "cape-town": "Cape Town, South Africa", "  KATHMANDU ": "Kathmandu, Nepal",
		"Zurich": "Zürich, Switzerland", "Zürich": "Zürich, Switzerland", "izmir": "İzmir, Turkey", "Bogota": "Bogotá, Colombia",
		"Seattle": "Seattle (Renton), United States", "Brasilia": "Planaltina (Brasilia), Brazil",
		"St Petersburg": "Saint Petersburg, Russia", "Saint Louis": "St. Louis, United States", "sana'a": "Sana'a, Yemen",
		"La Paz, Bolivia": "La Paz, Bolivia", "la paz, mexico": "La Paz, Mexico", "Washington DC": "Washington D.C., United States",
	} {
		p, err := FindClimatePlace(typed)
		if err != nil || p.String() != want {
			t.Errorf("%q: got %v, %v, want %s", typed, p, err, want)
		}
	}
	for typed, hint := range map[string]string{
		"Capetwon": "Cape Town", "Melborne": "Melbourne", "Pottsdam": "Potsdam", "La Paz": "country", "": "latitude", "Springfield": "latitude", "Los": "Los Angeles", "Paris, Texas": "Paris, France",
	} {
		_, err := FindClimatePlace(typed)
		var fault *Error
		if !errors.As(err, &fault) {
			t.Errorf("%q: got %v, want a fault", typed, err)
		} else if !strings.Contains(fault.Hint, hint) {
			t.Errorf("%q: got %v with hint %q, want %q", typed, err, fault.Hint, hint)
		}
	}
}

// climateText returns a climate file with one row changed.
func climateText(line int, row string) string {
	var b strings.Builder
	b.WriteString("month,ghi_kwh_per_m2_day,temp_c\n")
	for m := 1; m <= 12; m++ {
		if m+1 == line {
			b.WriteString(row)
			continue
		}
		fmt.Fprintf(&b, "%d,4.5,%d\n", m, m)
	}
	return b.String()
}

func TestReadClimate(t *testing.T) {
	c, err := ReadClimate("c.csv", strings.NewReader("# by hand\n"+climateText(0, "")))
	if err != nil || c.GHI[11] != 4.5 || c.TempC[11] != 12 || c.Lines[11] != 14 {
		t.Errorf("got %+v, %v", c, err)
	}
	for name, c := range map[string]struct{ text, want string }{
		"wrong heading":  {strings.Replace(climateText(0, ""), "ghi_kwh_per_m2_day", "sun", 1), "c.csv:1:7"},
		"11 rows":        {climateText(5, ""), "11 rows, months missing: 4"},
		"a month twice":  {climateText(5, "3,4.5,3\n"), "c.csv:5:1: month: the month stands twice, first in line 4"},
		"month 13":       {climateText(5, "13,4.5,3\n"), "c.csv:5:1"},
		"no number":      {climateText(5, "4,bright,3\n"), "c.csv:5:3"},
		"missing code":   {climateText(5, "4,-999,3\n"), "c.csv:5:3: ghi_kwh_per_m2_day: no month has this sun"},
		"blank":          {climateText(5, "4,,3\n"), "c.csv:5:3"},
		"Fahrenheit":     {climateText(5, "4,4.5,77\n"), "no month has this mean temperature"},
		"empty file":     {"", "empty"},
		"headings alone": {"month,ghi_kwh_per_m2_day,temp_c\n", "no rows"},
	} {
		_, err := ReadClimate("c.csv", strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want %q in it", name, err, c.want)
		}
	}
}
