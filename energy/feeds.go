package energy

import (
	"fmt"

	"sunrill/data"
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
func (w *Waterworks) feeds(list []data.Feed) (feeds []pumps.Feed, exit bool, faults []error) {
	exit = true
	for i, in := range list {
		f, err := w.feed(in, fmt.Sprintf("feed.%d", i+1))
		if err != nil {
			faults = append(faults, err)
		}
		feeds = append(feeds, f)
		if i == len(list)-1 {
			exit = in.LossK == nil && !namesExit(in.Fittings)
		}
	}
	if exit && len(list) > 0 {
		key := fmt.Sprintf("feed.%d.loss_k", len(list))
		why := "the exit loss, counted once beside the fittings"
		if len(list[len(list)-1].Fittings) == 0 {
			why = "no fittings given: only the exit loss is counted, so the flow comes out high"
		}
		w.Assumed = append(w.Assumed, Assumed{Key: key, Text: fmt.Sprintf("%.1f", pumps.ExitLoss), Why: why,
			Source: "velocity head given up at an open end, any textbook of hydraulics"})
	}
	return feeds, exit, faults
}

func (w *Waterworks) feed(in data.Feed, key string) (pumps.Feed, error) {
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
		w.Assumed = append(w.Assumed, Assumed{Key: key + ".roughness", Kind: units.KindBore, Value: float64(smoothPlastic),
			Why: "smooth plastic, as no pipe of the table is named", Source: "Idelchik, drawn tubing"})
	}
	if in.LossK != nil {
		f.Loss.K = *in.LossK
	}
	return f, w.fittings(&f, in.Fittings, key)
}
