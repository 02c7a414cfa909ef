package energy

import (
	"cmp"
	"slices"
	"time"

	"sunrill/data"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/money"
	"sunrill/energy/supply"
	"sunrill/energy/wiring"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// SolarBudget is what sun and storage would do for the chosen pump, or the
// nearest where none meets the goal.
type SolarBudget struct {
	Sky         *sky.Sky
	Best        figure.Maybe[Best]        // at the depth Decided, as Worth and Season
	Worth       figure.Maybe[bool]        // whether the sun is the right answer; false with the reason
	Season      figure.Maybe[Season]      // the bright part of the year alone, and a generator
	MainsYear   figure.Maybe[money.Money] // of the chosen pump, all told, to hold Best against
	Frost       *Frost                    // that every battery sized here is kept from; nil where none is
	Own         figure.Maybe[OwnPair]     // what the plan's own panel and battery carry
	DayAndNight figure.Maybe[DayAndNight]
	Daylight    figure.Maybe[DaylightBudget]
}

// DayAndNight is the panel and the battery that carry the plan's hours.
type DayAndNight struct {
	Watts   units.Power        `json:"load_w"`           // mean of the running hours at the battery, the larger of clean and dirty
	PerDay  units.EnergyPerDay `json:"load_kwh_per_day"` // the same, mean over the year
	Draw    supply.Draw        // at the speed that takes Watts
	Water   OffGridWater       `json:",inline"` // what the pump moves on this battery through its cable
	Storage *Storage           // that it was sized for
	Sized
	// WorstMonth is that in which the chosen panel makes least for its load;
	// WorstRatio is what it makes over the load in that month, MeanRatio the same
	// over the year.
	WorstMonth figure.Maybe[time.Month] `json:"worst_month"`
	WorstRatio figure.Maybe[float64]    `json:"worst_month_energy_ratio"`
	MeanRatio  float64                  `json:"mean_energy_ratio"`
	Installer  wiring.InstallerSheet
	Warnings   []data.Warning

	pump int
	year supply.YearLoad
}

// noSitePlan is the reason where a plan says nothing of its site.
const noSitePlan = "the site is not given (site.place, or site.latitude and site.longitude)"

// sky makes the sky of the plan. A site whose climate or panel cannot be
// worked out leaves the rest of the plan standing, with the reason; a fault in
// a file is the caller's to mend.
func (j *job) sky() error {
	s := j.plan.Site
	if s.Place == "" && s.Latitude == nil && j.in.Weather == nil {
		j.out.Solar = figure.Unknown[SolarBudget](noSitePlan)
		return nil
	}
	sky, err := sky.SkyOver(j.plan, sky.SiteFiles{Climate: j.in.Climate, Weather: j.in.Weather, Made: j.in.Made})
	if err != nil {
		return j.noSun(err)
	}
	j.light = sky
	return nil
}

// noSun sets the reason why there is nothing to say about the sun. A fault in a
// file is returned: it is the reader's to mend.
func (j *job) noSun(err error) error {
	if inFile(j.plan, err) {
		return err
	}
	why, _ := becauseOf(err)
	j.light, j.out.Solar = nil, figure.Unknown[SolarBudget](why)
	return nil
}

// surroundings returns what the place adds to the water.
func (j *job) surroundings() (works.Surroundings, error) {
	if j.light == nil {
		return SurroundingsOf(j.plan, sky.SiteFiles{Climate: j.in.Climate, Weather: j.in.Weather})
	}
	return surroundingsOf(j.light.Climate), nil
}

// becauseOf returns the message of a fault that a plan's figures bring with
// them, and whether it is one.
func becauseOf(err error) (units.Text, bool) {
	faults := data.Faults(err)
	for _, f := range faults {
		if f.Err != nil && f.Message == "" {
			return "", false
		}
	}
	if len(faults) == 0 || faults[0].Message == "" {
		return "", false
	}
	why := faults[0].Message
	if a := faults[0].Allowed; a != "" {
		why += "; it takes " + a
	}
	return units.Text(why), true
}

// unlessFault returns v, or the reason why it is not known where a plan's figures
// bring that with them. Any other error stays one.
func unlessFault[T any](v T, err error) (figure.Maybe[T], error) {
	if err == nil {
		return figure.Known(v), nil
	}
	if why, expected := becauseOf(err); expected {
		return figure.Unknown[T](why), nil
	}
	return figure.Maybe[T]{}, err
}

// prepare works out the ways to run the pump, and beside them what a battery meets.
func (j *job) prepare() error {
	var errs [2]error
	stores := *j
	cores.Each(2, func(i int) {
		switch {
		case i == 0:
			errs[i] = j.strategies()
		case j.light != nil:
			errs[i] = stores.stores()
		}
	})
	j.light, j.store, j.target = stores.light, stores.store, stores.target
	return cmp.Or(errs[:]...)
}

// solar sizes the chosen pump's panel and battery, and runs it on the sun
// alone.
func (j *job) solar() error {
	if j.light == nil {
		return nil
	}
	b := SolarBudget{Sky: j.light, Best: figure.Unknown[Best](notAsked), Worth: figure.Unknown[bool](notAsked),
		Season: figure.Unknown[Season](notAsked), MainsYear: j.onMains()}
	if j.store.outdoors != nil {
		b.Frost = j.store.Frost
	}
	var err error
	cores.Each(3, func(i int) {
		switch i {
		case 0:
			switch {
			case j.depth > Sun && j.depth < All && j.plan.Site.Mains: // it is told where there is nothing better
				b.DayAndNight = figure.Unknown[DayAndNight](cmp.Or(j.target.Why, notAsked))
			default:
				b.DayAndNight = j.planPair()
			}
			if j.depth == Sun {
				b.DayAndNight.Value.complete()
			}
		case 1:
			b.Daylight, err = j.daylight()
		case 2:
			b.Own = j.ownPair()
		}
	})
	if err != nil {
		return err
	}
	j.out.Solar = figure.Known(b)
	return nil
}

// stores lays the panel for the load of the pump, reads the weather once into what
// a battery meets, and settles what a size has to meet, as size and balance do.
func (j *job) stores() error {
	s := storageFor(j.plan)
	load, err := s.loadOf(j.water, j.base(), j.air)
	j.target.Why = ""
	if err != nil {
		var expected bool
		if j.target.Why, expected = becauseOf(err); !expected {
			return err
		}
	}
	s.Pump = load
	if err := s.lay(j.light, nil); err != nil {
		return j.noSun(err)
	}
	if err := s.battery(j.plan); err != nil {
		why, expected := becauseOf(err)
		if !expected {
			return err
		}
		j.target.Why = cmp.Or(j.target.Why, why)
	}
	s.Battery.Voltage = sky.BatteryVoltage(j.plan)
	rest, err := j.restOf(j.base())
	if err != nil {
		return err
	}
	s.limits = j.bearable(rest)
	if j.store = s.Sheltered(); j.target.Why == "" {
		o := j.store.sizeOptions(j.plan.Battery.Size)
		o.Ctx, o.Hard = j.ctx, j.hard
		if err := j.store.unfit(&o.Shop); err != nil {
			j.target.Why, _ = becauseOf(err)
			return nil
		}
		j.target = figure.Known(o)
	}
	return nil
}

// planned returns the row of the plan's own hours.
func (j *job) planned() *Strategy {
	k := 0
	if j.ownHours() {
		k = 1
	}
	return &j.out.Tradeoff[k]
}

// sizePlanned sizes the plan's own hours where they were not asked for so far.
func (j *job) sizePlanned() error {
	if d := &j.out.Solar.Value.DayAndNight; d.Why == notAsked {
		*d, j.planned().sized = j.planPair(), false
	}
	return j.sizeRow(j.planned())
}

// planPair sizes panel and battery for the plan's own hours.
func (j *job) planPair() figure.Maybe[DayAndNight] {
	row := j.planned()
	if !row.Possible() {
		return figure.Unknown[DayAndNight](row.Why)
	}
	if !j.target.Known {
		return figure.Unknown[DayAndNight](j.target.Why)
	}
	if j.store.Pump.Use.PerYear() <= 0 {
		return figure.Unknown[DayAndNight]("the pump never runs")
	}
	f, why := battery.Choose(j.store.Record, j.store.Battery, j.target.Value)
	if why != "" {
		j.unreached = true
		return figure.Unknown[DayAndNight](why)
	}
	return figure.Known(j.dayAndNight(j.store, row.Pump, j.target.Value, f))
}

// dayAndNight returns the pair of f for pump i on a store.
func (j *job) dayAndNight(s *Storage, i int, o battery.SizeOptions, f battery.Front) (d DayAndNight) {
	year := s.Pump.Clean
	if s.Pump.Dirty.Use.PerYear() > year.Use.PerYear() {
		year = s.Pump.Dirty
	}
	year.Use = s.Pump.Use
	d = DayAndNight{PerDay: units.EnergyPerDay(year.Use.PerYear() / 365), Storage: s, Sized: Sized{Front: f, Options: o},
		Water: s.Pump.OffGrid, pump: i, year: year}
	for _, draw := range year.Draws {
		if draw.Source > d.Watts {
			d.Watts, d.Draw = draw.Source, draw
		}
	}
	d.ratios(s.Record, f.Chosen.PanelW)
	return d
}

// complete fills in what stands beside the pair, where it is told.
func (d *DayAndNight) complete() {
	s := d.Storage
	if s == nil {
		return
	}
	d.Front.Chosen = battery.Account(s.Record, s.Battery, d.Options, d.Front.Chosen)
	s.sized(&d.Sized)
	d.Installer = s.circuits(d.pump, d.year, d.Front.Chosen)
	d.Warnings = slices.Concat(d.Installer.Warnings, d.Front.Chosen.Connected.Warnings)
}

// ratios finds the worst month.
func (d *DayAndNight) ratios(r supply.Record, panel float64) {
	made, asked := supply.Judged(r)
	const idle = "the pump asks for nothing in any month that counts"
	d.WorstMonth, d.WorstRatio = figure.Unknown[time.Month](idle), figure.Unknown[float64](idle)
	if m := supply.WorstMonth(made, asked); m >= 0 {
		d.WorstMonth, d.WorstRatio = figure.Known(time.Month(m+1)), figure.Known(panel*made[m]/asked[m])
	}
	sumMade, sumAsked := 0.0, 0.0
	for m := range made {
		sumMade += panel * made[m]
		sumAsked += asked[m]
	}
	d.MeanRatio = sumMade / sumAsked
}

// circuits returns the figures of pump i on a pair to hand to a licensed person.
func (s *Storage) circuits(i int, year supply.YearLoad, c battery.Choice) wiring.InstallerSheet {
	shop := s.shop(s.Pump.OnInverter)
	p, z := s.plan, s.installer(c.PanelW, c.BoughtWh, shop.Of(c.PanelW, c.BoughtWh, 1))
	way := onBattery(p, i)
	z.Follows = !way.Motor.AC && way.Regulator == 0 && way.Motor.Behaviour == supply.Follows
	take := func(d supply.Draw) {
		if d.Source > z.Load {
			z.Load, z.LoadVoltage = d.Source, way.Feed()
			if way.Motor.AC {
				z.ACPump, z.PowerFactor, z.LoadVoltage = d.Duty.Power, p.Pumps[i].PowerFactor, d.Voltage+d.CableDrop
			}
		}
	}
	for _, d := range year.Draws {
		take(d)
	}
	take(s.Pump.Full)
	z.LoadCurrent = s.Pump.Full.Current
	if v := inverterOf(p); v != nil {
		z.InverterRated, z.InverterShare = v.Rated, v.Efficiency
	}
	return wiring.ForInstaller(z)
}
