package energy

import (
	"errors"

	"sunrill/data"
	"sunrill/pumps"
)

// pipe gives f the bore, roughness and ribs of the pipe of that name.
func (w *Waterworks) pipe(f *pumps.Feed, name, key string) error {
	row, err := data.PipeNamed(name)
	if err != nil {
		return at(key+".pipe", err)
	}
	f.Bore, f.Roughness, f.Pitch = row.Bore, row.Roughness, row.Pitch
	w.source("Pipe " + row.Name + ": " + row.Source)
	return nil
}

// fittings adds the losses of the fittings named to f.
func (w *Waterworks) fittings(f *pumps.Feed, list []data.Fitting, key string) error {
	var faults []error
	for _, in := range list {
		row, err := data.FittingNamed(in.Name)
		if err != nil {
			faults = append(faults, at(key+".fittings", err))
			continue
		}
		f.Loss = f.Loss.Plus(in.Count, pumps.Loss{K: row.K, K1: row.K1, KInf: row.KInf})
		w.source("Fitting " + row.Name + ": " + row.Source)
	}
	return errors.Join(faults...)
}

// namesExit reports whether the list has the exit loss among its fittings, so
// that it must not be added a second time.
func namesExit(list []data.Fitting) bool {
	for _, in := range list {
		if row, err := data.FittingNamed(in.Name); err == nil && row.Name == "exit" {
			return true
		}
	}
	return false
}

// source notes where a row came from, once.
func (w *Waterworks) source(s string) {
	for _, have := range w.Sources {
		if have == s {
			return
		}
	}
	w.Sources = append(w.Sources, s)
}

// at gives the faults of err the plan key that asked.
func at(key string, err error) error {
	var faults []error
	for _, f := range data.Faults(err) {
		f := *f
		f.Key = key
		faults = append(faults, &f)
	}
	return errors.Join(faults...)
}
