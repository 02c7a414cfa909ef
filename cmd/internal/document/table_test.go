package document

import (
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
