package energy

import (
	"cmp"
	"errors"
	"math"

	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/still"
	"sunrill/pumps/works"
)

// sizeRows sizes panel and battery of every row, and completes what stands beside the best and
// the plan's own hours.
func (j *job) sizeRows() error {
	rows, sun := j.out.Tradeoff, &j.out.Solar.Value
	told, own := &sun.Best.Value.Way, sun.DayAndNight.Value // the rows read the latter
	if !sun.Best.Known {
		told = &own
	}
	errs := make([]error, len(rows)+2)
	cores.Each(len(errs), func(i int) {
		switch {
		case i > 1:
			rows[i-2].most = 0
			errs[i] = j.sizeRow(&rows[i-2])
		case i > 0 && told.Storage != nil:
			told.Storage.otherwise(&told.Sized)
			told.Storage.exactly(&told.Sized)
		case i == 0 && told != &own && own.Storage != nil:
			own.complete()
			own.Storage.exactly(&own.Sized)
		}
	})
	sun.DayAndNight.Value = own
	for i := range rows {
		figure.Explain(&rows[i], rows[i].Why)
	}
	markLeast(rows)
	return errors.Join(errs...)
}

// sizeRow sizes and grades one row, unless it is already. It reads the job and writes only the row.
func (j *job) sizeRow(s *Strategy) error {
	if s.sized {
		return nil
	}
	s.sized = true
	defer j.grade(s)
	if s.sunOnly() || !s.Possible() {
		return nil
	}
	why, err := j.pairFor(s)
	if why != "" && s.most > 0 { // dearer than what it was held against: it is not known yet
		s.sized, s.most = false, 0
		return err
	}
	s.Stop = figure.Known(s.StillHours)
	if err != nil || why != "" {
		figure.Explain(s, why)
		return err
	}
	s.take(s.choice)
	j.stop(s)
	return nil
}

// take makes c the pair of a row.
func (s *Strategy) take(c battery.Choice) {
	s.choice, s.Panel, s.Battery, s.Price = c, figure.Known(c.PanelW), figure.Known(c.BoughtWh), c.Price
}

// pairFor finds the pair that a row would buy and what the pump moves on it, or why there
// is none.
func (j *job) pairFor(s *Strategy) (why units.Text, err error) {
	if why, err = j.feed(s); err != nil || why != "" {
		return why, err
	}
	if s.rest, err = s.as.restOf(s.Pump); err != nil {
		return "", err
	}
	if d := j.out.DayAndNight(); s == j.planned() && d.Why != notAsked {
		if d.Known {
			s.choose(&j.target.Value, d.Value.Front)
		}
		return d.Why, nil
	}
	o := j.optionsOf(s)
	f, why := battery.Choose(s.record, j.store.Battery, o)
	if why == "" {
		s.choose(&o, f)
	}
	return why, nil
}

// choose makes the choice of f the pair of a row.
func (s *Strategy) choose(o *battery.SizeOptions, f battery.Front) {
	c := f.Chosen
	s.choice, s.rule = c, f.Rule
	s.pairYear = float64(o.Shop.CostOf(c.PanelW, c.BoughtWh, c.Life.Years()).PerYear)
}

// feed puts the pump of a row on the battery, once, or says why that cannot be.
func (j *job) feed(s *Strategy) (why units.Text, err error) {
	d := j.out.DayAndNight()
	switch {
	case !j.out.Solar.Known || !j.target.Known:
		return d.Why, nil
	case s.load != nil:
		return "", nil
	case d.Known && s == j.planned():
		s.load, s.record = j.store.Pump, j.store.Record
	default:
		load, _, err := pumpLoad(s.as.plan, s.as.water, s.Pump, s.as.air)
		if why, expected := becauseOf(err); expected {
			return why, nil
		}
		if err != nil || load.Use.PerYear() <= 0 {
			return "it draws nothing", err
		}
		s.load, s.record = load, carrying(j.store.Record, load)
	}
	s.OffGrid = figure.Known(s.load.OffGrid)
	return "", nil
}

// optionsOf returns what the pair of a row has to meet and may cost.
func (j *job) optionsOf(s *Strategy) battery.SizeOptions {
	o := j.target.Value
	o.Ratio = j.out.DayAndNight().Value.WorstRatio.Value
	if o.Shop.Inverter = 0; s.load.OnInverter && o.Shop.NoMoney == "" { // one may be needed or not
		o.Shop.Inverter = money.Money(figure.OrZero(j.plan.Inverter.Price))
	}
	o.Limits = s.as.bearable(s.rest).Hours
	if o.Most = s.most; s.most > 0 {
		o.Brief = true
	}
	if s.pair != nil {
		o.Panels, o.Shop.OnlyWh, o.Brief = []float64{s.pair.PanelW}, figure.Known(s.pair.BoughtWh), true
	}
	return o
}

// stop fills in the longest stretches without a row's full flow, its pauses and its want of
// sun together, where it runs on its pair.
func (j *job) stop(s *Strategy) {
	c := &s.choice
	s.Stop = figure.Known(max(s.StillHours, float64(c.Connected.Stops.LongestHours)))
	for m, hours := range c.Connected.Stops.Within {
		s.stops[m] = max(s.StillHours, float64(hours))
	}
	if s.StillHours == 0 || c.Connected.Stops.Hours == 0 {
		return
	}
	o := battery.BalanceOptions{StartCharge: 1, Repeat: true, Connected: true}
	moved := battery.WaterMoved(s.record, c.PanelW, j.store.Battery, c.BoughtWh, o, s.as.water.Schedule.RunningMonths())
	for m, hours := range moved.Short {
		s.stops[m] = max(s.stops[m], hours)
		s.Stop.Value = max(s.Stop.Value, hours)
	}
}

// sunOnly reports whether a row runs on the sun alone.
func (s *Strategy) sunOnly() bool { return s.Kind == DaylightOnly || s.Kind == DaylightBuffered }

// daylightRows adds the rows on the sun alone.
func (j *job) daylightRows() {
	i := j.base()
	if i < 0 {
		return
	}
	rows := [2]Variant{{Name: "daylight only", Kind: DaylightOnly, Pump: i}, {Name: "daylight, small battery",
		Kind: DaylightBuffered, Pump: i}}
	const sunAlone = "it runs on the sun alone"
	for k := range rows {
		s := &Strategy{Variant: rows[k], Power: j.water.Pumps[i].Power, Verdict: works.Unjudged(sunAlone)}
		s.PerYear = figure.Unknown[units.Volume]("only the worst month's is known")
		switch d := j.out.Daylight(); {
		case !d.Known && k > 0:
			continue
		case !d.Known:
			s.Why = d.Why
		case k == 0:
			least := d.Value.Year.Months[d.Value.Year.Least].PerDay
			s.PerYear = figure.Given(d.Value.Year.PerYear > 0, d.Value.Year.PerYear, noWater)
			for m := range s.stops {
				s.stops[m] = d.Value.Year.Months[m].Longest.In(units.Hour)
			}
			j.sunRow(s, least, d.Value.PanelW, 0, d.Value.Year.Longest.In(units.Hour))
		case !d.Value.Small.Known: // it is not offered
			continue
		default:
			b := d.Value.Small.Value
			s.stops = b.still
			j.sunRow(s, b.PerDay, d.Value.PanelW, b.Wh, b.Longest)
		}
		figure.Explain(s, cmp.Or(s.Why, sunAlone))
		j.out.Tradeoff = append(j.out.Tradeoff, *s)
	}
}

// sunRow fills in a row on the sun alone.
func (j *job) sunRow(s *Strategy, perDay units.Volume, panelW, batteryWh, still float64) {
	s.PerDay, s.StillHours = perDay, still
	s.Panel, s.Battery, s.Stop = figure.Known(panelW), figure.Known(batteryWh), figure.Known(still)
	shop := j.store.shop(onInverter(j.plan, s.Pump))
	shop.OwnPanel = j.target.Value.Shop.OwnPanel
	price := shop.CostOf(panelW, batteryWh, 1).Price
	s.Price = figure.Given(shop.NoMoney == "", price, shop.NoMoney)
	if math.IsInf(float64(price), 1) {
		s.Price = figure.Unknown[money.Money]("no controller on sale takes the panel")
	}
	s.Verdict = works.Judge(j.water.Pond, perDay, noWater)
	s.OffGrid = figure.Known(OffGridWater{Speed: figure.Unknown[float64](noSpeed), Flow: figure.Unknown[units.Flow](noSpeed),
		PerDay: perDay, Verdict: s.Verdict})
}

// grade fills in what the row's longest stop risks.
func (j *job) grade(s *Strategy) {
	running := j.water.Schedule.RunningMonths().Has
	switch {
	case !s.Possible():
	case !s.Stop.Known:
		s.Risk = figure.Unknown[still.Grade](s.Stop.Why)
	case !j.out.Rest.Known:
		s.Risk = figure.Unknown[still.Grade](j.out.Rest.Why)
	default: // each month by its own limit, as it was sized
		rest := j.out.Rest.Value
		if s.rest.Known {
			rest = s.rest.Value
		}
		if !s.Panel.Known {
			for m := range s.stops {
				s.stops[m] = s.Stop.Value
			}
		}
		s.Risk = still.GradeYear(s.stops, running, rest).Figure()
	}
}
