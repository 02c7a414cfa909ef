package document

import "testing"

// TestColumnsByKeys: a heading keeps its commas and colons, and sums alone take the
// currency.
func TestColumnsByKeys(t *testing.T) {
	type row struct {
		Name  string  `json:"name"`
		Watts float64 `json:"power_w"`
		Price float64 `json:"price"`
	}
	table := TableOf("pumps", []row{{"A", 62, 1500}}, Columns("name: pump", "power_w: power, low: mean", "price: ")).Priced(Money("R"))
	for i, want := range []Column{{Key: "name", Heading: "pump"}, {Key: "power_w", Heading: "power, low: mean", Unit: Power}, {Key: "price", Unit: Money("R")}} {
		if table.Columns[i] != want {
			t.Errorf("column %d: %+v, want %+v", i, table.Columns[i], want)
		}
	}
}
