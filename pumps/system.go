package pumps

import (
	"fmt"
	"slices"

	"sunrill/data"
	"sunrill/data/units"
)

// SystemSpec describes a line of pipes in series, or the trunk of several filters on one
// pump and the branches behind it, within the ranges that a plan takes. It has a feed or a
// branch.
type SystemSpec struct {
	Name        string       // of a branch
	StaticHead  units.Length // from the pond's surface to the highest free water level or open outlet; of a trunk its branches'
	Crest       units.Length // highest point of the line above the pond's surface; 0 if none is above StaticHead
	Vented      bool         // the crest is open to air: a riser or a siphon break
	Feeds       []Feed       // in the order of the flow; a trunk may have none: branches straight off the pump
	Exit        bool         // add the exit loss to the last feed; false where its loss has it
	Bed         Bed          // gravel that the flow passes; zero for none
	Branches    []SystemSpec // from the end of the feeds; they take the temperature of the trunk
	Temperature units.Temperature
}

// System is the head that a line, or several branches on one pump together, ask for at
// each flow. It does not change once made; NewSystem makes one.
//
//	H(Q) = lift + sum of the feeds' losses + bed + dirt + head of the node above the lowest branch's lift
//
// All branches meet the head of the node; each takes the flow at which its own lift and
// losses equal it. A branch that would need more head than the node has takes nothing:
// water is not let back out of a filter, as an outlet above its water or a check valve
// sees to.
type System struct {
	spec     SystemSpec
	fluid    Water
	lines    []line
	branches []*System
	above    float64 // of a branch: its lift over the lowest one's [m]
	lift     float64 // m
	restart  float64 // m
	// h = linear Q + square Q² of bed and dirt [s/m², s²/m⁵]
	linear, square float64
}

// NewSystem returns the system that spec describes.
func NewSystem(spec SystemSpec) *System { return newSystem(spec, WaterAt(spec.Temperature)) }

func newSystem(spec SystemSpec, w Water) *System {
	s := &System{spec: spec, fluid: w, lift: float64(spec.StaticHead)}
	for i, b := range spec.Branches {
		s.branches = append(s.branches, newSystem(b, w))
		if lift := s.branches[i].lift; i == 0 || lift < s.lift {
			s.lift = lift
		}
	}
	for _, b := range s.branches {
		b.above = b.lift - s.lift
	}
	for _, f := range spec.Feeds {
		s.lines = append(s.lines, newLine(f, w))
	}
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
	return s
}

// Spec returns what the system was made from.
func (s *System) Spec() SystemSpec { return s.spec }

// Branched reports whether several filters are fed.
func (s *System) Branched() bool { return len(s.branches) > 0 }

// Water returns the water that flows in it.
func (s *System) Water() Water { return s.fluid }

// Feeds returns the runs of pipe in the order of the flow, then those of each branch.
func (s *System) Feeds() []Feed {
	feeds := slices.Clone(s.spec.Feeds)
	for _, b := range s.branches {
		feeds = append(feeds, b.Feeds()...)
	}
	return feeds
}

// HeadAt returns the head that flow q needs at the pump, lift included.
func (s *System) HeadAt(q units.Flow) units.Length { return units.Length(s.needs(float64(q))) }

// Lift returns the head needed before anything flows: the static head, of branches the
// lowest, or the crest where that is vented and higher; and what opens check valves.
func (s *System) Lift() units.Length { return units.Length(s.lift) }

// Restart returns the shut-off head that a stopped pump needs: the static head
// or the crest, whichever is higher, for a line that has run back to empty. A
// full unvented line then draws itself over its crest.
func (s *System) Restart() units.Length { return units.Length(s.restart) }

// WithDirt returns the system with a resistance added, before its branches.
func (s *System) WithDirt(d Dirt) *System {
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

// FeedHeads returns what each feed before the branches takes of the head at flow q.
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

// Tightest returns the index, in s.Feeds(), of the feed that takes most head at
// total flow q; the narrowest where nothing flows.
func (s *System) Tightest(q units.Flow) int {
	most := 0
	feeds, heads := s.Feeds(), s.feedLosses(q)
	for i := range feeds {
		if heads[i] > heads[most] || heads[i] == heads[most] && feeds[i].Bore < feeds[most].Bore {
			most = i
		}
	}
	return most
}

func (s *System) feedLosses(q units.Flow) (lost []units.Length) {
	for _, h := range s.FeedHeads(q) {
		lost = append(lost, h.Friction+h.Fittings)
	}
	for i, b := range s.Split(q) {
		lost = append(lost, s.branches[i].feedLosses(b.Flow)...)
	}
	return lost
}

func (s *System) needs(q float64) float64 { return s.lift + s.lost(q) }

func (s *System) lost(q float64) float64 {
	h := q * (s.linear + s.square*q)
	for i := range s.lines {
		h += s.lines[i].head(q)
	}
	return h + s.over(q)
}

// velocity returns the highest velocity of the line and its branches [m/s].
func (s *System) velocity(q float64) (v float64) {
	for i := range s.lines {
		v = max(v, q/s.lines[i].area)
	}
	head := s.over(q)
	for _, b := range s.branches {
		v = max(v, b.velocity(b.flowBy(head-b.above, q)))
	}
	return v
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
// velocity, a roughness outside the friction formula's range; and which branch gets
// no water.
func (s *System) Notes(q units.Flow) []data.Warning { return s.notes(q, s.HeadAt(q), "") }

func (s *System) notes(q units.Flow, head units.Length, under string) []data.Warning {
	var notes data.Doubts
	for i, f := range s.spec.Feeds {
		notes = append(notes, f.notes(q, head, s.fluid, fmt.Sprintf("%sfeed.%d", under, i+1))...)
	}
	for i, b := range s.Split(q) {
		key := fmt.Sprintf("branch.%d", i+1)
		if b.Short > 0 {
			notes.Say(key, "%s gets no water: the others hold the head {%.2g m} below its lift; throttle them, and see that it cannot "+
				"run back", b.Name, float64(b.Short))
		}
		notes = append(notes, s.branches[i].notes(b.Flow, head, key+".")...)
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
	if re > laminarRe && re < turbulentRe && f.HeadLoss(q, w) >= materialShare*head {
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
