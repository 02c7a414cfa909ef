package works

import (
	"errors"
	"fmt"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// smoothPlastic is the roughness of clean drawn plastic and of glass, taken
// where a bore is given without one. Source: the classic table of roughness of
// drawn tubing, as in Idelchik.
const smoothPlastic = 0.0015 * units.Millimetre

// feeds turns the runs of a line into those of package pumps. exit reports
// whether the exit loss has still to be added: a loss_k on the last run
// includes it.
//
// prefix is the plan key of the list, and last says that its end is the end of
// the line.
func (w *Waterworks) feeds(list []plan.Feed, prefix string, last bool) (feeds []pumps.Feed, exit bool, faults []error) {
	exit = last
	for i, in := range list {
		f, err := w.feed(in, fmt.Sprintf("%s.%d", prefix, i+1))
		if err != nil {
			faults = append(faults, err)
		}
		feeds = append(feeds, f)
		if i == len(list)-1 && last {
			exit = in.LossK == nil && !namesExit(in.Fittings)
		}
	}
	if exit && len(list) > 0 {
		key := fmt.Sprintf("%s.%d.loss_k", prefix, len(list))
		why := "the exit loss, counted once beside the fittings"
		if len(list[len(list)-1].Fittings) == 0 {
			why = "no fittings given: only the exit loss is counted, so the flow comes out high"
		}
		w.Assumed = append(w.Assumed, figure.Assumed{Key: key, Text: units.Sprintf("%.1f", pumps.ExitLoss), Why: why,
			Source: "velocity head given up at an open end, any textbook of hydraulics"})
	}
	return feeds, exit, faults
}

func (w *Waterworks) feed(in plan.Feed, key string) (pumps.Feed, error) {
	f := pumps.Feed{Length: *in.Length}
	if in.Bore != nil {
		f.Bore = *in.Bore
	}
	if in.Pipe != "" {
		if err := w.pipe(&f, in.Pipe, key); err != nil {
			return f, err
		}
	}
	switch {
	case in.Roughness != nil:
		f.Roughness = *in.Roughness
	case in.Pipe == "":
		f.Roughness = smoothPlastic
		w.Assumed = append(w.Assumed, figure.Assumed{Key: key + ".roughness", Kind: units.KindBore, Value: float64(smoothPlastic),
			Why: "smooth plastic, as no pipe of the table is named", Source: "Idelchik, drawn tubing"})
	}
	if in.RibPitch != nil {
		f.Pitch = *in.RibPitch
	} else if f.Pitch > 0 {
		w.Assumed = append(w.Assumed, figure.Assumed{Key: key + ".rib_pitch", Kind: units.KindBore, Value: float64(f.Pitch),
			Why: "an example: measure from rib to rib of your own hose, as the friction goes with it", Source: "no source"})
	}
	if f.Pitch > 0 {
		w.source("Ribbed hose: R. C. Hawthorne and H. C. von Helms, Product Engineering, 1963, from memory")
	}
	if in.LossK != nil {
		f.Loss.K = *in.LossK
	}
	return f, w.fittings(&f, in.Fittings, key)
}

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
func (w *Waterworks) fittings(f *pumps.Feed, list []plan.Fitting, key string) error {
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
func namesExit(list []plan.Fitting) bool {
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
