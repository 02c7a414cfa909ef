package data

import "strings"

// FittingLoss is the loss coefficient of one fitting on the velocity head of
// its own bore: K, or the two-K form K1/Re + KInf (1 + 1 inch/D), where K is 0.
type FittingLoss struct {
	Name   string  `csv:"name"`
	Also   string  `csv:"also,omitempty"` // other names, divided by |
	K      float64 `csv:"k,omitempty"`
	K1     float64 `csv:"k1,omitempty"`
	KInf   float64 `csv:"kinf,omitempty"`
	KLow   float64 `csv:"k_low"` // what published tables give at bores of about 20 to 40 mm
	KHigh  float64 `csv:"k_high"`
	Bore   float64 `csv:"bore_fraction,omitempty"` // of the fitting over the pipe's; 0 for the same
	Opens  float64 `csv:"cracking_m,omitempty"`    // head below which it stays shut
	Source string  `csv:"source"`
}

var fittingShelf = shelve[FittingLoss]("fittings", "Loss coefficients of fittings and valves")

// FittingNamed returns the row of the table of fittings that name means, by
// its name or one of its other names: "elbow", "90° elbow", "elbow 90". The
// error is an *Error that suggests near rows.
func FittingNamed(name string) (FittingLoss, error) {
	return findRow("fitting", name, fittingShelf(), func(f FittingLoss) []string {
		return append([]string{f.Name}, strings.FieldsFunc(f.Also, func(r rune) bool { return r == '|' })...)
	})
}
