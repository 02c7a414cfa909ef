package document

import (
	"slices"
	"testing"

	"sunrill/data/units"
)

// TestColumnsByKeys: a heading keeps its commas and colons, a figure may have another
// path than its key, and sums alone take the currency.
func TestColumnsByKeys(t *testing.T) {
	type row struct {
		Name  string  `json:"name"`
		Watts float64 `json:"power_w"`
		Price float64 `json:"price"`
	}
	table := TableOf("pumps", []row{{"A", 62, 1500}}, Columns("name: pump", "power_w: power, low: mean", "price: ", "dirty_power_w=power_w: dirty")).Priced(Money("R"))
	for i, want := range []Column{{Key: "name", Heading: "pump", Unit: None}, {Key: "power_w", Heading: "power, low: mean", Unit: Power}, {Key: "price", Unit: Money("R")},
		{Key: "dirty_power_w", From: "power_w", Heading: "dirty", Unit: Power}} {
		if table.Columns[i] != want {
			t.Errorf("column %d: %+v, want %+v", i, table.Columns[i], want)
		}
	}
	if shown := UnitOf("reynolds").Figure(123, units.Metric, 0); shown != "123" {
		t.Errorf("a number without a unit is shown as %s", shown)
	}
	if cell := table.Rows[0][3]; cell != Number(62) {
		t.Errorf("the figure of another path is %+v", cell)
	}
}

// TestNotesOfShownCells: a reason that several columns share names those that are shown, one
// of a column that is left out is not told, and one of a row that is left out stands by itself.
func TestNotesOfShownCells(t *testing.T) {
	table := Table{Columns: []Column{{Heading: "way"}, {Heading: "water"}, {Heading: "power"}, {Heading: "price"}}, Rows: [][]Cell{
		{Text("fast"), Number(1), Number(2), Unknown("no prices")},
		{Text("by day"), Number(4), Unknown("the sun says"), Unknown("no prices")},
		{Text("slow"), Unknown("the sun says"), Number(5), Unknown("no prices")},
		{Text("never"), Unknown("it cannot"), Unknown("it cannot"), Unknown("it cannot")}}}
	g := table.Grid(units.Metric, Clean)
	want := []string{"power; water: the sun says", "it cannot"}
	if !slices.Equal(g.Notes, want) || len(g.Heads) != 3 || len(g.Rows) != 3 {
		t.Errorf("%q of %q and %d rows, want %q", g.Notes, g.Heads, len(g.Rows), want)
	}
}
