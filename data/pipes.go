package data

import (
	"sunrill/data/units"
)

// Pipe is a pipe or hose by its real bore.
type Pipe struct {
	Name      string
	Kind      string       // "PE", "PVC-U", "PVC schedule", "hose" or "ribbed hose"
	Outside   units.Length // 0 for a hose, which is sold by its bore
	Bore      units.Length // inside diameter
	Roughness units.Length // new and clean
	Pitch     units.Length // distance of the ribs of a hose ribbed inside; 0 for a smooth bore
	Source    string
}

type pipeRow struct {
	Name      string   `csv:"name"`
	Kind      string   `csv:"kind"`
	Outside   Optional `csv:"outside_mm,omitempty"`
	Inside    Number   `csv:"inside_mm"`
	Roughness Number   `csv:"roughness_mm"`
	Pitch     Optional `csv:"pitch_mm,omitempty"`
	Source    string   `csv:"source"`
}

var pipeShelf = shelve[pipeRow]("pipes", "Pipes and hoses by their real bore, with roughness")

// Pipes returns the embedded table of pipes and hoses, grouped by kind.
func Pipes() []Pipe {
	rows := pipeShelf.rows()
	pipes := make([]Pipe, len(rows))
	for i, r := range rows {
		pipes[i] = r.pipe()
	}
	return pipes
}

// PipeNamed returns the row of the table of pipes that name means, such as
// "PE 40 SDR 17", "pe40 sdr17", "hose 3/4 in" or `3/4" hose`. The error is an
// *Error that suggests near rows.
func PipeNamed(name string) (Pipe, error) {
	rows := pipeShelf.rows()
	i, err := findRow("pipe", name, len(rows), func(i int) []string { return []string{rows[i].Name} })
	if err != nil {
		return Pipe{}, err
	}
	return rows[i].pipe(), nil
}

func (r pipeRow) pipe() Pipe {
	mm := func(v float64) units.Length { return units.Length(v) * units.Millimetre }
	return Pipe{Name: r.Name, Kind: r.Kind, Outside: mm(r.Outside.Value), Bore: mm(float64(r.Inside)),
		Roughness: mm(float64(r.Roughness)), Pitch: mm(r.Pitch.Value), Source: r.Source}
}
