package energy

import (
	"errors"
	"math"
	"runtime"
	"sync"

	"sunrill/data"
	"sunrill/data/units"
)

// Sizing is the front of panels and batteries for a load, the pair to buy and
// what stands beside it.
type Sizing struct {
	Front    Front
	Options  SizeOptions
	ByWater  bool    // the target is a share of the year's water, not of the energy
	Target   float64 // that share
	Handbook Handbook
	Spread   Maybe[Spread] // of the choice, over Seeds
	Seeds    []int
	// AsSource is the choice under the sun as its source gives it, where the dark
	// months were lowered for sizing.
	AsSource Maybe[Spread]
	Nothing  *NothingReaches // where no size reaches the target; then there is no choice
	PriceWhy string          // why there are no prices, "" where there are
	Warnings []data.Warning  // beside those of the Storage
}

// spreadSeeds is how many made weathers a choice is looked at in.
const spreadSeeds = 5

// Size returns the sizes that carry the load within the plan's target. The
// plan's own panel limits the front to itself. A target that nothing reaches is
// no error: Nothing says what would.
func (s *Storage) Size() (*Sizing, error) {
	z := &Sizing{Options: s.sizeOptions()}
	z.Options.Cost, z.PriceWhy = s.cost()
	z.ByWater = s.Pump != nil && !s.plan.Given("reliability.unmet_energy")
	z.Target = s.plan.Reliability.UnmetEnergy
	if z.ByWater {
		z.Target = s.plan.Reliability.UnmetFlow
	}
	z.Options.Unmet = z.Target
	if s.plan.Given("battery.size") {
		z.Warnings = append(z.Warnings, data.Warning{Key: "battery.size", Message: "a size is looked for here, so the battery given counts for nothing; sunrill balance runs it"})
	}
	err := s.front(z)
	if errors.As(err, &z.Nothing) {
		return z, nil
	}
	if err != nil {
		return nil, err
	}
	return z, s.beside(z)
}

// front fills z.Front. Water is missed in larger shares than energy, for an
// hour cut off counts in full; where that matters the energy that may be missed
// is lowered until the water holds.
func (s *Storage) front(z *Sizing) error {
	const tries, margin = 6, 0.9
	var err error
	for range tries {
		if z.Front, err = Size(s.Record, s.Battery, z.Options); err != nil || !z.ByWater {
			return err
		}
		missed := z.Front.Chosen.Connected.UnmetFlow()
		if missed <= z.Target {
			return nil
		}
		z.Options.Unmet *= margin * z.Target / missed
	}
	z.Options.Unmet = 0
	z.Front, err = Size(s.Record, s.Battery, z.Options)
	return err
}

// beside fills in what stands beside the choice.
func (s *Storage) beside(z *Sizing) error {
	c := z.Front.Chosen
	var poa *[12]float64
	if s.Sky != nil {
		months := s.Sky.Weather.Monthly(s.Sky.OnPlane(s.Sky.Weather))
		for m := range months {
			months[m] /= 1000
		}
		poa = &months
	}
	z.Handbook = HandbookOf(s.Record, s.Battery, c.PanelW, wattHours(c.BoughtWh), poa)
	z.AsSource = Unknown[Spread]("the hours are used as they are")
	if r, differs, err := s.AsSource(); err != nil {
		return err
	} else if differs {
		spread, err := SpreadOf([]Record{r}, s.Battery, z.Options, c)
		if err != nil {
			return err
		}
		z.AsSource = Known(spread)
	}
	return s.spread(z)
}

// spread runs the choice through years made with other seeds, as many at a time
// as there are processors: the years of one seed take some megabytes.
func (s *Storage) spread(z *Sizing) error {
	z.Spread = Unknown[Spread]("the hours are those of a file; only made years can be made again")
	if s.Sky == nil || s.Sky.Years == 0 {
		return nil
	}
	var each [spreadSeeds]Spread
	var faults [spreadSeeds]error
	var all sync.WaitGroup
	free := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range each {
		z.Seeds = append(z.Seeds, s.Sky.Seed+i)
		all.Add(1)
		free <- struct{}{}
		go func() {
			defer func() { <-free; all.Done() }()
			each[i], faults[i] = s.withSeed(z, s.Sky.Seed+i)
		}()
	}
	all.Wait()
	var spread Spread
	for _, one := range each {
		spread.LeastWh = append(spread.LeastWh, one.LeastWh...)
		spread.Bought = append(spread.Bought, one.Bought...)
	}
	z.Spread = Known(spread)
	return errors.Join(faults[:]...)
}

// withSeed returns how the choice fares in the years of a seed.
func (s *Storage) withSeed(z *Sizing, seed int) (Spread, error) {
	r := s.Record
	if seed != s.Sky.Seed {
		var err error
		if r, err = s.WithSeed(seed); err != nil {
			return Spread{}, err
		}
	}
	return SpreadOf([]Record{r}, s.Battery, z.Options, z.Front.Chosen)
}

// sizeOptions returns what a size has to meet and what can be bought, prices
// and target apart.
func (s *Storage) sizeOptions() SizeOptions {
	p := s.plan
	o := SizeOptions{LongestStop: Unknown[int]("no longest stop is given"), Temperature: s.batteryTemperature()}
	if d := p.Reliability.LongestStop; d != nil {
		o.LongestStop = Known(int(math.Floor(d.In(units.Hour) + 1e-9)))
	}
	switch {
	case s.PanelW.Known:
		o.Panels = []float64{s.PanelW.Value}
	default:
		for _, w := range p.Panel.Sizes {
			o.Panels = append(o.Panels, float64(w))
		}
	}
	for _, size := range p.Battery.Sizes {
		o.SaleWh = append(o.SaleWh, size.At(batteryVoltage(p)).In(units.WattHour))
	}
	return o
}

// batteryTemperature returns the mean of where the battery stands, 0 where
// nothing is known.
func (s *Storage) batteryTemperature() units.Temperature {
	var months [12]units.Temperature
	switch {
	case s.plan.Battery.Temperature != nil:
		months = *s.plan.Battery.Temperature
	case s.Sky != nil:
		months = s.Sky.AirByMonth()
	default:
		return 0
	}
	var t units.Temperature
	for _, v := range months {
		t += v / 12
	}
	return t
}

// cost returns what a panel and a battery cost with the controller and the
// inverter that go with any size, or why nothing is known. Parts without a price
// beside panel and battery are the same for every size and count nothing.
func (s *Storage) cost() (CostFunc, string) {
	p := s.plan
	switch {
	case s.Measured && p.Panel.Watts == nil:
		return nil, "the watts of the measured panel are not given (panel.watts)"
	case p.Panel.PricePerWatt == nil:
		return nil, "the price of a watt of panel is not given (panel.price_per_watt)"
	case p.Battery.PricePerWh == nil:
		return nil, "the price of a Wh of battery is not given (battery.price_per_wh)"
	}
	var fixed []Part
	add := func(name string, price *data.Money, life units.Duration) {
		if price != nil {
			fixed = append(fixed, Part{Name: name, Price: Known(Money(*price)), Life: life.In(units.Year)})
		}
	}
	add("controller", p.Controller.Price, p.Controller.Life)
	if s.Pump != nil {
		add("inverter", p.Inverter.Price, p.Inverter.Life)
	}
	perWatt, perWh := Money(*p.Panel.PricePerWatt), Money(*p.Battery.PricePerWh)
	return func(panelW, batteryWh, batteryYears float64) (price, perYear Money) {
		const leastLife = 0.1 // years: what Own takes
		life := max(batteryYears, leastLife)
		if math.IsInf(life, 1) {
			life = 0 // outlives the reckoning
		}
		o := Ownership{Running: Known(Money(0)), Years: p.Mains.Years, DiscountRate: p.Mains.DiscountRate, ExtraFirst: Money(p.Panel.ExtraPrice),
			Parts: append([]Part{
				{Name: "panel", Price: Known(perWatt * Money(panelW)), Life: p.Panel.Life.In(units.Year)},
				{Name: "battery", Price: Known(perWh * Money(batteryWh)), Life: life},
			}, fixed...)}
		c, err := Own(o)
		if err != nil || !c.Known {
			return Money(math.Inf(1)), Money(math.Inf(1))
		}
		return c.Value.First, c.Value.EquivalentAnnual
	}, ""
}
