package plan

import (
	"fmt"
	"math"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// Check returns every contradiction between the values of p, joined *Error
// values at the line of one of them; nil where there is none.
func (p *Plan) Check() error {
	c := checker{plan: p}
	c.pond()
	c.pumps()
	c.lines()
	c.site()
	c.run()
	c.mains()
	c.power()
	return joinFaults(c.faults)
}

type checker struct {
	plan   *Plan
	faults []*data.Error
}

// at makes a fault at the place of a concrete key.
func (c *checker) at(key, message, allowed string) {
	e := c.plan.place(key)
	e.Message, e.Allowed, e.Found = message, allowed, c.plan.Origins[key].Text
	c.faults = append(c.faults, &e)
}

// needs refuses missing keys of a table: at is the key that asks for them.
func (c *checker) needs(at, why string, given map[string]bool, names ...string) {
	var lack []string
	for _, n := range names {
		if !given[n] {
			lack = append(lack, n)
		}
	}
	if len(lack) > 0 {
		c.at(at, why+" needs "+strings.Join(lack, " and "), "")
	}
}

// lacks makes a fault of a list item without a key, with the flag for it where
// the item came by flags.
func (c *checker) lacks(item, name, message, allowed string) {
	c.at(item, message, allowed)
	if _, inFile := c.plan.tables[item]; inFile {
		return
	}
	if k, ok := KeyNamed(item + "." + name); ok && k.Flag != "" && k.First() == item+"."+name {
		c.faults[len(c.faults)-1].Hint = "give --" + k.Flag
	}
}

// row puts the fault of a name that a table does not have at the key that
// holds it.
func (c *checker) row(key string, err error) {
	for _, f := range data.Faults(err) {
		c.at(key, f.Message, f.Allowed)
		e := c.faults[len(c.faults)-1]
		e.Found, e.Hint, e.Err = f.Found, f.Hint, f
	}
}

// both refuses two keys of which one is enough.
func (c *checker) both(section, one, other string) {
	if c.plan.Given(section+"."+one) && c.plan.Given(section+"."+other) {
		c.at(section+"."+other, fmt.Sprintf("%s and %s are two ways to say the same: give one", one, other), "")
	}
}

func (c *checker) pond() {
	q := c.plan.Pond
	given := map[string]bool{
		"length": q.Length != nil, "width": q.Width != nil, "diameter": q.Diameter != nil, "depth": q.Depth != nil,
		"bottom_length": q.BottomLength != nil, "bottom_width": q.BottomWidth != nil, "bottom_diameter": q.BottomDiameter != nil,
		"depths": len(q.Depths) > 0, "surface": q.Surface != nil || len(q.Areas) > 0,
		"fill_flow": q.FillFlow != nil, "fill_time": q.FillTime != nil, "areas": len(q.Areas) > 0,
	}
	if q.Volume == nil { // with a volume the shape only gives the surface
		c.shape(given)
	}
	if given["fill_flow"] || given["fill_time"] {
		at := map[bool]string{true: "pond.fill_flow", false: "pond.fill_time"}[given["fill_flow"]]
		c.needs(at, "a timed fill", given, "fill_flow", "fill_time")
		c.both("pond", "volume", "fill_flow")
	}
	c.contours()
	c.intake()
}

func (c *checker) shape(given map[string]bool) {
	needs := map[string][]string{
		"rectangle": {"length", "width", "depth"},
		"oval":      {"length", "width", "depth"},
		"round":     {"diameter", "depth"},
		"bowl":      {"diameter", "depth"},
		"depths":    {"depths", "surface"},
		"frustum":   {"length", "width", "bottom_length", "bottom_width", "depth"},
	}
	shape := c.plan.Pond.Shape
	if shape == "frustum" && given["diameter"] {
		needs[shape] = []string{"diameter", "bottom_diameter", "depth"}
	}
	if shape == "bowl" && (given["length"] || given["width"]) {
		needs[shape] = needs["oval"]
	}
	c.needs("pond.shape", "the shape "+shape, given, needs[shape]...)
	q := c.plan.Pond
	for _, side := range []struct {
		key         string
		bottom, top *units.Length
	}{{"length", q.BottomLength, q.Length}, {"width", q.BottomWidth, q.Width}, {"diameter", q.BottomDiameter, q.Diameter}} {
		if side.bottom != nil && side.top != nil && *side.bottom > *side.top {
			c.at("pond.bottom_"+side.key, "the floor is larger than the surface", "at most the "+side.key+" of "+side.top.String())
		}
	}
}

// contours checks depths with their areas.
func (c *checker) contours() {
	d, a := c.plan.Pond.Depths, c.plan.Pond.Areas
	if len(a) == 0 {
		return
	}
	if len(a) != len(d) || len(a) < 2 {
		c.at("pond.areas", fmt.Sprintf("the number of areas is %d, that of depths %d", len(a), len(d)), "one area for each depth, at least two")
		return
	}
	if d[0] != 0 {
		c.at("pond.depths", "with areas the first depth is the surface", "0 first")
	}
	for i := 1; i < len(d); i++ {
		if d[i] <= d[i-1] {
			c.at("pond.depths", "with areas each depth lies below the one before", "")
			return
		}
	}
}

// intake refuses an intake out of the water.
func (c *checker) intake() {
	q := c.plan.Pond
	deepest := q.Depth
	if deepest == nil && len(q.Depths) > 0 {
		most := q.Depths[0]
		for _, d := range q.Depths {
			most = max(most, d)
		}
		deepest = &most
	}
	if deepest == nil {
		return
	}
	limit := fmt.Sprintf("less than the depth of %s", deepest)
	if q.IntakeHeight != nil && *q.IntakeHeight >= *deepest {
		c.at("pond.intake_height", "the intake lies above the surface", limit)
	}
	if q.IntakeDepth != nil && *q.IntakeDepth > *deepest {
		c.at("pond.intake_depth", "the intake lies below the floor", "at most the depth of "+deepest.String())
	}
	if q.IntakeHeight != nil && q.IntakeDepth != nil && math.Abs(float64(*q.IntakeHeight+*q.IntakeDepth-*deepest)) > 0.05 {
		c.at("pond.intake_depth", "height and depth of the intake do not add up to the pond's depth", "one of the two is enough")
	}
}

func (c *checker) pumps() {
	names := map[string]int{}
	present := ""
	for i, m := range c.plan.Pumps {
		at := fmt.Sprintf("pump.%d", i+1)
		if _, inFile := c.plan.tables[at]; m.Name == "" && (inFile || m.Curve == "") && !c.labelByFlag(at) {
			c.at(at, "the pump has no name", "name")
		}
		if first := names[m.Name]; first > 0 && m.Name != "" {
			c.at(at+".name", fmt.Sprintf("the name of pump %d already", first), "")
		}
		names[m.Name] = i + 1
		switch {
		case m.Curve != "" || m.LabelFlow != nil && m.LabelHead != nil:
		case m.LabelFlow != nil:
			c.lacks(at, "label_head", "the label's flow needs its head too", "label_head, such as 2.2 m")
		case m.LabelHead != nil:
			c.lacks(at, "label_flow", "the label's head needs its flow too", "label_flow, such as 3000 L/h")
		default:
			c.at(at, "nothing says what the pump can do", "curve, or label_flow and label_head")
		}
		if m.SpeedControl == "follows voltage" && m.Supply == "AC" {
			c.at(at+".speed_control", "an AC pump does not follow its voltage", "none, yes")
		}
		if m.VoltageBehaviour == "regulated" && m.SpeedControl == "follows voltage" {
			c.at(at+".speed_control", "a regulated pump does not follow its voltage", "none, yes")
		}
		if m.Present && present != "" {
			c.at(at+".present", present+" is the present pump already", "one pump")
		} else if m.Present {
			present = m.Name
		}
	}
	if want := c.plan.Choice.Pump; want != "" && len(names) > 0 && names[want] == 0 {
		var all []string
		for _, m := range c.plan.Pumps {
			all = append(all, m.Name)
		}
		c.at("choice.pump", "no pump of the plan has that name", strings.Join(all, ", "))
	}
}

// labelByFlag reports whether a nameless pump came by label flags alone.
func (c *checker) labelByFlag(at string) bool {
	for _, name := range []string{".label_flow", ".label_head"} {
		if o, ok := c.plan.Origins[at+name]; ok && (o.Kind == FromFlag || o.Kind == FromSet) {
			return true
		}
	}
	return false
}

func (c *checker) lines() {
	c.feeds("feed", c.plan.Feeds)
	for i, b := range c.plan.Branches {
		at := fmt.Sprintf("branch.%d", i+1)
		if len(b.Feeds) == 0 {
			c.at(at, "the branch has no feed", "[[branch.feed]] with a pipe and its length")
		}
		c.feeds(at+".feed", b.Feeds)
	}
	c.both("return", "pipe", "bore")
	if name := c.plan.Return.Pipe; name != "" {
		_, err := data.PipeNamed(name)
		c.row("return.pipe", err)
	}
	f := c.plan.Filter
	if f.Volume != nil && f.Area != nil && f.Depth != nil {
		if v := float64(*f.Area) * float64(*f.Depth); math.Abs(v-float64(*f.Volume)) > 0.1*v {
			c.at("filter.volume", fmt.Sprintf("area times depth is %s", units.Volume(v)), "two of volume, area and depth")
		}
	}
}

func (c *checker) feeds(list string, feeds []Feed) {
	for i, f := range feeds {
		at := fmt.Sprintf("%s.%d", list, i+1)
		c.both(at, "pipe", "bore")
		c.both(at, "fittings", "loss_k")
		if f.Pipe != "" {
			_, err := data.PipeNamed(f.Pipe)
			c.row(at+".pipe", err)
		}
		for _, fit := range f.Fittings {
			_, err := data.FittingNamed(fit.Name)
			c.row(at+".fittings", err)
		}
		if f.Pipe == "" && f.Bore == nil {
			c.lacks(at, "bore", "the bore is not given", "pipe, or bore")
		}
		if f.Length == nil {
			c.lacks(at, "length", "the length is not given", "length, such as 14 m")
		}
		if f.Bore != nil && f.Roughness != nil && *f.Roughness > *f.Bore/10 {
			c.at(at+".roughness", "rougher than a tenth of the bore", "such as 0.0015 mm for smooth plastic")
		}
		if f.Bore != nil && f.RibPitch != nil && *f.RibPitch > *f.Bore {
			c.at(at+".rib_pitch", "the ribs are further apart than the bore is wide", "from rib to rib, at most the bore")
		}
	}
}

func (c *checker) site() {
	s := c.plan.Site
	c.both("site", "place", "latitude")
	c.both("site", "climate", "weather")
	if s.Place != "" {
		_, err := data.FindClimatePlace(s.Place)
		c.row("site.place", err)
	}
	if (s.Latitude == nil) != (s.Longitude == nil) && !c.plan.Given("site.place") {
		key, lack := "site.latitude", "longitude"
		if s.Latitude == nil {
			key, lack = "site.longitude", "latitude"
		}
		c.at(key, "latitude and longitude belong together", lack+" too")
	}
	if s.UTCOffset != nil && math.Abs(math.Mod(*s.UTCOffset*4, 1)) > 1e-9 {
		c.at("site.utc_offset", "clocks differ by whole quarters of an hour", "such as 2, 5.5 or -3")
	}
}
