package data

import (
	"slices"
	"strings"
)

var (
	stockingShelf = shelve[Stocking]("stocking", "What each word for stocking stands for: fish and feed")
	oxygenShelf   = shelve[OxygenUse]("oxygen", "What uses oxygen in a pond whose water stands still")
)

// Stocking is a row of stocking.csv: what a word for stocking stands for.
type Stocking struct {
	Stocking       string `csv:"stocking"`
	FishLowPerM3   Number `csv:"fish_low_kg_per_m3"`
	FishHighPerM3  Number `csv:"fish_high_kg_per_m3"`
	FeedLowPerDay  Number `csv:"feed_low_per_day"`  // share of the fish's mass
	FeedHighPerDay Number `csv:"feed_high_per_day"` // share of the fish's mass
	Source         string `csv:"source"`
}

// OxygenUse is a row of oxygen.csv: a rate or bound of a pond at rest.
type OxygenUse struct {
	Key    string `csv:"key"`
	Low    Number `csv:"low"`
	High   Number `csv:"high"`
	Unit   string `csv:"unit"`
	Source string `csv:"source"`
}

// Stockings returns the words for stocking, the lightest first.
func Stockings() []Stocking { return slices.Clone(stockingShelf.rows()) }

// OxygenUses returns the rates and bounds of a pond at rest.
func OxygenUses() []OxygenUse { return slices.Clone(oxygenShelf.rows()) }

// StockingOf returns the row of a word for stocking, whatever its capitals.
// The error lists the words there are.
func StockingOf(word string) (Stocking, error) {
	rows := Stockings()
	names := make([]string, len(rows))
	for i, row := range rows {
		if strings.EqualFold(row.Stocking, strings.TrimSpace(word)) {
			return row, nil
		}
		names[i] = row.Stocking
	}
	e := &Error{Key: "pond.stocking", Message: "there is no such stocking", Found: word, Allowed: strings.Join(names, ", ")}
	if near := Nearest(word, names); near != "" {
		e.Hint = "perhaps " + near
	}
	return Stocking{}, e
}
