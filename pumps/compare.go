package pumps

import (
	"sort"

	"sunrill/data/units"
)

// PipeSize is a hose or pipe that can be bought.
type PipeSize struct {
	Name                   string
	Bore, Roughness, Pitch units.Length
}

// Step is one pump on one hose, clean and dirty.
type Step struct {
	Pump         string
	Hose         string // "" for the hose that is there
	Clean, Dirty Run
	// Gain is the dirty flow and power over those of the first pump on the hose
	// that is there.
	GainFlow  units.Flow
	GainPower units.Power
}

// NextSteps answers "next hose up or next pump up": each pump on the hose that
// is there and on the next two wider sizes, in that order for each pump. The
// narrowest feed counts as the hose; every feed narrower than the new size is
// replaced by it, with the same length and the same loss coefficients. The
// first pump is the one compared with.
func NextSteps(pumps []Pump, s *System, sizes []PipeSize, dirt Dirt) ([]Step, error) {
	systems := []*System{s}
	names := []string{""}
	next, err := Widen(s, sizes)
	if err != nil {
		return nil, err
	}
	for _, w := range next {
		systems, names = append(systems, w.System), append(names, w.Hose.Name)
	}
	var steps []Step
	for _, p := range pumps {
		for i, w := range systems {
			clean, err := p.Run(1, w)
			if err != nil {
				return nil, err
			}
			dirty, err := p.Run(1, w.WithDirt(dirt))
			if err != nil {
				return nil, err
			}
			steps = append(steps, Step{Pump: p.Name(), Hose: names[i], Clean: clean, Dirty: dirty})
		}
	}
	for i := range steps {
		steps[i].GainFlow = steps[i].Dirty.LeastFlow() - steps[0].Dirty.LeastFlow()
		steps[i].GainPower = steps[i].Dirty.LeastPower() - steps[0].Dirty.LeastPower()
	}
	return steps, nil
}

// Widened is a line with a wider hose in it.
type Widened struct {
	Hose   PipeSize
	System *System
}

// Widen returns the line with each of the next two sizes above its narrowest
// feed in it, as NextSteps does. There are fewer where sizes holds no wider.
func Widen(s *System, sizes []PipeSize) ([]Widened, error) {
	var lines []Widened
	for _, size := range wider(s.spec.Feeds, sizes) {
		w, err := s.rehosed(size)
		if err != nil {
			return nil, err
		}
		lines = append(lines, Widened{size, w})
	}
	return lines, nil
}

// wider returns the next two sizes above the narrowest feed, by bore. Sizes of
// the same bore count once, the first named.
func wider(feeds []Feed, sizes []PipeSize) []PipeSize {
	narrowest := feeds[0].Bore
	for _, f := range feeds {
		narrowest = min(narrowest, f.Bore)
	}
	sorted := append([]PipeSize(nil), sizes...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Bore < sorted[j].Bore })
	var next []PipeSize
	for _, p := range sorted {
		if p.Bore > narrowest*1.02 && (len(next) == 0 || p.Bore > next[len(next)-1].Bore*1.02) {
			next = append(next, p)
		}
		if len(next) == 2 {
			break
		}
	}
	return next
}

// rehosed returns the system with every feed below the bore of size replaced.
func (s *System) rehosed(size PipeSize) (*System, error) {
	spec := s.spec
	spec.Feeds = append([]Feed(nil), spec.Feeds...)
	for i, f := range spec.Feeds {
		if f.Bore < size.Bore {
			f.Bore, f.Roughness, f.Pitch = size.Bore, size.Roughness, size.Pitch
			spec.Feeds[i] = f
		}
	}
	w, err := NewSystem(spec)
	if err != nil {
		return nil, err
	}
	return w.WithK(s.valve).WithDirt(s.dirt), nil
}
