package data

import (
	"math"
	"slices"
	"strings"

	"sunrill/data/figure"
	"sunrill/data/units"
)

// The tables, each with what gives its rows in the order of its file.
var (
	batteries     = shelve[BatteryKind]("batteries", "What each kind of battery takes, gives and lasts")
	BatteryCold   = shelve[ColdPoint]("battery_cold", "How much larger a battery must be in the cold")
	LeadFreezing  = shelve[FreezePoint]("lead_freezing", "Where the acid of a lead battery freezes")
	CableSizes    = shelve[CableSize]("cables", "Resistance and rating of copper conductors")
	CableHeats    = shelve[CableHeat]("cable_heat", "How much less conductors may carry in the heat")
	fittings      = shelve[FittingLoss]("fittings", "Loss coefficients of fittings and valves")
	stockings     = shelve[Stocking]("stocking", "What each word for stocking stands for: fish and feed")
	OxygenUses    = shelve[OxygenUse]("oxygen", "What uses oxygen in a pond whose water stands still")
	Pipes         = shelve[Pipe]("pipes", "Pipes and hoses by their real bore, with roughness")
	prices        = shelve[planningPrice]("planning_prices", "What parts cost beside a watt of panel, where a plan names no prices")
	turnovers     = shelve[TurnoverGoal]("turnover", "How often the pond should pass the filter")
	filterShares  = shelve[FilterShare]("filter_share", "Size of a gravel bed against its pond")
	ClimateGrid   = climates("climate_grid", "Sun and air temperature by month over all land, in cells of 2.5 degrees")
	ClimatePlaces = climates("climate_places", "Sun and air temperature by month of named places")
)

// BatteryKind is a row of batteries.csv. Usable, EndOfLife, Reconnect and
// CycleDepth are shares of the nominal size, the efficiencies of energy, 0 to 1.
type BatteryKind struct {
	Kind                string                `csv:"kind"`
	CellVolts           figure.Maybe[float64] `csv:"cell_v,omitempty"`
	RestVolts           figure.Maybe[float64] `csv:"rest_v,omitempty"`
	AbsorptionVolts     figure.Maybe[float64] `csv:"absorption_v,omitempty"`
	HighestVolts        figure.Maybe[float64] `csv:"highest_v,omitempty"`
	CutOffVolts         figure.Maybe[float64] `csv:"cut_off_v,omitempty"`
	Usable              float64               `csv:"usable"`
	ChargeEfficiency    float64               `csv:"charge_efficiency"`
	DischargeEfficiency float64               `csv:"discharge_efficiency"`
	SelfDischarge       float64               `csv:"self_discharge"`           // a month
	ChargeRate          figure.Maybe[float64] `csv:"charge_rate,omitempty"`    // 1/h; unknown: no limit
	DischargeRate       figure.Maybe[float64] `csv:"discharge_rate,omitempty"` // 1/h; unknown: no limit
	Peukert             float64               `csv:"peukert"`
	RatedHours          figure.Maybe[float64] `csv:"rated_h,omitempty"`
	LeastChargingC      figure.Maybe[float64] `csv:"least_charging_c,omitempty"` // unknown: charges at any
	Reconnect           float64               `csv:"reconnect"`
	EndOfLife           float64               `csv:"end_of_life"`
	Cycles              figure.Maybe[float64] `csv:"cycles,omitempty"` // of CycleDepth each
	CycleDepth          figure.Maybe[float64] `csv:"cycle_depth,omitempty"`
	LifeYears           figure.Maybe[float64] `csv:"life_years,omitempty"`
	Lead                bool                  `csv:"lead"`
	Source              string                `csv:"source"`
}

// BatteryVolts are the voltages at a battery's terminals.
type BatteryVolts struct {
	Nominal    units.Voltage // that its size is reckoned with
	Rest       units.Voltage // under a small load
	Absorption units.Voltage // that a controller should charge to at most
	Highest    units.Voltage // that what hangs on it has to stand
	CutOff     units.Voltage // at which an inverter or a load switch lets go
}

// Volts returns the voltages of cells in series that come to nominal; all are
// nominal where nothing is known of the cell.
func (k BatteryKind) Volts(nominal units.Voltage) BatteryVolts {
	of := func(v figure.Maybe[float64]) units.Voltage {
		if !v.Known || !k.CellVolts.Known {
			return nominal
		}
		return nominal * units.Voltage(v.Value/k.CellVolts.Value)
	}
	return BatteryVolts{nominal, of(k.RestVolts), of(k.AbsorptionVolts), of(k.HighestVolts), of(k.CutOffVolts)}
}

// Near returns the voltage nearest to want that whole cells in series come to; want where
// nothing is known of the cell.
func (k BatteryKind) Near(want units.Voltage) units.Voltage {
	if !k.CellVolts.Known {
		return want
	}
	cell := units.Voltage(k.CellVolts.Value)
	return cell * units.Voltage(math.Max(1, math.Round(float64(want/cell))))
}

// ColdPoint is a row of battery_cold.csv: by how much a battery must be larger
// at a temperature to give what its label says.
type ColdPoint struct {
	Kind           string  `csv:"kind"` // lead, or a kind of batteries.csv
	TempC          float64 `csv:"temp_c"`
	SizeMultiplier float64 `csv:"size_multiplier"`
	Source         string  `csv:"source"`
}

// BatteryKindOf returns the row of a kind, whatever its capitals. The error is an
// *Error that lists the kinds there are.
func BatteryKindOf(kind string) (BatteryKind, error) {
	return rowOf("battery.kind", "kind of battery", kind, batteries(), func(b BatteryKind) string { return b.Kind })
}

// FreezePoint is a row of lead_freezing.csv: where the acid freezes at a charge, as a
// share of the nominal size.
type FreezePoint struct {
	Charge   float64 `csv:"charge"`
	FreezesC float64 `csv:"freezes_c"`
	Source   string  `csv:"source"`
}

// CableSize is a row of cables.csv: a copper conductor of standard make.
type CableSize struct {
	AreaMM2     float64 `csv:"area_mm2"`
	Class       float64 `csv:"class"` // IEC 60228: 2 stranded, 5 flexible
	OhmPerKm20C float64 `csv:"ohm_per_km_20c"`
	AmpacityA   float64 `csv:"ampacity_a"`
	Source      string  `csv:"source"`
}

// CableHeat is a row of cable_heat.csv: the share of its rating that a conductor may
// carry in air of a temperature.
type CableHeat struct {
	AmbientC float64 `csv:"ambient_c"`
	Factor   float64 `csv:"factor"`
	Source   string  `csv:"source"`
}

// copperCoefficient is the change of copper's resistance [1/K] at 20 °C
// (IEC 60228 annex A takes 0.00393).
const copperCoefficient = 0.00393

// Copper returns the resistance of copper at a temperature over that at 20 °C:
//
//	R/R20 = 1 + 0.00393 (t - 20)
//
// Source: IEC 60228 annex A.
func Copper(t units.Temperature) float64 { return 1 + copperCoefficient*(t.InCelsius()-20) }

// WarmCopper is the copper's temperature where none is given: a loaded cable in the
// sun, on the safe side (common practice, no source).
const WarmCopper = 40

// UsualDrop is the share of the voltage that a cable may lose, by common practice
// (data/keys.csv, cable.area): 2 to 5 % is quoted for 12 to 48 V, no source.
const UsualDrop = 0.03

// FittingLoss is the loss coefficient of one fitting on the velocity head of
// its own bore: K, or the two-K form K1/Re + KInf (1 + 1 inch/D), where K is 0.
type FittingLoss struct {
	Name   string  `csv:"name"`
	Also   string  `csv:"also,omitempty"` // other names, divided by |
	K      float64 `csv:"k,omitempty"`
	K1     float64 `csv:"k1,omitempty"`
	KInf   float64 `csv:"kinf,omitempty"`
	KLow   float64 `csv:"k_low"` // what published tables give at bores of about 20 to 40 mm
	KHigh  float64 `csv:"k_high"`
	Bore   float64 `csv:"bore_fraction,omitempty"` // of the fitting over the pipe's; 0 for the same
	Opens  float64 `csv:"cracking_m,omitempty"`    // head below which it stays shut
	Source string  `csv:"source"`
}

// FittingNamed returns the row of the table of fittings that name means, by
// its name or one of its other names: "elbow", "90° elbow", "elbow 90". The
// error is an *Error that suggests near rows.
func FittingNamed(name string) (FittingLoss, error) {
	return findRow("fitting", name, fittings(), func(f FittingLoss) []string {
		return append([]string{f.Name}, strings.FieldsFunc(f.Also, func(r rune) bool { return r == '|' })...)
	})
}

// Pipe is a pipe or hose by its real bore.
type Pipe struct {
	Name      string       `csv:"name"`
	Kind      string       `csv:"kind"`              // "PE", "PVC-U", "PVC schedule", "hose" or "ribbed hose"
	Outside   units.Length `csv:"outside,omitempty"` // 0 for a hose, which is sold by its bore
	Bore      units.Length `csv:"inside"`            // inside diameter
	Roughness units.Length `csv:"roughness"`         // new and clean
	Pitch     units.Length `csv:"pitch,omitempty"`   // distance of the ribs of a hose ribbed inside; 0 for a smooth bore
	Source    string       `csv:"source"`
}

// PipeNamed returns the row of the table of pipes that name means, such as
// "PE 40 SDR 17", "pe40 sdr17", "hose 3/4 in" or `3/4" hose`. The error is an
// *Error that suggests near rows.
func PipeNamed(name string) (Pipe, error) {
	return findRow("pipe", name, Pipes(), func(p Pipe) []string { return []string{p.Name} })
}

// Stocking is a row of stocking.csv: what a word for stocking stands for.
type Stocking struct {
	Stocking       string  `csv:"stocking"`
	FishLowPerM3   float64 `csv:"fish_low_kg_per_m3"`
	FishHighPerM3  float64 `csv:"fish_high_kg_per_m3"`
	FeedLowPerDay  float64 `csv:"feed_low_per_day"`  // share of the fish's mass
	FeedHighPerDay float64 `csv:"feed_high_per_day"` // share of the fish's mass
	Source         string  `csv:"source"`
}

// OxygenUse is a row of oxygen.csv: a rate or bound of a pond at rest.
type OxygenUse struct {
	Key    string  `csv:"key"`
	Low    float64 `csv:"low"`
	High   float64 `csv:"high"`
	Unit   string  `csv:"unit"`
	Source string  `csv:"source"`
}

// StockingOf returns the row of a word for stocking, whatever its capitals. The
// error is an *Error that lists the words there are.
func StockingOf(word string) (Stocking, error) {
	return rowOf("pond.stocking", "stocking", word, stockings(), func(s Stocking) string { return s.Stocking })
}

// TurnoverGoal is how long one turnover of the pond may take by rule of thumb.
type TurnoverGoal struct {
	Stocking string         `csv:"stocking"` // none, light, medium or heavy
	Goal     units.Duration `csv:"goal"`
	Quickest units.Duration `csv:"quickest"` // what the rule's own advice spans
	Slowest  units.Duration `csv:"slowest"`
	Rule     string         `csv:"rule" json:"rule"`
	Source   string         `csv:"source" json:"rule_source"`
}

// FilterShare is a rule of thumb for the size of a bed against its pond.
type FilterShare struct {
	Stocking string  `csv:"stocking"`
	Basis    string  `csv:"basis"` // "volume" or "area": of which of the pond's the bed is a share
	Low      float64 `csv:"low"`   // 0 to 1
	High     float64 `csv:"high"`
	Rule     string  `csv:"rule"`
	Source   string  `csv:"source"`
}

// TurnoverGoalOf returns the goal of a stocking. The error is an *Error that lists
// the words there are.
func TurnoverGoalOf(stocking string) (TurnoverGoal, error) {
	return rowOf("pond.stocking", "stocking", stocking, turnovers(), func(g TurnoverGoal) string { return g.Stocking })
}

// FilterSharesOf returns the rules for a stocking, each with its basis; none
// for a stocking without one.
func FilterSharesOf(stocking string) []FilterShare {
	return slices.DeleteFunc(filterShares(), func(r FilterShare) bool { return r.Stocking != stocking })
}

type planningPrice struct {
	Part   string  `csv:"part"`
	Per    string  `csv:"per"`
	Price  float64 `csv:"price"` // a watt of panel is 1
	Source string  `csv:"source"`
}

// PlanningPrice returns what a W, Wh or A of a part costs beside a watt of panel; 0 for
// a part that the table does not hold.
func PlanningPrice(part string) float64 {
	for _, row := range prices() {
		if row.Part == part {
			return row.Price
		}
	}
	return 0
}
