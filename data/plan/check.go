package plan

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"strings"

	"sunrill/data"
	"sunrill/data/units"
)

// check returns every contradiction between the values of p, at the place of one of
// them, but for those at keys of which follows says that another fault may be the cause.
func (p *Plan) check(follows func(key string) bool) []*data.Error {
	c := checker{plan: p, follows: follows}
	p.rules(c.hold)
	c.shape()
	c.pumps()
	c.names()
	c.hours()
	c.priceTiers()
	c.cells()
	return c.faults
}

type checker struct {
	plan    *Plan
	follows func(key string) bool
	faults  []*data.Error
}

func (c *checker) at(key, message, allowed string) {
	c.add(key, data.Error{Message: message, Allowed: allowed})
}

// add places a fault. One that has a cause follows from no other.
func (c *checker) add(key string, e data.Error) {
	if e.Found = cmp.Or(e.Found, c.plan.Origins[key].Text); e.Err != nil || !c.follows(key) {
		c.faults = append(c.faults, c.plan.placed(key, e))
	}
}

// dimensions are what the volume of each shape is worked out from; the second are of
// a round frustum and of a long bowl.
var dimensions = map[string][2]string{
	"rectangle": {"length|width|depth"}, "oval": {"length|width|depth"}, "round": {"diameter|depth"},
	"bowl":    {"diameter|depth", "length|width|depth"},
	"depths":  {"depths|surface"},
	"frustum": {"length|width|bottom_length|bottom_width|depth", "diameter|bottom_diameter|depth"},
}

func (c *checker) shape() {
	q := c.plan.Pond
	if q.Volume != nil {
		return
	}
	other := q.Shape == "frustum" && q.Diameter != nil || q.Shape == "bowl" && (q.Length != nil || q.Width != nil)
	var lack []string
	for _, name := range strings.Split(dimensions[q.Shape][map[bool]int{true: 1}[other]], "|") {
		if name != "" && !c.plan.Given("pond."+name) {
			lack = append(lack, name)
		}
	}
	if lack != nil {
		c.at("pond.shape", "the shape "+q.Shape+" needs "+strings.Join(lack, " and "), "")
	}
	for _, side := range []string{"length", "width", "diameter"} {
		c.hold(rule{Key: "bottom_" + side, Rule: "most", Other: side, Message: "the floor is larger than the surface",
			Allowed: "at most the " + side + " of %v"}, "pond")
	}
}

func (c *checker) pumps() {
	names := map[string]int{}
	var all []string
	present := ""
	for i, m := range c.plan.Pumps {
		at := fmt.Sprintf("pump.%d", i+1)
		_, inFile := c.plan.tables[at]
		byFlag := c.plan.Given(at+".label_flow") || c.plan.Given(at+".label_head")
		if m.Name == "" && (inFile || m.Curve == "" && !byFlag) {
			c.at(at, "the pump has no name", "name")
		}
		if first := names[m.Name]; first > 0 && m.Name != "" {
			c.at(at+".name", fmt.Sprintf("the name of pump %d already", first), "a name of its own")
		}
		names[m.Name] = i + 1
		all = append(all, m.Name)
		if m.SpeedControl == "follows voltage" && m.Supply == "AC" {
			c.at(at+".speed_control", "an AC pump does not follow its voltage", "none, yes")
		}
		if m.SpeedControl == "follows voltage" && m.VoltageBehaviour == "regulated" {
			c.at(at+".speed_control", "a regulated pump does not follow its voltage", "none, yes")
		}
		if m.Present && present != "" {
			c.at(at+".present", present+" is the present pump already", "one pump")
		} else if m.Present {
			present = m.Name
		}
	}
	if want := c.plan.Choice.Pump; want != "" && len(names) > 0 && names[want] == 0 {
		c.at("choice.pump", "no pump of the plan has that name", strings.Join(all, ", "))
	}
}

// named are the texts that something has to know, by the name of their key.
var named = map[string]func(string) error{
	"pipe":     func(s string) error { _, err := data.PipeNamed(s); return err },
	"place":    func(s string) error { _, err := data.FindClimatePlace(s); return err },
	"fittings": func(s string) error { _, err := data.FittingNamed(s); return err },
	"date":     func(s string) error { return new(data.LogDay).UnmarshalText([]byte(s)) },
}

// names refuses names that a built-in table does not have, and what a place and a
// filter say twice.
func (c *checker) names() {
	know := func(key, name string, find func(string) error) {
		for _, f := range data.Faults(find(name)) {
			e := *f
			e.Err = f
			c.add(key, e)
		}
	}
	c.plan.Fields(func(key string, v reflect.Value) {
		switch find := named[lastPart(key)]; {
		case find != nil && v.Kind() == reflect.String && v.Len() > 0:
			know(key, v.String(), find)
		case find != nil && v.Kind() == reflect.Slice:
			for i := range v.Len() {
				know(key, v.Index(i).Interface().(Fitting).Name, find)
			}
		}
	})
	s, f := c.plan.Site, c.plan.Filter
	if s.UTCOffset != nil && math.Abs(math.Mod(*s.UTCOffset*4, 1)) > 1e-9 {
		c.at("site.utc_offset", "clocks differ by whole quarters of an hour", "such as 2, 5.5 or -3")
	}
	if f.Volume != nil && f.Area != nil && f.Depth != nil {
		if v := float64(*f.Area) * float64(*f.Depth); math.Abs(v-float64(*f.Volume)) > 0.1*v {
			c.at("filter.volume", fmt.Sprintf("area times depth is %s", units.Volume(v)), "two of volume, area and depth")
		}
	}
}

// bands refuses bands of a list that hold at the same time and, where each hour needs
// one, the first that has none.
func (c *checker) bands(list string, all []PriceBand, each bool) {
	for i := range 2 * 12 * 48 {
		day, m, h := []string{"weekdays", "weekends"}[i/(12*48)], i/48%12, i%48
		when := func() string { return fmt.Sprintf("at %02d:%02d on %s in %s", h/2, h%2*30, day, MonthNames[m]) }
		problem, band, owner := "", len(all), 0
		for n := range all {
			switch {
			case !all[n].Holds(m, h, day):
			case owner == 0:
				owner = n + 1
			case problem == "":
				problem, band = fmt.Sprintf("overlaps band %d %s", owner, when()), n+1
			}
		}
		if owner == 0 && each {
			problem = "no band has a price " + when()
		}
		if problem != "" {
			c.at(fmt.Sprintf("%s.%d.hours", list, band), problem, "each hour in one band")
			return
		}
	}
}

// hours checks when the pump runs and when each price holds.
func (c *checker) hours() {
	var runs []PriceBand
	for _, b := range c.plan.Run.Bands {
		runs = append(runs, PriceBand{Hours: b.Hours, Months: b.Months, Days: "all"})
	}
	if c.plan.Run.MonthsOff.Count() == 12 {
		c.at("run.months_off", "the pump would never run", "fewer than twelve months")
	}
	c.bands("run.band", runs, false)
	c.bands("mains.band", c.plan.Mains.Bands, len(c.plan.Mains.Bands) > 0)
}

// priceTiers checks that the blocks of a month's use rise and the last is open.
func (c *checker) priceTiers() {
	tiers := c.plan.Mains.Tiers
	last := units.Energy(0)
	for i, t := range tiers {
		at := fmt.Sprintf("mains.tier.%d", i+1)
		switch {
		case i == len(tiers)-1 && t.UpTo != nil:
			c.at(at+".up_to", "the last block has no upper end, or use beyond it has no price", "leave up_to out of the last block")
		case i < len(tiers)-1 && t.UpTo == nil:
			c.at(at, "only the last block has no upper end", "up_to, such as 350 kWh")
		case t.UpTo != nil && *t.UpTo <= last:
			c.at(at+".up_to", "blocks must rise", units.Sprintf("more than %.6g kWh", last.In(units.KilowattHour)))
		}
		if t.UpTo != nil {
			last = *t.UpTo
		}
	}
}

// usualUnit and mostInSeries are of the batteries on sale where nothing is said of them:
// their nominal voltage, and how many of them a maker lets stand in series (common
// practice, no source).
const (
	usualUnit    = 12 * units.Volt
	mostInSeries = 4
)

// UnitVolts returns the nominal voltage of one battery on sale: the given one, else that of
// the kind's cells nearest 12 V.
func (b Battery) UnitVolts() units.Voltage {
	if b.UnitVoltage != nil {
		return *b.UnitVoltage
	}
	kind, _ := data.BatteryKindOf(b.Kind) // without a cell for a kind that is none
	return kind.Near(usualUnit)
}

// cells refuses a battery voltage that neither whole cells in series come to, nor whole
// batteries of those on sale.
func (c *checker) cells() {
	b := c.plan.Battery
	kind, err := data.BatteryKindOf(b.Kind)
	if err != nil || b.Voltage == nil {
		return
	}
	const rounding = 0.01 // of labels
	v, unit := float64(*b.Voltage), float64(b.UnitVolts())
	if near := float64(kind.Near(*b.Voltage)); math.Abs(near-v) > rounding*v {
		cell := kind.CellVolts.Value
		if block := cell * math.Round(12/cell); v > block { // as batteries are sold
			near = block * math.Round(v/block)
		}
		c.at("battery.voltage", units.Sprintf("cells of %g V do not come to it", cell),
			units.Sprintf("%.6g V (%g cells in series) for %s", near, math.Round(near/cell), kind.Kind))
		return
	}
	n := math.Max(1, math.Round(v/unit))
	if b.UnitVoltage == nil {
		n = math.Min(n, mostInSeries)
	}
	if len(b.Sizes) > 0 && math.Abs(n*unit-v) > rounding*v {
		c.at("battery.voltage", units.Sprintf("batteries of %.4g V in series do not come to it", unit),
			units.Sprintf("%.4g V (%g in series), or the voltage of those on sale in battery.unit_voltage", n*unit, n))
	}
}

func (p *Plan) warnings() []data.Warning {
	var all []data.Warning
	warn := func(key string, message units.Text) {
		o := p.Origins[key]
		all = append(all, data.Warning{File: o.File, Line: o.Line, Key: key, Message: message})
	}
	p.rules(func(r rule, at string) {
		key, others := joinKey(at, r.Key), r.others(at)
		_, doubt := p.broken(r, key, others)
		if r.Rule == "doubt" && doubt || r.Rule == "idle" && p.Given(key) && p.Given(others[0]) {
			warn(key, units.Text(r.Message))
		}
	})
	for i, m := range p.Pumps {
		if m.Present && m.Age != nil && *m.Age > m.Life {
			warn(fmt.Sprintf("pump.%d.age", i+1), units.Say("past its life of %.3g years: its replacement is counted a year from now",
				m.Life.In(units.Year)))
		}
	}
	if p.Pond.Volume != nil && p.Pond.Surface != nil {
		if mean := float64(*p.Pond.Volume) / float64(*p.Pond.Surface); mean > 5 || mean < 0.05 {
			warn("pond.surface", units.Say("volume over surface is a mean depth of {%.3g m}: check both", mean))
		}
	}
	return all
}
