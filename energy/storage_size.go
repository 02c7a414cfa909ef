package energy

import (
	"cmp"
	"errors"
	"slices"

	"sunrill/data"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/bill"
	"sunrill/energy/supply"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// Sized is the pair to buy for a load, and what stands beside it for whoever asks.
type Sized struct {
	Front    battery.Front // Chosen holds the pair to buy
	Options  battery.SizeOptions
	Bill     bill.Bill        `json:",inline"` // of the choice
	Turns    Turns            `json:",inline"`
	Handbook battery.Handbook `json:"handbook"`
	// Made and Asked are what the chosen panel makes and the load takes in the
	// mean day of each month [Wh]; Darkest is the battery in its darkest fortnight.
	Made, Asked [12]float64
	Darkest     figure.Maybe[battery.Fortnight] `json:"darkest_fortnight"`
	// Ladder is what the same load takes at other shares of good years.
	Ladder figure.Maybe[[]Level]
	// Outdoors is the choice where it is not sheltered from the frost.
	Outdoors figure.Maybe[battery.Balance]
	Freezes  bool // at its lowest charge where it stands, which bursts it
}

// sized fills in what stands beside the choice of Front.
func (s *Storage) sized(z *Sized) {
	if c := &z.Front.Chosen; c.BoughtWh > 0 {
		doubts := s.freezing(c.Connected.LowestCharge)
		c.Connected.Warnings, z.Freezes = append(slices.Clone(c.Connected.Warnings), doubts...), len(doubts) > 0
	}
	c := z.Front.Chosen
	z.Bill = z.Options.Shop.Of(c.PanelW, c.BoughtWh, c.Life.Years())
	z.Turns, z.Ladder = noTurns(notAsked), figure.Unknown[[]Level](notAsked)
	z.Made, z.Asked = s.Record.PerDay(c.PanelW)
	z.Darkest = figure.Unknown[battery.Fortnight]("no battery is bought, or the record has no fourteen whole days")
	if f, ok := c.DarkestFortnight(s.Record, s.Battery); ok && c.BoughtWh > 0 {
		z.Darkest = figure.Known(f)
	}
	z.Outdoors = s.chosenOutdoors(c)
}

// exactly fills in the least battery of the choice's panel, and the rule of thumb.
func (s *Storage) exactly(z *Sized) {
	z.Front.Chosen = battery.Exactly(s.Record, s.Battery, z.Options, z.Front.Chosen)
	s.handbook(z)
}

// handbook fills in the rule of thumb beside the choice.
func (s *Storage) handbook(z *Sized) {
	c := &z.Front.Chosen
	z.Handbook = battery.HandbookOf(s.Record, s.Battery, c.PanelW, battery.WattHours(c.BoughtWh), s.SunOnPanel())
}

// otherwise fills in what would be bought at other shares of good years and other prices.
func (s *Storage) otherwise(z *Sized) {
	cores.Each(2, func(i int) {
		if i == 0 {
			z.Ladder = s.ladder(z.Options, z.Front.Chosen)
		} else {
			z.Turns = s.turns(z.Options, z.Front.Chosen)
		}
	})
}

// Sizing is what Size finds for a load.
type Sizing struct {
	Sized
	Spread figure.Maybe[battery.Spread] // of the choice, over Seeds
	Seeds  []int
	// FrostFree is what would be bought for a place that is never too cold to charge
	// in, where the temperatures given are.
	FrostFree figure.Maybe[battery.Choice]
	Worth     figure.Maybe[bool]      // whether the sun is the right answer, or why not
	Nothing   *battery.NothingReaches // where no size reaches the target; then there is no choice
	Warnings  []data.Warning          // beside those of the Storage
	Assumed   []figure.Assumed        // likewise
}

// spreadSeeds is how many simulated weathers a choice is looked at in; a stated rule.
const spreadSeeds = 5

// Size returns the sizes that carry the load within the plan's target. The
// plan's own panel limits the front to itself. A target that nothing reaches is
// no error: Nothing says what would.
func (s *Storage) Size() (*Sizing, error) {
	if s.Record.Hours() > 0 && supply.DayLoad(s.Record) == 0 {
		return nil, s.noLoad()
	}
	z := &Sizing{}
	z.Options = s.sizeOptions(nil)
	if err := s.unfit(&z.Options.Shop); err != nil {
		return nil, err
	}
	z.Warnings = append(z.Warnings, unpriced(s.plan, &z.Options.Shop, s.Pump != nil && s.Pump.OnInverter)...)
	z.Assumed = append(z.Assumed, assumedMoney(s.plan, &z.Options.Shop)...)
	z.Assumed = append(z.Assumed, s.assumedTarget()...)
	z.Warnings = append(z.Warnings, s.targetDoubts()...)
	if s.plan.Given("battery.size") {
		z.Warnings = append(z.Warnings, data.Warning{Key: "battery.size",
			Message: "a size is looked for here, so the battery given counts for nothing; sunrill balance runs it"})
	}
	var err error
	z.Front, err = battery.Size(s.Record, s.Battery, z.Options)
	if errors.As(err, &z.Nothing) {
		z.Nothing.Multiples = s.Measured && s.plan.Panel.Watts == nil
		return z, nil
	}
	if err != nil {
		return nil, err
	}
	s.sized(&z.Sized)
	s.handbook(&z.Sized)
	if z.Worth = figure.Known(true); s.PanelW.Known {
		z.Worth = figure.Unknown[bool]("the panel is given")
	} else if why := cmp.Or(wasteful(s.Record, z.Front.Chosen.PanelW), s.brightAlone(z)); why != "" {
		z.Worth = figure.Maybe[bool]{Known: true, Why: notWorthIt + why +
			"; leave out the dark months (run.months_off), or charge in them from a generator or the mains"}
	}
	z.Assumed = append(z.Assumed, assumedVoltage(s.plan, z.Bill)...)
	s.otherwise(&z.Sized)
	z.FrostFree = s.frostFree(z)
	s.spread(z)
	return z, nil
}

// brightAlone says that the bright months alone cost less than half of what z buys, "" where
// they do not.
func (s *Storage) brightAlone(z *Sizing) units.Text {
	made, _ := s.Record.PerDay(1)
	on, o, c := brightest(&made), z.Options, &z.Front.Chosen
	o.Brief, o.Most = true, worthSeason*float64(o.Shop.CostOf(c.PanelW, c.BoughtWh, c.Life.Years()).PerYear)
	if s.Measured || o.Most <= 0 {
		return ""
	}
	if _, why := battery.Choose(s.Record.In(on), s.Battery, o); why != "" {
		return ""
	}
	return units.Say("%s alone cost less than half", on)
}

// noLoad is the fault of a load of nothing.
func (s *Storage) noLoad() error {
	switch {
	case s.Measured:
		return &data.Error{Key: "load.series", Message: "the load is 0 in every hour", Allowed: "hours in which something is drawn"}
	case s.Pump != nil:
		return &data.Error{Key: "run", Message: "the load is 0: the pump never runs", Allowed: "hours in which it does"}
	}
	return &data.Error{Key: "load.power", Message: "the load is 0: there is nothing to carry", Found: "0 W",
		Allowed: "more than 0, such as 20 W"}
}

// SunOnPanel returns the sun on the panel by month [kWh/m² a day], nil for a
// measured log.
func (s *Storage) SunOnPanel() *[12]float64 {
	if s.Sky == nil {
		return nil
	}
	months := s.Sky.Array.MonthlyPlane(s.Sky.Weather)
	for m := range months {
		months[m] /= 1000
	}
	return &months
}

// chosenOutdoors runs a choice where the battery is not sheltered from the frost.
func (s *Storage) chosenOutdoors(c battery.Choice) figure.Maybe[battery.Balance] {
	if s.outdoors == nil {
		return figure.Unknown[battery.Balance]("it is sized for where it stands")
	}
	return figure.Known(battery.ConnectedRun(s.outdoors.Record, s.outdoors.Battery, c.PanelW, c.BoughtWh))
}

// indoorsC is a room that frost never reaches [°C]; common practice, no source.
const indoorsC = 15

// frostFree returns what would be bought where the cold given never kept the battery
// from being charged.
func (s *Storage) frostFree(z *Sizing) figure.Maybe[battery.Choice] {
	if s.Frost == nil || !s.Frost.Given {
		return figure.Unknown[battery.Choice]("the temperatures given keep it from nothing")
	}
	months, _ := s.months()
	for m := range months {
		months[m] = max(months[m], s.Frost.Least)
	}
	r := s.Record
	r.BatteryC = nil
	f, why := battery.Choose(r, s.Battery.AtColdest(months), z.Options)
	if why != "" {
		return figure.Unknown[battery.Choice]("nothing reaches the target there either")
	}
	return figure.Known(f.Chosen)
}

// spread runs the choice through years made with other seeds.
func (s *Storage) spread(z *Sizing) {
	z.Spread = figure.Unknown[battery.Spread]("the hours are those of a file; only simulated years can be made again")
	if s.Sky == nil || s.Sky.Years == 0 {
		return
	}
	for i := range spreadSeeds {
		z.Seeds = append(z.Seeds, s.Sky.Seed+i*solar.Blocks(s.Sky.Years))
	}
	z.Spread = figure.Known(battery.SpreadOf(spreadSeeds, func(i int) supply.Record {
		if i == 0 {
			return s.Record
		}
		return s.WithSeed(z.Seeds[i])
	}, s.Battery, z.Options, z.Front.Chosen))
}

// sizeOptions returns what a size has to meet, beside the years in ten a share of the
// water of a pump, else of the energy, and what can be bought; a battery of one's own is
// the only one.
func (s *Storage) sizeOptions(own *plan.Storage) battery.SizeOptions {
	p := s.plan
	o := battery.SizeOptions{Unmet: p.Reliability.UnmetEnergy, LongestStop: figure.Unknown[int]("no longest stop is given"),
		YearsInTen: figure.Unknown[float64]("another target is given"), Shop: s.shop(s.Pump != nil && s.Pump.OnInverter),
		Temperature: s.batteryTemperature()}
	if d := p.Reliability.LongestStop; d != nil {
		o.LongestStop = figure.Known(wholeHours(*d))
	}
	if years, asked := p.YearsInTen(); asked {
		o.YearsInTen, o.Limits = figure.Known(years), s.limits.Hours
	}
	if s.Pump != nil && !p.Given("reliability.unmet_energy") {
		o.Unmet, o.UnmetFlow = p.Reliability.UnmetFlow, figure.Known(p.Reliability.UnmetFlow)
	}
	if s.PanelW.Known {
		o.Panels = []float64{s.PanelW.Value}
	}
	if own != nil {
		if o.Shop.OwnBattery, o.Shop.OwnPanel = true, s.PanelW.Known; s.PanelW.Known { // there is nothing to choose: it is warned of
			o.Shop.LeastPerWatt = 0
		}
		o.Shop.OnlyWh = figure.Known(own.At(sky.BatteryVoltage(p)).In(units.WattHour))
	}
	return o
}

// batteryTemperature returns the steady temperature at which the battery ages
// as it does where it stands, 0 where nothing is known.
func (s *Storage) batteryTemperature() units.Temperature {
	if months, known := s.months(); known {
		return battery.AgeingTemperature(months)
	}
	return 0
}
