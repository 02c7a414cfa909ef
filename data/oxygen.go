package data

import "slices"

var (
	stockingShelf = shelve[Stocking]("stocking", "What each word for stocking stands for: fish and feed")
	oxygenShelf   = shelve[OxygenUse]("oxygen", "What uses oxygen in a pond whose water stands still")
)

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

// OxygenUses returns the rates and bounds of a pond at rest.
func OxygenUses() []OxygenUse { return slices.Clone(oxygenShelf()) }

// StockingOf returns the row of a word for stocking, whatever its capitals. The
// error is an *Error that lists the words there are.
func StockingOf(word string) (Stocking, error) {
	return rowOf("pond.stocking", "stocking", word, stockingShelf(), func(s Stocking) string { return s.Stocking })
}
