package energy

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"sunrill/data"
	"sunrill/data/units"
)

// sizer sizes panel and battery for the loads of a plan. It reads the weather
// years once into the yield of a watt, which all loads share.
type sizer struct {
	yield    []float64 // of a watt of panel after the controller [W/W]
	start    int
	batteryC []float64 // nil where not known by the hour
	battery  Battery
	options  SizeOptions
}

// sizer makes the sizer of the plan, unknown where nothing can be sized.
func (j *job) sizer() Maybe[*sizer] {
	switch {
	case j.size != nil:
		return Known(j.size)
	case j.noLoad != nil:
		why, _ := becauseOf(j.noLoad)
		return Unknown[*sizer](why)
	case j.noStore != "":
		return Unknown[*sizer](j.noStore)
	}
	p := j.plan
	z := &sizer{yield: j.store.Record.Panel, start: j.store.Record.Start, batteryC: j.store.Record.BatteryC, battery: j.store.Battery}
	z.battery.Voltage = batteryVoltage(p)
	z.options = SizeOptions{ctx: j.ctx, Unmet: p.Reliability.UnmetFlow, UnmetFlow: Known(p.Reliability.UnmetFlow), SaleWh: saleWh(p, z.battery.Voltage), Cost: costOf(p, onInverter(p, j.water.Choice.Nearest)), Years: p.Mains.Years, Temperature: j.store.batteryTemperature()}
	for _, w := range p.Panel.Sizes {
		z.options.Panels = append(z.options.Panels, float64(w))
	}
	if w := p.Panel.Watts; w != nil {
		z.options.Panels = []float64{float64(*w)}
	}
	if t, _ := j.bearable(); t.Known {
		z.options.LongestStop = Known(int(t.Value))
	}
	j.size = z
	return Known(z)
}

// saleWh returns the battery sizes on sale, nil for any. A size that the plan
// gives is the only one.
func saleWh(p *data.Plan, v units.Voltage) []float64 {
	wh := func(s data.Storage) float64 { return s.At(v).In(units.WattHour) }
	if p.Battery.Size != nil {
		return []float64{wh(*p.Battery.Size)}
	}
	var sizes []float64
	for _, s := range p.Battery.Sizes {
		sizes = append(sizes, wh(s))
	}
	slices.Sort(sizes)
	return slices.Compact(sizes)
}

// costOf prices a panel with a battery, nil where one of them has no price.
// Controller and inverter are left out where they have none, the inverter also
// where the pump needs none.
func costOf(p *data.Plan, inverter bool) CostFunc {
	if p.Panel.PricePerWatt == nil || p.Battery.PricePerWh == nil {
		return nil
	}
	m := p.Mains
	return func(panelW, batteryWh, batteryYears float64) (price, perYear Money) {
		parts := []Part{
			{Name: "panel", Price: Known(Money(panelW) * Money(*p.Panel.PricePerWatt)), Life: p.Panel.Life.In(units.Year)},
			{Name: "battery", Price: Known(Money(batteryWh) * Money(*p.Battery.PricePerWh)), Life: max(0.5, batteryYears)},
		}
		if math.IsInf(batteryYears, 1) {
			parts[1].Life = 0
		}
		if v := p.Controller.Price; v != nil {
			parts = append(parts, Part{Name: "controller", Price: Known(Money(*v)), Life: p.Controller.Life.In(units.Year)})
		}
		if v := p.Inverter.Price; v != nil && inverter {
			parts = append(parts, Part{Name: "inverter", Price: Known(Money(*v)), Life: p.Inverter.Life.In(units.Year)})
		}
		c, err := Own(Ownership{Parts: parts, Running: Known(Money(0)), Years: m.Years, DiscountRate: m.DiscountRate, ExtraFirst: Money(p.Panel.ExtraPrice)})
		if err != nil || !c.Known {
			return Money(math.Inf(1)), Money(math.Inf(1))
		}
		return c.Value.First, c.Value.EquivalentAnnual
	}
}

// unpriced warns of what stands between panel and pump and has no price, so that
// those of costOf come out low.
func unpriced(p *data.Plan, inverter bool) []data.Warning {
	var all []data.Warning
	say := func(key, what string) {
		all = append(all, data.Warning{Key: key, Message: "not given: every price of panel and battery leaves the " + what + " out"})
	}
	if p.Controller.Price == nil && p.Controller.Kind != string(BarePanel) {
		say("controller.price", "controller")
	}
	if p.Inverter.Price == nil && inverter {
		say("inverter.price", "inverter")
	}
	return all
}

// assumedMoney lists what the cost of a year rests on and nobody gave.
func assumedMoney(p *data.Plan, inverter bool) (all []Assumed) {
	list := func(key string, a Assumed) {
		if k, _ := data.KeyNamed(key); !p.Given(key) {
			a.Key, a.Source = key, k.Source
			all = append(all, a)
		}
	}
	years := func(key string, life units.Duration, what string) {
		list(key, Assumed{Text: units.Sprintf("%g years", life.In(units.Year)), Why: "years until the " + what + " is bought again"})
	}
	list("mains.years", Assumed{Text: fmt.Sprintf("%d years", p.Mains.Years), Why: "years over which panel and battery are paid off; what they are still worth then is not counted"})
	list("mains.discount_rate", Assumed{Kind: units.KindShare, Value: p.Mains.DiscountRate, Why: "what money is worth in a year above inflation"})
	years("panel.life", p.Panel.Life, "panel")
	if p.Controller.Price != nil {
		years("controller.life", p.Controller.Life, "controller")
	}
	if p.Inverter.Price != nil && inverter {
		years("inverter.life", p.Inverter.Life, "inverter")
	}
	return all
}

// of returns the sizer for pump i, whose price may lack or need an inverter.
func (z *sizer) of(j *job, i int) *sizer {
	if z.options.Cost == nil || onInverter(j.plan, i) == onInverter(j.plan, j.water.Choice.Nearest) {
		return z
	}
	other := *z
	other.options.Cost = costOf(j.plan, onInverter(j.plan, i))
	return &other
}

// record returns what a load asks of a watt of panel and a battery.
func (z *sizer) record(l *PumpLoad) Record {
	return Record{Start: z.start, Panel: z.yield, Load: tile(l.Use.Watts(), z.start, len(z.yield)), BatteryC: z.batteryC,
		Water: tile(l.Water, z.start, len(z.yield)), Standby: l.Clean.Standby}
}

// front returns the front of a record, with the pair to buy: that which Size
// chooses, from fewer panels; or why there is none.
func (z *sizer) front(r Record) (f Front, why string) {
	s := newSelection(r, z.battery, z.options)
	if s.tooDark() {
		return s.front(), s.dark().Error()
	}
	ok := s.sparsely()
	if f = s.front(); !ok {
		why = z.outOfReach(r, f)
	}
	return f, why
}

// outOfReach says in a sentence why a record has no size.
func (z *sizer) outOfReach(r Record, f Front) string {
	if len(f.Pairs) == 0 {
		if ratio := worstMonthRatio(r); ratio == 0 {
			return "a month in which the pump runs has no sun"
		}
		return "no panel looked at keeps up with the load, whatever the battery"
	}
	last := f.Pairs[len(f.Pairs)-1]
	return units.Sprintf("no size on sale reaches the target: the largest panel looked at, %.0f W, needs a battery of at least %.0f Wh", last.PanelW, last.BatteryWh)
}

// inParallel calls do for 0 to n-1 on as many goroutines as there are cores to
// run them. Each call must write only what is its own, so that the result does
// not depend on their order.
func inParallel(n int, do func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range min(runtime.GOMAXPROCS(0), n) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				do(i)
			}
		}()
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}
