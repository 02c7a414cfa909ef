package data

import "strings"

// FittingLoss is the loss coefficient of one fitting on the velocity head of
// its own bore: K, or the two-K form K1/Re + KInf (1 + 1 inch/D), where K is 0.
type FittingLoss struct {
	Name        string
	K, K1, KInf float64
	Source      string
}

type fittingRow struct {
	Name   string   `csv:"name"`
	Also   string   `csv:"also,omitempty"` // other names, divided by |
	K      Optional `csv:"k,omitempty"`
	K1     Optional `csv:"k1,omitempty"`
	KInf   Optional `csv:"kinf,omitempty"`
	KLow   Number   `csv:"k_low"` // what published tables give at bores of about 20 to 40 mm
	KHigh  Number   `csv:"k_high"`
	Source string   `csv:"source"`
}

var fittingShelf = shelve[fittingRow]("fittings", "Loss coefficients of fittings and valves")

// FittingNamed returns the row of the table of fittings that name means, by
// its name or one of its other names: "elbow", "90° elbow", "elbow 90". The
// error is an *Error that suggests near rows.
func FittingNamed(name string) (FittingLoss, error) {
	rows := fittingShelf.rows()
	i, err := findRow("fitting", name, len(rows), func(i int) []string {
		names := []string{rows[i].Name}
		if rows[i].Also != "" {
			names = append(names, strings.Split(rows[i].Also, "|")...)
		}
		return names
	})
	if err != nil {
		return FittingLoss{}, err
	}
	return rows[i].loss(), nil
}

func (r fittingRow) loss() FittingLoss {
	return FittingLoss{Name: r.Name, K: r.K.Value, K1: r.K1.Value, KInf: r.KInf.Value, Source: r.Source}
}
