package data

var planningShelf = shelve[planningPrice]("planning_prices", "What parts cost beside a watt of panel, where a plan names no prices")

// planningPrice is a row of planning_prices.csv.
type planningPrice struct {
	Part   string  `csv:"part"`
	Per    string  `csv:"per"`
	Price  float64 `csv:"price"` // a watt of panel is 1
	Source string  `csv:"source"`
}

// PlanningPrice returns what a W, Wh or A of a part costs beside a watt of panel; 0 for
// a part that the table does not hold.
func PlanningPrice(part string) float64 {
	for _, row := range planningShelf() {
		if row.Part == part {
			return row.Price
		}
	}
	return 0
}
