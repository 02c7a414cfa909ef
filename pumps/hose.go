package pumps

import "sunrill/data/units"

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
	for i, b := range n.Split(q) {
		lost = append(lost, n.branches[i].feedLosses(b.Flow)...)
	}
	return lost
}
