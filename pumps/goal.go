package pumps

import (
	"math"

	"sunrill/data/units"
)

// TurnoverTime returns how long flow q takes to move the volume once, T = V/Q.
// q must be above 0.
func TurnoverTime(v units.Volume, q units.Flow) units.Duration {
	return units.Duration(float64(v) / float64(q))
}

// Verdict is how a pump stands against a turnover goal.
type Verdict struct {
	Met      bool
	AtLeast  bool           // the pump runs off its curve's end: Turnover is at most this
	Turnover units.Duration // 0 where nothing flows
	Missed   units.Duration // by how much a turnover takes longer than the goal; 0 if met
	// Slowest and Fastest span the curve's tolerance and the volume's error;
	// Slowest is +Inf where the weak end of the range does not lift, and
	// Fastest 0 where the strong end runs off the curve.
	Slowest, Fastest units.Duration
	Sure             bool // met, or missed, at both ends of the span
}

// Judge returns the verdict on a run against a goal for one turnover. A run off
// its curve's end counts with the last point's flow: the goal is met if that
// suffices. Of a label the low figure counts.
func Judge(r Run, p *Pond, goal units.Duration) Verdict {
	v := Verdict{AtLeast: r.Status == BeyondCurve}
	low, high := p.Range()
	if q := r.LeastFlow(); q > 0 {
		v.Turnover = TurnoverTime(p.Volume(), q)
		v.Met = v.Turnover <= goal
		v.Missed = max(0, v.Turnover-goal)
	}
	v.Slowest = units.Duration(math.Inf(1))
	if q := r.Low.LeastFlow(); q > 0 {
		v.Slowest = TurnoverTime(high, q)
	}
	if r.High.Status == Meets {
		v.Fastest = TurnoverTime(low, r.High.Duty.Flow)
	}
	if r.High.LeastFlow() > 0 {
		v.Sure = (v.Slowest <= goal) == (v.Fastest <= goal)
	} else {
		v.Fastest, v.Sure = v.Slowest, true
	}
	return v
}

// Smallest returns the index of the dirty run that meets the goal on the least
// power, and false if none does. A run whose power is not known comes after
// those whose power is, by flow.
func Smallest(dirty []Run, p *Pond, goal units.Duration) (int, bool) {
	best, found := 0, false
	for i, r := range dirty {
		if !Judge(r, p, goal).Met {
			continue
		}
		if !found || lighter(r, dirty[best]) {
			best, found = i, true
		}
	}
	return best, found
}

func lighter(a, b Run) bool {
	wa, wb := a.LeastPower(), b.LeastPower()
	if (wa > 0) != (wb > 0) {
		return wa > 0
	}
	if wa != wb {
		return wa < wb
	}
	return a.LeastFlow() < b.LeastFlow()
}
