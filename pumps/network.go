package pumps

import (
	"errors"
	"fmt"
	"slices"

	"sunrill/data"
	"sunrill/data/units"
)

// BranchSpec describes one of several filters on a pump.
type BranchSpec struct {
	Name       string
	StaticHead units.Length // from the pond's surface to this filter's free level or open outlet
	Feeds      []Feed
	Exit       bool    // add the exit loss to its last feed
	ValveK     float64 // of a valve, on the bore of its first feed
}

// NetworkSpec describes a trunk that ends in a node, and the branches from
// there.
type NetworkSpec struct {
	Trunk       []Feed // may be empty: branches straight off the pump
	Branches    []BranchSpec
	Crest       units.Length // highest point of the trunk above the pond's surface, not open to air; 0 if none is above the branches
	Temperature units.Temperature
}

// Network is the head that several branches on one pump ask for together. It
// does not change once made; NewNetwork makes one.
//
// All branches meet the head of the node; each takes the flow at which its own
// lift and losses equal it. A branch that would need more head than the node
// has takes nothing: water is not let back out of a filter, as an outlet above
// its water or a check valve sees to.
type Network struct {
	spec NetworkSpec
	rest
	trunk    []line
	branches []*System
}

// NewNetwork returns the network that spec describes, or every fault of it.
func NewNetwork(spec NetworkSpec) (*Network, error) {
	var faults data.FaultList
	if len(spec.Branches) == 0 {
		faults.Add(&data.Error{Key: "branch", Message: "there is no branch", Allowed: "at least one"})
	}
	checkLift(&faults, "crest", spec.Crest)
	for i, f := range spec.Trunk {
		f.check(&faults, fmt.Sprintf("feed.%d", i+1))
	}
	for i, b := range spec.Branches {
		under := fmt.Sprintf("branch.%d.", i+1)
		faults.Want(b.ValveK >= 0 && b.ValveK <= 1e6, under+"valve_k", b.ValveK, "0 to 1e6")
		b.line(spec.Temperature).check(&faults, under)
	}
	w, err := WaterAt(spec.Temperature)
	if err := errors.Join(err, faults.Err()); err != nil {
		return nil, err
	}
	n := &Network{spec: spec, rest: rest{fluid: w}, trunk: newLines(spec.Trunk, w)}
	for _, b := range spec.Branches {
		s, err := NewSystem(b.line(spec.Temperature))
		if err != nil {
			return nil, err
		}
		if len(n.branches) == 0 || s.lift < n.lift {
			n.lift = s.lift
		}
		n.branches = append(n.branches, s)
	}
	return n, nil
}

// line returns the branch as a line of its own, its valve on the first feed.
func (b BranchSpec) line(t units.Temperature) SystemSpec {
	feeds := slices.Clone(b.Feeds)
	if len(feeds) > 0 {
		feeds[0].Loss.K += b.ValveK
	}
	return SystemSpec{StaticHead: b.StaticHead, Feeds: feeds, Exit: b.Exit, Temperature: t}
}

// Spec returns what the network was made from.
func (n *Network) Spec() NetworkSpec { return n.spec }

// HeadAt returns the head that total flow q needs at the pump.
func (n *Network) HeadAt(q units.Flow) units.Length { return units.Length(n.needs(float64(q))) }

// Restart returns the shut-off head that a stopped pump needs: the lift, or the
// trunk's crest where that is higher.
func (n *Network) Restart() units.Length { return max(n.Lift(), n.spec.Crest) }

// Feeds returns the runs of the trunk, then those of each branch.
func (n *Network) Feeds() []Feed {
	feeds := append([]Feed(nil), n.spec.Trunk...)
	for _, b := range n.spec.Branches {
		feeds = append(feeds, b.Feeds...)
	}
	return feeds
}

// BranchFlow is what one branch gets.
type BranchFlow struct {
	Name     string         `json:"name"`
	Flow     units.Flow     `json:"flow_m3_per_h"`
	Velocity units.Velocity `json:"velocity_m_per_s"` // in its narrowest feed
	Short    units.Length   `json:"short_of_head_m"`  // head that it lacks to get any water; 0 where it gets some
}

// Split returns what each branch of the spec gets of total flow q, in the
// order of the spec.
func (n *Network) Split(q units.Flow) []BranchFlow {
	flows := make([]BranchFlow, len(n.branches))
	head := n.over(float64(q))
	for i, b := range n.branches {
		f := &flows[i]
		f.Name = n.spec.Branches[i].Name
		above := head - (b.lift - n.lift)
		x := b.flowBy(above, float64(q))
		f.Flow, f.Velocity = units.Flow(x), units.Velocity(b.velocity(x))
		if x == 0 {
			f.Short = units.Length(max(0, -above))
		}
	}
	return flows
}

func (n *Network) needs(q float64) float64 {
	h := n.lift + n.over(q) + n.square*q*q
	for i := range n.trunk {
		h += n.trunk[i].head(q)
	}
	return h
}

// velocity returns the highest velocity in trunk and branches [m/s].
func (n *Network) velocity(q float64) float64 {
	v := 0.0
	for i := range n.trunk {
		v = max(v, q/n.trunk[i].area)
	}
	head := n.over(q)
	for _, b := range n.branches {
		v = max(v, b.velocity(b.flowBy(head-(b.lift-n.lift), q)))
	}
	return v
}

// WithDirt returns the network with a resistance added before the node.
func (n *Network) WithDirt(d Dirt) Circuit {
	m := *n
	m.square += d.Resistance
	return &m
}

// Notes returns what total flow q does in each feed, and which branch gets no
// water.
func (n *Network) Notes(q units.Flow) []data.Warning {
	var notes data.Doubts
	head := n.HeadAt(q)
	for i, f := range n.spec.Trunk {
		notes = append(notes, f.notes(q, head, n.fluid, fmt.Sprintf("feed.%d", i+1))...)
	}
	for i, b := range n.Split(q) {
		key := fmt.Sprintf("branch.%d", i+1)
		if b.Short > 0 {
			notes.Say(key, "%s gets no water: the others hold the head {%.2g m} below its lift; throttle them, and see that it cannot "+
				"run back",
				b.Name, float64(b.Short))
		}
		for j, f := range n.spec.Branches[i].Feeds {
			notes = append(notes, f.notes(b.Flow, head, n.fluid, fmt.Sprintf("%s.feed.%d", key, j+1))...)
		}
	}
	return notes
}
