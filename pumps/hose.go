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

// Widened is a line with a wider hose in it.
type Widened struct {
	Hose PipeSize
	Line Circuit
}

// Tightest returns the index, in c.Feeds(), of the feed that takes most head at
// total flow q; the narrowest where nothing flows.
func Tightest(c Circuit, q units.Flow) int {
	most := 0
	feeds, heads := c.Feeds(), c.feedLosses(q)
	for i := range feeds {
		if heads[i] > heads[most] || heads[i] == heads[most] && feeds[i].Bore < feeds[most].Bore {
			most = i
		}
	}
	return most
}

func (s *System) feedLosses(q units.Flow) []units.Length {
	lost := make([]units.Length, len(s.spec.Feeds))
	for i, h := range s.FeedHeads(q) {
		lost[i] = h.Friction + h.Fittings
	}
	return lost
}

func (n *Network) feedLosses(q units.Flow) []units.Length {
	var lost []units.Length
	for _, f := range n.spec.Trunk {
		lost = append(lost, f.HeadLoss(q, n.fluid))
	}
	open := make(map[int]*System, len(n.branches))
	for k, i := range n.named {
		open[i] = n.branches[k]
	}
	for i, b := range n.Split(q) {
		if s := open[i]; s != nil {
			lost = append(lost, s.feedLosses(b.Flow)...)
		} else {
			lost = append(lost, make([]units.Length, len(n.spec.Branches[i].Feeds))...)
		}
	}
	return lost
}

// Widen answers "next hose up": the line with each of the next two of sizes in
// it, by bore. Every feed narrower than the new size, in trunk or branch, is
// replaced by it, with the same length and the same loss coefficients. There are
// fewer than two where sizes holds no more.
func Widen(c Circuit, sizes []PipeSize) ([]Widened, error) {
	var lines []Widened
	for _, size := range wider(c.Feeds(), sizes) {
		w, err := c.refed(func(feeds []Feed) []Feed { return rehose(feeds, size) })
		if err != nil {
			return nil, err
		}
		lines = append(lines, Widened{size, w})
	}
	return lines, nil
}

// Smoothed returns the line with smooth hose of the same bore, of the roughness
// given, in place of every hose that is ribbed inside; false where none is.
func Smoothed(c Circuit, roughness units.Length) (Circuit, bool, error) {
	ribbed := false
	for _, f := range c.Feeds() {
		ribbed = ribbed || f.Pitch > 0
	}
	if !ribbed {
		return c, false, nil
	}
	s, err := c.refed(func(feeds []Feed) []Feed {
		out := append([]Feed(nil), feeds...)
		for i, f := range out {
			if f.Pitch > 0 {
				out[i].Pitch, out[i].Roughness = 0, roughness
			}
		}
		return out
	})
	return s, err == nil, err
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

// rehose returns feeds with every bore below that of size replaced.
func rehose(feeds []Feed, size PipeSize) []Feed {
	out := append([]Feed(nil), feeds...)
	for i, f := range out {
		if f.Bore < size.Bore {
			f.Bore, f.Roughness, f.Pitch = size.Bore, size.Roughness, size.Pitch
			out[i] = f
		}
	}
	return out
}

func (s *System) refed(change func([]Feed) []Feed) (Circuit, error) {
	spec := s.spec
	spec.Feeds = change(spec.Feeds)
	w, err := NewSystem(spec)
	if err != nil {
		return nil, err
	}
	return w.WithK(s.valve).WithDirt(s.dirt), nil
}

func (n *Network) refed(change func([]Feed) []Feed) (Circuit, error) {
	spec := n.spec
	spec.Trunk = change(spec.Trunk)
	spec.Branches = append([]BranchSpec(nil), spec.Branches...)
	for i := range spec.Branches {
		spec.Branches[i].Feeds = change(spec.Branches[i].Feeds)
	}
	w, err := NewNetwork(spec)
	if err != nil {
		return nil, err
	}
	return w.WithDirt(Dirt{n.square}), nil
}
