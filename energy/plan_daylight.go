package energy

import (
	"cmp"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/pumps"
	"sunrill/pumps/works"
	"sunrill/solar/sky"
)

// DaylightBudget is the chosen pump on a panel without a battery, and with one
// that only rides through clouds.
type DaylightBudget struct {
	PanelW     float64                        `json:"panel_w"`
	PanelWhy   string                         `json:"panel_w_why"` // how it was chosen
	Control    supply.DaylightControl         `json:"control"`
	Year       supply.DaylightYear            `json:",inline"`
	Start      figure.Maybe[units.Irradiance] `json:"sun_to_start_w_per_m2"` // sun on the panel at which water starts
	Stop       figure.Maybe[units.Irradiance] `json:"sun_to_stop_w_per_m2"`  // below which it stops
	LeastSpeed float64                        `json:"least_speed_fraction"`  // of the curve's, below which nothing flows
	// The goal is held against the month with the least water; Word says first what that
	// comes to.
	Word          string `json:"word,omitempty"`
	works.Verdict `json:",inline"`
	// Slowed is the low end, where SlowedFixed of the full power does not fall with speed.
	Slowed   figure.Maybe[DaylightSlowed] `json:"low_,inline"`
	Small    figure.Maybe[SmallBattery]   `json:"small_battery_,inline"`
	Warnings []data.Warning
}

// DaylightSlowed is the water of a pump whose losses do not all fall with its speed.
type DaylightSlowed struct {
	PerDay  units.Volume `json:"m3_per_day"` // of the month with the least
	PerYear units.Volume `json:"m3_per_year"`
}

// NotEnough is the word for a pump on the sun alone that misses the goal.
const NotEnough = "not enough"

// SmallBattery is a battery of about an hour of the load that carries the pump
// through clouds.
type SmallBattery struct {
	Wh      float64      `json:"wh"`
	PerDay  units.Volume `json:"m3_per_day"` // water of the worst running month's mean day
	Longest float64      // stretch without flow [h], nights included
	still   [12]float64  // the longest by the month in which it begins
}

// halfSun is the sun on the panel at which the panel taken for daylight running
// drives the pump at full speed [W/m²]: a stated rule, no source.
const halfSun = 500

// daylight runs the nearest pump on the sun alone.
func (j *job) daylight() (figure.Maybe[DaylightBudget], error) {
	if !j.water.Pond.Known {
		return figure.Unknown[DaylightBudget](j.water.Pond.Why), nil
	}
	return unlessFault(j.runDaylight(j.base()))
}

// runDaylight solves the pump's table and runs it through the weather.
func (j *job) runDaylight(i int) (out DaylightBudget, err error) {
	pump := j.water.Pumps[i].Pump
	d, err := j.onSun(i, pump)
	if err != nil {
		return out, err
	}
	out.LeastSpeed, out.Control = d.Table.StopSpeed, d.Control
	out.PanelW, out.PanelWhy = j.daylightPanel(d.Table.FullPower() + d.OwnDraw)
	sun := j.sunRecord(d.ByCurrent())
	run := func(d supply.Daylight) (supply.DaylightYear, error) {
		d.Panel, d.Efficiency = units.Power(out.PanelW), 1 // the yield of the sky has the controller in it
		return d.Run(sun, j.water.Pond.Value.Pond.Volume(), j.water.Schedule.RunningMonths())
	}
	var errs [2]error
	cores.Each(2, func(k int) {
		if k == 0 {
			out.Year, errs[k] = run(d)
		} else {
			out.Slowed, errs[k] = j.slowed(i, d, run)
		}
	})
	if err := cmp.Or(errs[:]...); err != nil {
		return out, err
	}
	out.Warnings = out.Year.Warnings
	least := out.Year.Months[out.Year.Least].PerDay
	if out.Verdict = works.Judge(j.water.Pond, least, noWater); out.Misses() {
		out.Word = NotEnough
	} else if out.Meets() {
		out.Word = "enough"
	}
	air := units.Celsius(sky.MeanMonth(j.light.Climate.TempC))
	d.Panel = units.Power(out.PanelW)
	out.Start, out.Stop = d.SunToStart(supply.PanelIn(j.light.Panel, air))
	out.Small, err = j.small(i, sun, out)
	if out.Small.Known && out.Small.Value.PerDay <= least {
		out.Small = figure.Unknown[SmallBattery]("it would move less than none")
	}
	return out, err
}

// slowed returns the low end of what pump i moves as d, by run.
func (j *job) slowed(i int, d supply.Daylight, run func(supply.Daylight) (supply.DaylightYear, error)) (
	figure.Maybe[DaylightSlowed], error) {
	switch {
	case j.depth < All:
		return figure.Unknown[DaylightSlowed](notAsked), nil
	case !d.Slows():
		return figure.Unknown[DaylightSlowed]("it is not slowed"), nil
	case j.plan.Pumps[i].FixedWatts != nil:
		return figure.Unknown[DaylightSlowed]("the plan gives the pump's fixed_watts"), nil
	}
	low, err := j.onSun(i, j.water.Pumps[i].Pump.WithFixedShare(SlowedFixed))
	if err != nil {
		return figure.Maybe[DaylightSlowed]{}, err
	}
	year, err := run(low)
	return figure.Known(DaylightSlowed{year.Months[year.Least].PerDay, year.PerYear}), err
}

// onSun returns pump, as number i of the plan, on what the plan has between it and a panel.
func (j *job) onSun(i int, pump pumps.Pump) (d supply.Daylight, err error) {
	in := j.plan.Pumps[i]
	motor := motorOf(in, j.plan.Battery)
	line := j.water.Works.Dirty()
	spec := supply.FlowTableSpec{Pump: pump, Circuit: line, Voltage: motor.Voltage}
	if spec.Loop, err = j.pumpLoop(i, pump, line); err != nil {
		return d, err
	}
	if motor.Slows && in.SpeedControl == "yes" {
		spec.LeastSpeed = motor.LeastSpeed
	}
	d = supply.Daylight{Control: supply.DaylightControl(j.plan.Controller.Kind),
		Efficiency: sky.ControllerEfficiency(j.plan.Controller), OwnDraw: controllerDraw(j.plan.Controller),
		WorkingVoltage: sky.WorkingVoltage(j.plan, sky.BatteryVoltage(j.plan)), Motor: motor}
	d.Table, err = supply.NewFlowTable(spec)
	return d, err
}

// pumpLoop returns the resistance of the cable to a DC pump [ohm].
func (j *job) pumpLoop(i int, pump pumps.Pump, line *pumps.System) (float64, error) {
	if j.plan.Pumps[i].Supply == "AC" || j.plan.Cable.Run == nil {
		return 0, nil
	}
	way := onBattery(j.plan, i)
	var err error
	if way.Water, err = supply.SolveOn(pump, line); err != nil {
		return 0, err
	}
	c, _, err := cableOf(j.plan, way)
	if err != nil || c == nil {
		return 0, err
	}
	return c.Loop(), nil
}

// daylightPanel returns the panel for running on the sun alone: the plan's,
// else the one on sale that drives the pump in half of full sun.
func (j *job) daylightPanel(full units.Power) (float64, string) {
	if w := j.plan.Panel.Watts; w != nil {
		return float64(*w), "the plan's panel"
	}
	yield, _ := supply.PanelIn(j.light.Panel, units.Celsius(sky.MeanMonth(j.light.Climate.TempC)))(halfSun)
	const why = "it drives the pump at full speed in half of full sun"
	need := float64(full) / max(1e-9, yield*j.light.Charger.Share)
	if sizes := j.plan.Panel.Sizes; len(sizes) > 0 {
		least := math.Inf(1)
		for _, w := range sizes {
			least = min(least, math.Ceil(need/float64(w)-1e-9)*float64(w))
		}
		return least, why
	}
	return math.Ceil(need/10) * 10, why
}

// sunRecord returns what a watt of panel gives hour by hour. Without a
// converter the current of the panel counts too.
func (j *job) sunRecord(byCurrent bool) supply.SunRecord {
	if byCurrent {
		return supply.SunOn(j.light.Array, j.light.Panel, j.light.Weather)
	}
	if r := j.store.Record; len(r.Panel) > 0 {
		return supply.SunRecord{Start: r.Start, Yield: r.Panel}
	}
	return supply.SunRecord{Start: j.light.Weather.Start, Yield: j.light.PerWatt(j.light.Weather)}
}

// smallHours is how long the small battery carries the pump [h]: a stated
// rule, no source.
const smallHours = 1

// small runs the pump with a battery that carries it through clouds.
func (j *job) small(i int, sun supply.SunRecord, out DaylightBudget) (figure.Maybe[SmallBattery], error) {
	if !j.target.Known || j.depth < All {
		return figure.Unknown[SmallBattery](cmp.Or(j.target.Why, notAsked)), nil
	}
	chain, err := batteryChain(j.plan, i, j.water.Pumps[i].Pump, j.water.Works.Dirty(), supply.Air{})
	if err == nil {
		var draw supply.Draw
		if draw, err = chain.At(1); err == nil {
			return j.smallOf(sun, out, draw), nil
		}
	}
	if why, expected := becauseOf(err); expected {
		return figure.Unknown[SmallBattery](why), nil
	}
	return figure.Maybe[SmallBattery]{}, err
}

// smallOf runs the small battery through the record; sizes on sale round it up.
func (j *job) smallOf(sun supply.SunRecord, out DaylightBudget, draw supply.Draw) figure.Maybe[SmallBattery] {
	r := sun.RideThrough(units.Power(out.PanelW), draw)
	running := j.water.Schedule.RunningMonths()
	for i := range r.Load {
		if running>>sun.Month(i)&1 == 0 {
			r.Load[i], r.Water[i] = 0, 0
		}
	}
	usable := units.Energy(float64(draw.Source)) * units.Energy(smallHours*units.Hour)
	size, store := j.target.Value, j.store.Battery
	if j.plan.Battery.Size != nil {
		size.Shop.OnlyWh.Known = false
	}
	wh := size.Shop.OnSale(out.PanelW, store.Nominal(usable).In(units.WattHour))
	if math.IsInf(wh, 1) {
		return figure.Unknown[SmallBattery]("no battery on sale is large enough")
	}
	moved := battery.WaterMoved(r, out.PanelW, store, wh, battery.FromFull(), running)
	s := SmallBattery{Wh: wh, PerDay: units.Volume(math.Inf(1)), Longest: slices.Max(moved.Still[:]), still: moved.Still}
	hours := supply.MonthHours(r)
	for m, v := range moved.PerDay {
		if hours[m] > 0 && running>>m&1 == 1 {
			s.PerDay = min(s.PerDay, v)
		}
	}
	if math.IsInf(float64(s.PerDay), 1) {
		return figure.Unknown[SmallBattery]("the pump never runs")
	}
	return figure.Known(s)
}
