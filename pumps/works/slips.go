package works

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// Slips of the tape, of the label and of a unit that a plan's own figures show.
// Common practice, no source.
const (
	muchLift     = 0.7  // of a pump's largest head: little is left for the hose
	leastPumping = 0.02 // wire to water at its best: even tiny pumps reach more
	noPumping    = 0.01 // wire to water of no pump at all
	typicalDraw  = 3    // what a small pump draws over what its water takes, at its best
	// farFromGoal is how many times the largest flow of any pump a goal may ask
	// for, or the other way round, before the volume is doubted: litres taken for
	// cubic metres are a thousand times, gallons 220 or 264.
	farFromGoal     = 20
	narrowBore      = 6 * units.Millimetre
	wideBore        = 200 * units.Millimetre
	deepPond        = 4 * units.Metre
	dearKWh         = 5
	dearMoney       = "EUR € GBP £ USD $ CHF AUD CAD NZD"
	farFromStocking = 3 // times what the word for the stocking stands for
	// TallestPond is the head that no pump made for a garden pond gives.
	TallestPond = 25 * units.Metre
)

// slips names what new plans most often get wrong, where the figures make it
// likely: a lift measured from the pump, a length or a volume in the wrong unit,
// and watts that are none. Those that turn the whole answer are Doubts too.
func (w *Waterworks) slips(p *plan.Plan, curves []data.CurveRows) {
	length := func(v units.Length) units.Text {
		return units.Text("{" + units.Format(units.KindLength, float64(v)) + "}")
	}
	lift := w.Line.Lift()
	highest, largest := units.Length(0), units.Flow(0)
	for i, pump := range w.Pumps {
		if h, ok := pump.Curve(1).ShutOff(); ok {
			highest = max(highest, h)
		}
		largest = max(largest, pump.Curve(1).Last()*units.Flow(pump.Lines()))
		w.slipOfWatts(fmt.Sprintf("pump.%d", i+1), pump)
		if curves[i].Doubt.Key != "" { // the reader has warned of it
			w.Doubts = append(w.Doubts, curves[i].Doubt)
		}
	}
	if lift < highest && float64(lift) > muchLift*float64(highest) {
		key := "lift.static_head"
		if len(p.Branches) == 0 && lift > figure.OrZero(p.Lift.StaticHead) {
			key = "lift.crest"
		}
		w.warn(key, "%s is %.0f %% of the largest head of any pump: make sure that it was measured from the pond's surface, never from "+
			"the pump",
			length(lift), 100*float64(lift/highest))
	}
	total := units.Length(0)
	for i, f := range p.Feeds {
		total += figure.OrZero(f.Length)
		if bore := w.Line.Feeds()[i].Bore; bore < narrowBore || bore > wideBore {
			w.doubt(fmt.Sprintf("feed.%d.bore", i+1),
				"a bore of %s is no pond hose: check the unit (mm, cm, in), and that it is the inside",
				units.Format(units.KindBore, float64(bore)))
		}
	}
	w.slipOfFish(p)
	price := figure.OrZero(p.Mains.Price)
	for _, b := range p.Mains.Bands {
		price = max(price, b.Price)
	}
	for _, t := range p.Mains.Tiers {
		price = max(price, t.Price)
	}
	if price >= dearKWh && slices.Contains(strings.Fields(dearMoney), cmp.Or(p.Mains.Currency, "EUR")) {
		w.doubt("mains.price", "%s for a kWh looks like a price in hundredths: is it %.3g?",
			strings.TrimSpace(units.Sprintf("%s %.4g", p.Mains.Currency, float64(price))), float64(price)/100)
	}
	if d := figure.OrZero(p.Pond.Depth); d > deepPond {
		w.warn("pond.depth", "%s is deep for a pond: check the unit (feet are not metres)", length(d))
	}
	if site := p.Site; site.UTCOffset != nil && site.Latitude != nil && site.Longitude != nil {
		off := func(v units.Angle) float64 { return math.Abs(v.In(units.Degree)/15 - *site.UTCOffset) }
		if off(*site.Longitude) > 3 && off(*site.Latitude) <= 1.5 {
			w.doubt("site.latitude", "latitude and longitude look exchanged: the clock that is given belongs to a longitude near the "+
				"latitude")
		}
	}
	if len(p.Feeds) > 0 && len(p.Branches) == 0 && total < lift {
		w.doubt("feed.length", "%s of hose cannot reach up the lift of %s: check both, and their units", length(total), length(lift))
	}
	if p.Run.Speed > 1 {
		w.doubt("run.speed", "%.0f %% is beyond the speed at which the curves were taken, which few pumps stand: ask the maker",
			100*p.Run.Speed)
	}
	goal, asks := w.Pond.Value.GoalFlow, units.Text("the goal asks for")
	koi, _ := data.TurnoverGoalOf("heavy") // of which practice asks the quickest; a row of our own table
	most := units.Flow(float64(w.Pond.Value.Volume) / float64(koi.Quickest))
	if goal.Known && goal.Value < most {
		most = goal.Value
	} else {
		asks = "the quickest practice asks for"
	}
	switch {
	case !w.Pond.Known || largest <= 0:
	case goal.Known && goal.Value > farFromGoal*largest:
		w.doubt("pond.volume", "the goal asks for %.0f times the most that any pump of the plan moves with no head on it: check the "+
			"pond's volume and its unit (litres are not m3, nor gallons), and the goal", float64(goal.Value/largest))
	case largest > farFromGoal*most:
		w.doubt("pond.volume", "the largest pump of the plan moves %.0f times what %s, with no head on it: check the "+
			"pond's volume and its unit, and the goal", float64(largest/most), asks)
	}
}

// doubt warns of a slip that turns the whole answer.
func (w *Waterworks) doubt(key, format string, args ...any) {
	w.warn(key, format, args...)
	w.Doubts = append(w.Doubts, w.Warnings[len(w.Warnings)-1])
}

// slipOfFish names a mass of fish that the word for the stocking does not fit; of more fish
// the goal is none.
func (w *Waterworks) slipOfFish(p *plan.Plan) {
	row, err := data.StockingOf(p.Pond.Stocking)
	mass := float64(figure.OrZero(p.Pond.FishMass))
	if err != nil || !w.Pond.Known || mass == 0 {
		return
	}
	v := float64(w.Pond.Value.Volume)
	if low, high := row.FishLowPerM3*v, row.FishHighPerM3*v; mass > farFromStocking*high || mass < low/farFromStocking {
		say := w.warn
		if mass > high {
			say = w.doubt
		}
		say("pond.fish_mass", "{%.3g kg} is not what %s stocking stands for, {%.2g to %.2g kg} in {%.3g m3}: check the mass, its "+
			"unit, and the stocking", mass, row.Stocking, low, high, v)
	}
}

// slipOfWatts names watts of a pump, under key, that are none.
func (w *Waterworks) slipOfWatts(key string, pump pumps.Pump) {
	best, draw := bestPumping(pump)
	also := ""
	if suits := 60 * best / draw; suits > 0.1 && suits < 0.7 { // sixty times as much would suit the watts
		also = ", or are its flows litres a minute"
	}
	switch {
	case draw > 0 && best < noPumping*draw:
		times := draw / (typicalDraw * best)
		digit := math.Pow10(int(math.Floor(math.Log10(times))))
		w.doubt(key, "%s would draw %.0f W to move water that takes %.2g W at most, as no pump does: its watts look about %.0f times "+
			"too large. Are they watts under a heading of kW, or Wh of a day%s?", pump.Name(), draw, best, math.Round(times/digit)*digit,
			also)
	case draw > 0 && best < leastPumping*draw:
		w.warn(key, "%s would draw %.4g W to move water that takes %.2g W at most: are its watts those of any moment, and not Wh of a "+
			"day%s?",
			pump.Name(), draw, best, also)
	}
}

// bestPumping returns the most that pump gives the water along its curve and
// what it draws there, in watts.
func bestPumping(pump pumps.Pump) (best, draw float64) {
	c, lines := pump.Curve(1), units.Flow(pump.Lines())
	for tenth := 1; tenth <= 10; tenth++ {
		q := c.Last() * units.Flow(tenth) / 10
		h, err := c.Head(q)
		if moved := float64(pumps.HydraulicPower(q*lines, h, pumps.Water{Density: 1000})); err == nil && moved > best {
			best, draw = moved, float64(pump.Power(q*lines, 1))
		}
	}
	return best, draw
}

// impossible returns a fault for each pump that gives the water more power than it
// draws, on the clean line or anywhere on its curve. A curve's own watts are checked point by point; here are those
// of a meter and of a label.
func (w *Waterworks) impossible(p *plan.Plan) []error {
	var faults []error
	for i, pump := range w.Pumps {
		d, _ := pump.Duty(1, w.Line) // none gives nothing
		gives, draws, where := float64(pumps.HydraulicPower(d.Flow, d.Head, w.Line.Water())), float64(d.Power), "on this line"
		metered := pump.PowerSource() == pumps.MeteredPower // of this line alone
		if !metered && gives <= draws {
			gives, draws = bestPumping(pump)
			where = "at its best"
		}
		if draws <= 0 || gives <= draws {
			continue
		}
		key, hint := map[bool]string{true: "metered_power", false: "label_power"}[metered], ""
		if gives/60 < draws {
			hint = "or is its flow litres an hour, and not a minute?"
		}
		faults = append(faults, p.Placed(&data.Error{Key: fmt.Sprintf("pump.%d.%s", i+1, key),
			Message: "the pump would give the water more power than it draws",
			Found:   units.Sprintf("%.3g W", draws), Allowed: units.Sprintf("more than the %.3g W that its water takes %s; small pumps "+
				"draw two to five times that", gives, where), Hint: hint}))
	}
	return faults
}
