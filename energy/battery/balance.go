package battery

import (
	"errors"
	"math"

	"sunrill/data"
	"sunrill/data/clock"
	"sunrill/data/units"
	"sunrill/energy/supply"
	"sunrill/solar"
)

const (
	// unmetLeast is the energy [Wh] below which an hour counts as served; it
	// only stands for rounding.
	unmetLeast = 1e-9
)

// BalanceOptions say how a record is read.
type BalanceOptions struct {
	StartCharge float64 // share of capacity at the first hour; at or below the usable floor: used up
	Repeat      bool    // read the record twice and count the second reading
	// Connected makes the load wait, once the battery has fallen to its cut-off,
	// until it has risen to reconnect. Without it the load takes what there is.
	Connected bool
	Limits    *StopLimits // by which a year is bad; nil: none is
}

// FromFull returns the options of one reading from a full battery, with
// cut-off and reconnect.
func FromFull() BalanceOptions { return BalanceOptions{StartCharge: 1, Connected: true} }

// Balance is what one panel and one battery did through a record. Energies are
// those of the whole counted reading [Wh]; PerYear scales them.
type Balance struct {
	Hours int

	LoadWh, PanelWh       float64 // asked for; made, before any is spilled
	UnmetWh, SpilledWh    float64
	ChargeLossWh          float64
	DischargeLossWh       float64
	SelfDischargeWh       float64
	StartWh, EndWh        float64 // usable energy in store
	TakenWh               float64 // taken from the store
	UsableWh              float64 // what the store can hold
	LowestCharge          float64 // share of capacity, see Battery
	CutOffHours           int     // hours in which the load was disconnected
	Stops                 Stops
	WorstYear             YearStops
	YearsWithStop, Years  int     // years begun
	BadYears              int     // with a stop beyond the limit of the month in which it began
	LongestSinceFullHours int     // longest time without a full charge
	WaterAsked            float64 // [m³]; 0 where the record names none
	WaterMissed           float64 // [m³]; all of an hour cut off, else in the share of the energy missed
	Warnings              []data.Warning
}

// PerYear returns x, a total of the record, for a year of 8760 hours.
func (b Balance) PerYear(x float64) float64 { return x * solar.HoursPerYear / float64(b.Hours) }

// UnmetFraction returns the energy not delivered over the energy asked for, 0
// where none was.
func (b Balance) UnmetFraction() float64 { return supply.Ratio(b.UnmetWh, b.LoadWh) }

// UnmetFlow returns the water not delivered over the water asked for; unknown
// water gives 0.
func (b Balance) UnmetFlow() float64 { return supply.Ratio(b.WaterMissed, b.WaterAsked) }

// EnergyRatio returns the panel's energy after losses, before charging, over
// the load's.
func (b Balance) EnergyRatio() float64 { return supply.Ratio(b.PanelWh, b.LoadWh) }

// Delivered returns the energy that reached the load [Wh].
func (b Balance) Delivered() float64 { return b.LoadWh - b.UnmetWh }

// Drains reports whether the store ended lower than it began: over a record
// read for the second time, a panel that cannot keep up and lives off the
// charge it was given at first.
func (b Balance) Drains() bool { return b.StartWh-b.EndWh > 1e-6*b.UsableWh }

// BalanceOf runs a battery of a nominal size through a record, hour by hour:
// the panel meets the load directly; surplus charges, within the charge limit
// and the room left, and the rest is spilled; a shortfall is taken from the
// store; then the store loses its self-discharge.
//
//	stored  = min(ChargeShare min(surplus, limit), room)
//	given   = min(shortfall, limit, DischargeShare store)
//	store'  = (store ± ...) (1 - SelfDischarge)^(1/730)
//
// Self-discharge is that of the usable charge; what the reserve below the
// usable floor loses is left out, so that a larger battery is never the worse
// one. An hour with more than 1e-9 Wh short is a stop hour.
//
// Errors are *data.Error: a battery that fails Check, a negative size. The record's
// values are numbers of 0 or more, as the readers of files see to.
func BalanceOf(r supply.Record, b Battery, nominal units.Energy, o BalanceOptions) (Balance, error) {
	var faults data.FaultList
	faults.Want(nominal >= 0 && !math.IsInf(float64(nominal), 0), "battery.size",
		units.Sprintf("%g Wh", nominal.In(units.WattHour)), "0 Wh or more")
	faults.Want(o.StartCharge >= 0 && o.StartCharge <= 1, "start-charge", percent(o.StartCharge), "0 to 100 %")
	if err := errors.Join(b.Check(), faults.Err()); err != nil {
		return Balance{}, err
	}
	s := newStore(r, 1, b, nominal.In(units.WattHour), o)
	if o.Repeat {
		s.begin(false)
		s.advance(&r, 0, r.Hours())
	}
	s.begin(true)
	s.advance(&r, 0, r.Hours())
	s.end()
	out := s.balance()
	out.warn(b, o)
	return out, nil
}

// warn adds the doubts that a balance leaves.
func (b *Balance) warn(kind Battery, o BalanceOptions) {
	add := func(key, format string, args ...any) {
		b.Warnings = append(b.Warnings, data.Warning{Key: key, Message: units.Say(format, args...)})
	}
	if kind.Lead && b.LongestSinceFullHours > leadFullDays*clock.HoursPerDay {
		add("battery.kind", "%.0f days pass without a full charge; a lead battery that waits more than %d days sulphates and "+
			"loses capacity for good", float64(b.LongestSinceFullHours)/clock.HoursPerDay, leadFullDays)
	}
	if floor := 1 - kind.UsableShare; o.StartCharge < floor {
		add("start-charge", "a start below the usable floor of %s counts as used up", percent(floor))
	}
	if b.Drains() && o.Repeat {
		add("panel.watts", "the battery ends the record lower than it began it: the panel cannot keep up with the load")
	}
}

// leadFullDays is how long a lead battery may go without a full charge before
// it is said. Common practice, no source.
const leadFullDays = 14
