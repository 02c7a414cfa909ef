package data

import (
	"slices"

	"sunrill/data/units"
)

var (
	cableShelf     = shelve[CableSize]("cables", "Resistance and rating of copper conductors")
	cableHeatShelf = shelve[CableHeat]("cable_heat", "How much less conductors may carry in the heat")
)

// CableSize is a row of cables.csv: a copper conductor of standard make.
type CableSize struct {
	AreaMM2     float64 `csv:"area_mm2"`
	Class       float64 `csv:"class"` // IEC 60228: 2 stranded, 5 flexible
	OhmPerKm20C float64 `csv:"ohm_per_km_20c"`
	AmpacityA   float64 `csv:"ampacity_a"`
	Source      string  `csv:"source"`
}

// CableSizes returns the conductors, each class by rising area.
func CableSizes() []CableSize { return slices.Clone(cableShelf()) }

// CableHeat is a row of cable_heat.csv: the share of its rating that a conductor may
// carry in air of a temperature.
type CableHeat struct {
	AmbientC float64 `csv:"ambient_c"`
	Factor   float64 `csv:"factor"`
	Source   string  `csv:"source"`
}

// CableHeats returns the factors by rising temperature.
func CableHeats() []CableHeat { return slices.Clone(cableHeatShelf()) }

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
