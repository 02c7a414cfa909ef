package works

import (
	"slices"
	"strings"

	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// HoseStep is one pump on one hose.
type HoseStep struct {
	Pump int          // index of Water.Pumps
	Hose string       // "" for the hose that is there
	Bore units.Length // of the hose, or of the narrowest piece that is there
	// Smooth says that the hose is no wider than the one that is there, which is
	// ribbed inside, but smooth.
	Smooth bool
	// Main and Branches say where it lies, where the line has branches; Dries names
	// those that it takes the water from.
	Main     bool
	Branches []string
	Dries    []string
	Dry      bool // a branch gets no water, dirty

	Clean WaterState
	Dirty WaterState
	Power figure.Maybe[units.Power] // larger of clean and dirty
	// GainFlow and GainPower are what it gives and draws more than the chosen
	// pump on the hose that is there, when dirty.
	GainFlow  units.Flow
	GainPower figure.Maybe[units.Power]
}

// SameBoreSmooth names the hose that a ribbed one gives way to.
const SameBoreSmooth = "smooth hose of the same bore"

// hoses answers "next hose up or next pump up": every pump on the hose that is
// there, on a smooth one of the same bore where that is ribbed inside, and on the
// next two wider ones of the kind of the piece that takes most of the head. The
// narrowest piece is often short, or in a branch without water.
func (w *WaterResult) hoses() ([]HoseStep, error) {
	line := w.Works.Line
	feeds := line.Feeds()
	narrow := feeds[0].Bore
	for _, f := range feeds {
		narrow = min(narrow, f.Bore)
	}
	lines := []pumps.Widened{{Hose: pumps.PipeSize{Bore: narrow}, Line: line}}
	var flow units.Flow
	if i := w.Choice.Nearest; i >= 0 {
		flow = w.Pumps[i].Clean.Flow
	}
	smooth, ribbed, err := pumps.Smoothed(line, smoothPlastic)
	if err != nil {
		return nil, err
	}
	if ribbed {
		lines = append(lines, pumps.Widened{Hose: pumps.PipeSize{Name: SameBoreSmooth, Bore: narrow}, Line: smooth})
	}
	next, err := pumps.Widen(line, w.Works.sizes(pumps.Tightest(line, flow)))
	if err != nil {
		return nil, err
	}
	lines = append(lines, next...)
	on := make([]*WaterResult, len(lines))
	for k, l := range lines {
		if on[k] = w; k > 0 {
			if on[k], err = w.rehosed(l.Line); err != nil {
				return nil, err
			}
		}
	}
	var steps []HoseStep
	for i, pump := range w.Pumps {
		for k, l := range lines {
			p := WaterPump{Pump: pump.Pump, Pack: pump.Pack}
			if err := on[k].Run(&p); err != nil {
				return nil, err
			}
			s := HoseStep{Pump: i, Hose: l.Hose.Name, Bore: l.Hose.Bore, Smooth: ribbed && k == 1, Clean: p.Clean, Dirty: p.Dirty, Power: p.Power}
			s.Dry = len(dryAt(l.Line, s.Dirty.Flow)) > 0
			s.Main, s.Branches = w.replaced(l.Line)
			s.Dries = w.dries(s, l.Line)
			steps = append(steps, s)
		}
	}
	w.gains(steps)
	return steps, nil
}

// gains compares every step with the nearest pump on the hose that is there.
func (w *WaterResult) gains(steps []HoseStep) {
	var from HoseStep
	for _, s := range steps {
		if s.Pump == w.Choice.Nearest && s.Hose == "" {
			from = s
		}
	}
	for i := range steps {
		s := &steps[i]
		s.GainFlow = s.Dirty.Flow - from.Dirty.Flow
		if s.GainPower = s.Power; s.Power.Known {
			if s.GainPower = from.Power; from.Power.Known {
				s.GainPower = figure.Known(s.Power.Value - from.Power.Value)
			}
		}
	}
}

// leastStep is how much wider a hose has to be to count as the next size: one
// of 40 mm is no step up from 38 mm.
const leastStep = 1.1

// BestStep returns the step of least power that meets the goal dirty, one that
// leaves no branch dry before one that does and none that takes the water from one
// that has it, and whether any does.
func (w *WaterResult) BestStep() (HoseStep, bool) {
	var best HoseStep
	found := false
	for _, s := range w.Hoses {
		if !s.Dirty.Meets() || !s.Power.Known || len(s.Dries) > 0 {
			continue
		}
		// A hose that is there costs nothing, so a wider one has to save.
		if !found || best.Dry && !s.Dry || best.Dry == s.Dry && s.Power.Value < best.Power.Value*0.97 {
			best, found = s, true
		}
	}
	return best, found
}

// sizes returns the pipes of the same kind as feed i of the line that are wide
// enough to count as a step; hoses where the kind is not known, and smooth ones
// where it is ribbed, as none would buy ribs for the sake of flow.
func (w *Waterworks) sizes(i int) []pumps.PipeSize {
	kind, narrow := "hose mm", w.Line.Feeds()[i].Bore
	if i < len(w.families) && w.families[i] != "" {
		kind = strings.TrimPrefix(w.families[i], "ribbed ")
	}
	var out []pumps.PipeSize
	for _, p := range data.Pipes() {
		if familyOf(p.Name) == kind && p.Bore >= narrow*leastStep {
			out = append(out, pumps.PipeSize{Name: p.Name, Bore: p.Bore, Roughness: p.Roughness, Pitch: p.Pitch})
		}
	}
	return out
}

// familyOf returns a pipe's name without its size, so that "PE 40 SDR 17" and
// "PE 50 SDR 17" are kin.
func familyOf(name string) string {
	var kept []string
	sized := false
	for _, word := range strings.Fields(name) {
		if !sized && word[0] >= '0' && word[0] <= '9' {
			sized = true
			continue
		}
		kept = append(kept, word)
	}
	return strings.Join(kept, " ")
}

// familiesOf returns the family of each of feeds, "" where the plan names no
// pipe of the table for it.
func familiesOf(feeds []plan.Feed) []string {
	out := make([]string, len(feeds))
	for i, f := range feeds {
		if row, err := data.PipeNamed(f.Pipe); f.Pipe != "" && err == nil { // a wrong name the line itself reports
			out[i] = familyOf(row.Name)
		}
	}
	return out
}

// replaced returns which parts of a line with branches have another hose in line:
// the main, and which branches.
func (w *WaterResult) replaced(line pumps.Circuit) (main bool, branches []string) {
	was, branched := w.Works.Line.(*pumps.Network)
	is, still := line.(*pumps.Network)
	if !branched || !still {
		return false, nil
	}
	main = !slices.Equal(was.Spec().Trunk, is.Spec().Trunk)
	for i, b := range is.Spec().Branches {
		if !slices.Equal(was.Spec().Branches[i].Feeds, b.Feeds) {
			branches = append(branches, b.Name)
		}
	}
	return main, branches
}

// dries returns the branches that get water of s on the hose that is there, and
// none on line: what is widened takes it from them.
func (w *WaterResult) dries(s HoseStep, line pumps.Circuit) (names []string) {
	clean, dirty := w.DryBranches(s.Pump)
	add := func(now, before []string) {
		for _, name := range now {
			if !slices.Contains(before, name) && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	add(dryAt(line, s.Clean.Flow), clean)
	add(dryAt(line, s.Dirty.Flow), dirty)
	return names
}
