package energy

import (
	"errors"
	"math"
	"slices"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy/battery"
	"sunrill/energy/supply"
	"sunrill/pumps/works"
	"sunrill/solar"
	"sunrill/solar/sky"
)

// StorageFiles are the files of a plan that say what a battery meets.
type StorageFiles struct {
	sky.SiteFiles
	Series *data.Series     // of load.series; nil where none is named
	Curves []data.CurveRows // of the pumps, where they are the load
	Logged works.Logged     // of upkeep.log
}

// Storage is all that a panel and a battery of any size meet, hour by hour: what
// balance and size work on.
type Storage struct {
	Sky *sky.Sky // nil for a measured log, which holds the panel's own power

	// Record holds the load at the battery's terminals and the power of one watt
	// of panel after the controller; for a log without panel watts that of the
	// whole panel as measured.
	Record supply.Record
	// PanelW is what Record.Panel stands to be multiplied with for the plan's
	// panel: its watts, or 1 for a log. Unknown where the panel is to be sized.
	PanelW   figure.Maybe[float64]
	Measured bool // Record.Panel is a log's

	Battery   battery.Battery
	NominalWh figure.Maybe[float64] // of the plan's battery
	Pump      *PumpLoad             // where the load is a pump

	Assumed  []figure.Assumed
	Warnings data.Doubts
	Sources  []string

	// Frost is what the cold keeps the battery from where it stands, or outdoors
	// where it is sheltered; nil where it never does.
	Frost *Frost

	plan     *plan.Plan
	limits   stopLimits
	outdoors *Storage // see Sheltered
}

// stopLimits are the longest stops that are bearable, by the month in which they begin,
// and why that long.
type stopLimits struct {
	Hours battery.StopLimits
	Why   units.Text
}

// bareStop is the longest stop [h] of a load of which no more is known; common practice,
// no source.
const bareStop = 24

// bare returns the limit of a load that no pond hangs on.
func bare(why units.Text) stopLimits { return stopLimits{battery.Always(bareStop), why} }

func wholeHours(d units.Duration) int { return int(math.Floor(d.In(units.Hour) + 1e-9)) }

// NewStorage returns what the battery of a plan meets. Errors are *data.Error,
// or *NoPump where the load is a pump and none will do.
func NewStorage(p *plan.Plan, files StorageFiles) (*Storage, error) {
	s := storageFor(p)
	if err := s.hours(p, files); err != nil {
		return nil, err
	}
	if err := s.battery(s.plan); err != nil {
		return nil, err
	}
	if s.Measured {
		s.ofMeasuredPanel()
	}
	return s, nil
}

// storageFor returns what plan p alone says, before any hour is known.
func storageFor(p *plan.Plan) *Storage {
	s := &Storage{plan: p, PanelW: figure.Unknown[float64]("no panel is given"),
		limits: bare("usual for a load that is no pond's (common practice, no source)")}
	if w := p.Panel.Watts; w != nil {
		s.PanelW = figure.Known(float64(*w))
	}
	return s
}

// ofMeasuredPanel reckons a log per watt where the panel's watts are known.
func (s *Storage) ofMeasuredPanel() {
	if !s.PanelW.Known || s.PanelW.Value == 0 {
		s.PanelW = figure.Known(1.0)
		return
	}
	perWatt := make([]float64, len(s.Record.Panel))
	for i, w := range s.Record.Panel {
		perWatt[i] = w / s.PanelW.Value
	}
	s.Record.Panel = perWatt
}

// hours fills Record.
func (s *Storage) hours(p *plan.Plan, files StorageFiles) error {
	if log := files.Series; log != nil {
		s.Measured = true
		s.Record = supply.Record{Start: log.FirstHour, Panel: log.PanelW, Load: log.LoadW}
		s.Warnings = append(s.Warnings, log.Warnings...)
		s.Sources = append(s.Sources, "Panel and load: measured hours of "+log.File)
		return nil
	}
	sky, err := sky.SkyOver(p, files.SiteFiles)
	if err != nil {
		return err
	}
	if p.Load.Power == nil {
		if s.Pump, err = s.pump(p, files, sky); err != nil {
			return err
		}
	}
	if err := s.lay(sky, p.Load.Power); err != nil {
		return err
	}
	s.Assumed = append(s.Assumed, sky.Assumed...)
	s.Warnings = append(s.Warnings, sky.Warnings...)
	s.Sources = append(s.Sources, sky.Sources...)
	return nil
}

// lay lays the panel under sky for the load, the pump or a steady one, if any, and
// reads the weather once into what a battery meets.
func (s *Storage) lay(sky *sky.Sky, steady *units.Power) error {
	s.Sky = sky
	var need [12]float64
	off := s.plan.Run.MonthsOff
	for m := range need {
		if off>>m&1 == 0 {
			need[m] = 1
		}
	}
	if s.Pump != nil {
		need = s.Pump.need()
	}
	if err := sky.LayPanel(s.plan, &need); err != nil {
		return err
	}
	if s.Pump != nil || steady != nil {
		s.Record = s.under(sky.Weather)
	}
	return nil
}

// under returns the record of the load under weather.
func (s *Storage) under(weather *solar.Series) supply.Record {
	r := supply.Record{Start: weather.Start, Panel: s.Sky.PerWatt(weather)}.Summed()
	if s.Pump == nil {
		r.Standby = s.plan.Run.MonthsOff
		r.Load = steadyLoad(s.plan.Load, s.plan.Run.MonthsOff, r.Start, min(weather.Hours(), solar.HoursPerYear))
	} else {
		r = carrying(r, s.Pump)
	}
	air := s.air()
	if air != nil {
		air = weather.TempC
	}
	r.BatteryC = s.batteryC(r, air)
	return r
}

// WithSeed returns the record under years made with another seed.
func (s *Storage) WithSeed(seed int) supply.Record {
	c := s.Sky.Climate
	weather, _ := solar.NewYears(s.Sky.Geometry, c.SizingGHI, c.TempC, s.Sky.Years, uint64(seed))
	return s.under(weather)
}

// steadyLoad returns a load of so many watts in the hours of the clock, but for
// the months off.
func steadyLoad(l plan.Load, off plan.MonthSet, start, hours int) []float64 {
	var day [clock.HoursPerDay]float64
	for h := range day {
		for half := range 2 {
			if l.Hours[2*h+half] {
				day[h] += float64(*l.Power) / 2
			}
		}
	}
	if off == 0 {
		return supply.Tile(day[:], start%clock.HoursPerDay, hours)
	}
	year := supply.Tile(day[:], 0, solar.HoursPerYear)
	for i := range year {
		if off>>supply.MonthAt(0, i)&1 == 1 {
			year[i] = 0
		}
	}
	return supply.Tile(year, start, hours)
}

func (s *Storage) warn(key, format string, args ...any) {
	s.Warnings.Say(key, format, args...)
}

// Balance runs the plan's panel and battery through the record.
func (s *Storage) Balance(repeat bool) (battery.Balance, error) {
	r := s.Record
	var faults []error
	if !s.PanelW.Known {
		faults = append(faults, &data.Error{Key: "panel.watts", Message: s.PanelW.Why.String(),
			Allowed: "the watts of the panel, such as 120 W"})
	}
	if !s.NominalWh.Known {
		faults = append(faults, &data.Error{Key: "battery.size", Message: s.NominalWh.Why.String(),
			Allowed: "a size such as 600 Wh; 0 is none"})
	}
	if err := errors.Join(faults...); err != nil {
		return battery.Balance{}, err
	}
	r.Panel = supply.Times(r.Panel, s.PanelW.Value)
	b, err := battery.BalanceOf(r, s.Battery, battery.WattHours(s.NominalWh.Value),
		battery.BalanceOptions{StartCharge: s.plan.Battery.StartCharge, Repeat: repeat, Connected: true})
	b.Warnings = append(b.Warnings, s.drawnFast(s.NominalWh.Value)...)
	if s.NominalWh.Value > 0 {
		b.Warnings = append(b.Warnings, s.freezing(b.LowestCharge)...)
	}
	if err == nil && (math.IsNaN(b.UnmetWh) || math.IsInf(b.PanelWh, 0)) {
		return battery.Balance{}, &data.Error{Key: "panel.watts", Message: "the sums grow beyond any number", Allowed: "a smaller panel"}
	}
	return b, err
}

// drawnFast warns where the load empties a battery of a nominal size [Wh] so
// fast that it gives less than its label.
func (s *Storage) drawnFast(nominal float64) []data.Warning {
	most := slices.Max(s.Record.Load)
	share := s.Battery.RateShare(battery.WattHours(nominal), units.Power(most))
	if share >= battery.FastShare {
		return nil
	}
	return []data.Warning{{Key: "battery.size", Message: units.Say(
		"%.3g W empty %.0f Wh faster than the %.0f h that it is rated at; by Peukert's exponent of %.3g it then gives some "+
			"%.0f %% of its label, which is not counted: take a larger one",
		most, nominal, s.Battery.RatedHours, s.Battery.Peukert, 100*share)}}
}

// DarkestFortnight returns what Balance does in the darkest fourteen days, false
// for a record too short or where Balance has no answer.
func (s *Storage) DarkestFortnight(repeat bool) (battery.Fortnight, bool) {
	if !s.PanelW.Known || !s.NominalWh.Known {
		return battery.Fortnight{}, false
	}
	return battery.DarkestFortnight(s.Record, s.PanelW.Value, s.Battery, battery.WattHours(s.NominalWh.Value),
		battery.BalanceOptions{StartCharge: s.plan.Battery.StartCharge, Repeat: repeat, Connected: true})
}

// carrying returns the record with a pump as its load.
func carrying(r supply.Record, l *PumpLoad) supply.Record {
	hours := min(r.Hours(), solar.HoursPerYear)
	r.Load, r.Water, r.Standby = supply.Tile(l.Use.Watts(), r.Start, hours), supply.Tile(l.Water, r.Start, hours), l.Clean.Standby
	return r
}

// battery fills Battery and NominalWh.
func (s *Storage) battery(p *plan.Plan) error {
	b, assumed, err := battery.BatteryFrom(p.Battery)
	if err != nil {
		return err
	}
	if p.Battery.Temperature == nil && s.Sky != nil {
		b = b.AtColdest(s.Sky.AirByMonth())
	}
	s.Battery = b
	s.NominalWh = figure.Unknown[float64]("no battery is given")
	if size := p.Battery.Size; size != nil {
		s.NominalWh = figure.Known(size.At(sky.BatteryVoltage(p)).In(units.WattHour))
	}
	s.assumeBattery(p, assumed)
	s.Record.BatteryC = s.batteryC(s.Record, s.air())
	s.Frost = s.frost()
	s.coldDoubts(p)
	return nil
}

// assumeBattery lists what came from the kind's row or from a rule. The ideal
// kind has no properties to assume, but a reconnect level where only the
// cut-off was given.
func (s *Storage) assumeBattery(p *plan.Plan, ofRow []figure.Assumed) {
	b := s.Battery
	if !p.Given("battery.kind") {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.kind", Text: units.Text(b.Kind), Why: "no kind given",
			Source: "common practice, no source"})
	}
	s.Assumed = append(s.Assumed, ofRow...)
	if b.ColdShare < 1 && p.Battery.Temperature == nil {
		why := units.Text("nothing is known of where the battery stands")
		if b.CapacityAt(units.Celsius(indoorsC)) > b.ColdShare {
			why += units.Say("; indoors, {%d C}, would leave more", indoorsC)
		}
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.temperature",
			Text: units.Say("the air of the coldest month, which leaves %.0f %% of the size", 100*b.ColdShare),
			Why:  why, Source: "table of batteries"})
	}
	if p.Battery.Voltage == nil && p.Battery.Size != nil && p.Battery.Size.Charge > 0 {
		s.Assumed = append(s.Assumed, figure.Assumed{Key: "battery.voltage", Kind: units.KindVoltage,
			Value: float64(sky.BatteryVoltage(p)), Why: "whole batteries nearest the pump's voltage, else nearest 12 V"})
	}
}
