package energy

import (
	"slices"

	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/still"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
	"sunrill/solar"
)

// OwnPair is what the panel and the battery that the plan gives carry of the plan's own
// hours: at mid-life, and new.
type OwnPair struct {
	PanelW    float64 `json:"panel_w"`
	BatteryWh float64 `json:"battery_wh"`
	Carried   `json:",inline"`
	New       Carried                  `json:"new_,inline"`
	Months    [12]OwnMonth             `json:"months"`
	Way       figure.Maybe[OwnWay]     `json:"way"` // at the depth All
	Charger   figure.Maybe[ChargerUse] `json:"charger_,inline"`
}

// Carried is what a pair misses in a mean year.
type Carried struct {
	Unmet   float64 `json:"unmet_flow_fraction"`
	Stops   float64 `json:"stop_hours_per_year"`
	Longest float64 `json:"longest_stop_h"` // a year's hours at most: it never carries the load
}

// OwnWay is the way of the trade-off that the pair carries best of those that meet the goal.
type OwnWay struct {
	Strategy string                     `json:"strategy"`
	Planned  bool                       `json:"as_planned"` // it is the plan's own hours
	Surely   figure.Maybe[works.Surely] `json:"verdict"`    // of its water, where the pair gives all of it
	Does     bool                       `json:"does"`       // it misses no more and stops no longer than is borne
	Carried  `json:",inline"`           // at mid-life
	// Turnover is that of the worst running month with the line dirty, where the pair gives all.
	Turnover figure.Maybe[units.Duration] `json:"turnover_h"`
	Row      Strategy                     `json:"-"`
}

// Asked returns what a row asks of its battery in a year, and how long the pond may stand still
// with its water, by month.
func (s *Strategy) Asked() (perYear units.EnergyPerYear, rest figure.Maybe[still.StandingTimes]) {
	return s.load.Use.PerYear(), s.rest
}

// OwnMonth is the mean day of a month on a pair of the plan's own.
type OwnMonth struct {
	Month  int          `json:"month"`
	PerDay units.Volume `json:"water_m3_per_day"` // at mid-life
	Share  float64      `json:"carried_fraction"` // of what the plan's hours would move
	New    units.Volume `json:"new_water_m3_per_day"`
}

// ChargerUse is what a charger on a generator adds to a pair in a mean year.
type ChargerUse struct {
	Hours  float64      `json:"hours_per_year"` // that it runs
	Energy units.Energy `json:"kwh"`
	Fuel   units.Volume `json:"l"`
	Stops  float64      `json:"stop_hours_per_year"` // that are left, where it is too small or the battery too cold
	Power  units.Power  `json:"power_w"`
}

// ownPair runs the plan's own pair at mid-life and new.
func (j *job) ownPair() figure.Maybe[OwnPair] {
	s := j.store
	switch {
	case !j.target.Known:
		return figure.Unknown[OwnPair](j.target.Why)
	case !s.PanelW.Known:
		return figure.Unknown[OwnPair](s.PanelW.Why)
	case !s.NominalWh.Known:
		return figure.Unknown[OwnPair](s.NominalWh.Why)
	case s.NominalWh.Value == 0: // its water follows the sun
		return figure.Unknown[OwnPair]("the plan has no battery (battery.size)")
	case !j.planned().Possible():
		return figure.Unknown[OwnPair](j.planned().Why)
	case s.Pump.Use.PerYear() <= 0:
		return figure.Unknown[OwnPair]("the pump never runs")
	}
	out := OwnPair{PanelW: s.PanelW.Value, BatteryWh: s.NominalWh.Value}
	young, middle := s.Battery, s.midLife()
	young.EndOfLifeShare = 1
	fresh := out.PanelW
	if !j.plan.Given("panel.loss") {
		fresh /= 1 - j.plan.Panel.Losses.Age
	}
	running, o := j.water.Schedule.RunningMonths(), battery.BalanceOptions{StartCharge: 1, Repeat: true, Connected: true}
	var water [2][12]units.Volume
	cores.Each(2, func(i int) {
		b, w, into := middle, out.PanelW, &out.Carried
		if i == 1 {
			b, w, into = young, fresh, &out.New
		}
		run := battery.ConnectedRun(s.Record, b, w, out.BatteryWh)
		*into = carriedBy(run)
		water[i] = battery.WaterMoved(s.Record, w, b, out.BatteryWh, o, running).PerDay
	})
	for m, asked := range s.Pump.Dirty.WaterPerDay {
		out.Months[m] = OwnMonth{m + 1, water[0][m], supply.Ratio(float64(water[0][m]), float64(asked)), water[1][m]}
	}
	out.Way = figure.Unknown[OwnWay](notAsked)
	out.Charger = j.charged(s.Record, out.PanelW, middle, out.BatteryWh)
	return figure.Known(out)
}

// midLife returns the battery of s halfway to its end.
func (s *Storage) midLife() battery.Battery {
	b := s.Battery
	b.EndOfLifeShare = (1 + b.EndOfLifeShare) / 2
	return b
}

// carriedBy returns what a run missed. A stop of a year and more never ends: the years of the
// record follow one another by chance alone.
func carriedBy(run battery.Balance) Carried {
	return Carried{run.UnmetFlow(), run.PerYear(float64(run.Stops.Hours)), float64(min(run.Stops.LongestHours, solar.HoursPerYear))}
}

// Never reports whether there is no day without a stop.
func (c Carried) Never() bool { return c.Longest >= solar.HoursPerYear }

// ownWay finds the way of the plan's own pair: best where there is one, else that of rows
// which lacks so little that nobody minds and moves the most, else that which lacks least.
func (j *job) ownWay(rows []*Strategy, best *Strategy) {
	own := &j.out.Solar.Value.Own
	if !own.Known {
		return
	}
	does := best != nil
	if does {
		rows = []*Strategy{best}
	}
	rows = slices.DeleteFunc(slices.Clone(rows), func(s *Strategy) bool { return !s.moves() })
	runs := make([]Carried, len(rows))
	cores.Each(len(rows), func(i int) {
		runs[i] = carriedBy(battery.ConnectedRun(rows[i].record, j.store.midLife(), own.Value.PanelW, own.Value.BatteryWh))
	})
	if own.Value.Way.Why = noWayOnBattery; len(rows) == 0 {
		return
	}
	k := 0
	for i, s := range rows {
		switch lacks, least := max(runs[i].Unmet, j.target.Value.Unmet), max(runs[k].Unmet, j.target.Value.Unmet); {
		case lacks < least, lacks == least && s.yearly() > rows[k].yearly():
			k = i
		}
	}
	s := rows[k]
	if rest, err := s.as.restOf(s.Pump); err == nil {
		s.rest = rest
	}
	own.Value.Way = figure.Known(OwnWay{s.Name, s == j.planned(), s.as.water.SurelyUnder(s.really(), s.Pump), does, runs[k],
		s.OffGrid.Value.Turnover, *s})
}

// charged returns what the plan's charger adds to a pair.
func (j *job) charged(r supply.Record, panelW float64, b battery.Battery, wh float64) figure.Maybe[ChargerUse] {
	if j.plan.Charger.Power == nil {
		return figure.Unknown[ChargerUse]("no charger is given (charger.power)")
	}
	return figure.Known(j.generator(r, panelW, b, wh, *j.plan.Charger.Power))
}

// idling is what the smallest generator burns in an hour, however little it gives; value
// from memory.
const idling = 0.25 * units.Litre

// generator runs a charger of so much power beside a pair.
func (j *job) generator(r supply.Record, panelW float64, b battery.Battery, wh float64, power units.Power) ChargerUse {
	run := battery.ChargedRun(r, panelW, b, wh, float64(power))
	use := ChargerUse{Hours: run.Hours, Energy: units.Energy(run.Wh) * units.WattHour, Stops: run.Stops, Power: power}
	use.Fuel = max(units.Volume(use.Energy.In(units.KilowattHour)*j.plan.Charger.FuelPerKWh)*units.Litre, units.Volume(use.Hours)*idling)
	return use
}
