package data

import (
	"slices"

	"sunrill/data/units"
)

// Pipe is a pipe or hose by its real bore.
type Pipe struct {
	Name      string       `csv:"name"`
	Kind      string       `csv:"kind"`              // "PE", "PVC-U", "PVC schedule", "hose" or "ribbed hose"
	Outside   units.Length `csv:"outside,omitempty"` // 0 for a hose, which is sold by its bore
	Bore      units.Length `csv:"inside"`            // inside diameter
	Roughness units.Length `csv:"roughness"`         // new and clean
	Pitch     units.Length `csv:"pitch,omitempty"`   // distance of the ribs of a hose ribbed inside; 0 for a smooth bore
	Source    string       `csv:"source"`
}

var pipeShelf = shelve[Pipe]("pipes", "Pipes and hoses by their real bore, with roughness")

// Pipes returns the embedded table of pipes and hoses, grouped by kind.
func Pipes() []Pipe { return slices.Clone(pipeShelf()) }

// PipeNamed returns the row of the table of pipes that name means, such as
// "PE 40 SDR 17", "pe40 sdr17", "hose 3/4 in" or `3/4" hose`. The error is an
// *Error that suggests near rows.
func PipeNamed(name string) (Pipe, error) {
	return findRow("pipe", name, pipeShelf(), func(p Pipe) []string { return []string{p.Name} })
}
