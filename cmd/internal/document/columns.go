package document

import "strings"

// Columns returns the columns of TableOf by their keys and headings, each as
// "flow_m3_per_h: flow" or, where the figure has another path,
// "clean_flow_m3_per_h=clean.flow_m3_per_h: flow clean"; their units follow from the keys.
func Columns(keysAndHeadings ...string) []Column {
	columns := make([]Column, len(keysAndHeadings))
	for i, text := range keysAndHeadings {
		columns[i].Key, columns[i].Heading, _ = strings.Cut(text, ": ")
		columns[i].Key, columns[i].From, _ = strings.Cut(columns[i].Key, "=")
	}
	return columns
}

// Priced returns t with its sums in a currency.
func (t Table) Priced(currency Unit) Table {
	for i, c := range t.Columns {
		if IsMoney(c.Key) {
			t.Columns[i].Unit = currency
		}
	}
	return t
}
