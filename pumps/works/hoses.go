package works

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sunrill/data"
	"sunrill/data/cores"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/pumps"
)

// HoseStep is one pump on one hose.
type HoseStep struct {
	Pump  int                       // index of Water.Pumps
	Name  string                    `json:"pump"`
	Hose  string                    `json:"hose"`    // "" for the hose that is there
	Bore  units.Length              `json:"bore_mm"` // of the hose, or of the narrowest piece that is there
	Clean figure.Maybe[WaterState]  `json:"clean"`
	Dirty figure.Maybe[WaterState]  `json:"dirty"`
	Power figure.Maybe[units.Power] `json:"power_w"` // larger of clean and dirty
	// GainFlow and GainPower are what it gives and draws more than the chosen
	// pump on the hose that is there, when dirty.
	GainFlow  units.Flow                `json:"gain_flow_m3_per_h"`
	GainPower figure.Maybe[units.Power] `json:"gain_power_w"`
	Chance    figure.Maybe[float64]     `json:"chance"` // of meeting the goal, dirty

	// Main and Branches say where it lies, where the line has branches.
	Main     bool
	Branches []string

	Laid *Laid `json:"-"` // nil on the hose that is there
}

// Laid is a plan on another hose.
type Laid struct {
	Plan   *plan.Plan
	Water  *WaterResult
	Pieces []string // keys of those that it lies in, "feed.2"
}

// SameBoreSmooth names the hose that a ribbed one gives way to.
const SameBoreSmooth = "smooth hose of the same bore"

// hoses answers "next hose up or next pump up": every pump on the hose that is
// there, on a smooth one of the same bore where that is ribbed inside, and on the
// next two wider ones of the kind of the piece that takes most of the head. The
// narrowest piece is often short, or in a branch without water.
func (w *WaterResult) hoses(p *plan.Plan, place Surroundings) error {
	feeds := w.Works.Line.Feeds()
	narrow, ribbed := feeds[0].Bore, false
	for _, f := range feeds {
		narrow, ribbed = min(narrow, f.Bore), ribbed || f.Pitch > 0
	}
	var others []HoseStep
	if ribbed {
		others = append(others, HoseStep{Hose: SameBoreSmooth, Bore: narrow})
	}
	tight := w.Works.Line.Tightest(w.Pumps[w.Choice.Nearest].Clean.Flow)
	for _, pipe := range nextPipes(familyAt(p, tight), feeds[tight].Bore, narrow) {
		others = append(others, HoseStep{Hose: pipe.Name, Bore: pipe.Bore})
	}
	found, errs := make([][]HoseStep, len(others)), make([]error, len(others))
	cores.Each(len(others), func(k int) { found[k], errs[k] = w.onHose(others[k], p, place) })
	if err := cmp.Or(errs...); err != nil {
		return err
	}
	w.Hoses = make([]HoseStep, 0, len(w.Pumps)*(1+len(found)))
	for i, pump := range w.Pumps {
		here := w.step(HoseStep{Pump: i, Bore: narrow}, pump) // judged by choose
		here.Chance = figure.Then(pump.Surely, func(v Surely) float64 { return v.Chance })
		w.Hoses = append(w.Hoses, here)
		for _, on := range found {
			w.Hoses = append(w.Hoses, on[i])
		}
	}
	return nil
}

// onHose returns every pump on the plan with the hose of step laid instead of all
// ribbed pieces, or of all narrower ones.
func (w *WaterResult) onHose(step HoseStep, p *plan.Plan, place Surroundings) (steps []HoseStep, err error) {
	with, feeds := *p, w.Works.Line.Feeds()
	change := func(in *plan.Feed, is pumps.Feed) bool {
		switch {
		case step.Hose == SameBoreSmooth && is.Pitch > 0:
			in.RibPitch = new(units.Length)
		case step.Hose != SameBoreSmooth && is.Bore < step.Bore:
			in.Pipe, in.Bore, in.Roughness, in.RibPitch = step.Hose, nil, nil, nil
		default:
			return false
		}
		return true
	}
	var pieces []string
	laid := func(list []plan.Feed, key string) (out []plan.Feed, changed bool) {
		out = slices.Clone(list)
		for i := range out {
			if change(&out[i], feeds[i]) {
				pieces, changed = append(pieces, fmt.Sprintf("%sfeed.%d", key, i+1)), true
			}
		}
		feeds = feeds[len(list):]
		return out, changed
	}
	with.Feeds, step.Main = laid(p.Feeds, "")
	with.Branches = slices.Clone(p.Branches)
	step.Main = step.Main && w.Works.Line.Branched()
	for i := range with.Branches {
		var changed bool
		if with.Branches[i].Feeds, changed = laid(p.Branches[i].Feeds, fmt.Sprintf("branch.%d.", i+1)); changed {
			step.Branches = append(step.Branches, w.Works.Line.Spec().Branches[i].Name)
		}
	}
	alt, err := w.variant(&with, place)
	if err != nil {
		return nil, err
	}
	if alt.Works.DirtAssumed { // what was measured is what it is
		alt.Works.assumeDirt()
	}
	on := *w.drawn
	on.draws, alt.drawn = slices.Clone(on.draws), &on
	alt.soil(alt.drawn)
	steps = make([]HoseStep, 0, len(w.Pumps))
	for i := range w.Pumps {
		alt.Run(&alt.Pumps[i])
		step.Pump = i
		s := w.step(step, alt.Pumps[i])
		s.Chance = alt.chanceOf(&alt.Pumps[i], alt.drawn)
		s.Laid = &Laid{&with, alt, pieces}
		steps = append(steps, s)
	}
	return steps, nil
}

// step returns s with the figures of pump on its hose, and what it gives and draws more
// than the nearest pump on the hose that is there.
func (w *WaterResult) step(s HoseStep, pump WaterPump) HoseStep {
	from := &w.Pumps[w.Choice.Nearest]
	s.Name, s.Clean, s.Dirty, s.Power = pump.Name, pump.Clean.Flowing(), pump.Dirty.Flowing(), pump.Power
	s.GainFlow, s.GainPower = pump.Dirty.Flow-from.Dirty.Flow, s.Power
	if s.Power.Known {
		s.GainPower = figure.Then(from.Power, func(p units.Power) units.Power { return s.Power.Value - p })
	}
	return s
}

// leastStep is how much wider a hose has to be to count as the next size: one
// of 40 mm is no step up from 38 mm. A stated rule, no source, as what a hose spares.
const leastStep = 1.1

// nextPipes returns the next two pipes of a family, by bore, that are wide enough to
// count as a step up from bore and wider than the narrowest piece. Of the same bore
// the first counts.
func nextPipes(family string, bore, narrowest units.Length) (next []data.Pipe) {
	all := data.Pipes()
	slices.SortStableFunc(all, func(a, b data.Pipe) int { return cmp.Compare(a.Bore, b.Bore) })
	last := narrowest
	for _, p := range all {
		if len(next) < 2 && familyOf(p.Name) == family && p.Bore >= bore*leastStep && p.Bore > last*1.02 {
			next, last = append(next, p), p.Bore
		}
	}
	return next
}

// familyAt returns the family of piece i of the line: hoses where the plan names no
// pipe for it, and smooth ones where it is ribbed, as none would buy ribs for the
// sake of flow.
func familyAt(p *plan.Plan, i int) string {
	list := p.Feeds
	for _, b := range p.Branches {
		list = append(list[:len(list):len(list)], b.Feeds...)
	}
	if row, err := data.PipeNamed(list[i].Pipe); list[i].Pipe != "" && err == nil {
		return strings.TrimPrefix(familyOf(row.Name), "ribbed ")
	}
	return "hose mm"
}

// familyOf returns a pipe's name without its size, so that "PE 40 SDR 17" and
// "PE 50 SDR 17" are kin.
func familyOf(name string) string {
	words := strings.Fields(name)
	if i := slices.IndexFunc(words, func(word string) bool { return word[0] >= '0' && word[0] <= '9' }); i >= 0 {
		words = slices.Delete(words, i, i+1)
	}
	return strings.Join(words, " ")
}

// dryAt returns the names of the branches of line that get no water of total
// flow q.
func dryAt(line *pumps.System, q units.Flow) (names []string) {
	for _, b := range line.Split(q) {
		if q > 0 && b.Short > 0 {
			names = append(names, b.Name)
		}
	}
	return names
}
