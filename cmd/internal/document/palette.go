package document

import (
	"fmt"
	"strings"
)

// Ink is what a thing in a picture is drawn in. It names a meaning, not a
// colour: the colour depends on paper or screen. The fills are pale, for areas
// under other things.
type Ink int

// The inks. Water, sun, store, dirt and alarm stay apart for every common form
// of colour-blindness by lightness and by blue against yellow; pictures
// tell them apart by dashes, hatching and words as well.
const (
	InkBlack Ink = iota
	InkQuiet
	InkFaint
	InkPaper
	InkWater
	InkWaterFill
	InkSun
	InkSunFill
	InkStore
	InkDirt
	InkAlarm
	numberOfInks
)

// pigment is the colour of an ink on light paper and on a dark screen, and
// its name in the style sheet.
type pigment struct{ name, light, dark string }

var palette = [numberOfInks]pigment{
	InkBlack:     {"ink", "#1D2A2B", "#E7EAE4"},
	InkQuiet:     {"quiet", "#56635F", "#A3B0AB"},
	InkFaint:     {"faint", "#DAD7CB", "#33403F"},
	InkPaper:     {"paper", "#FCFBF7", "#151C1D"},
	InkWater:     {"water", "#0B5A83", "#79C1E6"},
	InkWaterFill: {"water-fill", "#B5D5E5", "#1F4A60"},
	InkSun:       {"sun", "#8A5600", "#EBBB5C"},
	InkSunFill:   {"sun-fill", "#EFC46A", "#7A5A1C"},
	InkStore:     {"store", "#2F6848", "#93CFA5"},
	InkDirt:      {"dirt", "#7D3F68", "#DDA3CB"},
	InkAlarm:     {"alarm", "#A8291C", "#FF9A84"},
}

// variable returns the ink by the style of the page, so that a drawing follows it from
// light to dark.
func (i Ink) variable() string { return "var(--" + palette[i].name + ")" }

// OnPaper returns the colour of the ink on light paper, such as "#1D2A2B".
func (i Ink) OnPaper() string { return palette[i].light }

// styleVariables returns the palette as custom properties of CSS, light or dark.
func styleVariables(dark bool) string {
	var b strings.Builder
	for _, p := range palette {
		c := p.light
		if dark {
			c = p.dark
		}
		fmt.Fprintf(&b, "--%s:%s;", p.name, c)
	}
	return b.String()
}
