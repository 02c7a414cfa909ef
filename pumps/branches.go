package pumps

import (
	"math"

	"sunrill/data/units"
)

// BranchFlow is what one branch gets.
type BranchFlow struct {
	Name     string         `json:"name"`
	Flow     units.Flow     `json:"flow_m3_per_h"`
	Velocity units.Velocity `json:"velocity_m_per_s"` // in its narrowest feed
	Short    units.Length   `json:"short_of_head_m"`  // head that it lacks to get any water; 0 where it gets some
}

// Split returns what each branch of the spec gets of total flow q, in the
// order of the spec.
func (s *System) Split(q units.Flow) []BranchFlow {
	flows := make([]BranchFlow, len(s.branches))
	head := s.over(float64(q))
	for i, b := range s.branches {
		x := b.flowBy(head-b.above, float64(q))
		flows[i] = BranchFlow{Name: b.spec.Name, Flow: units.Flow(x), Velocity: units.Velocity(b.velocity(x))}
		if x == 0 {
			flows[i].Short = units.Length(max(0, b.above-head))
		}
	}
	return flows
}

// over returns the head of the node above the lowest lift [m] at total flow q.
// A wide branch needs so little that the lift would swallow its digits.
//
//	sum of Qi(H) = Q
func (s *System) over(q float64) float64 {
	if q <= 0 || !s.Branched() {
		return 0
	}
	if head, ok := s.overFast(q); ok {
		return head
	}
	return s.overSure(q)
}

// fewBranches is how many are solved without a slice of their own.
const fewBranches = 6

// overFast solves for all branches together: each is taken as a straight line
// through its last two flows, the lines give the head at which the flows add up,
// and that the next flows. It starts from losses that go with the square of the
// flow. False where it does not settle, as beside a branch that only just runs.
//
//	H = (Q - sum(Qi - (hi + ai)/di)) / sum(1/di),  di = dhi/dQi
//
// ai is the branch's lift above the lowest, hi what it loses at Qi.
//
// Source: the linearisation is that of E. Todini and S. Pilati, A gradient
// method for the analysis of pipe networks (1987), from memory; secants stand
// for its derivatives.
func (s *System) overFast(q float64) (float64, bool) {
	var room [fewBranches]branchState
	branches := room[:]
	if len(s.branches) > fewBranches {
		branches = make([]branchState, len(s.branches))
	}
	branches = branches[:len(s.branches)]
	head := s.squareStart(branches, q)
	const most = 20
	for range most {
		free, slack, off := q, 0.0, 0.0
		for i, branch := range s.branches {
			b := &branches[i]
			if b.flow > 0 {
				b.meet(branch.lost(b.flow))
				off = max(off, math.Abs(head-b.lift-b.lost))
				free -= b.flow - (b.lost+b.lift)/b.slope
				slack += 1 / b.slope
			} else {
				off = max(off, head-b.lift)
			}
		}
		next := free / slack
		if !finite(next) || next <= 0 {
			return 0, false
		}
		if settled := 1e-12 * next; off <= settled && math.Abs(next-head) <= settled {
			return next, true
		}
		head = next
		for i := range branches {
			branches[i].move(head, q)
		}
	}
	return 0, false
}

// branchState is a branch on the way to its flow.
type branchState struct {
	lift         float64 // above the lowest [m]
	atAll        float64 // head lost if it carried all [m]
	flow, lost   float64 // where it stands [m³/s, m]
	slope        float64 // of lost over flow
	before, gone float64 // flow and loss before; 0 for none
}

// meet takes note of the loss at the branch's flow.
func (b *branchState) meet(lost float64) {
	b.lost = lost
	if slope := (lost - b.gone) / (b.flow - b.before); b.before > 0 && slope > 0 && finite(slope) {
		b.slope = slope
	} else if b.before == 0 {
		const exponent = 1.9 // of turbulent flow with fittings
		b.slope = exponent * lost / b.flow
	}
}

// move sets the branch's flow by its straight line under head at the node; q is
// the flow of all.
func (b *branchState) move(head, q float64) {
	above := head - b.lift
	switch {
	case above <= 0:
		*b = branchState{lift: b.lift, atAll: b.atAll}
	case b.flow == 0:
		b.flow = q * math.Sqrt(above/b.atAll)
	default:
		const least = 0.1 // of the flow before, so that a line that is too flat does not turn it round
		next := max(least*b.flow, b.flow+(above-b.lost)/b.slope)
		if next != b.flow {
			b.before, b.gone = b.flow, b.lost
		}
		b.flow = next
	}
}

// squareStart fills in the flows of branches whose losses go with the square of
// the flow, and returns the head at their node.
func (s *System) squareStart(branches []branchState, q float64) float64 {
	high := math.Inf(1)
	for i, branch := range s.branches {
		b := &branches[i]
		b.lift, b.atAll = branch.above, branch.lost(q)
		high = min(high, b.lift+b.atAll)
	}
	low := 0.0
	for range 12 {
		head, sum := (low+high)/2, 0.0
		for i := range branches {
			if above := head - branches[i].lift; above > 0 {
				sum += math.Sqrt(above / branches[i].atAll)
			}
		}
		if sum > 1 {
			high = head
		} else {
			low = head
		}
	}
	for i := range branches {
		branches[i].move(high, q)
	}
	return high
}

// overSure solves for the head by bracketing it, and for the flow of each branch
// at each head likewise: slow, and it cannot go astray.
func (s *System) overSure(q float64) float64 {
	// Any one branch could carry it all at this head, so the branches together
	// carry at least that.
	high := math.Inf(1)
	for _, b := range s.branches {
		high = min(high, b.above+b.lost(q))
	}
	if high <= 0 {
		return 0
	}
	return root(func(h float64) float64 {
		sum := -q
		for _, b := range s.branches {
			sum += b.flowBy(h-b.above, q)
		}
		return sum
	}, 0, high, 1e-13*high)
}

// flowBy returns the flow [m³/s] that head above the system's lift [m] drives
// through it, most at the largest and 0 where there is none.
func (s *System) flowBy(head, most float64) float64 {
	if head <= 0 || most <= 0 {
		return 0
	}
	if s.lost(most) <= head {
		return most
	}
	return root(func(q float64) float64 { return s.lost(q) - head }, 0, most, 1e-14*most)
}
