package data

import "slices"

var cableShelf = shelve[CableSize]("cables", "Resistance and rating of copper conductors")

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
