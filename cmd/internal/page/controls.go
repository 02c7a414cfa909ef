package page

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"sunrill/cmd/internal/document"
	"sunrill/data"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/solar/sky"
)

// controls are what can be changed on the page of a plan, in the units of its reader.
type controls struct {
	*PlanPage
	system units.System
}

// steps is how many a slider has about.
const steps = 40

// stepped returns a control through values in base units, with the plan's own among them, which
// is written as the plan has it, else as written. free is the name of the step that leaves the
// plan as it is where it gives nothing.
func (c controls) stepped(label, key string, own *float64, values []float64, written func(float64) string,
	name func(float64) document.Prose, free document.Prose) document.Control {
	out := document.Control{Key: key, Label: label}
	if own == nil {
		out.Steps = append(out.Steps, document.Setting{Name: free})
	} else {
		values = append(values, *own)
	}
	near := func(a, b float64) bool { return math.Abs(a-b) < 1e-9*max(1, math.Abs(b)) }
	slices.Sort(values)
	for _, v := range slices.CompactFunc(values, near) {
		text := written(v)
		if own != nil && near(v, *own) {
			v, text, out.At = *own, cmp.Or(c.In.Plan.Origins[key].Text, written(*own)), len(out.Steps)
		}
		out.Steps = append(out.Steps, document.Setting{Set: [][2]string{{key, text}}, Name: name(v)})
	}
	return out
}

// slider is stepped through round values of kind k in the reader's unit from lo to hi, in base
// units.
func (c controls) slider(label, key string, k units.Kind, own *float64, lo, hi float64, free document.Prose) document.Control {
	unit := c.system.Unit(k)
	from, to := unit.From(lo), unit.From(hi)
	step := roundStep((to - from) / steps)
	var values []float64
	for i := math.Ceil(from/step - 1e-9); i*step <= to*(1+1e-9); i++ {
		values = append(values, unit.Base(i*step))
	}
	return c.stepped(label, key, own, values, func(v float64) string {
		if own != nil && v == *own {
			return units.Format(k, v)
		}
		return strconv.FormatFloat(unit.From(v), 'g', 8, 64) + " " + unit.String()
	}, ofKind(k), free)
}

// ofKind names values of kind k.
func ofKind(k units.Kind) func(float64) document.Prose {
	return func(v float64) document.Prose { return document.Sentence("%v", document.OfKind(k, v)) }
}

// roundStep returns the next of 1, 2, 5 times a power of ten.
func roundStep(v float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, step := range []float64{1, 2, 5} {
		if v <= step*power*(1+1e-9) {
			return step * power
		}
	}
	return 10 * power
}

// own returns a quantity of the plan in base units, nil where it gives none.
func own[T ~float64](v *T) *float64 {
	if v == nil {
		return nil
	}
	base := float64(*v)
	return &base
}

// choice is a control of a few words of a key.
func (c controls) choice(label, key, now string) []document.Control {
	k, _ := plan.KeyNamed(key)
	out := document.Control{Key: key, Label: label, At: slices.Index(k.Choices, now)}
	if out.At < 0 {
		return nil
	}
	for _, word := range k.Choices {
		out.Steps = append(out.Steps, document.Setting{Set: [][2]string{{key, word}}, Name: document.Plain(word)})
	}
	return []document.Control{out}
}

// pumps is the table of pumps, which is their picker; whether the choice is known yet.
func (c controls) pumps(known bool) document.Picker {
	const key = "choice.pump"
	p := document.Picker{Control: document.Control{Key: key, Label: "Pump"}, Heads: []string{"how often, line dirty"}}
	choice, given, all := c.water.Choice, c.In.Plan.Choice.Pump, c.all()
	power, owned := c.priced(all)
	if power {
		p.Heads = append(p.Heads, "electricity a year")
	}
	if owned {
		p.Heads = append(p.Heads, "with new pumps")
	}
	p.Heads = append(p.Heads, "enough?")
	row := func(set [][2]string, name document.Prose, state document.State, cells ...document.Prose) {
		p.Steps = append(p.Steps, document.Setting{Set: set, Name: name})
		p.State, p.Rows = append(p.State, state), append(p.Rows, cells)
	}
	if given == "" {
		cells := make([]document.Prose, len(p.Heads))
		o := c.offered()
		if known && (choice.Index >= 0 || o.best) {
			cells[len(cells)-1] = document.Plain(called(c.water.Pumps[o.pump].Name))
		} else if known {
			cells[len(cells)-1] = document.Plain("none")
		}
		row(nil, document.Sentence("Chosen by Sunrill"), c.offerState(o), cells...)
	}
	for i, pump := range c.water.Pumps {
		cells := []document.Prose{c.pace(i)}
		if power {
			cells = append(cells, c.electricity(i))
		}
		if owned {
			cells = append(cells, c.withPumps(i))
		}
		if pump.Name == given {
			p.At = len(p.Steps)
		}
		row([][2]string{{key, pump.Name}}, c.named(i), c.state(i), append(cells, document.Plain(c.word(i)))...)
	}
	return p
}

// pond is what changes the goal and the hours.
func (c controls) pond() []document.Control {
	in := &c.In.Plan
	all := c.choice("Fish", "pond.stocking", in.Pond.Stocking)
	if w := c.water.Pond; w.Known {
		v := float64(w.Value.Volume)
		water := c.slider("Water in the pond", "pond.volume", units.KindVolume, &v, 0.3*v, 2.5*v, document.Prose{})
		if in.Pond.Volume == nil { // it was worked out, and has no end of digits
			water.Steps[water.At].Name = document.Sentence("%v", document.Volume.Of(v))
		}
		all = append(all, water)
	}
	if g := c.water.Pond.Value.Goal; g.Known {
		all = append(all, c.slider("Goal: all of it filtered every", "pond.turnover_goal", units.KindTime, own(in.Pond.TurnoverGoal),
			float64(units.Hour), max(12*float64(units.Hour), 2*float64(g.Value)),
			document.Sentence("by the fish, %v", document.Hours.Exact(g))))
	}
	speed := func(label, key string, now float64, also ...[2]string) {
		var values []float64
		for percent := 30; percent <= 100; percent += 5 {
			values = append(values, float64(percent)/100)
		}
		for _, change := range c.Result.BestPlan.Value.Changes {
			if v, err := units.Parse(units.KindShare, change.Value); change.Key == key && err == nil {
				values = append(values, v)
			}
		}
		percent := func(v float64) string { return strconv.FormatFloat(math.Round(1e4*v)/100, 'g', -1, 64) + " %" }
		s := c.stepped(label, key, &now, values, percent, func(v float64) document.Prose { return document.Plain(percent(v)) },
			document.Prose{})
		for i := range s.Steps {
			s.Steps[i].Set = append(s.Steps[i].Set, also...)
		}
		if len(also) > 0 {
			s.Steps[len(s.Steps)-1].Set = nil // at full speed no band is needed
		}
		all = append(all, s)
	}
	speed("Speed by day", "run.speed", in.Run.Speed)
	if len(in.Run.Bands) == 0 && in.Run.Speed == 1 {
		speed("Speed by night, 22 to 6", "run.band.1.speed", 1, [2]string{"run.band.1.hours", "22-6"})
	}
	return all
}

// bestSetting sets what the cheapest plan changes.
func (p *PlanPage) bestSetting() (s document.Setting) {
	for _, c := range p.Result.BestPlan.Value.Changes {
		s.Set = append(s.Set, [2]string{c.Key, c.Value})
	}
	s.Name = document.Sentence("Try the cheapest plan found")
	return s
}

// longest returns the index of the longest of feeds.
func longest(feeds []plan.Feed) int {
	most := 0
	for i, f := range feeds {
		if f.Length != nil && (feeds[most].Length == nil || *f.Length > *feeds[most].Length) {
			most = i
		}
	}
	return most
}

// boreOf returns the bore of a feed, 0 where no table has it.
func boreOf(f plan.Feed) units.Length {
	if f.Bore != nil {
		return *f.Bore
	}
	row, err := data.PipeNamed(f.Pipe)
	if err != nil {
		return 0
	}
	return row.Bore
}

// line is what changes the line: its longest hose, the lift, dirt.
func (c controls) line() []document.Control {
	in, feeds, at := &c.In.Plan, c.In.Plan.Feeds, "feed."
	var all []document.Control
	if len(feeds) > 0 {
		i := longest(feeds)
		at += strconv.Itoa(i+1) + "."
		all = append(all, c.hose(at+"pipe", feeds[i])...)
		if l := own(feeds[i].Length); l != nil {
			all = append(all, c.slider("Length of it", at+"length", units.KindLength, l, min(0.5, *l), max(5, 2.5**l), document.Prose{}))
		}
	}
	if h := own(in.Lift.StaticHead); h != nil {
		all = append(all, c.slider("Lift above the pond", "lift.static_head", units.KindHead, h, 0, max(2, 2**h), document.Prose{}))
	}
	if in.Upkeep.Log == "" && in.Measured.Flow == nil {
		loss := in.Upkeep.FlowLossWhenDirty
		all = append(all, c.slider("Lost to dirt before cleaning", "upkeep.flow_loss_when_dirty", units.KindShare, &loss, 0, 0.7,
			document.Prose{}))
	}
	return all
}

// hose is a slider through the rows of the table of pipes by real bore.
func (c controls) hose(key string, feed plan.Feed) []document.Control {
	bore, out := boreOf(feed), document.Control{Key: key, Label: "Hose or pipe, by its bore"}
	const thinnest, widest = 0.5, 2.6 // times the bore of today
	rows := data.Pipes()
	slices.SortStableFunc(rows, func(a, b data.Pipe) int { return cmp.Compare(a.Bore, b.Bore) })
	own, err := data.PipeNamed(feed.Pipe)
	out.At = -1
	for _, row := range rows {
		if row.Bore < bore*thinnest || row.Bore > bore*widest {
			continue
		}
		name := document.Sentence("%v, %v", row.Name, document.Bore.Of(row.Bore))
		if err == nil && row.Name == own.Name {
			out.At = len(out.Steps)
		}
		out.Steps = append(out.Steps, document.Setting{Set: [][2]string{{key, row.Name}}, Name: name})
	}
	if out.At < 0 { // a bore that the plan gives
		here := document.Setting{Name: document.Sentence("as planned, %v", document.Bore.Of(bore))}
		out.At = 0
		out.Steps = append([]document.Setting{here}, out.Steps...)
	}
	if len(out.Steps) < 2 {
		return nil
	}
	return []document.Control{out}
}

// sun is what changes panel and battery.
func (c controls) sun() []document.Control {
	in, found := &c.In.Plan, c.carried()
	stop := c.slider("May stand still for up to", "reliability.longest_stop", units.KindTime, own(in.Reliability.LongestStop), 0,
		24*float64(units.Hour), document.Sentence("as the fish can bear"))
	if !found.Known {
		return []document.Control{stop}
	}
	pair := found.Value.Front.Chosen
	volts := sky.BatteryVoltage(in)
	var panels, onSale []float64
	for _, w := range in.Panel.Sizes {
		panels = append(panels, float64(w))
	}
	for _, s := range in.Battery.Sizes {
		onSale = append(onSale, float64(s.At(volts)))
	}
	panel := c.sizes("Panel", "panel.watts", own(in.Panel.Watts), panels, units.KindPower, pair.PanelW)
	var size *float64
	if s := in.Battery.Size; s != nil {
		wh := float64(s.At(volts))
		size = &wh
	}
	battery := c.sizes("Battery", "battery.size", size, onSale, units.KindEnergy, pair.BoughtWh*float64(units.WattHour))
	return []document.Control{stop, panel, battery}
}

// sizes is stepped through sizes on sale, or through round ones about what was sized.
func (c controls) sizes(label, key string, own *float64, onSale []float64, k units.Kind, sized float64) document.Control {
	free := document.Sentence("as sized, %v", document.OfKind(k, sized))
	if len(onSale) == 0 {
		return c.slider(label, key, k, own, 0.2*sized, 3*sized, free)
	}
	return c.stepped(label, key, own, onSale, func(v float64) string { return units.Format(k, v) }, ofKind(k), free)
}

// price is the price of a kWh, where the plan has one.
func (c controls) price() []document.Control {
	price := c.In.Plan.Mains.Price
	if price == nil || *price <= 0 {
		return nil
	}
	var values []float64
	step := roundStep(2 * float64(*price) / steps)
	for i := math.Ceil(0.3 * float64(*price) / step); i*step <= 2.5*float64(*price); i++ {
		values = append(values, i*step)
	}
	return []document.Control{c.stepped("Price of a kWh", "mains.price", own(price), values,
		func(v float64) string { return strconv.FormatFloat(v, 'g', 8, 64) },
		func(v float64) document.Prose { return document.Sentence("%v", c.money.Of(v)) }, document.Prose{})}
}
