package pumps

import (
	"errors"
	"fmt"

	"sunrill/data"
	"sunrill/data/units"
)

// Circuit is what a pump works against: a System of pipes in series or a
// Network of branches.
type Circuit interface {
	// HeadAt returns the head that flow q needs, lift included.
	HeadAt(q units.Flow) units.Length
	// Lift returns the head needed before anything flows.
	Lift() units.Length
	// Restart returns the shut-off head that a stopped pump needs to start
	// the flow; above Lift where the line goes over a crest.
	Restart() units.Length
	// Notes returns the doubts about flow q: regime, velocity.
	Notes(q units.Flow) []data.Warning
	// Water returns the water that flows in it.
	Water() Water
	// Feeds returns every run of pipe in it.
	Feeds() []Feed
	// WithDirt returns the circuit with a resistance added, before its branches.
	WithDirt(d Dirt) Circuit

	velocity(q float64) float64
	needs(q float64) float64
	feedLosses(q units.Flow) []units.Length // of each of Feeds
}

// SystemSpec describes one line of pipes in series.
type SystemSpec struct {
	StaticHead  units.Length // from the pond's surface to the highest free water level or open outlet
	Crest       units.Length // highest point of the line above the pond's surface; 0 if none is above StaticHead
	Vented      bool         // the crest is open to air: a riser or a siphon break
	Feeds       []Feed       // in the order of the flow
	Exit        bool         // add the exit loss to the last feed; false where its loss has it
	Bed         Bed          // gravel that the flow passes; zero for none
	Temperature units.Temperature
}

// System is the head that one line asks for at each flow. It does not
// change once made; NewSystem makes one.
//
//	H(Q) = static head + sum of the feeds' losses + bed + dirt
type System struct {
	spec SystemSpec
	rest
	lines   []line
	restart float64 // m
	linear  float64 // h = linear Q + square Q² besides the feeds [s/m²]
}

// rest is what any circuit is at rest, and the dirt in it.
type rest struct {
	fluid  Water
	lift   float64 // m
	square float64 // h = square Q² of dirt, and of a System's bed [s²/m⁵]
}

// Water returns the water that flows in it.
func (r rest) Water() Water { return r.fluid }

// Lift returns the head needed before anything flows: the static head, or the crest where
// that is vented and higher; of a Network that of the lowest branch.
func (r rest) Lift() units.Length { return units.Length(r.lift) }

// NewSystem returns the system that spec describes, or every fault of it.
func NewSystem(spec SystemSpec) (*System, error) {
	var faults data.FaultList
	spec.check(&faults, "")
	w, err := WaterAt(spec.Temperature)
	if err := errors.Join(err, faults.Err()); err != nil {
		return nil, err
	}
	s := &System{spec: spec, rest: rest{fluid: w, lift: float64(spec.StaticHead)}}
	s.lines = newLines(spec.Feeds, w)
	if spec.Exit {
		s.lines[len(s.lines)-1].k += ExitLoss
	}
	if spec.Vented {
		s.lift = max(s.lift, float64(spec.Crest))
	}
	s.restart = max(s.lift, float64(spec.Crest))
	for _, f := range spec.Feeds {
		s.lift += float64(f.Cracking)
		s.restart += float64(f.Cracking)
	}
	s.linear, s.square = spec.Bed.resistance(w)
	return s, nil
}

func newLines(feeds []Feed, w Water) []line {
	lines := make([]line, len(feeds))
	for i, f := range feeds {
		lines[i] = newLine(f, w)
	}
	return lines
}

// check adds the faults of the line, whose plan keys start with under.
func (spec SystemSpec) check(faults *data.FaultList, under string) {
	checkLift(faults, under+"static_head", spec.StaticHead)
	checkLift(faults, under+"crest", spec.Crest)
	if len(spec.Feeds) == 0 {
		faults.Add(&data.Error{Key: under + "feed", Message: "the line has no feed", Allowed: "at least one run of pipe or hose"})
	}
	for i, f := range spec.Feeds {
		f.check(faults, fmt.Sprintf("%sfeed.%d", under, i+1))
	}
	spec.Bed.check(faults)
}

func checkLift(faults *data.FaultList, key string, lift units.Length) {
	faults.Want(lift >= 0 && lift <= 1000, key, lift, "0 m to 1000 m, up from the pond's surface")
}

// Spec returns what the system was made from.
func (s *System) Spec() SystemSpec { return s.spec }

// Feeds returns the runs of pipe in the order of the flow.
func (s *System) Feeds() []Feed { return s.spec.Feeds }

// HeadAt returns the head that flow q needs, lift included.
func (s *System) HeadAt(q units.Flow) units.Length { return units.Length(s.needs(float64(q))) }

// Restart returns the shut-off head that a stopped pump needs: the static head
// or the crest, whichever is higher, for a line that has run back to empty. A
// full unvented line then draws itself over its crest.
func (s *System) Restart() units.Length { return units.Length(s.restart) }

// WithDirt returns the system with a resistance added.
func (s *System) WithDirt(d Dirt) Circuit {
	t := *s
	t.square += d.Resistance
	return &t
}

// FeedHead is what one feed of a line takes of the head.
type FeedHead struct {
	Friction units.Length
	Fittings units.Length
	Loss     Loss // of the fittings, with the exit on the last
}

// FeedHeads returns what each feed takes of the head at flow q.
func (s *System) FeedHeads(q units.Flow) []FeedHead {
	heads := make([]FeedHead, len(s.spec.Feeds))
	for i, f := range s.spec.Feeds {
		h := FeedHead{Loss: f.Loss}
		if s.spec.Exit && i == len(heads)-1 {
			h.Loss.K += ExitLoss
		}
		f.Loss, f.Parts = Loss{}, 0
		h.Friction = f.HeadLoss(q, s.fluid)
		f.Loss, f.Parts = h.Loss, s.spec.Feeds[i].Parts
		h.Fittings = f.HeadLoss(q, s.fluid) - h.Friction
		heads[i] = h
	}
	return heads
}

// overCrest reports whether the lift is that of a crest open to air, above the
// outlet.
func (s *System) overCrest() bool { return s.spec.Vented && s.spec.Crest > s.spec.StaticHead }

func (s *System) lost(q float64) float64 {
	h := q * (s.linear + s.square*q)
	for i := range s.lines {
		h += s.lines[i].head(q)
	}
	return h
}

func (s *System) needs(q float64) float64 { return s.lift + s.lost(q) }

// velocity returns the highest velocity of the line [m/s].
func (s *System) velocity(q float64) float64 {
	least := s.lines[0].area
	for i := range s.lines {
		least = min(least, s.lines[i].area)
	}
	return q / least
}

// Velocities that a note is given for. Common practice, no source: below the
// lower one grit and mulm settle in a pipe, above the higher one friction and
// noise cost more than the pipe saved.
const (
	SelfCleaning units.Velocity = 0.6
	HighVelocity units.Velocity = 2.0
)

// Notes returns what flow q does in each feed that is worth a line: a regime in
// which friction is uncertain and not next to nothing, settling of dirt, high
// velocity, a roughness outside the friction formula's range.
func (s *System) Notes(q units.Flow) []data.Warning {
	var notes []data.Warning
	for i, f := range s.spec.Feeds {
		notes = append(notes, f.notes(q, s.HeadAt(q), s.fluid, fmt.Sprintf("feed.%d", i+1))...)
	}
	return append(notes, s.spec.Bed.notes(q, s.fluid)...)
}

// materialShare of a line's head is the least loss of one feed whose
// uncertainty is worth a note: a third more of it moves the head by less than
// a hundredth. Our own choice.
const materialShare = 0.03

// notes returns what flow q does in f, which is part of a line that asks for
// head in all.
func (f Feed) notes(q units.Flow, head units.Length, w Water, key string) []data.Warning {
	if q <= 0 {
		return nil
	}
	var notes data.Doubts
	re, v := f.Reynolds(q, w), f.Velocity(q)
	if RegimeOf(re) == Transitional && f.HeadLoss(q, w) >= materialShare*head {
		notes.Say(key, "Reynolds number %.0f lies between laminar and turbulent flow, where friction may be a third lower or higher", re)
	}
	if v < SelfCleaning {
		notes.Say(key, "{%.2f m/s} is below the {%.1f m/s} at which a pipe is usually held to clean itself: dirt settles, flush it at "+
			"times",
			float64(v), float64(SelfCleaning))
	}
	if v > HighVelocity {
		notes.Say(key, "{%.1f m/s} is above {%.1f m/s}: a wider pipe would give noticeably more flow", float64(v), float64(HighVelocity))
	}
	if e := float64(f.Roughness / f.Bore); e > 0.05 {
		notes.Say(key, "roughness is %.0f %% of the bore, beyond the 5 %% that friction formulas were measured for", 100*e)
	}
	return notes
}
