package report

import (
	"fmt"
	"image/color"
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
	InkStoreFill
	InkDirt
	InkDirtFill
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
	InkStoreFill: {"store-fill", "#C3DDC6", "#2A4E38"},
	InkDirt:      {"dirt", "#7D3F68", "#DDA3CB"},
	InkDirtFill:  {"dirt-fill", "#DFC3D5", "#583149"},
	InkAlarm:     {"alarm", "#A8291C", "#FF9A84"},
}

// colour returns the ink on light paper.
func (i Ink) colour() color.NRGBA {
	var c color.NRGBA
	c.A = 0xff
	if _, err := fmt.Sscanf(palette[i].light, "#%02X%02X%02X", &c.R, &c.G, &c.B); err != nil {
		panic("report: palette: " + err.Error())
	}
	return c
}

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

// byStyle replaces the colours of a drawing by the page's custom properties,
// so that the drawing follows the page from light to dark.
var byStyle = func() *strings.Replacer {
	var pairs []string
	for _, p := range palette {
		pairs = append(pairs, p.light, "var(--"+p.name+")")
	}
	return strings.NewReplacer(pairs...)
}()
